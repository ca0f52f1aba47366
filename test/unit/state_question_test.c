// The words of a question about a state: what they set, what follows them, what is said of
// wrong ones.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <string.h>

#include "ask/ask_commands.h"
#include "ask/state_question.h"
#include "support/failing_memory.h"

static const char FILE_TEXT[] =
    "deadbus: 1\n"
    "aircraft: {name: Test, nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h}\n"
    "  master: {switch: BAT, to: ground}\n"
    "  contactor: {contactor: continuous, from: battery, to: main-bus, coil-from: battery,"
    " coil-to: master}\n"
    "  main-bus: {bus: MAIN BUS}\n"
    "  alternator: {alternator: 60 A, field-from: field-switch, regulated-at: 28.0 V, turned-by:"
    " engine}\n"
    "  output: {breaker: 70 A, from: alternator, to: main-bus, as-fitted: no-pull, reach: tools}\n"
    "  field-breaker: {breaker: 5 A, from: main-bus, handbook: 3-20 once}\n"
    "  field-switch: {switch: ALT, from: field-breaker, only-with: master}\n"
    "  pole: {switch: POLE, from: main-bus, moves-with: other-pole}\n"
    "  pole-lamp: {lamp: 20 W, from: pole}\n"
    "  other-pole: {switch: POLE 2, from: main-bus}\n"
    "  other-lamp: {lamp: 20 W, from: other-pole}\n"
    "  key: {switch: key, from: main-bus, positions: [OFF, BOTH, START], springs-back: START to"
    " BOTH}\n"
    "  start-light: {lamp: 5 W, from: key at START}\n"
    "  flap-switch: {switch: FLAP, from: main-bus, positions: {UP: 0 %, FULL: 100 %}}\n"
    "  flaps: {motor: 7 A, from: flap-switch, travel: 9 s}\n"
    "  dimmer: {dimmer: PANEL, from: main-bus}\n"
    "  panel-lights: {lamp: 20 W, from: dimmer}\n"
    "  vane: {switch: vane, from: main-bus, closes-when: stall-near}\n"
    "  horn: {sounder: 6 W, from: vane}\n"
    "  pitot-heat: {heater: 6 A, from: main-bus, breaker: 10 A PITOT, switch: PITOT HEAT}\n"
    "  radio: {radio: 0.6 A, from: main-bus, own-switch: PWR}\n"
    "  cart: {external-power: 28 V, to: main-bus}\n"
    "  engine: {engine: four cylinders, needs: spark}\n"
    "  magneto: {ignition: magneto, turned-by: engine, makes: spark}\n"
    "phases:\n"
    "  parked: {engine: stopped}\n"
    "  climb: {engine: 2500 rpm, airborne: yes, on: [master, field-switch], set: {key: BOTH}}\n"
    "  cruise: {like: climb, engine: 2400 rpm}\n";

typedef struct the_question {
    aircraft *a;
    ask_options options;
    arena memory;
    findings found;
    state asked;
    question_notes notes;
} the_question;

static the_question q;

static int read_file(void **unused) {
    (void)unused;
    findings f = findings_make(allocator_default());
    status read = aircraft_read(allocator_default(), FILE_TEXT, strlen(FILE_TEXT), &q.a, &f);
    for (int i = 0; read != STATUS_OK && i < f.count; i++)
        print_error("%u: %s\n", f.items[i].where.line, f.items[i].text);
    findings_free(&f);
    return read == STATUS_OK ? 0 : -1;
}

static int free_file(void **unused) {
    (void)unused;
    aircraft_free(q.a);
    return 0;
}

static void forget(void) {
    options_free(&q.options);
    arena_free(&q.memory);
    findings_free(&q.found);
}

// Asks, words ending with NULL. forget() afterwards.
static status ask(const char *const words[]) {
    int count = 0;
    while (words[count])
        count++;
    q.memory = arena_make(allocator_default());
    q.found = findings_make(allocator_default());
    assert_int_equal(
        options_read(allocator_default(), COMMAND_STATE, words, count, &q.options, &q.found),
        STATUS_OK);
    return state_of_question(q.a, &q.options, &q.memory, &q.asked, &q.notes, &q.found);
}

#define ASK(...) ask((const char *const[]){__VA_ARGS__, NULL})

static double setting(const char *id) { return q.asked.setting[aircraft_part(q.a, id)]; }

static void expect_said(const char *words) {
    text out = text_make(allocator_default());
    findings_write(&q.found, "state", &out);
    if (!strstr(text_get(&out), words))
        fail_msg("'%s' isn't in: %s", words, text_get(&out));
    text_free(&out);
}

