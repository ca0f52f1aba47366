// What handbooks say of meters, masters, starters and generators, on the demo aircraft and on small
// ones. Values and their sources: figures/handbook_figures_test.csv.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "reference/support/figures_of_test.h"
#include "reference/support/small_aircraft.h"
#include "support/asked.h"

enum { BOWLINE, REEF, SHEETBEND, CLOVE, HALYARD };
const char *const figures_name = "handbook_figures_test";
static subject fleet[FLEET_COUNT];

#define ASK(who, ...) asked(&fleet[who], (const char *const[]){__VA_ARGS__, NULL})

static double amps(const outcome *o, const char *id) { return asked_part(o, id)->amps; }
static double volts(const outcome *o, const char *id) { return asked_part(o, id)->volts; }
static bool works(const outcome *o, const char *id) { return asked_part(o, id)->works; }

static void starter_amps(void **x) {
    (void)x;
    static const char *const STARTERS[] = {"starter", "starter", "starter", NULL, "starter"};
    for (int i = 0; i < FLEET_COUNT; i++) {
        if (!STARTERS[i])
            continue;
        outcome *o = ASK(i, "--phase", "start");
        check_value_named(&values, "physics-S001", amps(o, STARTERS[i]));
        outcome_free(o);
    }
}

static void starter_range(void **x) {
    (void)x;
    static const int SINGLES[] = {BOWLINE, SHEETBEND, REEF, HALYARD};
    for (int i = 0; i < 4; i++) {
        outcome *o = ASK(SINGLES[i], "--phase", "start");
        bool high = aircraft_is_28(o->aircraft);
        check_value_named(&values, high ? "physics-S002.1" : "physics-S002.3", amps(o, "starter"));
        check_value_named(&values, high ? "physics-S002.2" : "physics-S002.4", amps(o, "starter"));
        outcome_free(o);
    }
}

// What the alternator gives beside the charge of its battery, on the aircraft with one of each.
static void cruise_load(void **x) {
    (void)x;
    static const int SINGLES[] = {BOWLINE, SHEETBEND, HALYARD};
    for (int i = 0; i < 3; i++) {
        outcome *o = ASK(SINGLES[i], "--phase", "cruise");
        double load = amps(o, "alternator") + amps(o, "battery");
        double rating = part_number(&o->aircraft->parts[aircraft_part(o->aircraft, "alternator")],
                                    KEY_VALUE, 0);
        assert_true(load > 5 && rating > 0);
        check_value_named(&values, "physics-A025", 100 * load / rating);
        check_value_named(&values, "wiring-L001", 100 * load / rating);
        if (rating == 60)
            check_value_named(&values, "wiring-L002", load);
        outcome_free(o);
    }
}

static void cut_out_setting(void **x) {
    (void)x;
    const aircraft *a = fleet[REEF].aircraft;
    int latch = part_condition(&a->parts[aircraft_part(a, "cut-out")], KEY_CLOSES_WHEN);
    assert_true(latch >= 0);
    const condition *c = &a->conditions[a->conditions[latch].a];
    assert_int_equal(c->op, CONDITION_DIFFER);
    check_value_named(&values, "physics-A026.1", c->value);
    check_value_named(&values, "physics-A026.2", c->value);
}

static void ammeter_signs(void **x) {
    (void)x;
    outcome *o = ASK(BOWLINE, "--phase", "cruise", "--charge", "40 %");
    bool charged = asked_source(o, "battery")->mode == SOURCE_CHARGING;
    check_value_named(&values, "physics-H001.1",
                      charged && asked_indication(o, "ammeter")->figure > 1);
    outcome_free(o);
    o = ASK(BOWLINE, "--phase", "cruise", "--set", "alternator-switch=off");
    bool drained = asked_source(o, "battery")->mode == SOURCE_DISCHARGING;
    check_value_named(&values, "physics-H001.2",
                      drained && asked_indication(o, "ammeter")->figure < -1);
    outcome_free(o);
}

// Only the sign of the second: a battery here takes no overcharge current, so the needle doesn't go
// to its end.
static void ammeter_at_its_ends(void **x) {
    (void)x;
    outcome *o = ASK(BOWLINE, "--phase", "approach", "--fail", "alternator=dead");
    const indication *i = asked_indication(o, "ammeter");
    check_value_named(&values, "physics-H002.1", i->figure < -20);
    outcome_free(o);
    o = ASK(REEF, "--phase", "cruise", "--charge", "100 %", "--fail", "generator=full-field");
    i = asked_indication(o, "ammeter");
    check_value_named(&values, "physics-H002.2", i->figure > 20 && volts(o, "main-bus") > 15);
    outcome_free(o);
}

