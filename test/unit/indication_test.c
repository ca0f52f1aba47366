// Indications on hand-made outcomes: the figures are put in, nothing is solved. What a reading
// means is common practice of the trade, no source.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <string.h>

#include "circuit/indication.h"
#include "support/failing_memory.h"

static const char FILE_TEXT[] =
    "deadbus: 1\n"
    "aircraft: {name: Test, nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h}\n"
    "  battery-switch: {switch: BAT, to: ground}\n"
    "  battery-contactor: {contactor: continuous, from: battery, to: feed, coil-from: battery,"
    " coil-to: battery-switch}\n"
    "  feed: {bus: feed stud}\n"
    "  starter-contactor: {contactor: intermittent, from: feed, coil-from: key at START}\n"
    "  starter: {motor: 140 A, from: starter-contactor, turns: engine}\n"
    "  key: {switch: key, from: main-bus, positions: [OFF, BOTH, START]}\n"
    "  shunt: {shunt: 60 A, from: feed, to: main-bus}\n"
    "  main-bus: {bus: MAIN BUS}\n"
    "  alternator: {alternator: 40 A, field-from: alternator-switch, regulated-at: 28.0 V,"
    " turned-by: engine}\n"
    "  alternator-shunt: {shunt: 60 A, from: alternator, to: main-bus}\n"
    "  field-breaker: {breaker: 5 A, from: main-bus}\n"
    "  alternator-switch: {switch: ALT, from: field-breaker}\n"
    "  gauge-breaker: {breaker: 5 A, from: main-bus, label: GAUGES}\n"
    "  left-gauge: {instrument: 80 mA, from: gauge-breaker, when-dead: reads empty}\n"
    "  right-gauge: {instrument: 80 mA, from: gauge-breaker, when-dead: reads empty}\n"
    "  pitot-heat: {heater: 6 A, from: main-bus, breaker: 10 A PITOT, switch: PITOT}\n"
    "  engine: {engine: four cylinders, needs: spark}\n"
    "  magneto: {ignition: magneto, turned-by: engine, makes: spark}\n"
    "  sense-fuse: {fuse: 1 A, from: main-bus}\n"
    "  select: {switch: AMMETER, positions: [BAT, ALT]}\n"
    "seen:\n"
    "  ammeter: {ammeter: center-zero, reads: shunt, right: towards feed, scale: 60 A,"
    " needs: sense-fuse}\n"
    "  selected: {ammeter: center-zero, selected-by: select, reads: {BAT: shunt, ALT:"
    " alternator-shunt}, right: {BAT: towards feed, ALT: towards main-bus}}\n"
    "  loadmeter: {loadmeter: amps, reads: alternator, scale: 60 A}\n"
    "  load-percent: {loadmeter: percent, reads: alternator, scale: 100 %}\n"
    "  volts: {voltmeter: 20 to 32 V, reads: main-bus, from: gauge-breaker}\n"
    "  digital-volts: {voltmeter: digital, reads: main-bus, from: gauge-breaker, when-dead: "
    "blank}\n"
    "  low-volts: {light: LOW VOLTS, lit-when: main-bus below 25 V for 2 s, from: gauge-breaker}\n"
    "  pitot-light: {light: PITOT OFF, lit-when: pitot-heat below 2 A, from: gauge-breaker}\n"
    "  source-light: {light: ALT, lit-when: alternator below 2 A for 1 s, from: gauge-breaker}\n"
    "phases:\n"
    "  cruise: {engine: 2400 rpm, airborne: yes, on: [battery-switch, alternator-switch],"
    " set: {key: BOTH}}\n";

enum { SOURCES = 2 };

// An aeroplane with an outcome in which all is well: alternator on line, battery full.
typedef struct scene {
    aircraft *a;
    arena memory;
    outcome now, base;
    indication *items;
    int count;
} scene;

static int id(const scene *s, const char *name) {
    int which = aircraft_part(s->a, name);
    assert_true(which >= 0);
    return which;
}

