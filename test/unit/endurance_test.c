// How long it lasts: order of the cases, the linear method by hand, agreement of a trace with it.
// The linear method: common practice of load analyses, no source; figures invented.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "study/endurance.h"
#include "support/fleet_states.h"
#include "timeline/trace.h"

static const double FOUR_HOURS = 4 * 3600;

static int cruise_of(const aircraft *a) {
    for (int i = 0; i < a->phase_count; i++)
        if (strcmp(a->phases[i].name, "cruise") == 0)
            return i;
    return 0;
}

static state *cruise_state(const aircraft *a, arena *m) {
    state *s = arena_new(m, 1, sizeof *s);
    assert_non_null(s);
    s->setting = arena_new(m, (size_t)a->part_count + 1, sizeof(double));
    assert_non_null(s->setting);
    state_of_phase(a, cruise_of(a), s);
    s->charge = 0.9;
    return s;
}

static status find(const subject *s, const state *asked, arena *m, endurance *e) {
    endurance_question q = {.asked = asked, .lasts = FOUR_HOURS};
    return endurance_find(s->solver, &q, m, e);
}

static bool no_later(double a, double b) {  // the worse case comes first
    return b < 0 ? true : a >= 0 && a <= b + 1.0;
}

static void worse_batteries_last_less(void **x) {
    (void)x;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        arena m = arena_make(allocator_default());
        state *asked = cruise_state(s.aircraft, &m);
        endurance e;
        assert_int_equal(find(&s, asked, &m, &e), STATUS_OK);
        int counted = 0, lost = 0;
        for (int p = 0; p < s.aircraft->part_count; p++) {
            if (!e.counts[p])
                continue;
            counted++;
            lost += e.of[ENDURANCE_NEW].items[p] >= 0;
            assert_true(no_later(e.of[ENDURANCE_LOW].items[p], e.of[ENDURANCE_MIDDLE].items[p]));
            assert_true(no_later(e.of[ENDURANCE_MIDDLE].items[p], e.of[ENDURANCE_NEW].items[p]));
            for (int k = 0; k < ENDURANCE_CASES; k++)
                assert_true(no_later(e.of[k].weak[p], e.of[k].items[p]));
        }
        printf("%s: %d items, %d lost in four hours, %.1f A, linear %.0f min\n", fleet_names[i],
               counted, lost, e.amps, e.linear / 60);
        assert_true(counted > 5 && lost > 0 && e.amps > 1);
        arena_free(&m);
        subject_close(&s);
    }
}

static const char ONE_LOAD[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery:    {battery: 24 V, capacity: 12 Ah at 1 h, resistance: 20 mohm}\n"
    "  master:     {switch: BAT, from: battery, to: bus}\n"
    "  bus:        {bus: BUS}\n"
    "  alternator: {alternator: 60 A, to: bus, field-from: field-switch, field: 2 A}\n"
    "  field-switch: {switch: ALT, from: bus}\n"
    "  engine:     {engine: four cylinders}\n"
    "  pump:       {motor: 10 A, from: bus, breaker: 20 A PUMP}\n"
    "phases:\n"
    "  cruise: {engine: 2400 rpm, on: [master, field-switch], temperature: 25 C}\n";

static void linear_by_hand(void **x) {
    (void)x;
    subject s;
    assert_true(subject_open_bytes(&s, "one load", ONE_LOAD, strlen(ONE_LOAD)));
    arena m = arena_make(allocator_default());
    state *asked = cruise_state(s.aircraft, &m);
    asked->setting[aircraft_part(s.aircraft, "field-switch")] = 0;  // no source, no field
    endurance e;
    assert_int_equal(find(&s, asked, &m, &e), STATUS_OK);
    // 12 Ah x 90 % x 0.75 over 10 A
    assert_true(fabs(e.amps - 10) < 1e-6);
    assert_true(fabs(e.ampere_hours - 8.1) < 1e-12);
    assert_true(fabs(e.linear - 0.81 * 3600) < 1e-3);
    assert_true(e.failed[aircraft_part(s.aircraft, "alternator")]);
    int pump = aircraft_part(s.aircraft, "pump"), battery = aircraft_part(s.aircraft, "battery");
    assert_true(e.counts[pump]);
    assert_true(e.of[ENDURANCE_NEW].items[pump] > 0);
    // a full one-hour battery gives 12 A for an hour; at 90 % this one can't give 10 A for much
    // more than an hour
    assert_true(e.of[ENDURANCE_NEW].items[pump] < 1.15 * 3600);
    assert_true(e.of[ENDURANCE_NEW].items[pump] > 0.85 * 3600);
    assert_true(e.of[ENDURANCE_NEW].charge[battery] < 0.3);
    arena_free(&m);
    subject_close(&s);
}

static void trace_tells_the_same(void **x) {
    (void)x;
    subject s;
    assert_true(subject_open_bytes(&s, "one load", ONE_LOAD, strlen(ONE_LOAD)));
    arena m = arena_make(allocator_default());
    state *asked = cruise_state(s.aircraft, &m);
    int bus = aircraft_part(s.aircraft, "bus"), battery = aircraft_part(s.aircraft, "battery");
    int pump = aircraft_part(s.aircraft, "pump");
    const trace_wish wishes[] = {
        {bus, TRACE_VOLTS}, {battery, TRACE_AMPS}, {battery, TRACE_CHARGE}, {pump, TRACE_VOLTS}};
    const happening list[] = {
        {.at = 600, .part = aircraft_part(s.aircraft, "alternator"), .kind = FAULT_DEAD},
        {.at = 900, .part = aircraft_part(s.aircraft, "field-switch"), .setting = 0},
        {.at = 1200,
         .part = aircraft_part(s.aircraft, "alternator"),
         .kind = FAULT_DEAD,
         .ends = true},
        {.at = 1200, .part = aircraft_part(s.aircraft, "field-switch"), .setting = 1}};
    run_options o = {.lasts = 1500, .tolerance = 0.0005, .health = 1};
    trace *t = NULL;
    assert_int_equal(trace_run(s.solver, asked, &o, list, 4, wishes, 4, &t), STATUS_OK);
    assert_true(t->row_count > 10 && t->at[0] == 0 && fabs(t->at[t->row_count - 1] - 1500) < 1e-6);
    int happened = 0;
    for (int i = 0; i < t->event_count; i++)
        happened += t->events[i].kind == RUN_HAPPENS;
    assert_int_equal(happened, 4);
    for (int i = 0; i < t->row_count; i++) {
        const double *v = t->values + i * 4;
        double at = t->at[i];
        assert_true(i == 0 || at >= t->at[i - 1]);
        if (at > 0.01 && at < 599.9)
            assert_true(v[0] > 27.5 && v[1] < 0);  // the alternator charges
        if (at > 600.01 && at < 899.9)
            assert_true(v[0] < 26 && fabs(v[1] - 10 - v[0] / 14) < 5e-3);  // pump, field
        if (at > 900.01 && at < 1199.9)
            assert_true(fabs(v[1] - 10) < 1e-3);  // the field no longer
        if (at > 1200.01)
            assert_true(v[0] > 27 && v[1] < 0);
        assert_true(v[3] < v[0] && v[2] > 0 && v[2] <= 1);
    }
    trace_free(t);
    arena_free(&m);
    subject_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worse_batteries_last_less),
        cmocka_unit_test(linear_by_hand),
        cmocka_unit_test(trace_tells_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
