// How far the next step goes: up to short of an event that is expected, then just over it. Volts on
// their way to a threshold are followed by a parabola through three points; once a trial has been
// beyond an event, through what lies on both sides of it if no device differs there. Where nothing
// can be followed, or it has misled, what is left is halved. Every step short of an event is a step
// like any other: nothing that has been settled is settled twice.
#include <math.h>
#include <string.h>

#include "timeline/run_state.h"

#define NEVER 1e300
// How far from where it is expected an event may come, of the way to there.
#define DOUBT         0.01
#define DOUBT_BETWEEN 0.002  // with a point beyond it
#define DOUBT_CHARGE  0.1    // by the charge alone: more is drawn where more is lost on the way
#define AFTER         0.4    // of the finest step: how far beyond where it is expected a step ends
#define FAR           8.0    // times the next step: what straight on is farther off isn't followed
// So often in a row an expectation is believed.
enum { POLISHES = 4, AIMS_MOST = 8 };

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

// ---- where a voltage gets to a limit -----------------------------------------------------------

static double volts_of(const double *volts, int a, int b) { return volts[a] - volts[b]; }

static double volts_between(const run_point *p, int a, int b) { return volts_of(p->volts, a, b); }

// From now on.
static double reaches(const double g[3], const run_point *const p[3], double limit) {
    double t0 = p[0]->at, t1 = p[1]->at, t2 = p[2]->at;
    double late = (g[2] - g[1]) / (t2 - t1);
    double bend = p[0]->known ? (late - (g[1] - g[0]) / (t1 - t0)) / (t2 - t0) : 0.0;
    double at = t2 + (limit - g[2]) / late;
    for (int i = 0; i < POLISHES; i++) {
        double off = g[2] + late * (at - t2) + bend * (at - t2) * (at - t1) - limit;
        double slope = late + bend * (2 * at - t1 - t2);
        at -= off / slope;
    }
    return at >= 0.0 && at < NEVER ? at : NEVER;  // false of what is no number, too
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
        if (run_passed(t, trial->volts) == run_passed(t, now->volts))
            continue;
        for (int k = 0; k < 3; k++)
            g[k] = volts_between(p[k], t->a, t->b);
        at = earlier(at, reaches(g, p, t->limit));
    }
    for (int i = 0; i < c->power_count; i++) {
        const power_load *d = &c->powers[i];
        bool off = now->dropped[i] != 0, changes = trial->dropped[i] != now->dropped[i];
        if (!changes && !(off && fabs(volts_of(trial->volts, d->a, d->b)) >= d->restart))
            continue;
        for (int k = 0; k < 3; k++)
            g[k] = fabs(volts_between(p[k], d->a, d->b));
        at = earlier(at, reaches(g, p, off ? d->restart : d->dropout));
    }
    for (int i = 0; i < c->comparator_count; i++) {
        const comparator *d = &c->comparators[i];
        if (d->of != QUANTITY_VOLTS || trial->comparator[i] == now->comparator[i])
            continue;
        for (int k = 0; k < 3; k++)
            g[k] = d->sign * volts_between(p[k], d->a, d->b);
        at = earlier(at, reaches(g, p, now->comparator[i] ? d->reset : d->set));
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
    r->over_at = -1.0;
    r->foreseen = 0;
}

void run_pass_points(run *r, double seconds) {
    r->oldest.at -= seconds;
    r->older.at -= seconds;
    r->newer.at -= seconds;
    r->beyond.at -= seconds;
    if (!r->newer.known || r->newer.at < -seconds)
        take_before(r, -seconds, r->now.view.solution.volts);
}

// ---- what is coming ----------------------------------------------------------------------------
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
    return short_of && straight < FAR * r->length ? reaches(g, p, limit) : NEVER;
}

// The verdict's thresholds, too, where a change of status ends a step.
static double next_status(const run *r, const run_point *const p[3]) {
    double at = NEVER;
    for (int i = 0; i < r->threshold_count; i++) {
        const threshold *t = &r->thresholds[i];
        const comparator volts = {.sign = 1.0, .a = t->a, .b = t->b};
        at = earlier(at, reaches_next(r, p, &volts, t->limit, t->holds));
    }
    return at;
}

// When the first device or status gets to its threshold, if all goes on as in the last steps;
// NEVER: nobody knows.
static double expected_next(const run *r) {
    const circuit *c = circuit_of(r);
    const settled_state *s = &r->now.view.settled;
    const solution *now = &r->now.view.solution;
    const run_point here = {true, 0.0, now->volts};
    bool twice = r->newer.at >= 0;
    if (!r->newer.known)
        return NEVER;
    const run_point *const p[3] = {twice ? &r->oldest : &r->older, twice ? &r->older : &r->newer,
                                   &here};
    if (!p[1]->known)
        return NEVER;
    double at = next_status(r, p);
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
        if (d->of == QUANTITY_VOLTS && comparator_enabled(s, d))
            at = earlier(at, reaches_next(r, p, d, on ? d->reset : d->set, on));
    }
    return at;
}

// ---- the next step -----------------------------------------------------------------------------
static void take_over(run *r, double at) {
    size_t devices = (size_t)r->first_status_mark;
    solution_copy(circuit_of(r), &r->trial.view.solution, &r->over);
    r->over_at = r->at + at;
    r->beyond.known = false;
    if (memcmp(r->now.marks, r->trial.marks, devices) == 0)
        take_point(r, &r->beyond, at, r->over.volts);
}

// Up to short of an event that is expected `at`, or, from there, to just beyond it.
static double short_of(const run *r, double at, double doubt) {
    double over = AFTER * r->finest;
    doubt = doubt * at > over ? doubt * at : over;
    return at - doubt > over ? at - doubt : at + over;
}

// Where the trial that was last beyond an event is `high` seconds off.
static double within(run *r, double high) {
    if (high <= r->finest)
        return high;
    if (!r->newer.known || r->newer.at < 0)
        take_before(r, 0.0, r->now.view.solution.volts);
    double at = expected(r, &r->over, !r->options.coarse);
    if (at >= high || ++r->aims > AIMS_MOST)
        return 0.5 * high;
    double doubt = r->beyond.known ? DOUBT_BETWEEN : DOUBT, seconds = short_of(r, at, doubt);
    return seconds < high ? seconds : 0.5 * high;
}

double run_step_to_event(run *r, double seconds) {
    double high = r->over_at - r->at;
    if (high > SAME_MOMENT && high <= seconds + SAME_MOMENT)
        return within(r, high);
    r->aims = high > SAME_MOMENT ? r->aims : 0;
    double doubt = DOUBT, at = expected_next(r);
    if (at == NEVER) {
        doubt = DOUBT_CHARGE;
        at = run_foresee(r, seconds, 0.0);
    }
    if (at > seconds || r->foreseen >= AIMS_MOST) {
        r->foreseen = 0;
        return run_above_knee(r, seconds);
    }
    r->foreseen++;
    at = short_of(r, at, doubt);
    return at < seconds ? at : seconds;
}

double run_shorten_to_event(run *r, double seconds) {
    take_over(r, seconds);
    return within(r, seconds);
}
