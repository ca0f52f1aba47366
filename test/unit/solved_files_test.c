// What `check` finds in a file only once its circuit is solved: every file of test/case/solved/ has
// exactly the findings that stand beside it, and aeroplanes that are right have none of them. With
// DEADBUS_BLESS=1 in the environment they are written anew instead: read the difference before
// committing it.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
// cmocka needs the four above.
#include <cmocka.h>

#include "ask/check_phases.h"
#include "circuit/bare_feeders.h"
#include "support/bad_cases.h"
#include "support/case_files.h"
#include "support/fragment_files.h"

enum { LEAST_FILES = 4 };

static bool check_solved(void *ctx, allocator memory, const char *bytes, size_t length, status *s,
                         findings *f) {
    (void)ctx;
    aircraft *a = NULL;
    solver *made = NULL;
    arena scratch = arena_make(memory);
    *s = aircraft_read(memory, bytes, length, &a, f);
    bool read = a != NULL;
    if (read)
        *s = solver_make(memory, a, f, &made);
    if (*s == STATUS_OK)
        *s = check_phases(made, a, &scratch, f);
    if (*s == STATUS_OK)
        *s = bare_feeders_find(made, &scratch, f);
    arena_free(&scratch);
    solver_free(made);
    aircraft_free(a);
    findings_sort(f);
    return read;
}

static void every_file_has_its_findings(void **unused) {
    (void)unused;
    bad_cases_hold(DEADBUS_TEST_DIR "/case/solved/", LEAST_FILES, check_solved, NULL);
}

static bool solved_finding(const finding *one) {
    static const char *const CODES[] = {"base-weak", "base-no-data", "base-on-battery",
                                        "bare-feeder"};
    for (size_t i = 0; i < sizeof CODES / sizeof CODES[0]; i++)
        if (strcmp(one->code, CODES[i]) == 0)
            return true;
    return false;
}

static void assert_none(const char *name, const char *bytes, size_t length) {
    findings f = findings_make(allocator_default());
    status s = STATUS_OK;
    assert_true(check_solved(NULL, allocator_default(), bytes, length, &s, &f));
    assert_int_equal(s, STATUS_OK);
    for (int i = 0; i < f.count; i++) {
        if (solved_finding(&f.items[i]))
            print_error("%s: %s\n", name, f.items[i].text);
        assert_false(solved_finding(&f.items[i]));
    }
    findings_free(&f);
}

static void none_in_what_is_right(void **unused) {
    (void)unused;
    static const char *const FILES[] = {
        "aircraft/bowline.yaml",         "aircraft/clove.yaml",
        "aircraft/halyard.yaml",         "aircraft/reef.yaml",
        "aircraft/sheetbend.yaml",       "docs/guide/steps/7-whole.yaml",
        "docs/guide/steps/seventh.yaml", "docs/guide/steps/sixth.yaml"};
    for (size_t i = 0; i < sizeof FILES / sizeof FILES[0]; i++) {
        char path[512];
        size_t length = 0;
        snprintf(path, sizeof path, "%s/../%s", DEADBUS_TEST_DIR, FILES[i]);
        char *bytes = case_file_needed(path, &length);
        assert_none(FILES[i], bytes, length);
        free(bytes);
    }
}

static void none_in_the_fragments(void **unused) {
    (void)unused;
    static fragment pieces[FRAGMENTS_MOST];
    char *all = case_file_needed(DEADBUS_TEST_DIR "/case/fragments.yaml", NULL);
    int count = fragments_split(all, pieces, FRAGMENTS_MOST);
    assert_true(count > 50);
    for (int i = 1; i < count; i++) {
        text file = text_make(allocator_default());
        fragment_file(&pieces[0], &pieces[i], &file);
        assert_none(pieces[i].name, text_get(&file), file.length);
        text_free(&file);
    }
    free(all);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_file_has_its_findings),
                                       cmocka_unit_test(none_in_what_is_right),
                                       cmocka_unit_test(none_in_the_fragments)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
