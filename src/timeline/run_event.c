// When the event comes that a step goes over: it is bracketed, probe by probe. A voltage on its way
// to a threshold is followed by a parabola through three points, and the bracket is closed from
// both sides of where that gets there. Where nothing can be followed, or it has misled, the bracket
// is halved.
#include <math.h>
#include <string.h>

#include "timeline/run_state.h"

#define NEVER 1e300
// How far from where it is expected an event may come, of the way to there.
#define DOUBT  0.01
#define MISLED 100.0
#define FAR    8.0  // times the next step: nothing is followed that straight on is farther off
enum { POLISHES = 4 };

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

// ---- where a voltage gets to a limit -----------------------------------------------------------

static double volts_between(const run_point *p, int a, int b) { return p->volts[a] - p->volts[b]; }

// After the last point that is known to be before it.
static double reaches(const run *r, const double g[3], const run_point *const p[3], double limit) {
    double t0 = p[0]->at, t1 = p[1]->at, t2 = p[2]->at;
    double late = (g[2] - g[1]) / (t2 - t1);
    double bend = p[0]->known ? (late - (g[1] - g[0]) / (t1 - t0)) / (t2 - t0) : 0.0;
    double at = t2 + (limit - g[2]) / late;
    for (int i = 0; i < POLISHES; i++) {
        double off = g[2] + late * (at - t2) + bend * (at - t2) * (at - t1) - limit;
        double slope = late + bend * (2 * at - t1 - t2);
        at -= off / slope;
    }
    return at >= r->newer.at && at < NEVER ? at : NEVER;  // false of what is no number, too
}

static double earlier(double a, double b) { return a < b ? a : b; }

// The earliest time at which one of those thresholds is reached that the trial is beyond; those
// that the verdict rests on only if `statuses`.
static double expected(const run *r, const solution *trial, bool statuses) {
    const circuit *c = circuit_of(r);
    const solution *now = &r->now.view.solution;
    const run_point *const before[3] = {&r->oldest, &r->older, &r->newer};
    const run_point *const around[3] = {&r->older, &r->newer, &r->beyond};
    const run_point *const *p = r->beyond.known ? around : before;
    double at = NEVER, g[3];
    if (!p[1]->known)
        return NEVER;
    for (int i = 0; i < r->threshold_count && statuses; i++) {
        const threshold *t = &r->thresholds[i];
        if (run_passed(t, trial->volts) == t->holds)
            continue;
        for (int k = 0; k < 3; k++)
            g[k] = volts_between(p[k], t->a, t->b);
        at = earlier(at, reaches(r, g, p, t->limit));
    }
    for (int i = 0; i < c->power_count; i++) {
        const power_load *d = &c->powers[i];
        if (trial->dropped[i] == now->dropped[i])
            continue;
        for (int k = 0; k < 3; k++)
            g[k] = fabs(volts_between(p[k], d->a, d->b));
        at = earlier(at, reaches(r, g, p, now->dropped[i] ? d->restart : d->dropout));
    }
    for (int i = 0; i < c->comparator_count; i++) {
        const comparator *d = &c->comparators[i];
        if (d->of != QUANTITY_VOLTS || trial->comparator[i] == now->comparator[i])
            continue;
        for (int k = 0; k < 3; k++)
            g[k] = d->sign * volts_between(p[k], d->a, d->b);
        at = earlier(at, reaches(r, g, p, now->comparator[i] ? d->reset : d->set));
    }
    return at;
}

// ---- points ------------------------------------------------------------------------------------
static void take_point(const run *r, run_point *p, double at, const double *volts) {
    p->known = true;
    p->at = at;
    memcpy(p->volts, volts, (size_t)circuit_of(r)->node_count * sizeof(double));
}

static void take_before(run *r, double at, const double *volts) {
    run_point spare = r->oldest;
    r->oldest = r->older;
    r->older = r->newer;
    r->newer = spare;
    take_point(r, &r->newer, at, volts);
}

void run_forget_points(run *r) {
    r->oldest.known = r->older.known = r->newer.known = r->beyond.known = false;
}

