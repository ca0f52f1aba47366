// Reasons and verdicts that an instructor stumbled over: two failures of which either repair would
// help, an item with two feeds, a thing that isn't asked for.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/indication.h"
#include "support/asked.h"

static const char FILE_TEXT[] =
    "deadbus: 1\n"
    "aircraft: {name: Test, nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 17 Ah}\n"
    "  master: {switch: BAT, to: ground}\n"
    "  contactor: {contactor: continuous, from: battery, to: main-bus, coil-from: battery,"
    " coil-to: master}\n"
    "  main-bus: {bus: MAIN BUS}\n"
    "  tie-diode: {diode: 10 A, from: main-bus, to: aux-bus}\n"
    "  aux-bus: {bus: AUX BUS}\n"
    "  beacon: {lamp: 20 W, from: aux-bus, breaker: 5 A BCN}\n"
    "  engine: {engine: six cylinders}\n"
    "  volts: {voltmeter: 20 to 32 V, reads: main-bus}\n"
    "  amps: {ammeter: center-zero, reads: contactor, scale: 60 A, right: towards battery}\n"
    "  alternator: {alternator: 70 A, to: main-bus, field-from: unit}\n"
    "  unit: {regulator: 28.5 V, from: alternator-switch}\n"
    "  alternator-switch: {switch: ALT, from: main-bus}\n"
    "  com: {radio: 1 A, from: main-bus, breaker: 5 A COM}\n"
    "  landing-light: {lamp: 100 W, from: main-bus, breaker: 7.5 A LDG, switch: LDG}\n"
    "  trim-breaker: {breaker: 3 A, from: main-bus, label: TRIM}\n"
    "  trim-disconnect: {switch: TRIM DISC, from: trim-breaker}\n"
    "  trim-switch: {switch: TRIM, from: trim-disconnect, positions: [OFF, UP, DOWN],"
    " springs-back: to OFF}\n"
    "  trim-motor: {motor: 2 A, from: [trim-switch at UP, trim-switch at DOWN], gives: trim}\n"
    "  pitot-heat: {heater: 5 A, from: aux-bus, breaker: 7.5 A PITOT, switch: PITOT}\n"
    "  pitot: {probe: pitot, makes: pitot-pressure, fails-when: icing and pitot-heat off}\n"
    "  airspeed: {instrument: AIRSPEED, needs: pitot-pressure}\n"
    "phases:\n"
    "  parked: {engine: stopped, on: []}\n"
    "  cruise: {engine: 2400 rpm, airborne: yes, on: [master, alternator-switch,"
    " trim-disconnect]}\n";

static subject q;

static int open_file(void **unused) {
    (void)unused;
    return subject_open_bytes(&q, "reasons", FILE_TEXT, strlen(FILE_TEXT)) ? 0 : -1;
}

static int close_file(void **unused) {
    (void)unused;
    subject_close(&q);
    return 0;
}

#define ASKED(...) asked(&q, (const char *const[]){__VA_ARGS__, NULL})

static void reason_is(outcome *o, const char *id, const char *reason, int causes) {
    const part_outcome *p = asked_part(o, id);
    assert_string_equal(p->reason, reason);
    assert_int_equal(p->cause_count, causes);
    outcome_free(o);
}

static void either_repair(void **unused) {
    (void)unused;
    reason_is(ASKED("--fail", "alternator=dead", "--fail", "contactor=stuck-open"), "com",
              "MAIN BUS is dead, because alternator has failed, and contactor is stuck open: only "
              "both together do it",
              1);
    // A third failure that has nothing to do with it isn't named.
    reason_is(ASKED("--fail", "alternator=dead", "--fail", "contactor=stuck-open", "--fail",
                    "landing-light=open"),
              "com",
              "MAIN BUS is dead, because alternator has failed, and contactor is stuck open: only "
              "both together do it",
              1);
    reason_is(ASKED("--set", "master=off", "--set", "alternator-switch=off"), "com",
              "MAIN BUS is dead, because alternator gives nothing; that is because ALT switch is "
              "off, and BAT switch is off: only both together do it",
              1);
}

