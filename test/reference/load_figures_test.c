// Lamps, coils, limits, lights, diodes, breakers. Values and their sources:
// figures/load_figures_test.csv.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "reference/support/figures_of_test.h"
#include "reference/support/small_aircraft.h"

const char *const figures_name = "load_figures_test";

// One item on a supply of so many volts, over a wire that loses nothing to speak of.
static const char ON_PLUG[] = "deadbus: 1\n"
                              "aircraft: {nominal: %g V}\n"
                              "parts:\n"
                              "  plug: {external-power: %.9g V}\n"
                              "  bus:  {bus: BUS, from: plug}\n"
                              "  load: {%s A, from: bus, wire: 0000 AWG 0.1 ft}\n"
                              "phases:\n"
                              "  rest: {on: plug}\n";

static part_outcome on_plug(double nominal, double supply, const char *load) {
    small_aircraft s;
    small_aircraft_open(&s, ON_PLUG, nominal, supply, load);
    part_outcome p = *small_part(&s, "load");
    p.reason = NULL;
    small_aircraft_close(&s);
    return p;
}

// The same two volts lower, over a resistor: below what a cart may be written with.
// `fault`: of the plug; low is 0.85 of its volts.
static part_outcome below_plug(double nominal, double supply, const char *load, fault_kind fault) {
    small_aircraft s;
    small_aircraft_open(&s,
                        "deadbus: 1\n"
                        "aircraft: {nominal: %g V}\n"
                        "parts:\n"
                        "  plug: {external-power: %.9g V}\n"
                        "  pad:  {resistor: 2 ohm, from: plug, to: bus}\n"
                        "  bus:  {bus: BUS}\n"
                        "  sink: {motor: 1 A, from: bus, breaker: 5 A SINK}\n"
                        "  load: {%s A, from: bus, wire: 0000 AWG 0.1 ft}\n"
                        "phases:\n"
                        "  rest: {on: plug}\n",
                        nominal, supply, load);
    if (fault != FAULT_NONE)
        small_aircraft_ask(&s, "rest", "plug", fault);
    part_outcome p = *small_part(&s, "load");
    p.reason = NULL;
    small_aircraft_close(&s);
    return p;
}

// ---- lamps --------------------------------------------------------------------------------------
static void lamp_law(void **x) {
    (void)x;
    part_outcome a = on_plug(28, 28, "lamp: 2"), b = on_plug(28, 20, "lamp: 2");
    double exponent = log(a.amps / b.amps) / log(a.volts / b.volts);
    double power = log(a.amps * a.volts / (b.amps * b.volts)) / log(a.volts / b.volts);
    check_value_named(&values, "physics-L001", exponent);
    check_value_named(&values, "physics-L004", power);
}

// given: V, rated V, 1 for the power
static void lamp_ratios(void **x) {
    (void)x;
    for_each_check(r, &values, "lamp_ratios") {
        part_outcome low = on_plug(r->given[1], r->given[0], "lamp: 0.01");
        double share = low.amps / 0.01;
        check_value_holds(r, r->given[2] > 0 ? share * low.volts / r->given[1] : share);
    }
}

static double written(double nominal, const char *load, part_key key) {
    small_aircraft s;
    small_aircraft_open(&s, ON_PLUG, nominal, nominal, load);
    double got = part_number(small_line(&s, "load"), key, -1);
    small_aircraft_close(&s);
    return got;
}

static void lamp_goes_dark(void **x) {
    (void)x;
    for (int k = 1; k <= 2; k++) {
        double share = written(14 * k, "lamp: 1", KEY_OFF_BELOW) / (14 * k);
        assert_true(share > 0);
        for (double exponent = 3.4; exponent < 3.55; exponent += 0.1)
            check_value_named(&values, "physics-L002", pow(share, exponent));
    }
}

// ---- coils, sources, diodes ---------------------------------------------------------------------
// given: battery V, coil ohm, nominal V. Sealed cells at 25 % rest at 2.0 V.
static void coil_current(void **x) {
    (void)x;
    for_each_check(r, &values, "coil_current") {
        small_aircraft s;
        small_aircraft_open(&s,
                            "deadbus: 1\n"
                            "aircraft: {nominal: %g V}\n"
                            "parts:\n"
                            "  battery: {battery: %g V, charge: 25 %%, resistance: 1 mohm}\n"
                            "  master:  {contactor: continuous, from: battery, to: bus,"
                            " coil-from: battery, coil: %.9g A}\n"
                            "  bus:     {bus: BUS}\n"
                            "phases:\n"
                            "  rest: {}\n",
                            r->given[2], r->given[0], r->given[2] / r->given[1]);
        check_value_holds(r, small_part(&s, "battery")->amps);
        assert_true(small_part(&s, "master")->energized);
        small_aircraft_close(&s);
    }
}

