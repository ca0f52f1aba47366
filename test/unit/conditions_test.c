// Every kind of condition: said in words, and true in the one question and not in the other. Each
// is the `lit-when` of a light of its own, so it goes the whole way: read, compiled, bound, solved.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "model/part_words.h"
#include "support/asked.h"

static const char HEAD[] =
    "deadbus: 1\n"
    "aircraft: {name: Conditions, nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h}\n"
    "  master: {switch: BAT, from: battery}\n"
    "  main-bus: {bus: MAIN BUS, from: master}\n"
    "  engine: {engine: four cylinders, needs: spark, makes: oil-pressure}\n"
    "  magneto: {ignition: magneto, turned-by: engine, makes: spark}\n"
    "  alternator: {alternator: 60 A, to: main-bus, field-from: field-switch, regulated-at: 28 V,"
    " turned-by: engine}\n"
    "  alternator-2: {alternator: 20 A, field-from: field-switch, regulated-at: 28 V,"
    " turned-by: engine}\n"
    "  shunt-2: {shunt: 30 A, from: alternator-2}\n"
    "  output-breaker: {breaker: 30 A, from: shunt-2, to: third-bus}\n"
    "  third-bus: {bus: THIRD BUS}\n"
    "  field-breaker: {breaker: 5 A, from: main-bus}\n"
    "  field-switch: {switch: ALT, from: field-breaker}\n"
    "  second-breaker: {breaker: 20 A, from: main-bus}\n"
    "  second-bus: {bus: SECOND BUS, from: second-breaker}\n"
    "  pitot-heat: {heater: 5 A, from: second-bus, breaker: 10 A PITOT, switch: PITOT}\n"
    "  relay: {relay: LANDING, from: main-bus, coil-from: relay-switch}\n"
    "  relay-switch: {switch: RELAY, from: main-bus}\n"
    "  landing-lamp: {lamp: 20 W, from: relay}\n"
    "  flap-switch: {switch: FLAP, from: main-bus, positions: {UP: 0 %, HALF: 50 %, FULL: 100 %}}\n"
    "  flaps: {motor: 7 A, from: flap-switch, travel: 9 s}\n"
    "  pump-breaker: {breaker: 10 A, from: main-bus}\n"
    "  pump-switch: {switch: PUMP, from: pump-breaker}\n"
    "  pump-motor: {motor: 5 A, from: pump-switch}\n"
    "  vacuum-pump: {pump: vacuum, turned-by: pump-motor, makes: vacuum}\n"
    "  lights-breaker: {breaker: 5 A, from: battery}\n"
    "seen:\n";

static const char TAIL[] =
    "phases:\n"
    "  cruise: {engine: 2400 rpm, airborne: yes, throttle: 70 %, airspeed: 110 kt,"
    " temperature: 10 C, on: [master, field-switch], set: {flap-switch: UP}}\n"
    "  parked: {engine: stopped, throttle: 0 %, airspeed: 0 kt, temperature: 15 C,"
    " set: {flap-switch: UP}}\n";

enum { WORDS = 7 };

typedef struct condition_case {
    const char *written, *said;
    const char *so[WORDS], *not_so[WORDS];  // options of `state`
} condition_case;

#define SET(x)    "--set", x
#define PHASE(x)  "--phase", x
#define FAIL(x)   "--fail", x
#define CHARGE(x) "--charge", x
// Volts of a battery that is all there is, and nearly empty.
#define FLAT       "--fail", "alternator=dead", "--charge", "10%"
#define OUTSIDE(x) "--temperature", x

