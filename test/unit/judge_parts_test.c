// What is said of single parts of a settled state: closed or open, live, which limit holds.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "support/asked.h"

static const char FILE_OF_IT[] =
    "deadbus: 1\n"
    "aircraft: {name: Parts, nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, charge: 100 %}\n"
    "  master: {switch: BAT, from: battery}\n"
    "  main-bus: {bus: MAIN BUS, from: master}\n"
    "  engine: {engine: four cylinders, needs: [spark]}\n"
    "  magneto: {ignition: magneto, turned-by: engine, makes: spark,"
    " grounded-when: mag-switch at OFF}\n"
    "  mag-switch: {switch: MAG, positions: [OFF, BOTH], from: main-bus}\n"
    "  alternator: {alternator: 60 A, to: main-bus, field-from: field-switch,"
    " turned-by: engine, idle: 20 A at 1000 rpm}\n"
    "  regulator: {regulator: 28 V, from: main-bus, trips-when: never}\n"
    "  field-switch: {switch: ALT, from: regulator}\n"
    "  plain-switch: {switch: PLAIN, from: main-bus}\n"
    "  plain-lamp: {lamp: 20 W, from: plain-switch}\n"
    "  rest-switch: {switch: REST, from: main-bus}\n"
    "  rest-lamp: {lamp: 20 W, from: rest-switch at OFF}\n"
    "  fuse-1: {fuse: 10 A, from: main-bus}\n"
    "  load: {equipment: 10 A, from: fuse-1}\n"
    "phases:\n"
    "  cruise: {engine: 2400 rpm, airborne: yes, on: [master, field-switch],"
    " set: {mag-switch: BOTH}}\n";

static subject open_it(void) {
    subject s;
    assert_true(subject_open_bytes(&s, "parts", FILE_OF_IT, sizeof FILE_OF_IT - 1));
    return s;
}

static bool closed(subject *s, const char *id, const char *const *words) {
    outcome *o = asked(s, words);
    bool so = asked_part(o, id)->closed;
    outcome_free(o);
    return so;
}

#define WORDS(...) ((const char *const[]){__VA_ARGS__, NULL})
#define NO_WORDS   ((const char *const[]){NULL})

static void a_plain_switch_that_is_off_is_open(void **unused) {
    (void)unused;
    subject s = open_it();
    assert_false(closed(&s, "plain-switch", NO_WORDS));
    assert_true(closed(&s, "plain-switch", WORDS("--set", "plain-switch=on")));
    assert_false(closed(&s, "plain-switch",
                        WORDS("--set", "plain-switch=on", "--fail", "plain-switch=stuck-open")));
    assert_true(closed(&s, "plain-switch", WORDS("--fail", "plain-switch=stuck-closed")));
    // What hangs on its OFF contact is fed through it.
    assert_true(closed(&s, "rest-switch", NO_WORDS));
    subject_close(&s);
}

// Kills a source's mistake of seeing only what an alternator feeds.
static void a_battery_alone_keeps_a_bus_alive(void **unused) {
    (void)unused;
    subject s = open_it();
    outcome *o = asked(&s, WORDS("--fail", "alternator=dead"));
    assert_true(asked_part(o, "main-bus")->live);
    assert_true(asked_part(o, "main-bus")->draining);
    outcome_free(o);
    o = asked(&s, WORDS("--fail", "alternator=dead", "--fail", "battery=open"));
    assert_false(asked_part(o, "main-bus")->live);
    outcome_free(o);
    subject_close(&s);
}

// 20 A at 1000 rpm, 60 A at 2500 rpm, a straight line between: 57.3 A at 2400, 33.3 A at the 1500
// rpm of a windmilling engine, whether it was set so, has failed, or lost its spark.
static void a_windmilling_engine_gives_less(void **unused) {
    (void)unused;
    subject s = open_it();
    outcome *o = asked(&s, NO_WORDS);
    assert_true(fabs(asked_source(o, "alternator")->limit - (20 + 40 * 1400.0 / 1500)) < 1e-9);
    outcome_free(o);
    const char *const *ways[] = {WORDS("--set", "engine=windmilling"),
                                 WORDS("--fail", "engine=failed"),
                                 WORDS("--set", "mag-switch=OFF")};
    for (int i = 0; i < 3; i++) {
        o = asked(&s, ways[i]);
        const source_outcome *a = asked_source(o, "alternator");
        assert_true(fabs(a->limit - (20 + 40 * 500.0 / 1500)) < 1e-9);
        assert_int_equal(a->mode, SOURCE_REGULATING);
        assert_true(a->amps > 5 && a->amps < a->limit);
        outcome_free(o);
    }
    subject_close(&s);
}

// PHAK (FAA-H-8083-25), chapter 7: an ammeter in the battery's lead that stays hard over on charge
// says that the regulator has failed. A full battery takes next to nothing at 28 V.
static void a_runaway_overcharges_a_full_battery(void **unused) {
    (void)unused;
    subject s = open_it();
    outcome *o = asked(&s, NO_WORDS);
    assert_true(asked_source(o, "battery")->amps < 0 && asked_source(o, "battery")->amps > -0.1);
    outcome_free(o);
    o = asked(&s, WORDS("--fail", "alternator=full-field"));
    assert_true(asked_source(o, "battery")->amps < -15);
    outcome_free(o);
    subject_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plain_switch_that_is_off_is_open),
        cmocka_unit_test(a_battery_alone_keeps_a_bus_alive),
        cmocka_unit_test(a_windmilling_engine_gives_less),
        cmocka_unit_test(a_runaway_overcharges_a_full_battery),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