// Common practice, no source: a contactor's coil pulls in at 75 % of nominal or less and lets go at
// 10 to 30 % of it, nominal being the battery's.
static void coil_thresholds(void **x) {
    (void)x;
    for (int k = 1; k <= 2; k++) {
        small_aircraft s;
        small_aircraft_open(&s,
                            "deadbus: 1\n"
                            "aircraft: {nominal: %d V}\n"
                            "parts:\n"
                            "  battery: {battery: %d V}\n"
                            "  master:  {contactor: continuous, from: battery, to: bus,"
                            " coil-from: battery}\n"
                            "  bus:     {bus: BUS}\n"
                            "phases:\n"
                            "  rest: {}\n",
                            14 * k, 12 * k);
        double in = part_number(small_line(&s, "master"), KEY_PULLS_IN, 99) / (12 * k);
        double out = part_number(small_line(&s, "master"), KEY_DROPS_OUT, 99) / (12 * k);
        assert_true(in <= 0.75 && in > out);
        assert_true(out >= 0.10 && out <= 0.30);
        small_aircraft_close(&s);
    }
}

static const char CHARGED[] = "deadbus: 1\n"
                              "aircraft: {nominal: %g V}\n"
                              "parts:\n"
                              "  battery:    {battery: %g V, charge: 100 %%, resistance: 10 mohm}\n"
                              "  master:     {switch: BAT, from: battery, to: bus}\n"
                              "  bus:        {bus: BUS}\n"
                              "  radio:      {radio: 2 A, from: bus, breaker: 5 A COM}\n"
                              "  unit:       {regulator: %g V, from: bus}\n"
                              "  alternator: {alternator: 60 A, to: bus, field-from: unit}\n"
                              "  engine:     {engine: four cylinders}\n"
                              "seen:\n"
                              "  light:      {light: LOW, lit-when: bus below %g V, from: bus}\n"
                              "phases:\n"
                              "  run: {engine: 2400 rpm, on: master}\n";

static void set_points(void **x) {
    (void)x;
    check_value *r = check_value_row(&values, "physics-A012");
    small_aircraft s;
    small_aircraft_open(&s,
                        "deadbus: 1\n"
                        "aircraft: {nominal: 14 V}\n"
                        "parts:\n"
                        "  battery:    {battery: 12 V, charge: 100 %%}\n"
                        "  master:     {switch: BAT, from: battery, to: bus}\n"
                        "  bus:        {bus: BUS}\n"
                        "  alternator: {alternator: 60 A, to: bus, field-from: bus}\n"
                        "  engine:     {engine: four cylinders}\n"
                        "phases:\n"
                        "  %s: {engine: 2400 rpm, on: master}\n",
                        "run");
    check_value_holds(r, small_part(&s, "bus")->volts);
    assert_true(small_part(&s, "battery")->amps < 0);  // it charges
    small_aircraft_close(&s);
}

// given: nominal V, battery V, the light's V
static void low_volts_light(void **x) {
    (void)x;
    for_each_check(r, &values, "low_volts_light") {
        const double at[] = {r->value, r->value - r->given[1] / 12};
        for (int lower = 0; lower < 2; lower++) {
            small_aircraft s;
            small_aircraft_open(&s, CHARGED, r->given[0], r->given[1], r->given[0], at[lower]);
            assert_false(small_part(&s, "light")->lit);
            small_aircraft_ask(&s, "run", "alternator", FAULT_DEAD);
            assert_int_equal(small_part(&s, "light")->lit, !lower);
            // A full battery holds the bus a little below that: the threshold is the last useful
            // one.
            assert_true(small_part(&s, "bus")->volts < r->value);
            assert_true(small_part(&s, "bus")->volts > r->value - r->given[1] / 12);
            small_aircraft_close(&s);
        }
        check_value_holds(r, r->given[2]);
    }
}

// given: nominal V. The trip that a regulator has when its line says nothing of one.
static void over_volts_trip(void **x) {
    (void)x;
    for_each_check(r, &values, "over_volts_trip") {
        small_aircraft s;
        small_aircraft_open(&s, CHARGED, r->given[0], r->given[0] * 12 / 14, r->given[0], 10.0);
        int latch = part_condition(small_line(&s, "unit"), KEY_TRIPS_WHEN);
        assert_true(latch >= 0);
        const condition *c = &s.aircraft->conditions[s.aircraft->conditions[latch].a];
        assert_int_equal(c->op, CONDITION_VOLTS);
        check_value_holds(r, c->value);
        small_aircraft_ask(&s, "run", "unit", FAULT_FULL_FIELD);
        assert_int_equal(s.outcome->sources[1].mode, SOURCE_TRIPPED);
        small_aircraft_close(&s);
    }
}

