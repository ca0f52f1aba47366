#include "support/bad_cases.h"

#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/case_files.h"
#include "support/failing_memory.h"

enum { MOST_FILES = 400, NAME_SIZE = 128 };

static int by_name(const void *a, const void *b) { return strcmp(a, b); }

static int list_files(const char *folder, char names[][NAME_SIZE]) {
    DIR *d = opendir(folder);
    assert_non_null(d);
    int count = 0;
    for (struct dirent *e = readdir(d); e; e = readdir(d)) {
        size_t n = strlen(e->d_name);
        if (n > 5 && n < NAME_SIZE && strcmp(e->d_name + n - 5, ".yaml") == 0 && count < MOST_FILES)
            memcpy(names[count++], e->d_name, n + 1);
    }
    closedir(d);
    qsort(names, (size_t)count, sizeof names[0], by_name);
    return count;
}

static void findings_of(const char *folder, const char *name, bad_case_reader read, void *ctx,
                        text *out) {
    char path[512];
    size_t length = 0;
    snprintf(path, sizeof path, "%s%.127s", folder, name);
    char *bytes = case_file_needed(path, &length);
    failing_memory m = {.fail_at = -1};
    findings f = findings_make(failing_allocator(&m));
    status s = STATUS_NO_MEMORY;
    bool made = read(ctx, failing_allocator(&m), bytes, length, &s, &f);
    assert_true(s == STATUS_OK || s == STATUS_BAD_FILE);
    assert_int_equal(s == STATUS_OK, made);
    assert_int_equal(s == STATUS_OK, f.errors == 0);
    if (f.count == 0)
        print_error("%s: no finding\n", name);
    assert_true(f.count > 0);
    findings_write(&f, name, out);
    findings_free(&f);
    assert_int_equal(m.blocks_out, 0);
    free(bytes);
}

static void write_anew(const char *path, const text *made) {
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    fwrite(text_get(made), 1, made->length, f);
    fclose(f);
}

static bool as_expected(const char *path, const char *name, const text *made) {
    char *expected = case_file_read(path, NULL);
    bool same = expected != NULL && strcmp(expected, text_get(made)) == 0;
    if (!same)
        print_error("%s\n--- expected\n%s--- found\n%s", name, expected ? expected : "",
                    text_get(made));
    free(expected);
    return same;
}

void bad_cases_hold(const char *folder, int least, bad_case_reader read, void *ctx) {
    static char names[MOST_FILES][NAME_SIZE];
    int count = list_files(folder, names), wrong = 0;
    assert_true(count >= least);
    for (int i = 0; i < count; i++) {
        text made = text_make(allocator_default());
        findings_of(folder, names[i], read, ctx, &made);
        char path[512];
        snprintf(path, sizeof path, "%s%.*s.expected", folder, (int)strlen(names[i]) - 5, names[i]);
        if (getenv("DEADBUS_BLESS"))
            write_anew(path, &made);
        else
            wrong += !as_expected(path, names[i], &made);
        text_free(&made);
    }
    assert_int_equal(wrong, 0);
}
