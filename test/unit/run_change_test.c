// A run that its caller steers: pauses, changes of what is asked, conditions that are watched.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/solver_state.h"
#include "support/fleet_states.h"
#include "timeline/run.h"

typedef struct seen {
    subject s;
    int bus;
    double watched_at, tripped_at[4];
    int watched, trips, steps;
} seen;

static void bus_below_24(void *ctx, const run_probe *at, uint8_t *watches) {
    const seen *k = ctx;
    watches[0] = at->settled->solution->volts[k->s.solver->made->maps[k->bus].own] < 24.0;
}

static bool count_step(void *ctx, const run_now *now) {
    (void)now;
    seen *k = ctx;
    k->steps++;
    return true;
}

static void note(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    seen *k = ctx;
    if (e->kind == RUN_WATCHED && e->part == 0 && e->to == 1) {
        k->watched++;
        k->watched_at = e->at;
    }
    if (e->kind == RUN_TRIPS && e->to == 1 && k->trips < 4)
        k->tripped_at[k->trips++] = e->at;
}

static void advance_to(run *r, const run_hooks *h, double at) {
    run_pause(r, at);
    while (run_where(r)->at < at && run_advance(r, h, 1)) {
    }
}

static void begin(seen *k, run **r, state *s, arena *m, double lasts) {
    assert_true(subject_open_fleet(&k->s, 0));
    const aircraft *a = k->s.aircraft;
    *m = arena_make(allocator_default());
    s->setting = arena_new(m, (size_t)a->part_count + 1, sizeof(double));
    assert_non_null(s->setting);
    state_of_phase(a, aircraft_phase(a, "cruise"), s);
    k->bus = aircraft_part(a, "main-bus");
    run_options o = {.lasts = lasts,
                     .tolerance = 0.0005,
                     .resolution = 0.001,
                     .health = 1.0,
                     .watch_count = 1,
                     .watch_ctx = k,
                     .watch = bus_below_24};
    assert_int_equal(run_make(k->s.solver, s, &o, NULL, 0, r), STATUS_OK);
}

// The same flight, its alternator lost after a pause, as a list of happenings or changed by hand:
// the watch is found at the same moment, to the resolution.
static void a_watch_is_placed(void **x) {
    (void)x;
    seen k = {0};
    run *r;
    arena m;
    state s = {0};
    begin(&k, &r, &s, &m, 7200);
    run_hooks h = {.ctx = &k, .step = count_step, .event = note};
    advance_to(r, &h, 100.0);
    assert_true(fabs(run_where(r)->at - 100.0) < 1e-9);
    assert_int_equal(k.watched, 0);
    assert_int_equal(run_where(r)->watches[0], 0);
    s.faults[s.fault_count++] = (fault){aircraft_part(k.s.aircraft, "alternator"), FAULT_DEAD};
    run_change(r, &h, &s);
    assert_true(run_where(r)->at == 100.0);
    advance_to(r, &h, 7200.0);
    assert_int_equal(k.watched, 1);
    assert_true(k.watched_at > 100.0 && k.watched_at < 7200.0);
    run_free(r);
    happening lost = {.at = 100.0, .part = s.faults[0].part, .kind = FAULT_DEAD};
    s.fault_count = 0;
    double by_hand = k.watched_at;
    run_options o = {.lasts = 7200,
                     .tolerance = 0.0005,
                     .resolution = 0.001,
                     .health = 1.0,
                     .watch_count = 1,
                     .watch_ctx = &k,
                     .watch = bus_below_24};
    assert_int_equal(run_make(k.s.solver, &s, &o, &lost, 1, &r), STATUS_OK);
    while (run_advance(r, &h, 100)) {
    }
    assert_int_equal(k.watched, 2);
    assert_true(fabs(k.watched_at - by_hand) < 0.01);
    run_free(r);
    arena_free(&m);
    subject_close(&k.s);
}

// Pushed in onto its fault a breaker opens again, and sooner: it is still warm.
static void pushed_in_it_trips_again(void **x) {
    (void)x;
    seen k = {0};
    run *r;
    arena m;
    state s = {0};
    begin(&k, &r, &s, &m, 600);
    run_hooks h = {.ctx = &k, .step = count_step, .event = note};
    const aircraft *a = k.s.aircraft;
    int lamp = aircraft_part(a, "landing-light"), breaker = a->parts[lamp].row_breaker;
    advance_to(r, &h, 5.0);
    s.setting[a->parts[lamp].row_switch] = 1;
    s.faults[s.fault_count++] = (fault){lamp, FAULT_SHORT};
    run_change(r, &h, &s);
    advance_to(r, &h, 60.0);
    assert_int_equal(k.trips, 1);
    assert_true(run_where(r)->settled->asked->setting[breaker] == 0);
    s.setting[breaker] = 0;  // as the run has it
    run_change(r, &h, &s);
    advance_to(r, &h, 70.0);
    assert_int_equal(k.trips, 1);
    s.setting[breaker] = 1;
    run_change(r, &h, &s);
    advance_to(r, &h, 200.0);
    assert_int_equal(k.trips, 2);
    assert_true(k.tripped_at[1] - 70.0 < k.tripped_at[0] - 5.0);
    run_free(r);
    arena_free(&m);
    subject_close(&k.s);
}

static bool bus_below_25(const seen *k, const settled_state *s) {
    return s->solution->volts[k->s.solver->made->maps[k->bus].own] < 25.0;
}

typedef struct delayed {
    seen k;
    double below_at, lit_at;
    int light;
} delayed;

static bool watch_bus(void *ctx, const run_now *now) {
    delayed *d = ctx;
    if (d->below_at < 0 && bus_below_25(&d->k, now->settled))
        d->below_at = now->at;
    return true;
}

static void watch_light(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    delayed *d = ctx;
    if (e->kind == RUN_LIT && e->part == d->light && e->to == 1 && d->lit_at < 0)
        d->lit_at = e->at;
}

// `for 2 s`: the light comes two seconds after the volts have fallen, and not if they come back
// before.
static void a_delay_is_waited_for(void **x) {
    (void)x;
    delayed d = {.below_at = -1, .lit_at = -1};
    run *r;
    arena m;
    state s = {0};
    begin(&d.k, &r, &s, &m, 600);
    d.light = aircraft_part(d.k.s.aircraft, "low-volts");
    int alternator = aircraft_part(d.k.s.aircraft, "alternator");
    run_hooks h = {.ctx = &d, .step = watch_bus, .event = watch_light};
    advance_to(r, &h, 10.0);
    s.faults[s.fault_count++] = (fault){alternator, FAULT_DEAD};
    s.setting[d.k.s.aircraft->parts[aircraft_part(d.k.s.aircraft, "landing-light")].row_switch] = 1;
    run_change(r, &h, &s);
    advance_to(r, &h, 11.5);
    s.fault_count = 0;
    run_change(r, &h, &s);
    assert_true(d.below_at >= 10.0);
    advance_to(r, &h, 60.0);
    assert_true(d.lit_at < 0);
    d.below_at = -1;
    s.faults[s.fault_count++] = (fault){alternator, FAULT_DEAD};
    run_change(r, &h, &s);
    advance_to(r, &h, 120.0);
    assert_true(d.below_at >= 60.0);
    assert_true(fabs(d.lit_at - d.below_at - 2.0) < 1e-6);
    run_free(r);
    arena_free(&m);
    subject_close(&d.k.s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_watch_is_placed),
        cmocka_unit_test(pushed_in_it_trips_again),
        cmocka_unit_test(a_delay_is_waited_for),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
