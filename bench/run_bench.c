// Runs in time: a flight of three hours with fifty things done in it, an endurance run, and the
// battery that ngspice's transient runs down as well.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "measured.h"
#include "reference/support/run_down_peer.h"
#include "reference/support/spice_peer.h"
#include "support/fleet_states.h"
#include "timeline/run.h"

#define THREE_HOURS 10800.0
enum { ACTIONS = 50, STEPS_AT_ONCE = 1000, LEAST_RUNS = 3 };
#define LEAST_SECONDS 0.3

typedef struct counted {
    int steps, solves, events;
} counted;

static void count_event(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    (void)e;
    ((counted *)ctx)->events++;
}

static int phase_named(const aircraft *a, const char *name) {
    int found = aircraft_phase(a, name);
    return found >= 0 ? found : 0;
}

// Fifty times a hand moves something that can be switched and moved back; at `fails` (seconds,
// negative: never) every alternator and generator goes dead.
static int make_actions(const subject *s, const state *from, double fails, happening *list) {
    const aircraft *a = s->aircraft;
    int hands[ACTIONS], found = 0, count = 0;
    for (int i = 0; i < a->part_count && found < ACTIONS / 2; i++)
        if (a->parts[i].kind == KIND_BREAKER && a->parts[i].hand && from->setting[i] > 0)
            hands[found++] = i;
    for (int i = 0; i < a->part_count && fails == 0; i++)
        if (a->parts[i].kind == KIND_ALTERNATOR || a->parts[i].kind == KIND_GENERATOR)
            list[count++] = (happening){.part = i, .kind = FAULT_DEAD};
    for (int i = 0; i < ACTIONS && fails != 0; i++) {
        int part = hands[(i / 2) % found];
        list[count++] =
            (happening){.at = 100.0 + 200.0 * i, .part = part, .setting = i % 2 ? 1.0 : 0.0};
    }
    return count;
}

static double time_runs(subject *s, const state *from, const run_options *o, const happening *list,
                        int count, counted *what) {
    double best = INFINITY, all = 0;
    for (int k = 0; k < LEAST_RUNS || all < LEAST_SECONDS; k++) {
        run *r = NULL;
        *what = (counted){0};
        run_hooks hooks = {.ctx = what, .event = count_event};
        double start = seconds_now();
        if (run_make(s->solver, from, o, list, count, &r) != STATUS_OK)
            exit(1);
        while (run_advance(r, &hooks, STEPS_AT_ONCE)) {
        }
        what->steps = run_where(r)->steps;
        what->solves = run_where(r)->solves;
        run_free(r);
        double took = seconds_now() - start;
        all += took;
        best = fmin(best, took);
    }
    return best;
}

static void add(const char *aircraft, const char *what, double seconds, const counted *n) {
    measured f = {.value = seconds * 1e3, .unit = "ms/run", .lanes = 1};
    char remark[80];
    snprintf(f.name, sizeof f.name, "%s, %s", aircraft, what);
    snprintf(remark, sizeof remark, "%d steps, %d settlings, %d events", n->steps, n->solves,
             n->events);
    measured_add(&f, remark);
}

static void bench_aircraft(int index) {
    subject s;
    if (!subject_open_fleet(&s, index))
        exit(1);
    const aircraft *a = s.aircraft;
    state from = {.setting = need_many((size_t)a->part_count + 1, sizeof(double))};
    state_of_phase(a, phase_named(a, "cruise"), &from);
    happening *list = need_many(ACTIONS + (size_t)a->part_count, sizeof *list);
    run_options o = {.lasts = THREE_HOURS, .tolerance = 0.0005, .health = 0.9};
    counted n;
    int count = make_actions(&s, &from, -1, list);
    double flight = time_runs(&s, &from, &o, list, count, &n);
    add(fleet_names[index], "3 h with 50 actions", flight, &n);
    o.tolerance = 0.002;
    o.resolution = 0.1;
    count = make_actions(&s, &from, 0, list);
    double down = time_runs(&s, &from, &o, list, count, &n);
    add(fleet_names[index], "source lost, 3 h", down, &n);
    free(list);
    free(from.setting);
    subject_close(&s);
}

// Charge, sag and one load: the same circuit in both, to the same accuracy in time.
static void bench_against_spice(const run_down *d) {
    subject s;
    char file[RUN_DOWN_FILE_MOST];
    run_down_file(d, file);
    if (!subject_open_bytes(&s, d->words, file, strlen(file)))
        exit(1);
    state from = {.setting = need_many((size_t)s.aircraft->part_count + 1, sizeof(double))};
    state_of_phase(s.aircraft, 0, &from);
    from.charge = 0.9;
    double theirs = INFINITY;
    for (int k = 0; k < LEAST_RUNS; k++) {
        double start = seconds_now();
        run_down_spice(d);
        theirs = fmin(theirs, seconds_now() - start);
        run_down_forget();
    }
    run_options o = {.lasts = 7000, .tolerance = 0.0005, .health = 1};
    counted n;
    double ours = time_runs(&s, &from, &o, NULL, 0, &n);
    measured f = {.value = ours * 1e3,
                  .unit = "ms/run",
                  .lanes = 1,
                  .against = "ngspice transient",
                  .ratio = theirs / ours};
    char remark[80];
    snprintf(f.name, sizeof f.name, "run down by %s", d->words);
    snprintf(remark, sizeof remark, "%d steps, %d settlings; ngspice %.1f ms", n.steps, n.solves,
             theirs * 1e3);
    measured_add(&f, remark);
    free(from.setting);
    subject_close(&s);
}

int main(void) {
    measured_title("runs of 3 hours, scalar");
    for (int i = 0; i < FLEET_COUNT; i++)
        bench_aircraft(i);
    measured_title("a battery run down by one load, 7000 s");
    spice_start();
    for (int i = 0; i < RUN_DOWN_COUNT; i++)
        bench_against_spice(&run_downs[i]);
    measured_end();
    return 0;
}
