// What draws its share of the time goes on and off in a run: when, how much of it counts, and that
// what has a threshold sees it. Expected times and charges by hand from the file's figures.
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
#include "timeline/run.h"

// A motor's current doesn't hang on the volts, so its charge is known by hand: 12 A for a quarter
// of each minute beside 2 A all the time.
static const char PUMP[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 12 Ah at 1 h, resistance: 100 mohm, charge: 90 %}\n"
    "  spare:   {battery: 24 V}\n"
    "  master:  {switch: BAT, from: battery, to: bus}\n"
    "  bus:     {bus: BUS}\n"
    "  fan:     {motor: 2 A, from: bus, breaker: 5 A FAN}\n"
    "  pump:    {motor: 12 A, from: bus, own-switch: PUMP, breaker: 20 A PUMP, duty: 25 %, every: "
    "60 s}\n"
    "  heater:  {heater: 5 A, from: bus, own-switch: HEAT, breaker: 10 A HEAT, duty: 50 %}\n"
    "  flaps:   {motor: 6 A, from: bus, breaker: 10 A FLAP, own-switch: FLAP, duty: 10 %, "
    "runs-when: airborne}\n"
    "  low:     {light: LOW, from: spare, lit-when: bus below 24 V}\n"
    "phases:\n"
    "  off: {}\n"
    "  quiet: {on: master}\n"
    "  pumping: {on: [master, pump]}\n"
    "  all-day: {on: [master, pump], duty: {pump: 100 %}}\n";

enum { SEEN_MOST = 64 };
typedef struct seen {
    subject s;
    int part, light, count, lit_count;
    double at[SEEN_MOST], lit_at[SEEN_MOST];
    int to[SEEN_MOST], first[SEEN_MOST], lit_to[SEEN_MOST];
} seen;

static void note(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    seen *k = ctx;
    if (e->kind == RUN_CYCLES && e->part == k->part && k->count < SEEN_MOST) {
        k->at[k->count] = e->at;
        k->first[k->count] = e->from;
        k->to[k->count++] = e->to;
    }
    if (e->kind == RUN_LIT && e->part == k->light && k->lit_count < SEEN_MOST) {
        k->lit_at[k->lit_count] = e->at;
        k->lit_to[k->lit_count++] = e->to;
    }
}

typedef struct flight {
    seen k;
    run *r;
    state s;
    arena m;
    run_hooks h;
} flight;

static void begin(flight *f, const char *phase, bool cycles) {
    *f = (flight){.m = arena_make(allocator_default())};
    assert_true(subject_open_bytes(&f->k.s, "pump", PUMP, sizeof PUMP - 1));
    const aircraft *a = f->k.s.aircraft;
    f->k.part = aircraft_part(a, "pump");
    f->k.light = aircraft_part(a, "low");
    f->s.setting = arena_new(&f->m, (size_t)a->part_count + 1, sizeof(double));
    state_of_phase(a, aircraft_phase(a, phase), &f->s);
    run_options o = {
        .lasts = 3600, .tolerance = 0.0005, .resolution = 0.001, .health = 1.0, .cycles = cycles};
    f->h = (run_hooks){.ctx = &f->k, .event = note};
    assert_int_equal(run_make(f->k.s.solver, &f->s, &o, NULL, 0, &f->r), STATUS_OK);
}

static void advance_to(flight *f, double at) {
    run_pause(f->r, at);
    while (run_where(f->r)->at < at && run_advance(f->r, &f->h, 1)) {
    }
}

static void end(flight *f) {
    run_free(f->r);
    arena_free(&f->m);
    subject_close(&f->k.s);
}

static void it_goes_on_and_off(void **x) {
    (void)x;
    flight f;
    begin(&f, "pumping", true);
    advance_to(&f, 600.0);
    assert_int_equal(f.k.count, 20);  // off at 15 s and each minute after, on at each minute
    for (int i = 0; i < f.k.count; i++) {
        double expected = i % 2 == 0 ? 15.0 + 30.0 * i : 30.0 * (i + 1);
        assert_true(fabs(f.k.at[i] - expected) < 1e-6);
        assert_int_equal(f.k.to[i], i % 2);
        assert_int_equal(f.k.first[i], i == 0);
    }
    assert_true(fabs(run_where(f.r)->batteries[0].given - (600.0 * 2.0 + 150.0 * 12.0)) < 1e-3);
    end(&f);
}

// The average takes the same charge, in a smooth way.
static void the_average_counts_without(void **x) {
    (void)x;
    flight f;
    begin(&f, "pumping", false);
    advance_to(&f, 600.0);
    assert_int_equal(f.k.count, 0);
    assert_int_equal(f.k.lit_count, 0);
    assert_true(fabs(run_where(f.r)->batteries[0].given - (600.0 * 2.0 + 150.0 * 12.0)) < 1e-3);
    end(&f);
}