static void loadmeter(void **x) {
    (void)x;
    outcome *o = ASK(SHEETBEND, "--phase", "cruise", "--fail", "alternator=dead");
    check_value_named(&values, "physics-H003.1",
                      asked_indication(o, "alternator-load")->figure == 0);
    outcome_free(o);
    small_aircraft s;
    small_aircraft_open(
        &s,
        "deadbus: 1\n"
        "aircraft: {nominal: 28 V}\n"
        "parts:\n"
        "  battery:    {battery: 24 V, capacity: 10 Ah, charge: %g %%}\n"
        "  master:     {switch: BAT, from: battery, to: bus}\n"
        "  bus:        {bus: BUS}\n"
        "  alternator: {alternator: 60 A, to: bus, field-from: bus, field: 0.2 A}\n"
        "  light:      {lamp: 100 W, from: bus, breaker: 5 A LIGHT, switch: LIGHT}\n"
        "  engine:     {engine: four cylinders}\n"
        "seen:\n"
        "  load:       {loadmeter: amps, reads: alternator, scale: 60 A}\n"
        "phases:\n"
        "  run: {engine: 2400 rpm, on: master}\n",
        70.0);
    double charging = -small_part(&s, "battery")->amps;
    double shown = s.outcome->indications[0].figure;
    check_value_named(&values, "physics-H003.2",
                      charging > 1 && shown >= charging && shown < charging + 0.3);
    small_aircraft_close(&s);
}

static void master_and_ignition(void **x) {
    (void)x;
    outcome *o = ASK(BOWLINE, "--phase", "cruise", "--set", "battery-switch=off");
    bool dead = volts(o, "main-bus") < 0.5 && volts(o, "radio-bus-1") < 0.5;
    check_value_named(&values, "physics-H005", dead && works(o, "engine"));
    outcome_free(o);
    o = ASK(BOWLINE, "--phase", "cruise", "--fail", "battery=open", "--fail", "alternator=dead");
    dead = volts(o, "main-bus") < 0.5 && volts(o, "battery-contactor") < 0.5;
    check_value_named(&values, "physics-H006", dead && works(o, "engine"));
    outcome_free(o);
}

static void battery_ignition(void **x) {
    (void)x;
    outcome *a = ASK(HALYARD, "--phase", "cruise", "--fail", "battery=open");
    outcome *b = ASK(HALYARD, "--phase", "cruise", "--fail", "alternator=dead");
    outcome *c =
        ASK(HALYARD, "--phase", "cruise", "--fail", "battery=open", "--fail", "alternator=dead");
    check_value_named(&values, "physics-H007",
                      works(a, "engine") && works(b, "engine") && !works(c, "engine"));
    outcome_free(a);
    outcome_free(b);
    outcome_free(c);
}

// A gear pump on a battery that is all that is left, part used and weak: the radio goes with it.
static void motors_on_a_flat_battery(void **x) {
    (void)x;
    small_aircraft s;
    small_aircraft_open(&s,
                        "deadbus: 1\n"
                        "aircraft: {nominal: 28 V}\n"
                        "parts:\n"
                        "  battery:   {battery: 24 V, capacity: 10 Ah, charge: %g %%}\n"
                        "  master:    {switch: BAT, from: battery, to: bus}\n"
                        "  bus:       {bus: BUS}\n"
                        "  radio:     {radio: 2 A, from: bus, breaker: 5 A COM}\n"
                        "  gear-pump: {motor: 60 A, from: bus, breaker: 80 A PUMP, switch: PUMP}\n"
                        "phases:\n"
                        "  calm: {on: master}\n"
                        "  gear: {on: [master, gear-pump.switch]}\n",
                        40.0);
    small_aircraft_ask(&s, "calm", "battery", FAULT_WEAK);
    double calm = small_part(&s, "bus")->volts;
    assert_int_equal(small_part(&s, "radio")->status, ITEM_ON);
    small_aircraft_ask(&s, "gear", "battery", FAULT_WEAK);
    double moving = small_part(&s, "bus")->volts;
    bool lost = small_part(&s, "radio")->status == ITEM_OFF && small_part(&s, "radio")->amps < 1e-3;
    check_value_named(&values, "physics-H008", calm - moving > 4 && lost);
    small_aircraft_close(&s);
}

