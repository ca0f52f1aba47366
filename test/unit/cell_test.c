// Cells: order and bounds of volts, resistance and charging; how batteries in a file become cells.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "part/cell.h"

static const char *const WORDS[] = {"sealed-lead-acid", "flooded-lead-acid", "nickel-cadmium",
                                    "lithium-iron-phosphate"};

static aircraft *with_battery(const char *line) {
    char source[512];
    snprintf(source, sizeof source,
             "deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n  battery: {battery: %s}\n"
             "  light: {lamp: 1 W, from: battery, breaker: 5 A L}\nphases:\n  rest: {}\n",
             line);
    allocator memory = allocator_default();
    findings f = findings_make(memory);
    aircraft *a = NULL;
    status r = aircraft_read(memory, source, strlen(source), &a, &f);
    findings_free(&f);
    assert_int_equal(r, STATUS_OK);
    return a;
}

static const part *battery_of(const aircraft *a) { return &a->parts[aircraft_part(a, "battery")]; }

static void volts_rise_with_charge(void **x) {
    (void)x;
    for (chemistry c = CELL_SEALED; c <= CELL_LITHIUM; c++) {
        for (int i = 0; i < 1000; i++) {
            double now = cell_volts(c, i / 1000.0), next = cell_volts(c, (i + 1) / 1000.0);
            assert_true(next > now);
            assert_true(next - now < 0.02);  // no jumps
        }
        assert_true(cell_volts(c, -0.5) == cell_volts(c, 0));
        assert_true(cell_volts(c, 1.5) == cell_volts(c, 1));
    }
}

static void resistance_rises_as_charge_and_warmth_fall(void **x) {
    (void)x;
    for (chemistry c = CELL_SEALED; c <= CELL_LITHIUM; c++) {
        assert_true(fabs(cell_resistance_factor(c, 1, 25) - 1) < 1e-12);
        for (int i = 3; i < 100; i++) {
            double now = cell_resistance_factor(c, i / 100.0, 10);
            double next = cell_resistance_factor(c, (i + 1) / 100.0, 10);
            assert_true(c == CELL_LITHIUM ? now == next : now > next);
        }
        for (int t = -40; t < 60; t++)
            assert_true(cell_resistance_factor(c, 0.5, t) > cell_resistance_factor(c, 0.5, t + 1));
        // An empty one still has a resistance: the charge counts from 2 %.
        assert_true(cell_resistance_factor(c, 0, 25) == cell_resistance_factor(c, 0.02, 25));
        assert_true(cell_resistance_factor(c, 0.01, 25) == cell_resistance_factor(c, 0.02, 25));
        assert_true(cell_resistance_factor(c, 0, 25) < 3);
    }
}

static void the_file_names_chemistry_and_cells(void **x) {
    (void)x;
    static const struct {
        const char *volts;
        int cells[4];
    } CASES[] = {{"12 V", {6, 6, 10, 4}}, {"24 V", {12, 12, 20, 7}}, {"13.2 V", {7, 7, 11, 4}}};
    for (int i = 0; i < 3; i++) {
        for (int c = 0; c < 4; c++) {
            char line[96];
            snprintf(line, sizeof line, "%s, chemistry: %s", CASES[i].volts, WORDS[c]);
            aircraft *a = with_battery(line);
            assert_int_equal(cell_chemistry(battery_of(a)), c);
            assert_int_equal(cell_count(battery_of(a)), CASES[i].cells[c]);
            aircraft_free(a);
        }
    }
    aircraft *a = with_battery("24 V");
    assert_int_equal(cell_chemistry(battery_of(a)), CELL_SEALED);
    aircraft_free(a);
}

static double full(const char *capacity, const char *chemistry_word) {
    char line[96];
    snprintf(line, sizeof line, "24 V, capacity: %s, chemistry: %s", capacity, chemistry_word);
    aircraft *a = with_battery(line);
    double got = cell_full_coulombs(battery_of(a)) / 3600;
    aircraft_free(a);
    return got;
}

static void both_wells_by_the_rate_of_the_label(void **x) {
    (void)x;
    for (int c = 0; c < 2; c++) {  // lead-acid: more in it than an hour gets out
        assert_true(full("10 Ah", WORDS[c]) > 10.0);
        assert_true(full("10 Ah at 20 h", WORDS[c]) > 10.0);
        assert_true(full("10 Ah at 20 h", WORDS[c]) < full("10 Ah at 1 h", WORDS[c]));
    }
    assert_true(full("10 Ah", WORDS[2]) > 10.0);  // nickel-cadmium binds a tenth of its charge
    assert_true(fabs(full("10 Ah", WORDS[3]) - 10.0) < 1e-9);
    assert_true(fabs(full("20 Ah", WORDS[0]) - 2 * full("10 Ah", WORDS[0])) < 1e-9);
}

static void a_fuller_battery_takes_less(void **x) {
    (void)x;
    aircraft *a = with_battery("24 V, capacity: 10 Ah at 1 h");
    const part *p = battery_of(a);
    double before = cell_acceptance_amps(p, 0);
    for (int i = 1; i <= 1000; i++) {
        double now = cell_acceptance_amps(p, i / 1000.0);
        assert_true(now <= before);
        before = now;
    }
    assert_true(fabs(before - 0.05) < 1e-9);  // it floats on half a percent of its one-hour figure
    // A flat one shows on an ammeter as such: far from what one that is nearly full takes.
    assert_true(cell_acceptance_amps(p, 0) > 4 * cell_acceptance_amps(p, 0.8));
    assert_true(cell_acceptance_amps(p, 0.8) > 3 * cell_acceptance_amps(p, 0.95));
    aircraft_free(a);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(volts_rise_with_charge),
        cmocka_unit_test(resistance_rises_as_charge_and_warmth_fall),
        cmocka_unit_test(the_file_names_chemistry_and_cells),
        cmocka_unit_test(both_wells_by_the_rate_of_the_label),
        cmocka_unit_test(a_fuller_battery_takes_less),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
