// What keeps a function: comparisons, hands, engines and the phase as well as parts; and what is
// switched off counts as it would work if it were asked for.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/solver.h"
#include "support/fleet_states.h"

static const char FILE_TEXT[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 100 mohm}\n"
    "  master:  {switch: BAT, from: battery, to: main-bus}\n"
    "  main-bus: {bus: MAIN BUS}\n"
    "  engine:  {engine: four, gives: power}\n"
    "  alternator: {alternator: 60 A, field-from: main-bus, turned-by: engine, to: main-bus}\n"
    "  b1:      {breaker: 5 A, from: main-bus}\n"
    "  com:     {radio: 2 A, from: b1}\n"
    "  s:       {switch: SEL, from: b1, positions: ['OFF', 'ON']}\n"
    "  lamp:    {lamp: 5 W, from: s at ON}\n"
    "  pull:    {resistor: 800 mohm, from: pull-switch, to: ground}\n"
    "  pull-switch: {switch: PULL, from: main-bus}\n"
    "  light:   {lamp: 10 W, from: main-bus, own-switch: LT, gives: light}\n"
    "functions:\n"
    "  volts-above: {kept-by: [main-bus above 25 V]}\n"
    "  volts-below: {kept-by: [main-bus below 25 V]}\n"
    "  breaker-in: {kept-by: [b1 in]}\n"
    "  turning: {kept-by: [engine running]}\n"
    "  flying: {kept-by: [airborne]}\n"
    "  switched: {kept-by: [s at ON and not night]}\n"
    "  charged: {kept-by: [battery above 30 %]}\n"
    "  amps: {kept-by: [b1 above 1 A]}\n"
    "phases:\n"
    "  cruise: {engine: 2400 rpm, airborne: yes, on: [master], set: {s: 'ON'}}\n"
    "  silent: {engine: stopped, on: [master], night: yes}\n"
    "  pulled: {engine: stopped, on: [master, pull-switch], set: {s: 'ON'}}\n";

typedef struct expected {
    const char *function;
    function_status status;
} expected;

static void functions_are(const char *phase, double charge, const expected *list, int count) {
    subject s;
    assert_true(subject_open_bytes(&s, "routes", FILE_TEXT, sizeof FILE_TEXT - 1));
    const aircraft *a = s.aircraft;
    arena m = arena_make(allocator_default());
    state asked = {.setting = arena_new(&m, (size_t)a->part_count + 1, sizeof(double))};
    state_of_phase(a, aircraft_phase(a, phase), &asked);
    asked.charge = charge;
    outcome *o = NULL;
    assert_int_equal(solver_outcome(s.solver, &asked, (outcome_options){0}, &o), STATUS_OK);
    for (int i = 0; i < count; i++) {
        int found = -1;
        for (int k = 0; k < a->function_count; k++)
            found = strcmp(a->functions[k].name, list[i].function) == 0 ? k : found;
        assert_true(found >= 0);
        if (o->functions[found].status != list[i].status)
            fail_msg("%s: %s is %d", phase, list[i].function, (int)o->functions[found].status);
    }
    outcome_free(o);
    arena_free(&m);
    subject_close(&s);
}

static void every_kind_of_route(void **x) {
    (void)x;
    static const expected cruise[] = {
        {"volts-above", FUNCTION_KEPT}, {"volts-below", FUNCTION_LOST},
        {"breaker-in", FUNCTION_KEPT},  {"turning", FUNCTION_KEPT},
        {"flying", FUNCTION_KEPT},      {"switched", FUNCTION_KEPT},
        {"charged", FUNCTION_KEPT},     {"amps", FUNCTION_KEPT},
        {"light", FUNCTION_KEPT}};
    static const expected silent[] = {
        {"volts-above", FUNCTION_LOST}, {"volts-below", FUNCTION_KEPT},
        {"breaker-in", FUNCTION_KEPT},  {"turning", FUNCTION_LOST},
        {"flying", FUNCTION_LOST},      {"switched", FUNCTION_LOST},
        {"charged", FUNCTION_LOST},     {"amps", FUNCTION_KEPT}};
    functions_are("cruise", 0.8, cruise, 9);
    functions_are("silent", 0.2, silent, 8);
}

// 20 V and less on the bus: too little for a lamp, whether or not it is on.
static void switched_off_it_would_be_weak(void **x) {
    (void)x;
    static const expected pulled[] = {{"light", FUNCTION_REDUCED}};
    functions_are("pulled", 0.1, pulled, 1);
}

// What is told to stay without the aeroplane's volts is what a state of its own, with every source
// failed by name, still keeps. A sensor, or a handheld that gives a function in part, isn't enough.
static void without_volts_is_kept_with_every_source_dead(void **x) {
    (void)x;
    int told = 0, refused = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        subject s;
        assert_true(subject_open_fleet(&s, n));
        const aircraft *a = s.aircraft;
        arena m = arena_make(allocator_default());
        state asked = {.setting = arena_new(&m, (size_t)a->part_count + 1, sizeof(double))};
        for (int phase = 0; phase < a->phase_count; phase++) {
            outcome *now = NULL, *dead = NULL;
            state_of_phase(a, phase, &asked);
            assert_int_equal(solver_outcome(s.solver, &asked, (outcome_options){0}, &now),
                             STATUS_OK);
            for (int i = 0; i < a->part_count; i++)
                if (a->parts[i].kind == KIND_BATTERY || a->parts[i].kind == KIND_ALTERNATOR ||
                    a->parts[i].kind == KIND_GENERATOR || a->parts[i].kind == KIND_EXTERNAL_POWER)
                    asked.faults[asked.fault_count++] = (fault){i, FAULT_DEAD};
            assert_int_equal(solver_outcome(s.solver, &asked, (outcome_options){0}, &dead),
                             STATUS_OK);
            for (int i = 0; i < a->function_count; i++) {
                bool kept = now->functions[i].status == FUNCTION_KEPT &&
                            dead->functions[i].status == FUNCTION_KEPT;
                assert_int_equal(now->functions[i].without_volts, kept);
                assert_int_equal(dead->functions[i].without_volts,
                                 dead->functions[i].status == FUNCTION_KEPT);
                told += kept;
                refused += !kept;
            }
            outcome_free(now);
            outcome_free(dead);
        }
        arena_free(&m);
        subject_close(&s);
    }
    assert_true(told > 0 && refused > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_volts_is_kept_with_every_source_dead),
        cmocka_unit_test(every_kind_of_route),
        cmocka_unit_test(switched_off_it_would_be_weak),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