static void old_battery(void **x) {
    (void)x;
    double before = 1e9;
    for (int milliohms = 10; milliohms <= 640; milliohms *= 4) {
        small_aircraft s;
        small_aircraft_open(&s,
                            "deadbus: 1\n"
                            "aircraft: {nominal: 28 V}\n"
                            "parts:\n"
                            "  battery: {battery: 24 V, resistance: %d mohm}\n"
                            "  load:    {resistor: 0.5 ohm, from: battery, to: ground}\n"
                            "phases:\n"
                            "  rest: {}\n",
                            milliohms);
        double watts = small_part(&s, "load")->volts * small_part(&s, "load")->amps;
        check_value_named(&values, "physics-H010", watts < 0.98 * before);
        before = watts;
        small_aircraft_close(&s);
    }
}

static void avionics_while_starting(void **x) {
    (void)x;
    outcome *crank = ASK(BOWLINE, "--phase", "start", "--set", "avionics-master=on");
    outcome *before =
        ASK(BOWLINE, "--phase", "start", "--set", "avionics-master=on", "--set", "key=BOTH");
    bool opened = asked_part(crank, "avionics-relay")->energized &&
                  !asked_part(before, "avionics-relay")->energized;
    check_value_named(&values, "physics-H011",
                      opened && volts(crank, "radio-bus-1") < 0.5 &&
                          volts(before, "radio-bus-1") > 20);
    outcome_free(crank);
    outcome_free(before);
}

static void starter_interlock(void **x) {
    (void)x;
    outcome *on = ASK(BOWLINE, "--phase", "start");
    outcome *off = ASK(BOWLINE, "--phase", "start", "--set", "battery-switch=off");
    check_value_named(&values, "physics-H012",
                      amps(on, "starter") > 50 && fabs(amps(off, "starter")) < 1e-3);
    outcome_free(on);
    outcome_free(off);
}

// The needle and the voltmeter together tell whether the alternator carries all.
static void ammeter_says_enough(void **x) {
    (void)x;
    static const char *const FAULTS[] = {"alternator=low", "alternator=dead",
                                         "alternator=slipping"};
    for (int i = -1; i < 3; i++) {
        outcome *o =
            i < 0 ? ASK(BOWLINE, "--phase", "approach")
                  : ASK(BOWLINE, "--phase", "approach", "--fail", FAULTS[i], "--charge", "60 %");
        bool enough = asked_source(o, "alternator")->mode == SOURCE_REGULATING;
        bool says = asked_indication(o, "ammeter")->figure >= 0 && volts(o, "main-bus") > 27.5;
        check_value_named(&values, "physics-H015", enough == says);
        check_value_named(&values, "wiring-L005", enough == says);
        outcome_free(o);
    }
}

// The current that turns it is a great one, and opens its output breaker (50 A).
static void cut_out(void **x) {
    (void)x;
    outcome *held = ASK(REEF, "--phase", "cruise", "--set", "engine=stopped");
    outcome *stuck =
        ASK(REEF, "--phase", "cruise", "--set", "engine=stopped", "--fail", "cut-out=stuck-closed");
    check_value_named(&values, "physics-A028",
                      !asked_part(held, "generator-breaker")->tripped &&
                          asked_part(stuck, "generator-breaker")->tripped);
    outcome_free(held);
    outcome_free(stuck);
}

static void generator_at_idle(void **x) {
    (void)x;
    outcome *idle = ASK(REEF, "--phase", "taxi", "--set", "engine=700");
    outcome *fast = ASK(REEF, "--phase", "taxi", "--set", "engine=2300");
    check_value_named(&values, "physics-A029",
                      asked_source(idle, "battery")->mode == SOURCE_DISCHARGING &&
                          asked_source(fast, "battery")->mode == SOURCE_CHARGING);
    outcome_free(idle);
    outcome_free(fast);
}

static int open_all(void **x) {
    if (open_values(x) != 0)
        return -1;
    for (int i = 0; i < FLEET_COUNT; i++)
        if (!subject_open_fleet(&fleet[i], i))
            return -1;
    return 0;
}

static int close_all(void **x) {
    for (int i = 0; i < FLEET_COUNT; i++)
        subject_close(&fleet[i]);
    return close_values(x);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(starter_amps),      cmocka_unit_test(starter_range),
        cmocka_unit_test(cruise_load),       cmocka_unit_test(cut_out_setting),
        cmocka_unit_test(ammeter_signs),     cmocka_unit_test(ammeter_at_its_ends),
        cmocka_unit_test(loadmeter),         cmocka_unit_test(master_and_ignition),
        cmocka_unit_test(battery_ignition),  cmocka_unit_test(motors_on_a_flat_battery),
        cmocka_unit_test(old_battery),       cmocka_unit_test(avionics_while_starting),
        cmocka_unit_test(starter_interlock), cmocka_unit_test(ammeter_says_enough),
        cmocka_unit_test(cut_out),           cmocka_unit_test(generator_at_idle),
        cmocka_unit_test(all_rows_are_used),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
