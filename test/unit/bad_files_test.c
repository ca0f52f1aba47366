// Every file of test/case/bad/ has exactly the findings that stand beside it. With
// DEADBUS_BLESS=1 in the environment they are written anew instead: read the difference before
// committing it.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include "model/aircraft.h"
#include "support/bad_cases.h"

enum { LEAST_FILES = 80 };

static bool read_aircraft(void *ctx, allocator memory, const char *bytes, size_t length, status *s,
                          findings *f) {
    (void)ctx;
    aircraft *a = NULL;
    *s = aircraft_read(memory, bytes, length, &a, f);
    bool made = a != NULL;
    aircraft_free(a);
    return made;
}

static void every_file_has_its_findings(void **unused) {
    (void)unused;
    bad_cases_hold(DEADBUS_TEST_DIR "/case/bad/", LEAST_FILES, read_aircraft, NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_file_has_its_findings)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
