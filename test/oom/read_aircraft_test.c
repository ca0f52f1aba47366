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
#include "oom/support/failing_malloc.h"
#include "support/failing_memory.h"

static char *file_text(const char *path, size_t *length) {
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char *source = calloc(1, 1 << 18);
    assert_non_null(source);
    *length = fread(source, 1, (1 << 18) - 1, f);
    fclose(f);
    return source;
}

static void survives(const char *path) {
    size_t length;
    char *source = file_text(path, &length);
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

// The parser's own requests fail, while the reader's go on.
static void survives_parser(const char *path) {
    size_t length;
    char *source = file_text(path, &length);
    long failed = 0;
    for (long n = 0;; n++) {
        failing_memory m = {.fail_at = -1};
        findings out = findings_make(failing_allocator(&m));
        aircraft *a = NULL;
        failing_malloc_at(n);
        status s = aircraft_read(failing_allocator(&m), source, length, &a, &out);
        long requests = failing_malloc_requests();
        failing_malloc_at(-1);
        assert_int_equal(s == STATUS_OK, a != NULL);
        aircraft_free(a);
        findings_free(&out);
        assert_int_equal(m.blocks_out, 0);
        if (requests <= n)
            break;
        if (s != STATUS_NO_MEMORY)
            fail_msg("%s: request %ld fails, and reading ends with %d", path, n, (int)s);
        assert_true(++failed < 100000);
    }
    assert_true(failed > 100);
    free(source);
}

static void every_request_of_the_parser_may_fail(void **unused) {
    (void)unused;
    survives_parser(DEADBUS_SOURCE_DIR "/test/case/bad/many-mistakes.yaml");
    survives_parser(DEADBUS_SOURCE_DIR "/test/case/bad/brace-left-open.yaml");
    survives_parser(DEADBUS_SOURCE_DIR "/test/case/bad/anchors-that-explode.yaml");
    survives_parser(DEADBUS_SOURCE_DIR "/test/case/bad/island.yaml");
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
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_request_may_fail),
                                       cmocka_unit_test(every_request_of_the_parser_may_fail)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
