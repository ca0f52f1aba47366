// What reading fills in and resolves: rows, wires, defaults, positions, phases; and files that are
// made to be slow.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "model/state.h"
#include "support/failing_memory.h"

#define HEAD_28 "deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n"
#define HEAD_14 "deadbus: 1\naircraft: {nominal: 14 V}\nparts:\n"

static aircraft *read_text(const char *source) {
    findings f = findings_make(allocator_default());
    aircraft *a = NULL;
    status s = aircraft_read(allocator_default(), source, strlen(source), &a, &f);
    if (s != STATUS_OK) {
        text t = text_make(allocator_default());
        findings_write(&f, "test", &t);
        print_error("%s", text_get(&t));
        text_free(&t);
    }
    assert_int_equal(s, STATUS_OK);
    findings_free(&f);
    return a;
}

static const part *part_of(const aircraft *a, const char *id) {
    int index = aircraft_part(a, id);
    if (index < 0)
        fail_msg("there is no '%s'", id);
    return &a->parts[index];
}

static void expect_figure(const part *p, part_key key, double value, basis b) {
    const figure *f = part_figure(p, key);
    if (!f)
        fail_msg("%s has no %s", p->id, key_word(key));
    assert_true(f->value > value * (1 - 1e-12) && f->value < value * (1 + 1e-12) + 1e-300);
    assert_int_equal(f->basis, b);
}

static void expect_fed(const aircraft *a, const char *id, const char *from) {
    const reference_list *list = part_references(part_of(a, id), KEY_FROM);
    assert_non_null(list);
    assert_int_equal(list->count, 1);
    assert_int_equal(list->items[0].part, aircraft_part(a, from));
}

static void row_becomes_breaker_switch_item(void **unused) {
    (void)unused;
    aircraft *a = read_text(
        HEAD_28 "  battery: {battery: 24 V}\n"
                "  bus: {bus: MAIN, from: battery}\n"
                "  heat: {heater: 6.2 A, from: bus, breaker: 10 A PITOT HT, switch: PITOT HEAT, "
                "place: left row 1 no 4, handbook: 3-20 once, as-fitted: collared}\n"
                "  clock: {equipment: 6 mA, from: bus, fuse: 1 A CLOCK}\n");
    expect_fed(a, "heat.breaker", "bus");
    expect_fed(a, "heat.switch", "heat.breaker");
    expect_fed(a, "heat", "heat.switch");
    expect_fed(a, "clock.fuse", "bus");
    expect_fed(a, "clock", "clock.fuse");
    const part *breaker = part_of(a, "heat.breaker");
    assert_int_equal(breaker->kind, KIND_BREAKER);
    assert_string_equal(breaker->label, "PITOT HT");
    assert_string_equal(breaker->panel, "left");
    assert_int_equal(breaker->row, 1);
    assert_int_equal(breaker->number, 4);
    assert_int_equal(breaker->fitted, FITTED_COLLARED);
    assert_int_equal(breaker->reach, REACH_SEAT);
    assert_string_equal(part_text(breaker, KEY_HANDBOOK), "3-20 once");
    expect_figure(breaker, KEY_VALUE, 10, BASIS_UNSTATED);
    expect_figure(breaker, KEY_RESISTANCE, 0.015, BASIS_ASSUMED);
    assert_string_equal(part_of(a, "heat.switch")->label, "PITOT HEAT");
    assert_true(part_of(a, "heat.switch")->hand);
    // Implied parts stand right after their host.
    int host = aircraft_part(a, "heat");
    assert_int_equal(a->parts[host].row_breaker, host + 1);
    assert_int_equal(a->parts[host].row_switch, host + 2);
    assert_int_equal(a->parts[host].wire, host + 3);
    assert_int_equal(a->parts[host + 3].host, host);
    // A collared breaker is out in a phase that says nothing of it.
    assert_true(a->phases[0].setting[host + 1] == 0);
    assert_true(a->phases[0].setting[aircraft_part(a, "clock.fuse")] == 1);
    aircraft_free(a);
}