static part_outcome *at(scene *s, const char *name) { return &s->now.parts[id(s, name)]; }

static void well(scene *s, outcome *o) {
    const aircraft *a = s->a;
    size_t n = (size_t)a->part_count;
    *o = (outcome){.aircraft = a, .source_count = SOURCES};
    o->parts = arena_new(&s->memory, n, sizeof *o->parts);
    o->sources = arena_new(&s->memory, SOURCES, sizeof *o->sources);
    o->state.setting = arena_new(&s->memory, n, sizeof *o->state.setting);
    assert_non_null(o->state.setting);
    state_of_phase(a, 0, &o->state);
    for (int i = 0; i < a->part_count; i++) {
        bool item = kind_class(a->parts[i].kind) == CLASS_ITEM;
        o->parts[i] = (part_outcome){.volts = 28,
                                     .end_volts = 28,
                                     .live = true,
                                     .closed = true,
                                     .works = true,
                                     .available = true,
                                     .wanted = true,
                                     .reason = ""};
        o->parts[i].status = o->parts[i].base_status = item ? ITEM_ON : ITEM_NONE;
    }
    o->sources[0] =
        (source_outcome){id(s, "battery"), true, 28, 0, 1, 0, SOURCE_CHARGING, true, true};
    o->sources[1] =
        (source_outcome){id(s, "alternator"), false, 28, 20, 0, 40, SOURCE_REGULATING, true, true};
    o->parts[id(s, "alternator")].amps = 20;
}

static int prepare(void **state_of_test) {
    static scene s;
    s = (scene){.memory = arena_make(allocator_default())};
    findings f = findings_make(allocator_default());
    status read = aircraft_read(allocator_default(), FILE_TEXT, strlen(FILE_TEXT), &s.a, &f);
    for (int i = 0; read != STATUS_OK && i < f.count; i++)
        print_error("%u: %s\n", f.items[i].where.line, f.items[i].text);
    findings_free(&f);
    assert_int_equal(read, STATUS_OK);
    well(&s, &s.now);
    well(&s, &s.base);
    *state_of_test = &s;
    return 0;
}

static int clear(void **state_of_test) {
    scene *s = *state_of_test;
    arena_free(&s->memory);
    aircraft_free(s->a);
    return 0;
}

static const indication *seen(scene *s, const char *name) {
    assert_int_equal(indications_make(s->a, &s->now, &s->base, &s->memory, &s->items, &s->count),
                     STATUS_OK);
    for (int i = 0; i < s->count; i++)
        if (s->items[i].part == id(s, name))
            return &s->items[i];
    fail_msg("no indication of %s", name);
    return NULL;
}

static void says(const indication *i, const char *words) {
    if (!strstr(i->says, words))
        fail_msg("'%s' isn't said in: %s", words, i->says);
}

static void fail_part(scene *s, const char *name, fault_kind kind) {
    s->now.state.faults[s->now.state.fault_count++] = (fault){id(s, name), kind};
}

static void alternator_lost(scene *s, double load) {
    s->now.sources[1].amps = 0;
    s->now.sources[1].mode = SOURCE_OFF;
    at(s, "alternator")->amps = 0;
    at(s, "shunt")->amps = load;
    at(s, "main-bus")->volts = 23.8;
    at(s, "main-bus")->draining = true;
    s->now.sources[0] =
        (source_outcome){id(s, "battery"), true, 24, load, 0.8, 0, SOURCE_DISCHARGING, true, true};
}

static void discharge_is_the_load(void **unused) {
    scene *s = *unused;
    alternator_lost(s, 57.3);
    const indication *i = seen(s, "ammeter");
    assert_string_equal(i->reading, "−57 A");
    assert_true(i->valid);
    assert_true(i->figure == -57.3);
    says(i, "discharge: the battery carries everything past this meter");
    says(i, "What is fed before it, at feed stud, doesn't show.");
    says(i, "Normal here: 0 A.");
}

