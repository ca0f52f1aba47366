#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include "base/findings.h"
#include "base/hash.h"
#include "base/rng.h"
#include "base/stable_sort.h"
#include "support/failing_memory.h"

static span at(uint32_t line, uint32_t column) { return (span){.line = line, .column = column}; }

static void expect_written(const findings *f, const char *name, const char *expected) {
    text out = text_make(allocator_default());
    findings_write(f, name, &out);
    assert_string_equal(text_get(&out), expected);
    text_free(&out);
}

static void sorted_by_place_then_severity(void **unused) {
    (void)unused;
    findings f = findings_make(allocator_default());
    findings_say(&f, SEVERITY_NOTE, at(9, 2), "x", "", "third", NULL);
    findings_say(&f, SEVERITY_WARNING, at(4, 7), "x", "do this", "second ", "of ", "them", NULL);
    findings_say(&f, SEVERITY_ERROR, at(9, 2), "x", "Do that", "wrong?", NULL);
    findings_say(&f, SEVERITY_NOTE, at(9, 2), "x", "", "fourth", NULL);
    findings_say(&f, SEVERITY_ERROR, at(4, 6), "x", "", "first", NULL);
    findings_add(&f, SEVERITY_NOTE, at(0, 0), "x", NULL,
                 (const char *const[]){"the ", "file", NULL});
    assert_int_equal(f.errors, 2);
    assert_int_equal(f.warnings, 1);
    assert_int_equal(f.notes, 3);
    findings_sort(&f);
    expect_written(&f, "a.yaml",
                   "a.yaml: note: the file\n"
                   "a.yaml:4:6: error: first\n"
                   "a.yaml:4:7: warning: second of them. do this\n"
                   "a.yaml:9:2: error: wrong? Do that\n"
                   "a.yaml:9:2: note: third\n"
                   "a.yaml:9:2: note: fourth\n");
    findings_free(&f);
    assert_int_equal(f.count, 0);
}

static void quoted_text_cannot_steer_a_terminal(void **unused) {
    (void)unused;
    findings f = findings_make(allocator_default());
    findings_say(&f, SEVERITY_ERROR, at(0, 0), "x", "",
                 "a\nb\x1b[2J\xFFz\xC2\x9B"
                 "1\xC2\xB5",
                 NULL);
    expect_written(&f, NULL, "error: a\\x0ab\\x1b[2J\\xffz\\x9b1\xC2\xB5\n");
    findings_free(&f);
}

static void survives_each_failing_request(void **unused) {
    (void)unused;
    bool done = false;
    for (long n = 0; !done; n++) {
        assert_true(n < 100);
        failing_memory memory = {.fail_at = n};
        findings f = findings_make(failing_allocator(&memory));
        for (uint32_t i = 0; i < 3000; i++)
            findings_say(&f, SEVERITY_ERROR, at(5000 - i, 1), "x", "a hint", "text ", "more", NULL);
        findings_sort(&f);
        done = !f.memory.failed;
        assert_int_equal(f.count, f.errors);
        for (int i = 1; i < f.count; i++)
            assert_true(f.items[i - 1].where.line < f.items[i].where.line);
        findings_free(&f);
        assert_int_equal(memory.blocks_out, 0);
    }
}

typedef struct pair {
    int key, turn;
} pair;

static int by_key(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    return ((const pair *)a)->key - ((const pair *)b)->key;
}

static void sort_is_stable(void **unused) {
    (void)unused;
    rng random = rng_make(3);
    pair items[500];
    pair scratch[500];
    for (int count = 0; count <= 500; count += count < 40 ? 1 : 23)
        for (int with = 0; with < 2; with++) {
            for (int i = 0; i < count; i++)
                items[i] = (pair){.key = (int)rng_below(&random, 10), .turn = i};
            stable_sort(items, (size_t)count, sizeof items[0], with ? scratch : NULL, by_key, NULL);
            for (int i = 1; i < count; i++) {
                assert_true(items[i - 1].key <= items[i].key);
                if (items[i - 1].key == items[i].key)
                    assert_true(items[i - 1].turn < items[i].turn);
            }
        }
}

static void random_numbers_spread(void **unused) {
    (void)unused;
    // First outputs of xoshiro256** from the state {1, 2, 3, 4}, worked out by hand from its paper.
    rng r = {.s = {1, 2, 3, 4}};
    assert_int_equal(rng_next(&r), 11520);
    assert_int_equal(rng_next(&r), 0);
    assert_int_equal(rng_next(&r), 1509978240);
    double sum = 0;
    int counts[10] = {0};
    for (uint64_t i = 0; i < 100000; i++) {
        double u = rng_uniform_at(7, i / 10, i % 10);
        assert_true(u > 0 && u < 1);
        sum += u;
        counts[(int)(u * 10)]++;
    }
    // Standard error of the mean 0.0009; of a count 95. Five of them.
    assert_true(sum / 100000 > 0.4955 && sum / 100000 < 0.5045);
    for (int i = 0; i < 10; i++)
        assert_true(counts[i] > 9525 && counts[i] < 10475);
    assert_int_not_equal(rng_at(1, 2, 3), rng_at(1, 3, 2));
}

static void hashes_differ(void **unused) {
    (void)unused;
    // FNV-1a of "a" and "foobar" as published with the algorithm's test vectors (from memory).
    assert_int_equal(hash_bytes(hash_start(), "a", 1), UINT64_C(0xAF63DC4C8601EC8C));
    assert_int_equal(hash_bytes(hash_start(), "foobar", 6), UINT64_C(0x85944171F73967E8));
    assert_int_not_equal(hash_of("ab", 2), hash_of("ba", 2));
    assert_int_equal(hash_double(1, -0.0), hash_double(1, 0.0));
    assert_int_not_equal(hash_double(1, 1.0), hash_double(1, -1.0));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sorted_by_place_then_severity),
        cmocka_unit_test(quoted_text_cannot_steer_a_terminal),
        cmocka_unit_test(survives_each_failing_request),
        cmocka_unit_test(sort_is_stable),
        cmocka_unit_test(random_numbers_spread),
        cmocka_unit_test(hashes_differ),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
