// Every file of test/case/bad-scenario/ has exactly the findings that stand beside it. With
// DEADBUS_BLESS=1 in the environment they are written anew instead: read the difference before
// committing it.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "failing_memory.h"
#include "model/scenario.h"
#include "support/case_files.h"

static const char FOLDER[] = DEADBUS_TEST_DIR "/case/bad-scenario/";
enum { MOST_FILES = 400, LEAST_FILES = 55 };

static int by_name(const void *a, const void *b) { return strcmp(a, b); }

static int list_files(char names[][128]) {
    DIR *d = opendir(FOLDER);
    assert_non_null(d);
    int count = 0;
    for (struct dirent *e = readdir(d); e; e = readdir(d)) {
        size_t n = strlen(e->d_name);
        if (n > 5 && n < 128 && strcmp(e->d_name + n - 5, ".yaml") == 0 && count < MOST_FILES)
            strcpy(names[count++], e->d_name);
    }
    closedir(d);
    qsort(names, (size_t)count, sizeof names[0], by_name);
    return count;
}

static void findings_of(const aircraft *subject, const char *name, text *out) {
    char path[512];
    size_t length = 0;
    snprintf(path, sizeof path, "%s%.127s", FOLDER, name);
    char *bytes = case_file_read(path, &length);
    assert_non_null(bytes);
    failing_memory m = {.fail_at = -1};
    findings f = findings_make(failing_allocator(&m));
    scenario *sc = NULL;
    status s = scenario_read(failing_allocator(&m), subject, bytes, length, &sc, &f);
    assert_true(s == STATUS_OK || s == STATUS_BAD_FILE);
    assert_int_equal(s == STATUS_OK, sc != NULL);
    assert_int_equal(s == STATUS_OK, f.errors == 0);
    if (f.count == 0)
        print_error("%s: no finding\n", name);
    assert_true(f.count > 0);
    findings_write(&f, name, out);
    findings_free(&f);
    scenario_free(sc);
    assert_int_equal(m.blocks_out, 0);
    free(bytes);
}

static void every_file_has_its_findings(void **unused) {
    (void)unused;
    static char names[MOST_FILES][128];
    int count = list_files(names);
    int wrong = 0;
    size_t size = 0;
    char *file = case_file_read(DEADBUS_SOURCE_DIR "/aircraft/bowline.yaml", &size);
    assert_non_null(file);
    findings told = findings_make(allocator_default());
    aircraft *subject = NULL;
    assert_int_equal(aircraft_read(allocator_default(), file, size, &subject, &told), STATUS_OK);
    free(file);
    assert_true(count >= LEAST_FILES);
    for (int i = 0; i < count; i++) {
        text made = text_make(allocator_default());
        findings_of(subject, names[i], &made);
        char path[512];
        size_t length = 0;
        snprintf(path, sizeof path, "%s%.*s.expected", FOLDER, (int)strlen(names[i]) - 5, names[i]);
        if (getenv("DEADBUS_BLESS")) {
            FILE *f = fopen(path, "wb");
            assert_non_null(f);
            fwrite(text_get(&made), 1, made.length, f);
            fclose(f);
        } else {
            char *expected = case_file_read(path, &length);
            if (!expected || strcmp(expected, text_get(&made)) != 0) {
                print_error("%s\n--- expected\n%s--- found\n%s", names[i], expected ? expected : "",
                            text_get(&made));
                wrong++;
            }
            free(expected);
        }
        text_free(&made);
    }
    assert_int_equal(wrong, 0);
    findings_free(&told);
    aircraft_free(subject);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_file_has_its_findings)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
