// Runs against integrations that share nothing with them: small fixed steps of the differential
// equations, own tables, one loop of current written out by hand. Charge and energy of flights.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "circuit/solver_state.h"
#include "part/heating.h"
#include "reference/support/small_aircraft.h"
#include "support/fleet_states.h"
#include "timeline/run.h"

enum { EVENTS_MOST = 4096 };

typedef struct log_of_run {
    run_event events[EVENTS_MOST];
    int count, steps;
    double last;
} log_of_run;

static void keep_event(void *ctx, const run_now *now, const run_event *e) {
    log_of_run *l = ctx;
    assert_true(l->count < EVENTS_MOST);
    assert_true(e->at >= l->last && e->at == now->at);
    l->last = e->at;
    l->events[l->count++] = *e;
}

static bool count_step(void *ctx, const run_now *now) {
    log_of_run *l = ctx;
    assert_true(now->at >= l->last);
    l->last = now->at;
    l->steps++;
    return true;
}

static double first_event(const log_of_run *l, run_event_kind kind, int part, int to) {
    for (int i = 0; i < l->count; i++)
        if (l->events[i].kind == kind && l->events[i].part == part && l->events[i].to == to)
            return l->events[i].at;
    return -1;
}

static const run_options USUAL = {.lasts = 4 * 3600, .tolerance = 0.0005, .health = 1};

static run *run_of(solver *s, int phase, const happening *list, int count, run_options o,
                   double *setting) {
    state from = {.setting = setting};
    state_of_phase(s->aircraft, phase, &from);
    from.charge = 0.9;
    run *r = NULL;
    assert_int_equal(run_make(s, &from, &o, list, count, &r), STATUS_OK);
    return r;
}

// ---- one battery, one load, written out by hand
typedef struct by_hand {
    double q1, q2, sag;  // Ah, Ah, V
} by_hand;

typedef struct load_by_hand {
    bool power;
    double watts, amps, ohms;  // ohms of breaker and wire
} load_by_hand;

static double emf_by_hand(by_hand b) {
    static const double TABLE[] = {1.933, 2.000, 2.067, 2.117, 2.150};  // FAA-H-8083-31
    double s = (b.q1 + b.q2) / 13.49, s1 = b.q1 / (0.656 * 13.49);
    int i = s >= 1 ? 3 : (int)(4 * s);
    double cell = TABLE[i] + (TABLE[i + 1] - TABLE[i]) * (4 * s - i);
    if (s1 < 0.004)
        s1 = 0.004;
    return 12 * cell - 0.12 * (1 / s1 - 1) - b.sag;
}

static double ohms_by_hand(by_hand b, double celsius) {
    double s = (b.q1 + b.q2) / 13.49;
    return 0.022 * (1 - 0.4 * log(s > 0.02 ? s : 0.02)) * exp(0.012 * (25 - celsius));
}

static double amps_by_hand(by_hand b, const load_by_hand *l, double celsius) {
    if (!l->power)
        return l->amps;
    double e = emf_by_hand(b), r = ohms_by_hand(b, celsius) + l->ohms;
    return (e - sqrt(e * e - 4 * r * l->watts)) / (2 * r);
}

static by_hand slope(by_hand b, const load_by_hand *l, double celsius) {
    double i = amps_by_hand(b, l, celsius), k = 0.876 / 3600;
    double part = i / 5 < 1 ? i / 5 : 1;
    double flow = k * (0.656 * (b.q1 + b.q2) - b.q1);
    return (by_hand){-i / 3600 + flow, -flow, (0.9 * part - b.sag) / 20};
}

static by_hand along(by_hand b, by_hand d, double h) {
    return (by_hand){b.q1 + h * d.q1, b.q2 + h * d.q2, b.sag + h * d.sag};
}

// Volts of the item after `seconds`; or, with `until` above zero, when they fall below it.
static double integrate(const load_by_hand *l, double celsius, double seconds, double until) {
    const double h = 0.05;
    by_hand b = {0.9 * 0.656 * 13.49, 0.9 * 0.344 * 13.49, 0};
    double volts = 0;
    for (double t = 0;; t += h) {
        double i = amps_by_hand(b, l, celsius);
        volts = emf_by_hand(b) - i * (ohms_by_hand(b, celsius) + l->ohms);
        if ((until > 0 && !(volts >= until)) || (until <= 0 && t >= seconds - h / 2))
            return until > 0 ? t : volts;
        by_hand middle = along(b, slope(b, l, celsius), h / 2);
        b = along(b, slope(middle, l, celsius), h);
    }
}

static const char ONE_LOAD[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 22 mohm}\n"
    "  load:    {%s, from: battery, works-above: 20.5 V, wire: 16 AWG 10 ft, breaker: 20 A LOAD}\n"
    "phases:\n"
    "  cruise: {temperature: 25 C}\n";

typedef struct sampled {
    const small_aircraft *aircraft;
    double at, volts;
    log_of_run log;
} sampled;