static void both_repairs(void **unused) {
    (void)unused;
    reason_is(ASKED("--fail", "com=open", "--fail", "com.breaker=tripped"), "com",
              "com is open; besides, COM breaker is out", 2);
}

// Each item is told its own cause, though the other failure draws more.
static void not_the_other_short(void **unused) {
    (void)unused;
    reason_is(
        ASKED("--set", "landing-light=on", "--fail", "landing-light=short", "--fail", "com=short"),
        "com", "COM breaker has opened by itself, because com is shorted to the airframe", 1);
    reason_is(
        ASKED("--set", "landing-light=on", "--fail", "landing-light=short", "--fail", "com=short"),
        "landing-light",
        "LDG breaker has opened by itself, because landing light is shorted to the airframe", 1);
}

// What drove the volts too high isn't on line any more: that is said of it.
static void tripped_off_line(void **unused) {
    (void)unused;
    reason_is(ASKED("--fail", "alternator=full-field", "--fail", "contactor=stuck-open"), "com",
              "MAIN BUS is dead, because alternator drove the volts too high and was tripped off "
              "line, and contactor is stuck open: only both together do it",
              1);
    outcome *o = ASKED("--fail", "alternator=full-field"), *base = ASKED("--phase", "cruise");
    arena memory = arena_make(allocator_default());
    const char *sentence = outcome_sentence(q.aircraft, o, base, &memory);
    assert_non_null(sentence);
    assert_non_null(strstr(sentence, "Alternator tripped off line."));
    arena_free(&memory);
    outcome_free(base);
    outcome_free(o);
}

static void sentence_says(outcome *o, const char *words, bool says) {
    outcome *base = ASKED("--phase", "cruise");
    arena memory = arena_make(allocator_default());
    const char *sentence = outcome_sentence(q.aircraft, o, base, &memory);
    assert_non_null(sentence);
    if ((strstr(sentence, words) != NULL) != says)
        fail_msg("'%s' %s in: %s", words, says ? "isn't" : "is", sentence);
    arena_free(&memory);
    outcome_free(base);
    outcome_free(o);
}

// 17 Ah into a short with only a contactor between; the same short behind a breaker is cleared.
static void short_without_breaker(void **unused) {
    (void)unused;
    const char *words = "No breaker or fuse stands in the way of ";
    sentence_says(ASKED("--fail", "main-bus=short"), words, true);
    sentence_says(ASKED("--fail", "com=short"), words, false);
    sentence_says(ASKED("--fail", "alternator=dead"), words, false);
}

static void diode_beyond_its_rating(void **unused) {
    (void)unused;
    const char *words = "Tie diode carries ", *made_for = "A, made for 10 A: it burns out";
    sentence_says(ASKED("--fail", "aux-bus=short"), words, true);
    sentence_says(ASKED("--fail", "aux-bus=short"), made_for, true);
    sentence_says(ASKED("--phase", "cruise"), words, false);
}

static void failure_that_nothing_shows(void **unused) {
    (void)unused;
    const char *words = "Nothing on the panel shows it.";
    sentence_says(ASKED("--fail", "alternator=diode-shorted"), words, true);
    sentence_says(ASKED("--fail", "alternator=dead"), words, false);
    sentence_says(ASKED("--fail", "com=open"), words, false);
    sentence_says(ASKED("--phase", "cruise"), words, false);
}

// A bus has two ways; the fuse that closed the second is told as well.
static void blown_fuse_is_told(void **unused) {
    (void)unused;
    subject s;
    assert_true(subject_open(&s, "docs/guide/steps/seventh.yaml"));
    outcome *o = asked(&s, (const char *const[]){"--fail", "cut-out=stuck-closed", "--set",
                                                 "engine=stopped", NULL});
    const part_outcome *light = asked_part(o, "gen-light");
    if (!strstr(light->reason, "cut out is stuck closed") ||
        !strstr(light->reason, "(main fuse has blown)"))
        fail_msg("%s", light->reason);
    outcome_free(o);
    subject_close(&s);
}

