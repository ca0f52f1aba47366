// Breakers, fuses and wires warming up, against standards and remembered bands. Values and their
// sources: figures/heating_figures_test.csv.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "part/heating.h"
#include "reference/support/figures_of_test.h"

const char *const figures_name = "heating_figures_test";

static double opens(part_kind kind, double ratio) {
    trip_law law = trip_law_of(kind);
    return trip_seconds(&law, 0, ratio);
}

static double heat_after_hour(part_kind kind, double ratio) {
    trip_law law = trip_law_of(kind);
    return trip_after(&law, 0, ratio * ratio, 3600) / law.trips_at;
}

// given: multiple of the rating
static void breakers(void **x) {
    (void)x;
    trip_law law = trip_law_of(KIND_BREAKER);
    for_each_check(r, &values, "trip_over_constant")
        check_value_holds(r, opens(KIND_BREAKER, r->given[0]) / law.seconds);
    for_each_check(r, &values, "trip_ratio")
        check_value_holds(r, opens(KIND_BREAKER, r->given[0]) / opens(KIND_BREAKER, r->given[1]));
    for_each_check(r, &values, "breaker_holds") {
        check_value_holds(r, heat_after_hour(KIND_BREAKER, r->given[0]));
        assert_true(opens(KIND_BREAKER, r->given[0]) < 0);
    }
    for_each_check(r, &values, "breaker_trips") {
        assert_true(opens(KIND_BREAKER, r->given[0]) > 0);
        check_value_holds(r, opens(KIND_BREAKER, r->given[0]));
    }
}

static void fuses(void **x) {
    (void)x;
    for_each_check(r, &values, "fuse_carries")
        check_value_holds(r, heat_after_hour(KIND_FUSE, r->given[0]));
    for_each_check(r, &values, "fuse_opens") {
        assert_true(opens(KIND_FUSE, r->given[0]) > 0);
        check_value_holds(r, opens(KIND_FUSE, r->given[0]));
    }
}

// Strictly faster with current, and with warmth; in steps as in one go.
static void faster(void **x) {
    (void)x;
    static const part_kind KINDS[] = {KIND_BREAKER, KIND_FUSE, KIND_LIMITER};
    for (int k = 0; k < 3; k++) {
        trip_law law = trip_law_of(KINDS[k]);
        for (double ratio = 1.38; ratio < 12; ratio *= 1.1) {
            double cold = trip_seconds(&law, 0, ratio);
            double warm = trip_seconds(&law, trip_steady(0.9), ratio);
            assert_true(cold > trip_seconds(&law, 0, ratio * 1.1));
            assert_true(warm > 0 && warm < cold);
            double heat = 0;
            for (int i = 0; i < 100; i++)
                heat = trip_after(&law, heat, ratio * ratio, cold / 100);
            assert_true(fabs(heat - law.trips_at) < 1e-9);
        }
    }
}

// given: C, C
static void copper_limit(void **x) {
    (void)x;
    for_each_check(r, &values, "copper_limit")
        check_value_holds(r, copper_withstands(r->given[0], r->given[1]));
}

// given: A, s, C, C
static void least_area(void **x) {
    (void)x;
    for_each_check(r, &values, "least_area") {
        double k = copper_withstands(r->given[2], r->given[3]);
        check_value_holds(r, r->given[0] * sqrt(r->given[1]) / k);
        // and that area, heated for that time, is as warm as it may be
        double area = r->given[0] * sqrt(r->given[1]) / k;
        double end = wire_after(r->given[2], r->given[0] * r->given[0], area, 20, 0, r->given[1]);
        assert_true(fabs(end - r->given[3]) < 1e-6);
    }
}

// given: gauge. From 40 C to copper's melting point, 1083 C.
static void melts(void **x) {
    (void)x;
    for_each_check(r, &values, "melts")
        check_value_holds(r, copper_withstands(40, 1083) * wire_area_mm2((int)r->given[0]));
}

// given: gauge, A, s, C, C
static void heat_taken(void **x) {
    (void)x;
    for_each_check(r, &values, "heat_taken") {
        double area = wire_area_mm2((int)r->given[0]);
        double whole = wire_seconds(r->given[4], r->given[3], r->given[1], area, 20, 0);
        check_value_holds(r, r->given[2] / whole);
        double end = wire_after(r->given[3], r->given[1] * r->given[1], area, 20, 0, r->given[2]);
        assert_true((end < r->given[4]) == (r->value < 1));
    }
}

// Cooling: toward the air without current; against an integration in small steps with it.
static void wire_cools(void **x) {
    (void)x;
    double area = wire_area_mm2(20);
    assert_true(fabs(wire_after(120, 0, area, 20, 60, 60) - (20 + 100 * exp(-1))) < 1e-9);
    double warm = 20, amps = 25;
    for (int i = 0; i < 300000; i++) {
        double made = (warm + 234.5) * amps * amps / (226 * area * 226 * area);
        warm += 1e-4 * (made - (warm - 20) / 60);
    }
    assert_true(fabs(wire_after(20, amps * amps, area, 20, 60, 30) - warm) < 0.01);
    assert_true(wire_area_mm2(30) == 0);
}

// When a wire is at a temperature: the law above asked the other way round, with the air and
// without; and never, where the air takes more than its current makes.
static void when_warm(void **x) {
    (void)x;
    double area = wire_area_mm2(16);
    int there = 0, never = 0;
    for (double amps = 2; amps < 400; amps *= 1.3) {
        for (int cools = 0; cools <= 60; cools += 30) {
            double s = wire_seconds(105, 33, amps, area, 15, cools);
            double mean = amps * amps, later = cools > 0 ? 3600 : 36000;
            if (s < 0) {
                assert_true(wire_after(33, mean, area, 15, cools, later) < 105);
                never++;
                continue;
            }
            assert_true(fabs(wire_after(33, mean, area, 15, cools, s) - 105) < 1e-6);
            assert_true(wire_seconds(105, 60, amps, area, 15, cools) < s);
            there++;
        }
    }
    assert_true(there > 20 && never > 10);
    assert_true(wire_seconds(105, 106, 1, area, 15, 60) == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(breakers),   cmocka_unit_test(fuses),
        cmocka_unit_test(faster),     cmocka_unit_test(copper_limit),
        cmocka_unit_test(least_area), cmocka_unit_test(melts),
        cmocka_unit_test(heat_taken), cmocka_unit_test(wire_cools),
        cmocka_unit_test(when_warm),  cmocka_unit_test(all_rows_are_used),
    };
    return cmocka_run_group_tests(tests, open_values, close_values);
}