static bool sample(void *ctx, const run_now *now) {
    sampled *s = ctx;
    const part_map *m =
        &s->aircraft->solver->made->maps[aircraft_part(s->aircraft->aircraft, "load")];
    s->at = now->at;
    s->volts = across(now->settled, m->inner, m->to);
    return count_step(&s->log, now);
}

static void sample_event(void *ctx, const run_now *now, const run_event *e) {
    keep_event(&((sampled *)ctx)->log, now, e);
}

static double run_volts(small_aircraft *s, double *setting, double lasts, sampled *out) {
    *out = (sampled){.aircraft = s};
    run_options o = USUAL;
    o.lasts = lasts;
    run *r = run_of(s->solver, 0, NULL, 0, o, setting);
    while (run_advance(r, &(run_hooks){.ctx = out, .step = sample, .event = sample_event}, 100)) {
    }
    run_free(r);
    return out->volts;
}

static void against_small_steps(void **x) {
    (void)x;
    static sampled out;
    // 16 AWG: 4.81 ohm a 1000 ft (AC 43.13-1B table 11-9); breaker 0.15 V / rating
    const double path = 0.0481 + 0.0075;
    static const struct {
        const char *words;
        load_by_hand load;
    } LOADS[] = {{"equipment: 240 W", {true, 240, 0, path}},
                 {"equipment: 120 W", {true, 120, 0, path}},
                 {"motor: 12 A", {false, 0, 12, path}}};
    double worst_volts = 0, worst_time = 0;
    for (int i = 0; i < 3; i++) {
        small_aircraft s;
        small_aircraft_open(&s, ONE_LOAD, LOADS[i].words);
        double *setting = calloc((size_t)s.aircraft->part_count + 1, sizeof *setting);
        assert_non_null(setting);
        static const double TIMES[] = {20, 60, 300, 900, 1500};
        for (int k = 0; k < 5; k++) {
            double off =
                run_volts(&s, setting, TIMES[k], &out) - integrate(&LOADS[i].load, 25, TIMES[k], 0);
            worst_volts = fabs(off) > worst_volts ? fabs(off) : worst_volts;
        }
        run_volts(&s, setting, USUAL.lasts, &out);
        int load = aircraft_part(s.aircraft, "load");
        double weak = first_event(&out.log, RUN_STATUS, load, ITEM_WEAK);
        double by_hand_weak = integrate(&LOADS[i].load, 25, 0, 20.5);
        assert_true(weak > 600);
        double off = fabs(weak / by_hand_weak - 1);
        worst_time = off > worst_time ? off : worst_time;
        printf("%s: weak after %.2f s, by hand %.2f s, %d steps\n", LOADS[i].words, weak,
               by_hand_weak, out.log.steps);
        free(setting);
        small_aircraft_close(&s);
    }
    printf("worst: %.2e V, %.2e of the time\n", worst_volts, worst_time);
    assert_true(worst_volts < 5e-3);
    assert_true(worst_time < 1e-3);
}

// ---- a breaker that is overloaded at a known time trips when the closed form says
static void breaker_trips_in_time(void **x) {
    (void)x;
    small_aircraft s;
    small_aircraft_open(&s, "deadbus: 1\n"
                            "aircraft: {nominal: 28 V}\n"
                            "parts:\n"
                            "  battery: {battery: 24 V, capacity: 40 Ah at 1 h}\n"
                            "  pump:    {motor: 8 A, from: battery, breaker: 10 A PUMP}\n"
                            "phases:\n"
                            "  cruise: {temperature: 25 C}\n");
    double *setting = calloc((size_t)s.aircraft->part_count + 1, sizeof *setting);
    assert_non_null(setting);
    int pump = aircraft_part(s.aircraft, "pump");
    int breaker = aircraft_part(s.aircraft, "pump.breaker");
    happening list[] = {{.at = 100, .part = pump, .kind = FAULT_OVERLOAD},
                        {.at = 200, .part = breaker, .setting = 1}};
    static log_of_run log;
    log = (log_of_run){0};
    run_options o = USUAL;
    o.lasts = 400;
    run *r = run_of(s.solver, 0, list, 2, o, setting);
    while (run_advance(r, &(run_hooks){.ctx = &log, .step = count_step, .event = keep_event}, 10)) {
    }
    trip_law law = trip_law_of(KIND_BREAKER);
    double warm = trip_seconds(&law, trip_steady(0.8), 2.0);
    double trips = first_event(&log, RUN_TRIPS, breaker, 1);
    assert_true(fabs(trips - 100 - warm) < 2e-3);
    assert_true(warm < trip_seconds(&law, 0, 2.0));
    // pushed in again onto the same overload, before it has cooled: sooner
    double again = -1;
    for (int i = 0; i < log.count; i++)
        if (log.events[i].kind == RUN_TRIPS && log.events[i].part == breaker &&
            log.events[i].at > 200)
            again = log.events[i].at - 200;
    double left = trip_after(&law, law.trips_at, 0, 200 - trips);
    printf("trips %.3f s after an overload; pushed in again after %.3f s\n", trips - 100, again);
    assert_true(fabs(again - trip_seconds(&law, left, 2.0)) < 2e-3);
    run_free(r);
    free(setting);
    small_aircraft_close(&s);
}