// 14 A through 100 mohm take the bus below 24 V, 5 A on the average don't: the light comes on
// with the pump and goes out with it.
static void thresholds_see_it(void **x) {
    (void)x;
    flight f;
    begin(&f, "pumping", true);
    advance_to(&f, 130.0);
    // It is lit from the beginning: nothing is told of that.
    const double expected[] = {15.0, 60.0, 75.0, 120.0};
    assert_int_equal(f.k.lit_count, 4);
    for (int i = 0; i < 4; i++) {
        assert_true(fabs(f.k.lit_at[i] - expected[i]) < 1e-6);
        assert_int_equal(f.k.lit_to[i], i % 2);
    }
    end(&f);
}

// Switched on by hand in the middle of things it begins with a whole run; switched off and on while
// it pauses, too.
static void it_begins_with_its_supply(void **x) {
    (void)x;
    flight f;
    begin(&f, "quiet", true);
    advance_to(&f, 100.0);
    assert_int_equal(f.k.count, 0);
    f.s.setting[f.k.part] = 1.0;
    run_change(f.r, &f.h, &f.s);
    advance_to(&f, 130.0);
    assert_int_equal(f.k.count, 1);
    assert_true(fabs(f.k.at[0] - 115.0) < 1e-6 && f.k.first[0] == 1);
    f.s.setting[f.k.part] = 0.0;
    run_change(f.r, &f.h, &f.s);
    advance_to(&f, 140.0);
    f.s.setting[f.k.part] = 1.0;
    run_change(f.r, &f.h, &f.s);
    double before = run_where(f.r)->batteries[0].amps;
    assert_true(fabs(before - 14.0) < 1e-6);
    advance_to(&f, 160.0);
    assert_int_equal(f.k.count, 2);
    assert_true(fabs(f.k.at[1] - 155.0) < 1e-6 && f.k.first[1] == 1);
    end(&f);
}

static void all_of_the_time_is_no_cycle(void **x) {
    (void)x;
    flight f;
    begin(&f, "all-day", true);
    advance_to(&f, 300.0);
    assert_int_equal(f.k.count, 0);
    assert_true(fabs(run_where(f.r)->batteries[0].given - 300.0 * 14.0) < 1e-3);
    end(&f);
}

// Where a duty is given, a time is assumed and marked so; not where a condition says when it runs.
static void the_time_is_assumed(void **x) {
    (void)x;
    flight f;
    begin(&f, "quiet", true);
    const aircraft *a = f.k.s.aircraft;
    const figure *heater = part_figure(&a->parts[aircraft_part(a, "heater")], KEY_EVERY);
    const figure *pump = part_figure(&a->parts[f.k.part], KEY_EVERY);
    assert_non_null(heater);
    assert_true(heater->value == 120.0 && heater->basis == BASIS_ASSUMED);
    assert_true(pump->value == 60.0 && pump->basis == BASIS_UNSTATED);
    assert_null(part_figure(&a->parts[aircraft_part(a, "flaps")], KEY_EVERY));
    assert_null(part_figure(&a->parts[aircraft_part(a, "fan")], KEY_EVERY));
    end(&f);
}

// A clock that the pump's current leaves too few volts goes while the pump runs, and so says
// `endurance`, as a run of the same course does; by the pump's average it has a long time left.
// What the batteries give as the sources are lost is told by the average: 2 A, a quarter of 12 A.
static const char CLOCK[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 12 Ah at 1 h, resistance: 100 mohm, charge: 90 %}\n"
    "  bus:     {bus: BUS, from: battery}\n"
    "  fan:     {motor: 2 A, from: bus, breaker: 5 A FAN}\n"
    "  pump:    {motor: 12 A, from: bus, breaker: 20 A PUMP, duty: 25 %, every: 60 s}\n"
    "  clock:   {equipment: 0.1 A, from: bus, breaker: 1 A CLOCK, works-above: 23 V, "
    "off-below: 22.5 V}\n"
    "phases:\n"
    "  cruise: {}\n";

typedef struct first_off {
    int part;
    double at;
} first_off;

static void note_off(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    first_off *f = ctx;
    if (e->kind == RUN_STATUS && e->part == f->part && e->to == ITEM_OFF && f->at < 0)
        f->at = e->at;
}

static double goes_after(const subject *s, const state *from, bool cycles) {
    run_options o = {.lasts = 4 * 3600,
                     .tolerance = 0.0005,
                     .resolution = 0.001,
                     .health = endurance_assumed[ENDURANCE_MIDDLE].health,
                     .cycles = cycles};
    first_off f = {aircraft_part(s->aircraft, "clock"), -1.0};
    run_hooks h = {.ctx = &f, .event = note_off};
    run *r;
    assert_int_equal(run_make(s->solver, from, &o, NULL, 0, &r), STATUS_OK);
    while (run_advance(r, &h, 1000)) {
    }
    run_free(r);
    return f.at;
}

