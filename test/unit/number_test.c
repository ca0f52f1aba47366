// Number reading and writing against the C library's strtod and printf, which are exact in glibc.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/rng.h"

static double from_bits(uint64_t bits) {
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

// What printf says, without the sign of a zero.
static void expect_fixed(double value, int decimals) {
    char ours[NUMBER_ROOM];
    char theirs[NUMBER_ROOM];
    int length = number_write_fixed(ours, value, decimals);
    snprintf(theirs, sizeof theirs, "%.*f", decimals, value);
    const char *expected = theirs;
    if (theirs[0] == '-' && strspn(theirs, "-0.") == strlen(theirs))
        expected++;
    assert_string_equal(ours, expected);
    assert_int_equal(length, strlen(ours));
}

// The digits of printf's %e, and the size by reading back.
static void expect_digits(double value, int digits) {
    char ours[NUMBER_ROOM];
    char theirs[64];
    int length = number_write_digits(ours, value, digits);
    assert_int_equal(length, strlen(ours));
    snprintf(theirs, sizeof theirs, "%.*e", digits - 1, value);
    assert_true(strtod(ours, NULL) == strtod(theirs, NULL));
    assert_null(strpbrk(ours, "eE"));
    char significant[NUMBER_ROOM] = "";
    int count = 0;
    for (const char *s = ours; *s; s++)
        if (*s >= '0' && *s <= '9' && (count || *s != '0'))
            significant[count++] = *s;
    int k = 0;
    for (const char *s = theirs; *s != 'e'; s++) {
        if (*s < '0' || *s > '9')
            continue;
        assert_true(k < count);
        assert_int_equal(significant[k], *s);
        k++;
    }
    for (; k < count; k++)  // whole numbers longer than the digits are filled up with zeros
        assert_int_equal(significant[k], '0');
}

// Reads back the same, and no shorter form of printf does; among the shortest it is the nearest.
static void expect_shortest(double value) {
    char ours[NUMBER_ROOM];
    char theirs[64] = "";
    int length = number_write_shortest(ours, value);
    assert_int_equal(length, strlen(ours));
    assert_true(strtod(ours, NULL) == value);
    int digits = 1;
    for (; digits <= 17; digits++) {
        snprintf(theirs, sizeof theirs, "%.*e", digits - 1, value);
        if (strtod(theirs, NULL) == value)
            break;
    }
    int first = -1;
    int last = -1;
    int count = 0;
    for (const char *s = ours; *s; s++) {
        if (*s < '0' || *s > '9')
            continue;
        count++;
        if (*s != '0') {
            first = first < 0 ? count : first;
            last = count;
        }
    }
    assert_true(last - first + 1 <= digits);
}

static void fixed_is_exact(void **unused) {
    (void)unused;
    rng random = rng_make(11);
    for (int i = 0; i < 60000; i++) {
        double value = (rng_uniform(&random) - 0.5) * pow(10, (double)(i % 20) - 6);
        expect_fixed(value, i % 13);
    }
    for (int i = 0; i < 20000; i++) {
        double value = from_bits(rng_next(&random));
        if (isfinite(value))
            expect_fixed(value, i % 13);
    }
}

static void ties_go_to_even(void **unused) {
    (void)unused;
    for (int i = -4000; i <= 4000; i++)
        for (int decimals = 0; decimals <= 4; decimals++)
            expect_fixed(i / 16.0, decimals);
    char out[NUMBER_ROOM];
    number_write_fixed(out, 0.5, 0);
    assert_string_equal(out, "0");
    number_write_fixed(out, 1.5, 0);
    assert_string_equal(out, "2");
    number_write_fixed(out, 9.9999, 2);
    assert_string_equal(out, "10.00");
}

static void digits_are_exact(void **unused) {
    (void)unused;
    rng random = rng_make(12);
    for (int i = 0; i < 40000; i++) {
        double value = from_bits(rng_next(&random));
        if (isfinite(value) && value != 0)
            expect_digits(value, 1 + i % 17);
        expect_digits((rng_uniform(&random) - 0.5) * 100, 1 + i % 17);
    }
    char out[NUMBER_ROOM];
    number_write_digits(out, 1234, 2);
    assert_string_equal(out, "1200");
    number_write_digits(out, 0, 3);
    assert_string_equal(out, "0.00");
    number_write_digits(out, 9.996, 3);
    assert_string_equal(out, "10.0");
    number_write_digits(out, -0.0, 1);
    assert_string_equal(out, "0");
    number_write_digits(out, 28, 4);
    assert_string_equal(out, "28.00");
}

// Where figures stop fitting into 64 bits, on both sides, and all that lies between.
static void every_size_is_exact(void **unused) {
    (void)unused;
    rng random = rng_make(15);
    for (int e = -14; e <= 56; e++)
        for (int i = 0; i < 400; i++) {
            double value = ldexp(i ? 1 + rng_uniform(&random) : 1, e);
            if (i % 3 == 0)  // few bits, so that there are ties
                value = ldexp(floor(ldexp(value, 10 - e)), e - 10);
            expect_fixed(i % 2 ? value : -value, i % 13);
            expect_digits(i % 2 ? value : -value, 1 + i % 17);
            expect_fixed(nextafter(ldexp(1, e), 0), i % 13);
            expect_digits(nextafter(ldexp(1, e), 0), 1 + i % 17);
        }
}

static void shortest_reads_back(void **unused) {
    (void)unused;
    rng random = rng_make(13);
    for (int i = 0; i < 40000; i++) {
        double value = from_bits(rng_next(&random));
        if (isfinite(value))
            expect_shortest(value);
        expect_shortest((double)(rng_next(&random) % 100000) / 1000);
        expect_shortest(rng_uniform(&random) * 30);
    }
    for (int e = -1074; e <= 1023; e++) {  // powers of two: the uneven neighbours
        expect_shortest(ldexp(1, e));
        expect_shortest(nextafter(ldexp(1, e), 0));
    }
    expect_shortest(DBL_MAX);
    expect_shortest(DBL_TRUE_MIN);
    expect_shortest(1e23);
    expect_shortest(-9007199254740993.0);
    char out[NUMBER_ROOM];
    number_write_shortest(out, 0.1);
    assert_string_equal(out, "0.1");
    number_write_shortest(out, -0.0);
    assert_string_equal(out, "0");
    number_write_shortest(out, 1e22);
    assert_string_equal(out, "10000000000000000000000");
    number_write_shortest(out, -27.93);
    assert_string_equal(out, "-27.93");
}

static void reading_is_exact(void **unused) {
    (void)unused;
    rng random = rng_make(14);
    for (int i = 0; i < 100000; i++) {
        char s[64];
        int decimals = i % 16;
        uint64_t digits = rng_next(&random) % UINT64_C(1000000000000000);
        snprintf(s, sizeof s, "%s%015llu", i % 3 ? "" : "-", (unsigned long long)digits);
        size_t length = strlen(s);
        if (decimals > 0 && decimals < 15) {
            memmove(s + length - decimals + 1, s + length - decimals, (size_t)decimals + 1);
            s[length - decimals] = '.';
            length++;
        }
        double value = -1;
        assert_int_equal(number_read(s, length, &value), length);
        assert_true(value == strtod(s, NULL));
    }
}

static void expect_read(const char *s, int used, double expected) {
    double value = -77;
    assert_int_equal(number_read(s, strlen(s), &value), used);
    assert_true(value == expected);
}

static void reading_stops_where_it_should(void **unused) {
    (void)unused;
    expect_read("28 V", 2, 28);
    expect_read("28V", 2, 28);
    expect_read("+1.5e3", 4, 1.5);
    expect_read("5.", 1, 5);
    expect_read("5.x", 1, 5);
    expect_read("0007.25", 7, 7.25);
    expect_read("\xE2\x88\x92"
                "10 C",
                5, -10);
    expect_read("-0", 2, 0);
    expect_read("", 0, -77);
    expect_read(".5", 0, -77);
    expect_read("-", 0, -77);
    expect_read("+-1", 0, -77);
    expect_read("x1", 0, -77);
    expect_read("123456789012345", 15, 123456789012345.0);
    expect_read("1234567890123456", -1, -77);
    expect_read("0.1234567890123456", -1, -77);
    double value = 0;
    assert_int_equal(number_read("1234", 2, &value), 2);  // no look beyond the length
    assert_true(value == 12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fixed_is_exact),
        cmocka_unit_test(ties_go_to_even),
        cmocka_unit_test(digits_are_exact),
        cmocka_unit_test(every_size_is_exact),
        cmocka_unit_test(shortest_reads_back),
        cmocka_unit_test(reading_is_exact),
        cmocka_unit_test(reading_stops_where_it_should),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