static void wires_and_straps_are_parts(void **unused) {
    (void)unused;
    aircraft *a = read_text(HEAD_28 "  battery: {battery: 24 V}\n"
                                    "  bus: {bus: MAIN, from: battery}\n"
                                    "  b: {breaker: 5 A, from: bus, wire: 2/0 AWG 10 ft}\n"
                                    "  r: {radio: 0.5 A, from: b}\n"
                                    "  h: {heater: 56 W, from: b, wire: 18 AWG 10 ft book}\n"
                                    "  e: {radio: handheld, own-battery: 6 h}\n");
    const part *wire = part_of(a, "r.wire");
    assert_int_equal(wire->kind, KIND_WIRE);
    assert_int_equal(wire->implied, IMPLIED_WIRE);
    expect_figure(wire, KEY_RESISTANCE, 0.25 / 0.5, BASIS_ASSUMED);
    const part_value *run = part_value_of(part_of(a, "h.wire"), KEY_WIRE);
    assert_int_equal(run->as.wire.gauge, 18);
    assert_true(run->as.wire.meters > 3.0479 && run->as.wire.meters < 3.0481);
    assert_int_equal(run->as.wire.basis, BASIS_BOOK);
    assert_int_equal(part_value_of(part_of(a, "b.wire"), KEY_WIRE)->as.wire.gauge, -1);
    const part *strap = part_of(a, "bus.strap");
    expect_figure(strap, KEY_RESISTANCE, 0.001, BASIS_ASSUMED);
    assert_int_equal(part_references(strap, KEY_TO)->items[0].part, aircraft_part(a, "bus"));
    assert_int_equal(aircraft_part(a, "e.wire"), -1);
    assert_false(part_of(a, "e")->electric);
    aircraft_free(a);
}

// The figures of the format's tables for both voltages.
static void defaults_follow_the_nominal_volts(void **unused) {
    (void)unused;
    static const char BODY[] = "  b: {battery: main}\n"
                               "  c: {contactor: intermittent, from: b, coil-from: b}\n"
                               "  k: {relay: 10 A, from: c, coil-from: c}\n"
                               "  m: {motor: 4 A, from: k}\n"
                               "  l: {lamp: LANDING, from: k}\n"
                               "  w: {light: WARN, from: k}\n"
                               "  e: {engine: four}\n"
                               "  a: {alternator: big, to: c}\n"
                               "  f: {breaker: 5 A, from: c}\n"
                               "  u: {regulator: unit, from: f}\n";
    for (int i = 0; i < 2; i++) {
        char source[2048];
        bool is_28 = i == 0;
        snprintf(source, sizeof source, "%s%s", is_28 ? HEAD_28 : HEAD_14, BODY);
        aircraft *a = read_text(source);
        assert_int_equal(aircraft_is_28(a), is_28);
        const part *b = part_of(a, "b");
        expect_figure(b, KEY_VALUE, is_28 ? 24 : 12, BASIS_ASSUMED);
        expect_figure(b, KEY_CAPACITY, (is_28 ? 10 : 24) * 3600.0, BASIS_ASSUMED);
        expect_figure(b, KEY_RESISTANCE, is_28 ? 0.025 : 0.25 / 24 / 2, BASIS_ASSUMED);
        assert_string_equal(b->label, "main");
        expect_figure(part_of(a, "c"), KEY_COIL, is_28 ? 3 : 4, BASIS_ASSUMED);
        expect_figure(part_of(a, "c"), KEY_PULLS_IN, is_28 ? 17 : 8.5, BASIS_ASSUMED);
        expect_figure(part_of(a, "k"), KEY_COIL, is_28 ? 0.15 : 0.2, BASIS_ASSUMED);
        expect_figure(part_of(a, "k"), KEY_DROPS_OUT, is_28 ? 6 : 3, BASIS_ASSUMED);
        expect_figure(part_of(a, "m"), KEY_STALL, 16, BASIS_ASSUMED);
        expect_figure(part_of(a, "m"), KEY_WORKS_ABOVE, is_28 ? 19.6 : 9.8, BASIS_ASSUMED);
        expect_figure(part_of(a, "l"), KEY_WORKS_ABOVE, is_28 ? 21 : 10.5, BASIS_ASSUMED);
        expect_figure(part_of(a, "l"), KEY_OFF_BELOW, is_28 ? 7 : 3.5, BASIS_ASSUMED);
        assert_int_equal(part_draw(part_of(a, "l"))->unit, UNIT_WATT);
        assert_true(part_draw(part_of(a, "w"))->value == 1);
        const part *alternator = part_of(a, "a");
        expect_figure(alternator, KEY_VALUE, 60, BASIS_ASSUMED);
        expect_figure(alternator, KEY_IDLE, 24, BASIS_ASSUMED);
        assert_true(part_figure(alternator, KEY_IDLE)->at == 700);
        expect_figure(alternator, KEY_REGULATED_AT, is_28 ? 28 : 14, BASIS_ASSUMED);
        assert_int_equal(part_id(alternator, KEY_TURNED_BY), aircraft_part(a, "e"));
        const condition *trip = &a->conditions[part_condition(part_of(a, "u"), KEY_TRIPS_WHEN)];
        assert_int_equal(trip->op, CONDITION_LATCH);
        assert_true(a->conditions[trip->a].value == (is_28 ? 32 : 16));
        assert_int_equal(a->conditions[trip->a].ref.terminal, TERMINAL_SENSE);
        assert_true(a->conditions[trip->b].below && a->conditions[trip->b].value == 1);
        aircraft_free(a);
    }
}