// Moving a switch back so that the item is off again doesn't repair the item.
static void off_is_no_repair(void **unused) {
    (void)unused;
    reason_is(ASKED("--set", "trim-switch=UP", "--fail", "trim-motor=stuck"), "trim-motor",
              "trim motor is stuck", 1);
    reason_is(ASKED("--set", "landing-light=on", "--fail", "landing-light=open"), "landing-light",
              "landing light is open", 1);
}

static void trim_is(outcome *o, function_status status, const char *said) {
    assert_int_equal(asked_function(o, "trim")->status, status);
    arena memory = arena_make(allocator_default());
    const char *sentence = outcome_sentence(q.aircraft, o, NULL, &memory);
    assert_non_null(sentence);
    if (!strstr(sentence, said))
        fail_msg("'%s' isn't in: %s", said, sentence);
    arena_free(&memory);
    outcome_free(o);
}

// With two feeds, both through a switch that is off: judged as if asked for, as with one feed.
static void two_feeds_not_asked(void **unused) {
    (void)unused;
    trim_is(ASKED("--phase", "cruise"), FUNCTION_KEPT, "Nothing is lost.");
    trim_is(ASKED("--set", "trim-switch=DOWN"), FUNCTION_KEPT, "Nothing is lost.");
    trim_is(ASKED("--set", "trim-disconnect=off"), FUNCTION_KEPT, "Nothing is lost.");
    const char *said = "Nothing that is on is lost. No longer there if wanted: trim.";
    trim_is(ASKED("--fail", "trim-breaker=tripped"), FUNCTION_LOST, said);
    trim_is(ASKED("--fail", "trim-disconnect=stuck-open"), FUNCTION_LOST, said);
    trim_is(ASKED("--fail", "trim-motor=open"), FUNCTION_LOST, said);
}

// Switched on where nothing feeds it: what is missing is told, not that it was switched on.
static void asked_for_in_vain(void **unused) {
    (void)unused;
    reason_is(ASKED("--phase", "parked", "--set", "landing-light=on"), "landing-light",
              "contactor has dropped out, because its coil has no way to the airframe; that is "
              "because BAT switch is off",
              1);
    reason_is(ASKED("--phase", "parked", "--set", "landing-light=on", "--fail",
                    "landing-light.breaker=tripped", "--set", "master=on"),
              "landing-light", "LDG breaker is out", 1);
    outcome *o = ASKED("--phase", "parked", "--fail", "landing-light.switch=stuck-closed");
    assert_int_equal(asked_part(o, "landing-light")->status, ITEM_UNUSED);
    outcome_free(o);
}

// What is asked of the flight itself takes things, too: no part is to blame.
static void conditions_take_it(void **unused) {
    (void)unused;
    reason_is(ASKED("--phase", "cruise", "--set", "icing=yes"), "airspeed",
              "there is no pitot pressure, because pitot doesn't work (icing)", 0);
    reason_is(ASKED("--phase", "cruise", "--set", "icing=yes", "--fail", "com=open"), "pitot",
              "icing", 0);
    reason_is(ASKED("--phase", "cruise", "--set", "icing=yes", "--fail", "com=open"), "com",
              "com is open", 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(asked_for_in_vain),       cmocka_unit_test(conditions_take_it),
        cmocka_unit_test(either_repair),           cmocka_unit_test(both_repairs),
        cmocka_unit_test(not_the_other_short),     cmocka_unit_test(tripped_off_line),
        cmocka_unit_test(blown_fuse_is_told),      cmocka_unit_test(off_is_no_repair),
        cmocka_unit_test(two_feeds_not_asked),     cmocka_unit_test(short_without_breaker),
        cmocka_unit_test(diode_beyond_its_rating), cmocka_unit_test(failure_that_nothing_shows),
    };
    return cmocka_run_group_tests(tests, open_file, close_file);
}