static void refused(const char *option, const char *word, const char *said) {
    assert_int_equal(ASK(option, word), STATUS_BAD_REQUEST);
    assert_int_equal(q.found.errors, 1);
    expect_said(said);
    forget();
}

static void noted(const char *sentence) {
    for (int i = 0; i < q.notes.count; i++)
        if (strcmp(q.notes.items[i], sentence) == 0)
            return;
    fail_msg("not told: %s (%d notes)", sentence, q.notes.count);
}

static void usual_phase(void **unused) {
    (void)unused;
    assert_int_equal(ASK("--json"), STATUS_OK);
    assert_int_equal(q.asked.phase, aircraft_phase(q.a, "cruise"));
    assert_true(setting("engine") == 2400);
    assert_true(q.asked.charge == -1);
    forget();
    // Without a cruise: the first airborne one; without any: the first.
    phase only[2] = {q.a->phases[0], q.a->phases[1]};
    aircraft without = *q.a;
    without.phases = only;
    without.phase_count = 2;
    assert_int_equal(phase_usual(&without), 1);
    without.phase_count = 1;
    assert_int_equal(phase_usual(&without), 0);
}

static void positions_of_every_kind(void **unused) {
    (void)unused;
    assert_int_equal(ASK("--phase", "parked", "--set", "flap-switch=full", "--set", "dimmer=60 %",
                         "--set", "engine=windmilling", "--set", "cart=on", "--set", "radio=on",
                         "--set", "pitot-heat.breaker=out", "--set", "pitot-heat=on", "--set",
                         "icing=yes", "--set", "day=no", "--set", "throttle=70%", "--set",
                         "airspeed=90 kt", "--set", "flaps=FULL", "--charge", "40%",
                         "--temperature", "-10C"),
                     STATUS_OK);
    assert_true(setting("flap-switch") == 1);
    assert_true(setting("flaps") == 1);
    assert_true(setting("dimmer") == 0.6);
    assert_true(setting("engine") == -1);
    assert_true(setting("cart") == 1);
    assert_true(setting("radio") == 1);
    assert_true(setting("pitot-heat.breaker") == 0);
    assert_true(setting("pitot-heat.switch") == 1);
    assert_true(q.asked.icing);
    assert_true(q.asked.night);
    assert_true(q.asked.throttle == 0.7);
    assert_true(q.asked.airspeed == 90);
    assert_true(q.asked.charge == 0.4);
    assert_true(q.asked.temperature == -10);
    forget();
    assert_int_equal(ASK("--phase", "parked", "--set", "engine=running"), STATUS_OK);
    assert_true(setting("engine") ==
                2500);  // parked has no speed: that of the first airborne phase
    forget();
    assert_int_equal(ASK("--set", "engine=1000 rpm"), STATUS_OK);
    assert_true(setting("engine") == 1000);
    forget();
}

static void rocker_halves_follow(void **unused) {
    (void)unused;
    assert_int_equal(ASK("--set", "master=off"), STATUS_OK);
    assert_true(setting("master") == 0);
    assert_true(setting("field-switch") == 0);
    noted("BAT switch off takes ALT switch off with it.");
    forget();
    assert_int_equal(ASK("--phase", "parked", "--set", "field-switch=on"), STATUS_OK);
    assert_true(setting("master") == 1);
    noted("ALT switch on brings BAT switch on with it.");
    forget();
    assert_int_equal(ASK("--set", "field-switch=off"), STATUS_OK);  // ALT off alone is allowed
    assert_true(setting("master") == 1);
    forget();
    assert_int_equal(ASK("--phase", "parked", "--set", "master=on"),
                     STATUS_OK);  // BAT on alone too
    assert_true(setting("field-switch") == 0);
    forget();
    assert_int_equal(ASK("--set", "master=off", "--set", "field-switch=on"), STATUS_BAD_REQUEST);
    assert_int_equal(q.found.errors, 1);
    expect_said("can be on only with BAT switch");
    forget();
}

static void two_poles_move_together(void **unused) {
    (void)unused;
    assert_int_equal(ASK("--set", "pole=on"), STATUS_OK);
    assert_true(setting("other-pole") == 1);
    forget();
    assert_int_equal(ASK("--set", "other-pole=on"), STATUS_OK);
    assert_true(setting("pole") == 1);
    forget();
    assert_int_equal(ASK("--set", "pole=on", "--set", "other-pole=off"), STATUS_BAD_REQUEST);
    expect_said("has one handle with");
    forget();
}

static void what_is_told(void **unused) {
    (void)unused;
    assert_int_equal(ASK("--set", "key=START", "--set", "output=out"), STATUS_OK);
    noted("Key held at START: let go, it springs back to BOTH.");
    noted("Output can't be pulled by hand: taken as opened.");
    forget();
    assert_int_equal(ASK("--set", "key=BOTH"), STATUS_OK);
    assert_int_equal(q.notes.count, 0);
    forget();
}