static void phases_are_resolved(void **unused) {
    (void)unused;
    aircraft *a = read_text(
        HEAD_28 "  battery: {battery: 24 V}\n"
                "  engine: {engine: four}\n"
                "  b: {breaker: 5 A, from: battery}\n"
                "  key: {switch: KEY, from: b, positions: [R, OFF, BOTH]}\n"
                "  pole: {switch: MASTER, from: b}\n"
                "  other-pole: {switch: MASTER, from: b, moves-with: pole}\n"
                "  sel: {switch: FLAP, from: b, positions: {UP: 0 %, FULL: 100 %}}\n"
                "  flaps: {motor: 2 A, from: sel, travel: 9 s}\n"
                "  dim: {dimmer: LT, from: b}\n"
                "  com: {radio: 1 A, from: pole, own-switch: PWR}\n"
                "  x: {radio: 1 A, from: other-pole, switch: X}\n"
                "phases:\n"
                "  late: {like: early, off: [com], engine: windmilling, duty: {com: 5 %}}\n"
                "  early: {engine: 2400 rpm, lasts: 2 min, temperature: -4 F, night: yes, on: "
                "[pole, com, x], set: {key: BOTH, sel: FULL, dim: 60 %}}\n"
                "  none: {}\n");
    const phase *late = &a->phases[aircraft_phase(a, "late")];
    const phase *early = &a->phases[aircraft_phase(a, "early")];
    const phase *none = &a->phases[aircraft_phase(a, "none")];
    int key = aircraft_part(a, "key");
    int flaps = aircraft_part(a, "flaps");
    int com = aircraft_part(a, "com");
    assert_true(none->setting[key] == 1);  // OFF, though it stands second
    assert_true(early->setting[key] == 2 && late->setting[key] == 2);
    assert_true(early->setting[aircraft_part(a, "other-pole")] == 1);
    assert_true(early->setting[aircraft_part(a, "x.switch")] == 1);
    assert_true(early->setting[flaps] == 1 && none->setting[flaps] == 0);
    assert_true(early->setting[aircraft_part(a, "dim")] == 0.6);
    assert_true(early->setting[aircraft_part(a, "engine")] == 2400);
    assert_true(late->setting[aircraft_part(a, "engine")] == -1);
    assert_true(early->setting[com] == 1 && late->setting[com] == 0);
    assert_true(early->duty[com] == -1 && late->duty[com] == 0.05);
    assert_true(early->lasts == 120 && late->lasts == 0);  // `like` doesn't take how long it lasts
    assert_true(late->night && early->temperature == -20 && none->temperature == 15);
    double settings[2][40];
    state s = {.setting = settings[0]};
    state t = {.setting = settings[1]};
    state_of_phase(a, aircraft_phase(a, "early"), &s);
    s.charge = 0.5;
    state_copy(a, &s, &t);
    assert_true(t.setting == settings[1] && t.setting[key] == 2 && t.charge == 0.5 && t.night);
    aircraft_free(a);
}

static void contacts_and_diodes(void **unused) {
    (void)unused;
    aircraft *a = read_text(
        HEAD_28 "  battery: {battery: 24 V}\n"
                "  s: {switch: S, from: battery, positions: [OFF, ON, TEST]}\n"
                "  p: {switch: P, from: battery}\n"
                "  r: {radio: 1 A, from: s}\n"
                "  q: {radio: 1 A, from: [p]}\n"
                "  k: {relay: 5 A, from: battery, coil-from: [p at OFF, s at TEST, p at ON]}\n"
                "  t: {radio: 1 A, from: k}\n");
    const reference_list *r = part_references(part_of(a, "r"), KEY_FROM);
    assert_int_equal(r->items[0].terminal, TERMINAL_CONTACT);
    assert_int_equal(r->items[0].position, 1);
    assert_false(r->diodes);
    const reference_list *q = part_references(part_of(a, "q"), KEY_FROM);
    assert_true(q->diodes && q->count == 1 && q->items[0].terminal == TERMINAL_SELF);
    const reference_list *k = part_references(part_of(a, "k"), KEY_COIL_FROM);
    assert_true(k->diodes && k->count == 3);
    assert_true(k->items[0].terminal == TERMINAL_CONTACT && k->items[0].position == 0);
    assert_true(k->items[1].terminal == TERMINAL_CONTACT && k->items[1].position == 2);
    assert_int_equal(k->items[2].terminal, TERMINAL_SELF);
    aircraft_free(a);
}