// ---- whole flights
typedef struct balance {
    log_of_run log;
    const circuit *circuit;
    double at, watts, joules, turned, worst;
    double charge, given;
} balance;

// Power into every element, batteries too: nothing is left over.
static double leftover(const circuit *c, const settled_state *s, double *turned) {
    double sum = 0, size = 0;
    const job *j = &s->job;
    const solution *r = s->solution;
#define ADD(elements, count, amps_of)                                                              \
    for (int i = 0; i < c->count; i++) {                                                           \
        double w =                                                                                 \
            (r->volts[c->elements[i].a] - r->volts[c->elements[i].b]) * amps_of(c, j, r, i);       \
        sum += w;                                                                                  \
        size += fabs(w);                                                                           \
    }
    ADD(conductances, conductance_count, conductance_amps)
    ADD(piecewises, piecewise_count, piecewise_amps)
    ADD(powers, power_count, power_amps)
    ADD(lamps, lamp_count, lamp_amps)
#undef ADD
    for (int i = 1; i < c->node_count; i++)
        sum += 1e-9 * r->volts[i] * r->volts[i];  // the leak of every node
    *turned = 0.5 * size;
    return sum;
}

static bool balance_step(void *ctx, const run_now *now) {
    balance *b = ctx;
    double turned = 0, watts = leftover(b->circuit, now->settled, &turned);
    double h = now->at - b->at;
    b->joules += 0.5 * h * (watts + b->watts);
    b->turned += h * turned;
    b->at = now->at;
    b->watts = watts;
    if (turned > 1 && now->settled->solution->settled != SETTLED_CHATTERS &&
        fabs(watts) / turned > b->worst)
        b->worst = fabs(watts) / turned;
    b->charge = b->given = 0;
    for (int i = 0; i < now->battery_count; i++) {
        const run_battery *k = &now->batteries[i];
        b->charge += k->charge.wells.free + k->charge.wells.bound;
        b->given += k->given;
    }
    return count_step(&b->log, now);
}

static void balance_event(void *ctx, const run_now *now, const run_event *e) {
    keep_event(&((balance *)ctx)->log, now, e);
}

static int usual_phase(const aircraft *a) {
    for (int i = 0; i < a->phase_count; i++)
        if (strcmp(a->phases[i].name, "cruise") == 0)
            return i;
    return 0;
}

static void flights_balance(void **x) {
    (void)x;
    static balance b, again;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        double *setting = calloc((size_t)s.aircraft->part_count + 1, sizeof *setting);
        assert_non_null(setting);
        happening list[8];
        int count = 0;
        for (int p = 0; p < s.aircraft->part_count && count < 8; p++)
            if (s.aircraft->parts[p].kind == KIND_ALTERNATOR ||
                s.aircraft->parts[p].kind == KIND_GENERATOR)
                list[count++] = (happening){.at = 360, .part = p, .kind = FAULT_DEAD};
        run_options o = USUAL;
        o.lasts = 3 * 3600;
        double before = 0;
        for (int turn = 0; turn < 2; turn++) {
            balance *to = turn ? &again : &b;
            *to = (balance){.circuit = &s.solver->made->circuit};
            run *r = run_of(s.solver, usual_phase(s.aircraft), list, count, o, setting);
            clock_t from = clock();
            before = 0;
            for (int k = 0; k < run_where(r)->battery_count; k++)
                before += 0.9 * run_where(r)->batteries[k].model.wells.full;
            while (run_advance(
                r, &(run_hooks){.ctx = to, .step = balance_step, .event = balance_event}, 1)) {
            }
            if (turn)
                printf("%s: %d events, %d steps, %d settlings, %.2f ms\n", fleet_names[i],
                       to->log.count, to->log.steps, run_where(r)->solves,
                       1e3 * (double)(clock() - from) / CLOCKS_PER_SEC);
            run_free(r);
        }
        double off = fabs(before - b.charge - b.given) / before;
        double left = fabs(b.joules) / b.turned;
        printf("  charge balance %.1e, energy balance %.1e, worst power balance %.1e\n", off, left,
               b.worst);
        assert_true(off < 1e-12);
        assert_true(left < 1e-9);
        assert_true(b.worst < 1e-9);
        assert_int_equal(b.log.count, again.log.count);
        assert_memory_equal(b.log.events, again.log.events,
                            (size_t)b.log.count * sizeof *b.log.events);
        assert_true(b.log.count > 5);
        free(setting);
        subject_close(&s);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(against_small_steps),
        cmocka_unit_test(breaker_trips_in_time),
        cmocka_unit_test(flights_balance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