static const condition_case CASES[] = {
    {"main-bus below 25 V", "MAIN BUS below 25 V", {FLAT}, {NULL}},
    {"main-bus below 25 V for 2 s", "MAIN BUS below 25 V for 2 s", {FLAT}, {NULL}},
    {"pitot-heat below 2 A",
     "pitot heat below 2 A",
     {SET("pitot-heat=off")},
     {SET("pitot-heat=on")}},
    {"battery below 30 %", "battery charge below 30 %", {CHARGE("20%")}, {CHARGE("40%")}},
    {"flaps above 10 %", "flaps above 10 %", {SET("flaps=50%")}, {SET("flaps=0%")}},
    {"flaps at FULL", "flaps at FULL", {SET("flaps=100%")}, {SET("flaps=50%")}},
    {"flap-switch not at UP", "not FLAP switch at UP", {SET("flap-switch=HALF")}, {NULL}},
    {"engine above 1200 rpm", "engine above 1200 rpm", {NULL}, {SET("engine=900 rpm")}},
    {"throttle below 20 %", "throttle below 20 %", {SET("throttle=15%")}, {NULL}},
    {"airspeed below 60 kt", "airspeed below 60 kt", {SET("airspeed=50kt")}, {NULL}},
    {"temperature below 4 C", "temperature below 4 °C", {OUTSIDE("-1C")}, {OUTSIDE("5C")}},
    {"main-bus above second-bus by 5 V",
     "MAIN BUS above SECOND BUS by 5 V",
     {SET("second-breaker=out")},
     {NULL}},
    {"second-bus below main-bus by 5 V",
     "SECOND BUS below MAIN BUS by 5 V",
     {SET("second-breaker=out")},
     {NULL}},
    {"field-switch on", "ALT switch on", {NULL}, {SET("field-switch=off")}},
    {"field-switch off", "ALT switch off", {SET("field-switch=off")}, {NULL}},
    {"pitot-heat on",
     "pitot heat on",
     {SET("pitot-heat=on")},
     {SET("second-breaker=out"), SET("pitot-heat=on")}},
    {"alternator on", "alternator on", {NULL}, {SET("field-breaker=out")}},
    {"second-breaker in", "second breaker in", {NULL}, {SET("second-breaker=out")}},
    {"second-breaker out", "second breaker out", {SET("second-breaker=out")}, {NULL}},
    {"second-breaker out", "second breaker out", {FAIL("second-breaker=tripped")}, {NULL}},
    {"second-breaker out", "second breaker out", {FAIL("second-bus=short")}, {NULL}},
    {"not second-breaker", "not second breaker works", {FAIL("second-bus=short")}, {NULL}},
    {"pitot-heat.breaker in",
     "PITOT breaker in",
     {SET("pitot-heat=on")},
     {SET("pitot-heat=on"), FAIL("pitot-heat=short")}},
    {"alternator-2 off", "alternator 2 off", {SET("output-breaker=out")}, {NULL}},
    {"alternator-2 on", "alternator 2 on", {NULL}, {FAIL("output-breaker=tripped")}},
    {"battery off", "battery off", {SET("master=off")}, {NULL}},
    {"relay closed", "relay closed", {SET("relay-switch=on")}, {NULL}},
    {"relay open", "relay open", {NULL}, {SET("relay-switch=on")}},
    {"engine running", "engine running", {NULL}, {SET("engine=windmilling")}},
    {"engine windmilling", "engine windmilling", {SET("engine=windmilling")}, {NULL}},
    {"engine stopped", "engine stopped", {PHASE("parked")}, {NULL}},
    {"not engine stopped", "not engine stopped", {NULL}, {PHASE("parked")}},
    {"pump-motor running", "pump motor running", {SET("pump-switch=on")}, {NULL}},
    {"pump-motor stopped", "pump motor stopped", {NULL}, {SET("pump-switch=on")}},
    {"vacuum present", "vacuum present", {SET("pump-switch=on")}, {NULL}},
    {"vacuum low", "vacuum low", {NULL}, {SET("pump-switch=on")}},
    {"oil-pressure", "oil pressure present", {NULL}, {PHASE("parked")}},
    {"airborne", "airborne", {NULL}, {PHASE("parked")}},
    {"night", "night", {SET("night=yes")}, {SET("night=no")}},
    {"day", "day", {SET("day=yes")}, {SET("day=no")}},
    {"cloud", "in cloud", {SET("cloud=yes")}, {NULL}},
    {"icing", "icing", {SET("icing=yes")}, {NULL}},
    {"stall-near", "near the stall", {SET("stall-near=yes")}, {NULL}},
    {"second-breaker", "second breaker works", {NULL}, {SET("second-breaker=out")}},
    {"night and icing",
     "night and icing",
     {SET("night=yes"), SET("icing=yes")},
     {SET("icing=yes")}},
    {"night or icing", "night or icing", {SET("icing=yes")}, {NULL}},
    {"not (night or icing)", "not night or icing", {NULL}, {SET("icing=yes")}},
    {"main-bus below 25 V until night",
     "MAIN BUS below 25 V until night",
     {FLAT},
     {FLAT, SET("night=yes")}},
};
enum { CASE_COUNT = sizeof CASES / sizeof CASES[0] };

static subject open_file(void) {
    text t = text_make(allocator_default());
    text_put(&t, HEAD);
    for (int i = 0; i < CASE_COUNT; i++) {
        char line[200];
        snprintf(line, sizeof line,
                 "  light-%d: {light: LIGHT %d, from: lights-breaker, lit-when: %s}\n", i, i,
                 CASES[i].written);
        text_put(&t, line);
    }
    text_put(&t, TAIL);
    subject s;
    assert_true(subject_open_bytes(&s, "conditions", text_get(&t), t.length));
    text_free(&t);
    return s;
}

static bool lit(subject *s, int which, const char *const *words) {
    char id[20];
    snprintf(id, sizeof id, "light-%d", which);
    outcome *o = asked(s, words);
    const indication *light = asked_indication(o, id);
    assert_true(light->valid);
    bool shines = light->figure != 0;
    outcome_free(o);
    return shines;
}

static void conditions_hold_when_they_should(void **unused) {
    (void)unused;
    subject s = open_file();
    int wrong = 0;
    for (int i = 0; i < CASE_COUNT; i++) {
        bool so = lit(&s, i, CASES[i].so), not_so = lit(&s, i, CASES[i].not_so);
        if (so && !not_so)
            continue;
        print_message("%s: %s, then %s\n", CASES[i].written, so ? "true" : "false",
                      not_so ? "true" : "false");
        wrong++;
    }
    subject_close(&s);
    assert_int_equal(wrong, 0);
}

static void conditions_are_said(void **unused) {
    (void)unused;
    subject s = open_file();
    int wrong = 0;
    for (int i = 0; i < CASE_COUNT; i++) {
        char id[20];
        snprintf(id, sizeof id, "light-%d", i);
        const part *p = &s.aircraft->parts[aircraft_part(s.aircraft, id)];
        text t = text_make(allocator_default());
        condition_words(s.aircraft, part_condition(p, KEY_LIT_WHEN), &t);
        if (strcmp(text_get(&t), CASES[i].said) != 0) {
            print_message("'%s' is said as '%s'\n", CASES[i].said, text_get(&t));
            wrong++;
        }
        text_free(&t);
    }
    subject_close(&s);
    assert_int_equal(wrong, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(conditions_hold_when_they_should),
        cmocka_unit_test(conditions_are_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