// given: nominal V. Just above those volts equipment is on, just below it is weak.
static void works_above(void **x) {
    (void)x;
    for_each_check(r, &values, "works_above") {
        check_value_holds(r, written(r->given[0], "equipment: 1", KEY_WORKS_ABOVE));
        part_outcome above =
            below_plug(r->given[0], r->value + 2.05, "equipment: 0.001", FAULT_NONE);
        part_outcome below =
            below_plug(r->given[0], r->value + 1.95, "equipment: 0.001", FAULT_NONE);
        assert_true(above.volts > r->value && below.volts < r->value &&
                    above.volts < r->value + 0.1);
        assert_int_equal(above.status, ITEM_ON);
        assert_int_equal(below.status, ITEM_WEAK);
    }
}

// given: nominal V. It runs, and then its supply sags.
static void emergency_volts(void **x) {
    (void)x;
    for_each_check(r, &values, "emergency_volts") {
        double low = r->value, high = r->value + 4, volts = 0;
        for (int i = 0; i < 40; i++) {  // the lowest volts at which it draws
            double middle = (low + high) / 2;
            part_outcome p = below_plug(r->given[0], middle / 0.85, "equipment: 0.001", FAULT_LOW);
            if (p.amps > 1e-4) {
                high = middle;
                volts = p.volts;
            } else {
                low = middle;
            }
        }
        check_value_holds(r, volts);
    }
}

static void ground_power(void **x) {
    (void)x;
    small_aircraft s;
    small_aircraft_open(&s,
                        "deadbus: 1\n"
                        "aircraft: {nominal: 28 V}\n"
                        "parts:\n"
                        "  plug: {external-power: cart}\n"
                        "  bus:  {bus: BUS, from: plug}\n"
                        "  load: {motor: %g A, from: bus, breaker: 20 A LOAD}\n"
                        "phases:\n"
                        "  rest: {on: plug}\n",
                        10.0);
    check_value_named(&values, "wiring-Q001.1", small_part(&s, "plug")->volts);
    check_value_named(&values, "wiring-Q001.2", small_part(&s, "plug")->volts);
    small_aircraft_close(&s);
}

// given: A, rating
static void diode_drop(void **x) {
    (void)x;
    for_each_check(r, &values, "diode_drop") {
        small_aircraft s;
        small_aircraft_open(&s,
                            "deadbus: 1\n"
                            "aircraft: {nominal: 28 V}\n"
                            "parts:\n"
                            "  plug:  {external-power: 28 V}\n"
                            "  diode: {diode: %g A, from: plug, to: bus}\n"
                            "  bus:   {bus: BUS}\n"
                            "  load:  {motor: %g A, from: bus, breaker: 20 A LOAD}\n"
                            "phases:\n"
                            "  rest: {on: plug}\n",
                            r->given[1], r->given[0]);
        check_value_holds(r, small_part(&s, "diode")->volts);
        small_aircraft_close(&s);
    }
}

// ---- breakers and fuses -------------------------------------------------------------------------
static part_outcome loaded(const char *kind, double share) {
    small_aircraft s;
    small_aircraft_open(&s,
                        "deadbus: 1\n"
                        "aircraft: {nominal: 28 V}\n"
                        "parts:\n"
                        "  plug:      {external-power: 28 V}\n"
                        "  bus:       {bus: BUS, from: plug}\n"
                        "  protector: {%s: 10 A, from: bus}\n"
                        "  load:      {motor: %g A, from: protector}\n"
                        "phases:\n"
                        "  rest: {on: plug}\n",
                        kind, 10 * share);
    part_outcome p = *small_part(&s, "protector");
    p.reason = NULL;
    small_aircraft_close(&s);
    return p;
}

// given: share of the rating
static void breaker_limits(void **x) {
    (void)x;
    for_each_check(r, &values, "breaker_limits")
        check_value_holds(r, loaded("breaker", r->given[0]).tripped);
    assert_false(loaded("breaker", 1.14).may_trip);
    assert_true(loaded("breaker", 1.16).may_trip);
    assert_true(loaded("breaker", 1.37).may_trip && !loaded("breaker", 1.37).tripped);
}

// given: share of the rating, 0: does it open, 1: is it flagged or open
static void fuse_limits(void **x) {
    (void)x;
    for_each_check(r, &values, "fuse_limits") {
        part_outcome p = loaded("fuse", r->given[0]);
        check_value_holds(r, p.tripped || (r->given[1] > 0 && p.may_trip));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lamp_law),          cmocka_unit_test(lamp_ratios),
        cmocka_unit_test(lamp_goes_dark),    cmocka_unit_test(coil_current),
        cmocka_unit_test(coil_thresholds),   cmocka_unit_test(set_points),
        cmocka_unit_test(low_volts_light),   cmocka_unit_test(over_volts_trip),
        cmocka_unit_test(works_above),       cmocka_unit_test(emergency_volts),
        cmocka_unit_test(ground_power),      cmocka_unit_test(diode_drop),
        cmocka_unit_test(breaker_limits),    cmocka_unit_test(fuse_limits),
        cmocka_unit_test(all_rows_are_used),
    };
    return cmocka_run_group_tests(tests, open_values, close_values);
}