static void discharge_beside_a_source_at_its_limit(void **unused) {
    scene *s = *unused;
    at(s, "shunt")->amps = 12;
    s->now.sources[1].mode = SOURCE_LIMITED;
    says(seen(s, "ammeter"), "at its limit and the battery gives the rest");
}

// The other source feeds another bus, behind a diode: it doesn't help this one.
static void a_source_elsewhere_is_no_help(void **unused) {
    scene *s = *unused;
    at(s, "shunt")->amps = 12;
    says(seen(s, "ammeter"), "the source gives too little");
    at(s, "shunt")->draining = true;
    says(seen(s, "ammeter"), "discharge: the battery carries everything past this meter");
}

static void cranking(void **unused) {
    scene *s = *unused;
    alternator_lost(s, 200);
    at(s, "starter")->amps = 190;
    at(s, "main-bus")->volts = 20.5;
    says(seen(s, "volts"), "The starter pulls it down while it turns.");
    at(s, "main-bus")->volts = 17;  // on the left stop, as 20 V would be
    says(seen(s, "volts"), "nearly flat or failing, or something takes far too much");
}

static void charge(void **unused) {
    scene *s = *unused;
    at(s, "shunt")->amps = -3.2;
    assert_string_equal(seen(s, "ammeter")->reading, "+3 A");
    says(seen(s, "ammeter"), "charge: the source carries the loads and fills the battery");
    at(s, "shunt")->amps = -75;
    assert_string_equal(seen(s, "ammeter")->reading, "+60 A, right stop");
    says(seen(s, "ammeter"), "a flat or failing battery");
    at(s, "battery")->volts = 31;
    says(seen(s, "ammeter"), "too many volts from the regulator");
    at(s, "starter")->amps = 80;
    says(seen(s, "ammeter"), "still turns");
}

// The four meanings of zero, each where it holds.
static void four_zeros(void **unused) {
    scene *s = *unused;
    const indication *i = seen(s, "ammeter");
    assert_string_equal(i->reading, "0 A");
    says(i, "zero: the source carries everything and the battery takes nothing");
    says(i, "four meanings");
    at(s, "battery-contactor")->closed = false;
    says(seen(s, "ammeter"), "zero: the battery is off the line. The needle won't move");
    s->now.sources[1].mode = SOURCE_OFF;
    s->now.sources[1].amps = 0;
    says(seen(s, "ammeter"), "nothing else feeds this bus");
    at(s, "battery-contactor")->closed = true;
    at(s, "shunt")->amps = 0.3;
    says(seen(s, "ammeter"), "almost nothing is drawn past this meter");
    fail_part(s, "ammeter", FAULT_DEAD);
    i = seen(s, "ammeter");
    assert_false(i->valid);
    assert_string_equal(i->reading, "0 A");
    says(i, "the meter itself is dead");
    says(i, "four meanings");
}

static void dead_sense_fuse(void **unused) {
    scene *s = *unused;
    alternator_lost(s, 30);
    at(s, "ammeter")->status = ITEM_NO_DATA;
    at(s, "ammeter")->reason = "fuse sense-fuse is blown";
    const indication *i = seen(s, "ammeter");
    assert_false(i->valid);
    assert_string_equal(i->reading, "0 A");
    says(i, "not a reading: fuse sense-fuse is blown.");
}

static void stuck_and_wrong(void **unused) {
    scene *s = *unused;
    alternator_lost(s, 30);
    fail_part(s, "ammeter", FAULT_STUCK);
    fail_part(s, "volts", FAULT_WRONG);
    assert_string_equal(seen(s, "ammeter")->reading, "0 A");
    says(seen(s, "ammeter"), "stuck");
    assert_string_equal(seen(s, "volts")->reading, "22.0 V");
    says(seen(s, "volts"), "the meter is wrong");
}

