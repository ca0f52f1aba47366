// What must hold of every run: charge and energy balance to rounding, and the verdict that a step
// keeps because nothing that it rests on has changed is the one that judging would give.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/solver_state.h"
#include "support/fleet_states.h"
#include "support/settled_power.h"
#include "timeline/run.h"

#define TWO_HOURS 7200.0
enum { HAPPENINGS_MOST = 64, EVENTS_MOST = 4000, STEPS_AT_ONCE = 500 };

// ---- what runs ---------------------------------------------------------------------------------
// The source is lost after five minutes and back after half an hour; a breaker is pulled, pushed.
static int happenings(const aircraft *a, const state *from, happening *list) {
    int count = 0, pulled = -1;
    for (int i = 0; i < a->part_count && count < STATE_FAULTS; i++)
        if (a->parts[i].kind == KIND_ALTERNATOR || a->parts[i].kind == KIND_GENERATOR)
            list[count++] = (happening){.at = 300, .part = i, .kind = FAULT_DEAD};
    for (int i = 0; i < a->part_count && pulled < 0; i++)
        if (a->parts[i].kind == KIND_BREAKER && a->parts[i].hand && from->setting[i] > 0)
            pulled = i;
    assert_true(pulled >= 0);
    list[count++] = (happening){.at = 700, .part = pulled, .setting = 0};
    list[count++] = (happening){.at = 900, .part = pulled, .setting = 1};
    for (int i = 0, failed = count - 2; i < failed; i++) {
        list[count] = list[i];
        list[count].at = 1800;
        list[count++].ends = true;
    }
    return count;
}

static state from_cruise(const subject *s) {
    const aircraft *a = s->aircraft;
    state from = {.setting = calloc((size_t)a->part_count + 1, sizeof(double))};
    assert_non_null(from.setting);
    int cruise = aircraft_phase(a, "cruise");
    state_of_phase(a, cruise >= 0 ? cruise : 0, &from);
    from.charge = 0.7;
    return from;
}

static void play(const subject *s, const run_options *o, const run_hooks *hooks) {
    state from = from_cruise(s);
    happening list[HAPPENINGS_MOST];
    int count = happenings(s->aircraft, &from, list);
    run *r = NULL;
    assert_int_equal(run_make(s->solver, &from, o, list, count, &r), STATUS_OK);
    while (run_advance(r, hooks, STEPS_AT_ONCE)) {
    }
    run_free(r);
    free(from.setting);
}

// ---- balance -----------------------------------------------------------------------------------
typedef struct books {
    bool begun;
    double at, given[8], held[8];     // coulombs at the start, per battery
    double power, moved;              // watts: their sum, and of their sizes, one step ago
    double energy, gross;             // joules
    double worst_charge, worst_step;  // shares
} books;

static bool keep_books(void *ctx, const run_now *now) {
    books *b = ctx;
    double power, moved;
    if (now->settled->solution->settled == SETTLED_CHATTERS)
        return true;
    settled_power(now->settled, &power, &moved);
    if (b->begun) {
        double seconds = now->at - b->at;
        b->energy += 0.5 * seconds * (power + b->power);
        b->gross += 0.5 * seconds * (moved + b->moved);
    }
    // Where next to nothing flows, against a watt.
    b->worst_step = fmax(b->worst_step, fabs(power) / (moved > 1 ? moved : 1));
    for (int i = 0; i < now->battery_count; i++) {
        const run_battery *k = &now->batteries[i];
        double held = k->charge.wells.free + k->charge.wells.bound;
        if (!b->begun)
            b->held[i] = held + k->given;
        double off = fabs(held + k->given - b->held[i]) / k->model.wells.full;
        b->worst_charge = fmax(b->worst_charge, off);
    }
    b->begun = true;
    b->at = now->at;
    b->power = power;
    b->moved = moved;
    return true;
}

static void charge_and_energy_balance(void **x) {
    (void)x;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        books b = {0};
        run_options o = {.lasts = TWO_HOURS, .tolerance = 0.0005, .health = 0.9};
        run_hooks hooks = {.ctx = &b, .step = keep_books};
        play(&s, &o, &hooks);
        printf("%s: charge off by %.1e of full, power by %.1e, energy by %.1e\n", fleet_names[i],
               b.worst_charge, b.worst_step, fabs(b.energy) / b.gross);
        assert_true(b.gross > 0 && b.worst_charge < 1e-12);
        assert_true(b.worst_step < 1e-9 && fabs(b.energy) < 1e-9 * b.gross);
        subject_close(&s);
    }
}

// ---- kept verdicts -----------------------------------------------------------------------------
typedef struct told {
    const aircraft *aircraft;
    run_event events[EVENTS_MOST];
    int count;
} told;

static void take_event(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    told *t = ctx;
    assert_true(t->count < EVENTS_MOST);
    t->events[t->count++] = *e;
}

// Looks at nothing: with it, every step is judged.
static void watch_nothing(void *ctx, const run_probe *at, uint8_t *watches) {
    (void)ctx;
    (void)at;
    watches[0] = 0;
}

static void kept_verdicts_are_right(void **x) {
    (void)x;
    static told kept, judged;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        run_options o = {.lasts = TWO_HOURS, .tolerance = 0.0005, .health = 0.9};
        kept.count = judged.count = 0;
        run_hooks hooks = {.ctx = &kept, .event = take_event};
        play(&s, &o, &hooks);
        o.watch_count = 1;
        o.watch = watch_nothing;
        hooks.ctx = &judged;
        play(&s, &o, &hooks);
        printf("%s: %d events\n", fleet_names[i], kept.count);
        assert_true(kept.count > 5);
        assert_int_equal(kept.count, judged.count);
        for (int k = 0; k < kept.count; k++) {
            const run_event *a = &kept.events[k], *b = &judged.events[k];
            assert_true(a->kind == b->kind && a->part == b->part && a->to == b->to);
            assert_true(fabs(a->at - b->at) < 0.5);
        }
        subject_close(&s);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(charge_and_energy_balance),
        cmocka_unit_test(kept_verdicts_are_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