static void endurance_sees_what_goes_meanwhile(void **x) {
    (void)x;
    subject s;
    arena m = arena_make(allocator_default());
    assert_true(subject_open_bytes(&s, "clock", CLOCK, sizeof CLOCK - 1));
    state from = {.setting = arena_new(&m, (size_t)s.aircraft->part_count + 1, sizeof(double))};
    state_of_phase(s.aircraft, 0, &from);
    endurance found;
    endurance_question q = {.asked = &from, .lasts = 4 * 3600};
    assert_int_equal(endurance_find(s.solver, &q, &m, &found), STATUS_OK);
    double run = goes_after(&s, &from, true), average = goes_after(&s, &from, false);
    double ours = found.of[ENDURANCE_MIDDLE].items[aircraft_part(s.aircraft, "clock")];
    printf("the clock goes after %.1f s, in a run %.1f s, by the average %.1f s\n", ours, run,
           average);
    assert_true(run > 0 && fabs(ours - run) < 1.0);
    assert_true(average - run > 300.0);
    assert_true(fabs(found.amps - (2.0 + 0.25 * 12.0 + 0.1)) < 0.02);
    arena_free(&m);
    subject_close(&s);
}

// What moves has no cycle: it counts by its average, and what goes while all of it is drawn is told
// apart. By hand: the clock takes 2.8 W, at its last volts 22.5 V; the bus has the battery's EMF
// less what that, 2 A and 12 A lose in it and in the strap (1 mohm); the clock less what is lost in
// its own wire (0.25 V at 0.1 A) and breaker (0.15 V at 1 A).
typedef struct by_hand {
    double left, at_left, crossed;  // volts, at the last step; seconds
} by_hand;

static bool look_at_left(void *ctx, const run_now *now) {
    by_hand *f = ctx;
    const battery_law *law = &now->batteries[0].law;
    const double takes = 2.8 / 22.5;
    double bus = law->emf - (14.0 + takes) * (law->ohms + 0.001);
    double left = bus - takes * (2.5 + 0.15) - 22.5;
    if (left < 0 && f->crossed < 0)
        f->crossed = f->at_left + (now->at - f->at_left) * f->left / (f->left - left);
    f->left = left;
    f->at_left = now->at;
    return f->crossed < 0;
}

static double crosses_by_hand(const subject *s, const state *from) {
    run_options o = {.lasts = 4 * 3600,
                     .tolerance = 0.0005,
                     .resolution = 0.001,
                     .health = endurance_assumed[ENDURANCE_MIDDLE].health};
    by_hand f = {.crossed = -1.0};
    run_hooks h = {.ctx = &f, .step = look_at_left};
    run *r;
    assert_int_equal(run_make(s->solver, from, &o, NULL, 0, &r), STATUS_OK);
    for (double at = 10.0; f.crossed < 0 && at < o.lasts; at += 10.0) {
        run_pause(r, at);
        while (f.crossed < 0 && run_where(r)->at < at && run_advance(r, &h, 1)) {
        }
    }
    run_free(r);
    return f.crossed;
}

static void what_moves_is_tried(void **x) {
    (void)x;
    static const char from_bus[] = "  pump:    {motor: 12 A, from: bus, breaker: 20 A PUMP, duty: "
                                   "25 %, every: 60 s}\n";
    static const char from_switch[] =
        "  lever:   {switch: GEAR, from: bus, positions: {UP: 0 %, DOWN: 100 %}}\n"
        "  pump:    {motor: 12 A, from: lever, travel: 8 s, duty: 25 %}\n";
    char file[2 * sizeof CLOCK];
    const char *at = strstr(CLOCK, from_bus);
    assert_non_null(at);
    snprintf(file, sizeof file, "%.*s%s%s", (int)(at - CLOCK), CLOCK, from_switch,
             at + sizeof from_bus - 1);
    subject s;
    arena m = arena_make(allocator_default());
    assert_true(subject_open_bytes(&s, "gear", file, strlen(file)));
    state from = {.setting = arena_new(&m, (size_t)s.aircraft->part_count + 1, sizeof(double))};
    state_of_phase(s.aircraft, 0, &from);
    endurance found;
    endurance_question q = {.asked = &from, .lasts = 4 * 3600};
    assert_int_equal(endurance_find(s.solver, &q, &m, &found), STATUS_OK);
    int clock = aircraft_part(s.aircraft, "clock"), pump = aircraft_part(s.aircraft, "pump");
    const endurance_times *middle = &found.of[ENDURANCE_MIDDLE];
    double hand = crosses_by_hand(&s, &from);
    printf("the clock goes with the gear after %.1f s, by hand %.1f s, by itself %.1f s\n",
           middle->off_running[clock], hand, middle->items[clock]);
    assert_true(hand > 300.0 && fabs(middle->off_running[clock] - hand) < 1.0);
    assert_true(middle->items[clock] > hand + 300.0);
    assert_true(middle->off_running[pump] < 0 && middle->off_transmitting[clock] < 0);
    arena_free(&m);
    subject_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(endurance_sees_what_goes_meanwhile),
        cmocka_unit_test(what_moves_is_tried),
        cmocka_unit_test(it_goes_on_and_off),
        cmocka_unit_test(the_average_counts_without),
        cmocka_unit_test(thresholds_see_it),
        cmocka_unit_test(it_begins_with_its_supply),
        cmocka_unit_test(all_of_the_time_is_no_cycle),
        cmocka_unit_test(the_time_is_assumed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
