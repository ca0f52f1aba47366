#include "support/case_files.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/fleet_states.h"

enum { LARGEST = 1 << 18 };

char *case_file_read(const char *path, size_t *length) {
    FILE *f = fopen(path, "rb");
    if (!f)
        return NULL;
    char *bytes = malloc(LARGEST);
    assert_non_null(bytes);
    size_t read = fread(bytes, 1, LARGEST - 1, f);
    bytes[read] = 0;
    fclose(f);
    if (length)
        *length = read;
    return bytes;
}

char *case_file_needed(const char *path, size_t *length) {
    char *bytes = case_file_read(path, length);
    if (!bytes)
        fail_msg("there is no %s", path);
    return bytes;
}

int lesson_fleet(const char *lesson) {
    const char *named = strstr(lesson, "\naircraft: ");
    assert_non_null(named);
    named += strlen("\naircraft: ");
    for (int i = 0; i < FLEET_COUNT; i++)
        if ((named[0] | 0x20) == fleet_names[i][0] &&
            strncmp(named + 1, fleet_names[i] + 1, strlen(fleet_names[i]) - 1) == 0)
            return i;
    fail_msg("no aeroplane for %.40s", named);
    return -1;
}
