// Own exponential and logarithm against the C library's long double (64-bit significand).
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <math.h>

#include "base/exp_log.h"
#include "base/hash.h"
#include "base/rng.h"

// Distance in units of the last place of the exact value.
static double ulps(double ours, long double exact) {
    double near = (double)exact;
    double step = nextafter(fabs(near), INFINITY) - fabs(near);
    return (double)(fabsl((long double)ours - exact) / step);
}

static void exp_is_near(void **unused) {
    (void)unused;
    rng random = rng_make(21);
    double worst = 0;
    for (int i = 0; i < 300000; i++) {
        double x = (rng_uniform(&random) - 0.5) * (i % 3 == 0 ? 2 : i % 3 == 1 ? 60 : 1400);
        worst = fmax(worst, ulps(exp_of(x), expl((long double)x)));
    }
    print_message("exp: worst %.3f ulp\n", worst);
    assert_true(worst < 1.0);
    assert_true(exp_of(0) == 1);
    assert_true(exp_of(-0.0) == 1);
    assert_true(isinf(exp_of(710)) && exp_of(-746) == 0);
    assert_true(isinf(exp_of(INFINITY)) && exp_of(-INFINITY) == 0);
    assert_true(isnan(exp_of(NAN)));
    assert_true(isfinite(exp_of(709.78)));
    assert_true(exp_of(-745.13) > 0);
}

static void log_is_near(void **unused) {
    (void)unused;
    rng random = rng_make(22);
    double worst = 0;
    for (int i = 0; i < 300000; i++) {
        double u = rng_uniform(&random);
        double x = i % 3 == 0   ? 0.5 + u * 1.5
                   : i % 3 == 1 ? u * 1000 + 1e-9
                                : exp((u - 0.5) * 1400);
        worst = fmax(worst, ulps(log_of(x), logl((long double)x)));
    }
    print_message("log: worst %.3f ulp\n", worst);
    assert_true(worst < 1.0);
    assert_true(log_of(1) == 0);
    assert_true(isinf(log_of(0)) && log_of(0) < 0);
    assert_true(isnan(log_of(-1)) && isnan(log_of(NAN)) && isinf(log_of(INFINITY)));
    assert_true(ulps(log_of(0x1p-1074), logl(0x1p-1074L)) < 1);
}

static void power_is_near(void **unused) {
    (void)unused;
    rng random = rng_make(23);
    for (int i = 0; i < 100000; i++) {
        double x = rng_uniform(&random) * 40 + 0.01;
        double y = rng_uniform(&random) * 4 - 2;
        assert_true(ulps(power_of(x, y), powl((long double)x, (long double)y)) < 12);
    }
    assert_true(power_of(0, 2) == 0 && power_of(7, 0) == 1 && power_of(1, 99) == 1);
}

// One number for many bits: another compiler or machine must find the same.
static void same_bits_everywhere(void **unused) {
    (void)unused;
    rng random = rng_make(24);
    uint64_t hash = hash_start();
    for (int i = 0; i < 20000; i++) {
        double x = (rng_uniform(&random) - 0.5) * 100;
        hash = hash_double(hash, exp_of(x));
        hash = hash_double(hash, log_of(fabs(x) + 1e-12));
    }
    assert_int_equal(hash_end(hash), UINT64_C(0x20e0c935c7a26617));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exp_is_near),
        cmocka_unit_test(log_is_near),
        cmocka_unit_test(power_is_near),
        cmocka_unit_test(same_bits_everywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
