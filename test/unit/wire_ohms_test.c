// Wire resistance: order, bounds and gaps of the tables.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "part/wire_ohms.h"

static void thinner_wires_resist_more(void **x) {
    (void)x;
    for (int g = GAUGE_LARGEST; g < GAUGE_SMALLEST; g++) {
        assert_true(wire_ohms_per_meter(g) > 0);
        // An odd gauge that the table leaves out counts as the next smaller wire.
        assert_true(wire_ohms_per_meter(g + 1) >= wire_ohms_per_meter(g));
        assert_true(wire_solid_ohms_per_meter(g + 1) > wire_solid_ohms_per_meter(g));
    }
    for (int g = -3; g + 2 <= GAUGE_SMALLEST; g++)
        assert_true(wire_ohms_per_meter(g + 2) > wire_ohms_per_meter(g));
}

static void a_gauge_between_is_the_next_smaller_wire(void **x) {
    (void)x;
    for (int g = 3; g < GAUGE_SMALLEST; g += 2)
        assert_true(wire_ohms_per_meter(g) == wire_ohms_per_meter(g + 1));
    assert_true(wire_ohms_per_meter(1) < wire_ohms_per_meter(2));  // AWG 1 is in the table
}

static void outside_the_table_is_nothing(void **x) {
    (void)x;
    static const int OUTSIDE[] = {GAUGE_LARGEST - 1, GAUGE_SMALLEST + 1, -1000, 1000};
    for (int i = 0; i < 4; i++) {
        assert_true(wire_ohms_per_meter(OUTSIDE[i]) == 0);
        assert_true(wire_solid_ohms_per_meter(OUTSIDE[i]) == 0);
        wire_run run = {.gauge = OUTSIDE[i], .meters = 5};
        assert_true(wire_run_ohms(&run) == 0);
    }
}

// Six gauges halve the diameter to within 1 % and so make the resistance four times as great; 39
// make it 92 x 92 times (the definition of the gauges, ASTM B258).
static void gauges_are_steps_of_one_ratio(void **x) {
    (void)x;
    double step = wire_solid_ohms_per_meter(1) / wire_solid_ohms_per_meter(0);
    assert_true(fabs(pow(step, 39) - 92.0 * 92.0) < 1e-6);
    for (int g = GAUGE_LARGEST; g < GAUGE_SMALLEST; g++)
        assert_true(fabs(wire_solid_ohms_per_meter(g + 1) / wire_solid_ohms_per_meter(g) - step) <
                    1e-12);
    assert_true(fabs(wire_solid_ohms_per_meter(16) / wire_solid_ohms_per_meter(10) - 4) < 0.04);
}

// Tin and lay cost up to 30 %; the thin strands of 18 and 20 AWG have a little more copper than
// solid wire. A gauge that the table leaves out is one step thinner on top of that.
static void stranded_is_near_solid(void **x) {
    (void)x;
    for (int g = GAUGE_LARGEST; g <= GAUGE_SMALLEST; g++) {
        double ratio = wire_ohms_per_meter(g) / wire_solid_ohms_per_meter(g);
        bool between = g >= 3 && g % 2 != 0;
        double step = wire_solid_ohms_per_meter(1) / wire_solid_ohms_per_meter(0);
        assert_true(ratio > 0.95 && ratio < 1.30 * (between ? step : 1.0));
    }
}

static void copper_grows_in_a_straight_line(void **x) {
    (void)x;
    assert_true(copper_at(3.0, 20) == 3.0);
    double step = copper_at(1, 1) - copper_at(1, 0);
    for (int c = -60; c < 260; c++)
        assert_true(fabs(copper_at(1, c + 1) - copper_at(1, c) - step) < 1e-14);
    assert_true(copper_at(1, -60) > 0.6);
    assert_true(fabs(copper_at(2, 90) - 2 * copper_at(1, 90)) < 1e-15);
}

static void a_run_is_its_length(void **x) {
    (void)x;
    wire_run one = {.gauge = 16, .meters = 1}, seven = {.gauge = 16, .meters = 7};
    assert_true(fabs(wire_run_ohms(&seven) - 7 * wire_run_ohms(&one)) < 1e-15);
    assert_true(wire_run_ohms(&one) == wire_ohms_per_meter(16));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thinner_wires_resist_more),
        cmocka_unit_test(a_gauge_between_is_the_next_smaller_wire),
        cmocka_unit_test(outside_the_table_is_nothing),
        cmocka_unit_test(gauges_are_steps_of_one_ratio),
        cmocka_unit_test(stranded_is_near_solid),
        cmocka_unit_test(copper_grows_in_a_straight_line),
        cmocka_unit_test(a_run_is_its_length),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
