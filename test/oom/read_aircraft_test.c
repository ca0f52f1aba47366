// Reading survives the n-th request for memory failing, for every n.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/aircraft.h"
#include "unit/failing_memory.h"

static void survives(const char *path) {
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char *source = calloc(1, 1 << 18);
    size_t length = fread(source, 1, (1 << 18) - 1, f);
    fclose(f);
    for (long n = 0;; n++) {
        failing_memory m = {.fail_at = n};
        findings out = findings_make(failing_allocator(&m));
        aircraft *a = NULL;
        status s = aircraft_read(failing_allocator(&m), source, length, &a, &out);
        assert_int_equal(s == STATUS_OK, a != NULL);
        aircraft_free(a);
        findings_free(&out);
        assert_int_equal(m.blocks_out, 0);
        if (m.requests <= n)
            break;
        assert_int_equal(s, STATUS_NO_MEMORY);
        assert_true(n < 100000);
    }
    free(source);
}

static void every_request_may_fail(void **unused) {
    (void)unused;
    static const char *const FILES[] = {"/aircraft/bowline.yaml",
                                        "/aircraft/clove.yaml",
                                        "/test/case/bad/many-mistakes.yaml",
                                        "/test/case/bad/brace-left-open.yaml",
                                        "/test/case/bad/condition-circle.yaml",
                                        "/test/case/bad/island.yaml",
                                        "/test/case/bad/anchors-that-explode.yaml"};
    for (size_t i = 0; i < sizeof FILES / sizeof FILES[0]; i++) {
        char path[512];
        snprintf(path, sizeof path, "%s%s", DEADBUS_SOURCE_DIR, FILES[i]);
        survives(path);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_request_may_fail)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