static void faults(void **unused) {
    (void)unused;
    assert_int_equal(ASK("--fail", "alternator=dead", "--fail", "radio.wire=short"), STATUS_OK);
    assert_int_equal(q.asked.fault_count, 2);
    assert_int_equal(q.asked.faults[1].kind, FAULT_SHORT);
    assert_int_equal(q.asked.faults[1].part, aircraft_part(q.a, "radio.wire"));
    forget();
}

static void every_wrong_word_has_a_finding(void **unused) {
    (void)unused;
    refused("--phase", "cruse",
            "there is no phase 'cruse'. Did you mean 'cruise'? There are: parked,");
    refused("--set", "mastr=off", "there is no part 'mastr'. Did you mean 'master'?");
    refused("--set", "iceing=yes", "Did you mean 'icing'?");
    refused("--set", "icing=on", "'on' is no value for 'icing'. Write yes or no");
    refused("--set", "throttle=2", "Write 0% to 100%");
    refused("--set", "airspeed=90", "Write knots");
    refused("--set", "master=in", "'in' is no position of 'master'. It takes: on, off");
    refused("--set", "key=L", "It takes: OFF, BOTH, START");
    refused("--set", "field-breaker=off", "It takes: in, out");
    refused("--set", "dimmer=150%", "It takes: 0% to 100%");
    refused("--set", "engine=fast", "a speed such as 2400 rpm");
    refused("--set", "radio=maybe", "It takes: on, off");
    refused("--set", "cart=maybe", "It takes: on, off");
    refused("--set", "flaps=SOME", "a place of its selector");
    refused("--set", "vane=on", "No hand moves it: it follows near the stall");
    refused("--set", "pole-lamp=on", "It has no switch of its own: set 'pole'");
    refused("--set", "main-bus=off", "'main-bus' has no positions");
    refused("--fail", "alternatr=dead", "Did you mean 'alternator'?");
    refused("--fail", "alternator=shrot", "'shrot' is no fault of 'alternator' (alternator)");
    refused("--fail", "main-bus=shrt", "Did you mean short? It can be: open, short");
    assert_int_equal(ASK("--phase", "x", "--set", "y=on", "--fail", "z=dead"), STATUS_BAD_REQUEST);
    assert_int_equal(q.found.errors, 3);  // all are told
    forget();
}

// Whole answers, with the n-th allocation failing, for every n.
static void no_memory(command_id command, const char *const words[], int count,
                      status (*answer)(const aircraft *, const ask_options *, text *, findings *,
                                       deadbus_exit *)) {
    for (long n = 0;; n++) {
        failing_memory m = {.fail_at = n};
        allocator memory = failing_allocator(&m);
        text out = text_make(memory);
        findings f = findings_make(memory);
        ask_options options;
        deadbus_exit ends = DEADBUS_DONE;
        status s = options_read(memory, command, words, count, &options, &f);
        if (s == STATUS_OK)
            s = answer(q.a, &options, &out, &f, &ends);
        bool complete = s == STATUS_OK;
        options_free(&options);
        text_free(&out);
        findings_free(&f);
        assert_int_equal(m.blocks_out, 0);
        assert_true(complete || s == STATUS_NO_MEMORY);
        if (complete) {
            assert_true(n > 5);  // an answer needs a few blocks: something was tested
            return;
        }
    }
}

static void no_memory_is_survived(void **unused) {
    (void)unused;
    static const char *const as_text[] = {"--set", "master=off", "--fail", "engine=failed"};
    static const char *const as_json[] = {"--fail", "main-bus=short", "--json"};
    static const char *const json[] = {"--json"}, *const csv[] = {"--csv"},
                             *const faults_too[] = {"--faults"};
    no_memory(COMMAND_STATE, as_text, 4, state_in_words);
    no_memory(COMMAND_STATE, as_json, 3, state_in_json);
    no_memory(COMMAND_SHOW, NULL, 0, show_in_words);
    no_memory(COMMAND_SHOW, json, 1, show_in_json);
    no_memory(COMMAND_SHOW, csv, 1, show_in_csv);
    no_memory(COMMAND_SHOW, faults_too, 1, show_in_words);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(usual_phase),
        cmocka_unit_test(positions_of_every_kind),
        cmocka_unit_test(rocker_halves_follow),
        cmocka_unit_test(two_poles_move_together),
        cmocka_unit_test(what_is_told),
        cmocka_unit_test(faults),
        cmocka_unit_test(every_wrong_word_has_a_finding),
        cmocka_unit_test(no_memory_is_survived),
    };
    return cmocka_run_group_tests(tests, read_file, free_file);
}
