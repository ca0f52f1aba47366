// The same states of the demo aircraft settled here and by ngspice, which is told every device's
// mode and begins at our volts: it has one operating point to find and no protection to act.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "measured.h"
#include "reference/support/settled_modes.h"
#include "reference/support/spice_peer.h"
#include "support/fleet_states.h"

enum { STATES = 40, COPIES = 50, RUNS = 7 };

typedef struct set {
    subject s;
    int count, unsolved;
    double spice, point;  // seconds a state: from netlist to answer; the operating point alone
    double *params;       // count x param_count
    const solution *start[STATES];
} set;

// Our volts at each point, where ngspice begins.
static double *our_volts(const subject *s, const plain_network *n) {
    double *guess = need_many((size_t)n->point_count, sizeof *guess);
    for (int i = 0; i < s->aircraft->part_count; i++) {
        for (int name = 0; name < POINT_CONTACT; name++) {
            int node = settled_node(&s->view.settled, i, (point_name)name, 0);
            if (node != NOWHERE)
                guess[plain_point(n, i, (point_name)name, 0)] = s->view.solution.volts[node];
        }
    }
    return guess;
}

// False: ngspice doesn't find it.
static bool time_spice(set *x, const device_modes *m) {
    const subject *s = &x->s;
    plain_network n = plain_network_make(s->aircraft, &s->view.asked, m, s->base_amps);
    spice_answer answer = {.volts = need_many((size_t)n.point_count, sizeof(double)),
                           .amps = need_many((size_t)n.element_count, sizeof(double))};
    double *guess = our_volts(s, &n);
    double start = seconds_now();
    bool solved = spice_solve(&n, guess, &answer);
    if (solved) {
        x->spice += seconds_now() - start;
        x->point += answer.seconds;
    }
    free(guess);
    free(answer.volts);
    free(answer.amps);
    plain_network_free(&n);
    return solved;
}

// Draws the states, times ngspice on each and keeps what settles them here.
static void collect_states(set *x) {
    size_t params = (size_t)x->s.solver->made->circuit.param_count;
    device_modes m = modes_make(x->s.aircraft);
    x->params = need_many(STATES * params, sizeof(double));
    for (int i = 0; x->count < STATES && i < 4 * STATES; i++) {
        subject_draw(&x->s, 31, i, 3);
        subject_settle(&x->s);
        if (x->s.view.solution.settled == SETTLED_CHATTERS)
            continue;  // no operating point
        modes_read(&x->s.view.settled, &m);
        if (!time_spice(x, &m)) {
            x->unsolved++;
            continue;
        }
        memcpy(x->params + (size_t)x->count * params, x->s.view.params, params * sizeof(double));
        x->start[x->count++] = x->s.start;
    }
    if (x->count == 0)
        exit(1);
    x->spice /= x->count;
    x->point /= x->count;
    modes_free(&m);
}

static void ignore(void *ctx, int index, const solution *s) {
    int *settled = ctx;
    (void)index;
    *settled += s->settled == SETTLED_YES;
}

static double time_ours(const set *x, int lanes) {
    const circuit *c = &x->s.solver->made->circuit;
    int count = x->count * COPIES, settled = 0;
    job *jobs = need_many((size_t)count, sizeof *jobs);
    for (int i = 0; i < count; i++) {
        int k = i % x->count;
        jobs[i] =
            (job){.params = x->params + (size_t)k * (size_t)c->param_count, .start = x->start[k]};
    }
    double best = INFINITY;
    for (int run = 0; run < RUNS; run++) {
        double start = seconds_now();
        solve_many(x->s.solver->work, lanes, jobs, count, ignore, &settled);
        best = fmin(best, (seconds_now() - start) / count);
    }
    free(jobs);
    return best;
}

static void add(const char *aircraft, const char *what, double seconds, int lanes,
                const char *against, double ratio) {
    measured f = {.value = seconds * 1e6,
                  .unit = "us/state",
                  .lanes = lanes,
                  .against = against,
                  .ratio = ratio};
    snprintf(f.name, sizeof f.name, "%s, %s", aircraft, what);
    measured_add(&f, NULL);
}

static void bench_aircraft(int index) {
    set x = {0};
    if (!subject_open_fleet(&x.s, index))
        exit(1);
    collect_states(&x);
    char title[120];
    snprintf(title, sizeof title,
             "%s: %d nodes, %d random faulted states (%d that ngspice didn't "
             "solve left out)",
             fleet_names[index], x.s.solver->made->circuit.node_count, x.count, x.unsolved);
    measured_title(title);
    const char *name = fleet_names[index];
    add(name, "ngspice, netlist to answer", x.spice, 0, NULL, 0);
    add(name, "ngspice, operating point alone", x.point, 0, NULL, 0);
    for (int lanes = 1; lanes <= 8; lanes *= 2) {
        double each = time_ours(&x, lanes);
        add(name, "settled", each, lanes, "ngspice, netlist to answer", x.spice / each);
        add(name, "settled", each, lanes, "ngspice, operating point alone", x.point / each);
    }
    free(x.params);
    subject_close(&x.s);
}

int main(void) {
    spice_start();
    for (int i = 0; i < FLEET_COUNT; i++)
        bench_aircraft(i);
    measured_end();
    return 0;
}