static void loadmeter(void **unused) {
    scene *s = *unused;
    assert_string_equal(seen(s, "loadmeter")->reading, "20 A");
    says(seen(s, "loadmeter"), "alternator gives this");
    assert_string_equal(seen(s, "load-percent")->reading, "50 %");  // of the source's 40 A
    s->now.sources[1].joins_bus = s->now.sources[1].joins_battery = false;
    says(seen(s, "loadmeter"), "alternator is joined to no bus");
    alternator_lost(s, 30);
    assert_string_equal(seen(s, "loadmeter")->reading, "0 A");
    says(seen(s, "loadmeter"), "no output from alternator");
    at(s, "alternator")->amps = -2;  // a shorted diode: a loadmeter can't show it
    assert_string_equal(seen(s, "loadmeter")->reading, "0 A");
    assert_string_equal(seen(s, "load-percent")->reading, "0 %");
}

static void selector_chooses_what_is_read(void **unused) {
    scene *s = *unused;
    at(s, "shunt")->amps = -4;
    at(s, "alternator-shunt")->amps = 20;
    assert_string_equal(seen(s, "selected")->reading, "+4 A");
    says(seen(s, "selected"), "charge");
    s->now.state.setting[id(s, "select")] = 1;
    assert_string_equal(seen(s, "selected")->reading, "+20 A");
    says(seen(s, "selected"), "alternator gives this");
}

static void volts(void **unused) {
    scene *s = *unused;
    assert_string_equal(seen(s, "volts")->reading, "28.0 V");
    says(seen(s, "volts"), "a source is on line");
    alternator_lost(s, 30);
    at(s, "main-bus")->volts = 23.84;
    assert_string_equal(seen(s, "volts")->reading, "24.0 V");  // a needle: to half a volt
    assert_string_equal(seen(s, "digital-volts")->reading, "23.8 V");
    says(seen(s, "volts"), "battery only: with the engine turning and its source on line a 28 V");
    says(seen(s, "volts"), "Normal here: 28.0 V.");
    at(s, "main-bus")->volts = 15;
    assert_string_equal(seen(s, "volts")->reading, "20.0 V, left stop");
    says(seen(s, "volts"), "nearly flat");
    at(s, "main-bus")->volts = 0;
    says(seen(s, "digital-volts"), "MAIN BUS is dead");
    at(s, "digital-volts")->status = ITEM_OFF;
    assert_string_equal(seen(s, "digital-volts")->reading, "blank");
    at(s, "volts")->status = ITEM_OFF;
    assert_string_equal(seen(s, "volts")->reading, "reads its left stop");
}

static void too_many_volts(void **unused) {
    scene *s = *unused;
    at(s, "main-bus")->volts = 33;
    says(seen(s, "digital-volts"), "too many volts");
    assert_string_equal(seen(s, "volts")->reading, "32.0 V, right stop");
}

static void inverted_light(void **unused) {
    scene *s = *unused;
    const indication *i = seen(s, "pitot-light");
    assert_string_equal(i->reading, "out");
    says(i, "draws what it should");
    at(s, "pitot-light")->lit = true;
    at(s, "pitot-heat")->status = ITEM_OFF;
    i = seen(s, "pitot-light");
    assert_string_equal(i->reading, "lit");
    assert_true(i->figure == 1);
    says(i, "draws too little: it has failed or lost its supply");
    says(i, "Normal here: out.");
    at(s, "pitot-heat")->wanted = false;
    says(seen(s, "pitot-light"), "draws too little: it is switched off");
}

// A source that gives too little isn't a load that draws too little.
static void light_of_a_source(void **unused) {
    scene *s = *unused;
    says(seen(s, "source-light"), "gives what it should: regulating");
    at(s, "source-light")->lit = true;
    s->now.sources[1].mode = SOURCE_NO_FIELD;
    says(seen(s, "source-light"), "gives too little: no field");
    s->now.sources[1].mode = SOURCE_OFF;
    says(seen(s, "source-light"), "gives too little: it isn't turning or has failed");
}

