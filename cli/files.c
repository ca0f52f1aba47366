#define _POSIX_C_SOURCE 200809L

#include "files.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

// Long names are cut so that the sentence's end, which says what to do, always stands.
static void say(char trouble[TROUBLE_ROOM], const char *name, const char *what) {
    snprintf(trouble, TROUBLE_ROOM, "%.300s: error: %.160s", name, what);
}

static void say_errno(char trouble[TROUBLE_ROOM], const char *name, const char *doing, int number) {
    char what[160];
    switch (number) {
    case ENOENT:
        if (strcmp(doing, "read") != 0)
            say(trouble, name, "there is no such folder. Make it first, or write somewhere else");
        else if (strchr(name, '='))
            say(trouble, name,
                "there is no such file. A position stands behind --set, a failure behind --fail");
        else
            say(trouble, name, "there is no such file. Check the name and the folder you are in");
        return;
    case EISDIR: say(trouble, name, "this is a folder. Name a file in it"); return;
    case EACCES:
    case EPERM:
        snprintf(what, sizeof what, "no permission to %s this file. Change it with chmod, or %s",
                 doing, strcmp(doing, "read") == 0 ? "use a copy" : "write somewhere else");
        break;
    case ENOSPC: snprintf(what, sizeof what, "the disk is full. Nothing whole was written"); break;
    default: snprintf(what, sizeof what, "could not %s: %s", doing, strerror(number)); break;
    }
    say(trouble, name, what);
}

// Grows as it reads: a pipe doesn't tell its length, and a huge file must not be asked for at once.
static char *read_stream(FILE *from, size_t most, size_t *length, int *number) {
    size_t room = most < 65536 ? most : 65536;
    size_t used = 0;
    char *data = malloc(room);
    *number = ENOMEM;
    while (data) {
        errno = 0;
        used += fread(data + used, 1, room - used, from);
        if (ferror(from)) {
            *number = errno ? errno : EIO;
            free(data);
            return NULL;
        }
        if (used < room || room == most)
            break;
        size_t wider = room < most / 2 ? room * 2 : most;
        char *moved = realloc(data, wider);
        if (!moved)
            free(data);
        data = moved;
        room = wider;
    }
    *length = used;
    return data;
}

char *file_read(const char *name, size_t most, size_t *length, char trouble[TROUBLE_ROOM]) {
    int standard = strcmp(name, "-") == 0;
    FILE *from = standard ? stdin : fopen(name, "rb");
    if (!from) {
        say_errno(trouble, name, "read", errno);
        return NULL;
    }
    int number = 0;
    char *data = read_stream(from, most, length, &number);
    if (!standard)
        fclose(from);
    if (!data)
        say_errno(trouble, standard ? "standard input" : name, "read", number);
    return data;
}

int file_write(const char *name, const char *data, size_t length, char trouble[TROUBLE_ROOM]) {
    int standard = strcmp(name, "-") == 0;
    FILE *to = standard ? stdout : fopen(name, "wb");
    if (!to) {
        say_errno(trouble, name, "write", errno);
        return 1;
    }
    errno = 0;
    int failed = fwrite(data, 1, length, to) != length;
    failed |= standard ? fflush(to) != 0 : fclose(to) != 0;
    if (failed)
        say_errno(trouble, standard ? "standard output" : name, "write", errno ? errno : EIO);
    return failed;
}

int file_same(const char *a, const char *b) {
    struct stat first;
    struct stat second;
    return strcmp(a, "-") != 0 && strcmp(b, "-") != 0 && stat(a, &first) == 0 &&
           stat(b, &second) == 0 && S_ISREG(first.st_mode) && first.st_dev == second.st_dev &&
           first.st_ino == second.st_ino;
}
