// Every file of test/case/bad-scenario/ has exactly the findings that stand beside it. With
// DEADBUS_BLESS=1 in the environment they are written anew instead: read the difference before
// committing it.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <stdlib.h>

#include "model/scenario.h"
#include "support/bad_cases.h"
#include "support/case_files.h"

enum { LEAST_FILES = 55 };

static bool read_scenario(void *ctx, allocator memory, const char *bytes, size_t length, status *s,
                          findings *f) {
    const aircraft *subject = ctx;
    scenario *sc = NULL;
    *s = scenario_read(memory, subject, bytes, length, &sc, f);
    bool made = sc != NULL;
    scenario_free(sc);
    return made;
}

static void every_file_has_its_findings(void **unused) {
    (void)unused;
    size_t size = 0;
    char *file = case_file_needed(DEADBUS_SOURCE_DIR "/aircraft/bowline.yaml", &size);
    findings told = findings_make(allocator_default());
    aircraft *subject = NULL;
    assert_int_equal(aircraft_read(allocator_default(), file, size, &subject, &told), STATUS_OK);
    free(file);
    bad_cases_hold(DEADBUS_TEST_DIR "/case/bad-scenario/", LEAST_FILES, read_scenario, subject);
    findings_free(&told);
    aircraft_free(subject);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_file_has_its_findings)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
