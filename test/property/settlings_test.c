// How many settlings a run takes: they are what it costs, and the same on every machine. And what
// must not be lost by taking few: a load that has dropped out comes back when it has the volts.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/fleet_states.h"
#include "timeline/run.h"

#define THREE_HOURS 10800.0
enum { ACTIONS = 50, STEPS_AT_ONCE = 1000 };

static state from_cruise(const subject *s) {
    state from = {.setting = calloc((size_t)s->aircraft->part_count + 1, sizeof(double))};
    assert_non_null(from.setting);
    int cruise = aircraft_phase(s->aircraft, "cruise");
    state_of_phase(s->aircraft, cruise >= 0 ? cruise : 0, &from);
    return from;
}

static int settlings(const subject *s, const state *from, const run_options *o,
                     const happening *list, int count, const run_hooks *hooks) {
    run *r = NULL;
    assert_int_equal(run_make(s->solver, from, o, list, count, &r), STATUS_OK);
    while (run_advance(r, hooks, STEPS_AT_ONCE)) {
    }
    int solves = run_where(r)->solves;
    run_free(r);
    return solves;
}

// Fifty times, 200 s apart, a hand moves a breaker out or in again.
static int with_actions(const subject *s) {
    const aircraft *a = s->aircraft;
    state from = from_cruise(s);
    happening list[ACTIONS];
    int hands[ACTIONS], found = 0;
    for (int i = 0; i < a->part_count && found < ACTIONS / 2; i++)
        if (a->parts[i].kind == KIND_BREAKER && a->parts[i].hand && from.setting[i] > 0)
            hands[found++] = i;
    assert_true(found > 0);
    for (int i = 0; i < ACTIONS; i++)
        list[i] = (happening){
            .at = 100.0 + 200.0 * i, .part = hands[(i / 2) % found], .setting = i % 2 ? 1.0 : 0.0};
    run_options o = {.lasts = THREE_HOURS, .tolerance = 0.0005, .health = 0.9};
    run_hooks none = {0};
    int solves = settlings(s, &from, &o, list, ACTIONS, &none);
    free(from.setting);
    return solves;
}

static int without_sources(const subject *s) {
    const aircraft *a = s->aircraft;
    state from = from_cruise(s);
    happening list[STATE_FAULTS];
    int count = 0;
    for (int i = 0; i < a->part_count && count < STATE_FAULTS; i++)
        if (a->parts[i].kind == KIND_ALTERNATOR || a->parts[i].kind == KIND_GENERATOR)
            list[count++] = (happening){.part = i, .kind = FAULT_DEAD};
    run_options o = {.lasts = THREE_HOURS, .tolerance = 0.002, .resolution = 0.1, .health = 0.9};
    run_hooks none = {0};
    int solves = settlings(s, &from, &o, list, count, &none);
    free(from.setting);
    return solves;
}

// One settling for each of fifty hands is the least that there can be, and one for each stretch
// between them. The figures are those of today and a tenth.
static void few_settlings_a_run(void **x) {
    (void)x;
    static const int WITH_ACTIONS[FLEET_COUNT] = {184, 198, 227, 140, 139};
    static const int WITHOUT_SOURCES[FLEET_COUNT] = {466, 356, 1853, 1120, 92};
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        int actions = with_actions(&s), without = without_sources(&s);
        printf("%s: %d settlings with fifty hands, %d without sources\n", fleet_names[i], actions,
               without);
        assert_true(actions > ACTIONS && actions <= WITH_ACTIONS[i]);
        assert_true(without > 0 && without <= WITHOUT_SOURCES[i]);
        subject_close(&s);
    }
}

// ---- a load that comes back ---------------------------------------------------------------------
static const char FILE_OF_ONE_LOAD[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 22 mohm}\n"
    "  load:    {equipment: 120 W, from: battery, works-above: 20.5 V, wire: 16 AWG 10 ft, "
    "breaker: 20 A LOAD}\n"
    "phases:\n"
    "  cruise: {temperature: 10 C}\n";

typedef struct turns {
    int off, on, chatters, happened_after;
    double at_off, at_on, emf;  // of the first time it goes, and comes back
} turns;

static void see(void *ctx, const run_now *now, const run_event *e) {
    turns *t = ctx;
    t->happened_after += t->chatters > 0 && e->kind == RUN_DROPS_OUT;
    t->chatters += e->kind == RUN_CHATTERS;
    if (e->kind != RUN_DROPS_OUT)
        return;
    if (e->to != 0 && t->off++ == 0)
        t->at_off = e->at;
    if (e->to == 0 && t->on++ == 0) {
        t->at_on = e->at;
        t->emf = now->batteries[0].law.emf;
    }
}

// Its battery recovers without a load: what it had lost on the way to it is back at once, the sag
// with its 20 s. The load's restart volts are a volt above those at which it dropped out, 19 V
// here: the EMF is that when it comes back. It can't hold that: after four turns it counts as off.
static void a_load_comes_back_when_it_has_the_volts(void **x) {
    (void)x;
    subject s;
    assert_true(subject_open_bytes(&s, "load", FILE_OF_ONE_LOAD, sizeof FILE_OF_ONE_LOAD - 1));
    state from = from_cruise(&s);
    from.charge = 0.9;
    run_options o = {.lasts = 7000, .tolerance = 0.0005, .health = 1};
    turns t = {0};
    run_hooks hooks = {.ctx = &t, .event = see};
    int solves = settlings(&s, &from, &o, NULL, 0, &hooks);
    printf("off at %.3f s, back at %.3f s with %.5f V, %d settlings\n", t.at_off, t.at_on, t.emf,
           solves);
    assert_true(t.at_off > 5000 && t.at_on > t.at_off);
    assert_true(fabs(t.emf - 19.0) < 0.001);
    assert_true(t.off == 2 && t.on == 1 && t.chatters == 1 && t.happened_after == 0);
    assert_true(solves <= 88);
    free(from.setting);
    subject_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(few_settlings_a_run),
        cmocka_unit_test(a_load_comes_back_when_it_has_the_volts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