static void faults_of_kinds(void **unused) {
    (void)unused;
    assert_int_equal(kind_faults(KIND_BREAKER, 0), 1u << FAULT_TRIPPED | 1u << FAULT_STUCK |
                                                       1u << FAULT_RESISTIVE |
                                                       1u << FAULT_TRIPS_EARLY);
    assert_int_equal(kind_faults(KIND_PROBE, 0), 1u << FAULT_FAILED);
    assert_int_equal(kind_faults(KIND_PROBE, 1), 1u << FAULT_FAILED | 1u << FAULT_OPEN |
                                                     1u << FAULT_SHORT | 1u << FAULT_OVERLOAD);
    assert_int_equal(kind_faults(KIND_LIGHT, 1),
                     1u << FAULT_DEAD | 1u << FAULT_STUCK | 1u << FAULT_WRONG);
    for (int k = 0; k < KIND_COUNT; k++)
        assert_true(kind_faults((part_kind)k, 1) != 0);
}

// ---- files made to be slow ----------------------------------------------------------------------

static void expect_quick(const char *name, const char *source, size_t length) {
    findings f = findings_make(allocator_default());
    aircraft *a = NULL;
    clock_t start = clock();
    status s = aircraft_read(allocator_default(), source, length, &a, &f);
    double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
    assert_true(s == STATUS_BAD_FILE || s == STATUS_OK);
    if (seconds > 10)  // generous: sanitizers and a busy machine; without limits these take hours
        fail_msg("%s took %.1f s", name, seconds);
    aircraft_free(a);
    findings_free(&f);
}

// `head`, then `line` again and again, each `#` in it the number of the line.
static char *repeated(const char *head, const char *line, size_t size, size_t *length) {
    char *made = malloc(size + 256);
    size_t n = strlen(head);
    memcpy(made, head, n);
    for (int i = 0; n + strlen(line) + 30 < size; i++) {
        for (const char *c = line; *c; c++) {
            if (*c == '#')
                n += (size_t)sprintf(made + n, "%d", i);
            else
                made[n++] = *c;
        }
    }
    *length = n;
    return made;
}

static void slow_files_are_refused_in_time(void **unused) {
    (void)unused;
    static const struct {
        const char *name, *head, *line;
    } FILES[] = {
        {"brackets", "", "["},
        {"braces and keys", "", "{a: "},
        {"dashes", "", "- "},
        {"one long word", "deadbus: ", "x"},
        {"unknown ids", HEAD_28, "  p#: {radio: 1 A, from: q#}\n"},
        {"unknown kinds", HEAD_28, "  p#: {radoi: 1 A, from: q#}\n"},
        {"broken lines", HEAD_28, "  p#: {radio: 1 A, from: q#\n"},
        {"switches without ends", HEAD_28, "  p#: {switch: S#}\n"},
        {"a key many times", HEAD_28, "  p: {radio: 1 A, from: q}\n"},
        {"tabs", HEAD_28, "\tp#: {radio: 1 A}\n"},
        {"alternators", HEAD_28 "  e: {engine: four}\n", "  p#: {alternator: 60 A, label: X#}\n"},
        {"chain", HEAD_28 "  p0: {battery: 24 V}\n", "  q#: {bus: X, from: q#}\n"},
        {"anchors", "a: &a [x]\n", "b#: [*a, *a]\n"},
    };
    for (size_t i = 0; i < sizeof FILES / sizeof FILES[0]; i++) {
        size_t length = 0;
        char *source = repeated(FILES[i].head, FILES[i].line, 1 << 20, &length);
        expect_quick(FILES[i].name, source, length);
        free(source);
    }
}

static void hundred_megabytes_are_refused_unread(void **unused) {
    (void)unused;
    size_t length = (size_t)100 << 20;
    char *source = calloc(1, length);
    assert_non_null(source);
    failing_memory m = {.fail_at = -1};
    findings f = findings_make(failing_allocator(&m));
    aircraft *a = NULL;
    assert_int_equal(aircraft_read(failing_allocator(&m), source, length, &a, &f), STATUS_BAD_FILE);
    assert_int_equal(f.count, 1);
    assert_string_equal(f.items[0].code, "too-large");
    findings_free(&f);
    assert_int_equal(m.blocks_out, 0);
    free(source);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(row_becomes_breaker_switch_item),
        cmocka_unit_test(wires_and_straps_are_parts),
        cmocka_unit_test(defaults_follow_the_nominal_volts),
        cmocka_unit_test(phases_are_resolved),
        cmocka_unit_test(contacts_and_diodes),
        cmocka_unit_test(faults_of_kinds),
        cmocka_unit_test(slow_files_are_refused_in_time),
        cmocka_unit_test(hundred_megabytes_are_refused_unread),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