void run_pass_points(run *r, double seconds) {
    r->oldest.at -= seconds;
    r->older.at -= seconds;
    r->newer.at -= seconds;
    if (!r->newer.known || r->newer.at < -seconds)
        take_before(r, -seconds, r->now.view.solution.volts);
}

// ---- the bracket -------------------------------------------------------------------------------
static void take_over(run *r, double at) {
    size_t devices = (size_t)r->first_status_mark;
    solution_copy(circuit_of(r), &r->trial.view.solution, &r->over);
    r->beyond.known = false;
    if (memcmp(r->now.marks, r->trial.marks, devices) == 0)
        take_point(r, &r->beyond, at, r->over.volts);
}

// Where to probe between low and high: short of the event or beyond it, `doubts` times the usual.
static double next_probe(const run *r, double low, double high, bool beyond, double doubts) {
    double at = expected(r, &r->over, true);
    if (at == NEVER || doubts > MISLED)
        return 0.5 * (low + high);
    at = at < high ? at : high;
    double doubt = doubts * DOUBT * (at - low), least = 0.3 * r->finest;
    doubt = doubt > least ? doubt : least;
    at += beyond ? doubt : -doubt;
    return at <= low || at >= high ? 0.5 * (low + high) : at;
}

double run_find_event(run *r, double *high) {
    double low = 0.0, doubts = 1.0;
    bool beyond = true;
    if (!r->newer.known || r->newer.at < 0)
        take_before(r, 0.0, r->now.view.solution.volts);
    take_over(r, *high);
    while (*high - low > r->finest) {
        double at = next_probe(r, low, *high, beyond, doubts);
        run_try(r, at);
        if (r->trial_differs) {
            take_over(r, at);
            *high = at;
        } else {
            take_before(r, at, r->trial.view.solution.volts);
            low = at;
        }
        doubts = r->trial_differs == beyond ? 1.0 : 8.0 * doubts;
        beyond = !r->trial_differs;
    }
    r->beyond.known = false;
    return low;
}

// ---- for coarse runs ----------------------------------------------------------------------------
double run_expect_device(run *r) {
    if (!r->newer.known || r->newer.at < 0)
        take_before(r, 0.0, r->now.view.solution.volts);
    r->beyond.known = false;
    double at = expected(r, &r->trial.view.solution, false);
    return at < NEVER ? at : -1.0;
}

// A quantity that stands short of its limit, and goes there as in the last steps.
static double reaches_next(const run *r, const run_point *const p[3], const comparator *h,
                           double limit, bool from_above) {
    double g[3];
    for (int k = 0; k < 3; k++) {
        g[k] = h->sign * volts_between(p[k], h->a, h->b);
        if (h->sign == 0.0)
            g[k] = fabs(volts_between(p[k], h->a, h->b));
    }
    bool short_of = from_above ? g[2] > limit && g[2] < g[1] : g[2] < limit && g[2] > g[1];
    double straight = (limit - g[2]) / (g[2] - g[1]) * -p[1]->at;
    return short_of && straight < FAR * r->length ? reaches(r, g, p, limit) : NEVER;
}

double run_expect_next(const run *r) {
    const circuit *c = circuit_of(r);
    const settled_state *s = &r->now.view.settled;
    const solution *now = &r->now.view.solution;
    const run_point here = {true, 0.0, now->volts};
    bool twice = r->newer.at >= 0;
    const run_point *const p[3] = {twice ? &r->oldest : &r->older, twice ? &r->older : &r->newer,
                                   &here};
    double at = NEVER;
    if (!p[1]->known)
        return -1.0;
    for (int i = 0; i < c->power_count; i++) {
        const power_load *d = &c->powers[i];
        const comparator size = {.a = d->a, .b = d->b};
        bool off = now->dropped[i] != 0;
        if (signal_at(s, d->gate))
            at = earlier(at, reaches_next(r, p, &size, off ? d->restart : d->dropout, !off));
    }
    for (int i = 0; i < c->comparator_count; i++) {
        const comparator *d = &c->comparators[i];
        bool on = now->comparator[i] != 0;
        if (d->of == QUANTITY_VOLTS && signal_at(s, d->enable))
            at = earlier(at, reaches_next(r, p, d, on ? d->reset : d->set, on));
    }
    return at < NEVER ? at : -1.0;
}