static void lights_fail_too(void **unused) {
    scene *s = *unused;
    at(s, "low-volts")->lit = true;
    says(seen(s, "low-volts"), "because: MAIN BUS below 25 V for 2 s.");
    at(s, "low-volts")->flashing = true;
    assert_string_equal(seen(s, "low-volts")->reading, "flashing");
    fail_part(s, "low-volts", FAULT_DEAD);
    assert_string_equal(seen(s, "low-volts")->reading, "out");
    says(seen(s, "low-volts"), "failed: it stays out");
    s->now.state.faults[0].kind = FAULT_STUCK;
    assert_string_equal(seen(s, "low-volts")->reading, "out");  // as in the base
    at(s, "low-volts")->lit = at(s, "low-volts")->flashing = false;
    s->now.state.faults[0].kind = FAULT_WRONG;
    assert_string_equal(seen(s, "low-volts")->reading, "lit");
    s->now.state.fault_count = 0;
    at(s, "low-volts")->available = false;
    says(seen(s, "low-volts"), "no supply: it stays out whatever happens");
}

static void gauges_without_power_read_empty(void **unused) {
    scene *s = *unused;
    at(s, "left-gauge")->status = at(s, "right-gauge")->status = ITEM_OFF;
    const indication *i = seen(s, "left-gauge");
    assert_string_equal(i->reading, "reads empty");
    says(i, "this says nothing about what it measures");
    says(i, "Others on the same breaker");
    at(s, "right-gauge")->status = ITEM_ON;
    assert_null(strstr(seen(s, "left-gauge")->says, "Others"));
}

static const char *sentence(scene *s) {
    return outcome_sentence(s->a, &s->now, &s->base, &s->memory);
}

static void one_sentence_first(void **unused) {
    scene *s = *unused;
    assert_string_equal(sentence(s), "Main bus 28.0 V. Nothing is lost.");
    alternator_lost(s, 57);
    at(s, "left-gauge")->status = at(s, "right-gauge")->status = ITEM_OFF;
    at(s, "pitot-heat")->status = ITEM_WEAK;
    assert_string_equal(sentence(s),
                        "Main bus 23.8 V. Battery discharging 57 A. Alternator off line. "
                        "2 items lost. 1 item weak.");
    at(s, "main-bus")->live = false;
    at(s, "feed")->live = false;
    s->now.sources[0].amps = 0;
    at(s, "pitot-heat")->status = ITEM_ON;
    assert_string_equal(sentence(s),
                        "Main bus dead. Every other bus dead. Alternator off line. 2 items lost.");
}

static void no_memory_is_survived(void **unused) {
    scene *s = *unused;
    alternator_lost(s, 57);
    at(s, "left-gauge")->status = ITEM_OFF;
    for (long n = 0;; n++) {
        failing_memory m = {.fail_at = n};
        arena memory = arena_make(failing_allocator(&m));
        indication *items;
        int count;
        status made = indications_make(s->a, &s->now, &s->base, &memory, &items, &count);
        const char *line = outcome_sentence(s->a, &s->now, &s->base, &memory);
        arena_free(&memory);
        assert_int_equal(m.blocks_out, 0);
        assert_true(made == STATUS_OK || made == STATUS_NO_MEMORY);
        if (made == STATUS_OK && line)
            return;
    }
}

#define SCENE(test) cmocka_unit_test_setup_teardown(test, prepare, clear)

int main(void) {
    const struct CMUnitTest tests[] = {
        SCENE(discharge_is_the_load),
        SCENE(discharge_beside_a_source_at_its_limit),
        SCENE(a_source_elsewhere_is_no_help),
        SCENE(cranking),
        SCENE(charge),
        SCENE(four_zeros),
        SCENE(dead_sense_fuse),
        SCENE(stuck_and_wrong),
        SCENE(loadmeter),
        SCENE(selector_chooses_what_is_read),
        SCENE(volts),
        SCENE(too_many_volts),
        SCENE(inverted_light),
        SCENE(light_of_a_source),
        SCENE(lights_fail_too),
        SCENE(gauges_without_power_read_empty),
        SCENE(one_sentence_first),
        SCENE(no_memory_is_survived),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
