// A coarse run's steps go over devices that change on the way: a trial is settled with all of them
// held as they are, so its volts go smoothly from end to end, and tell when the first one gets to
// its threshold. The step is cut there, and what follows is settled with the devices free.
#include <math.h>

#include "timeline/run_state.h"

#define HELD  1e9  // no volts and no amps come to that
#define DEEP  0.5  // of its drop-out: a load that has sagged that far goes even so
#define AFTER 0.4  // of the finest step: how far beyond its threshold a device changes

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

bool run_make_frozen(run *r) {
    const circuit *c = circuit_of(r);
    r->frozen.powers = arena_new(&r->memory, (size_t)c->power_count + 1, sizeof(power_load));
    r->frozen.comparators =
        arena_new(&r->memory, (size_t)c->comparator_count + 1, sizeof(comparator));
    return !r->memory.failed;
}

void run_freeze(run *r) {
    const circuit *c = circuit_of(r);
    run_frozen *f = &r->frozen;
    for (int i = 0; i < c->power_count; i++) {
        f->powers[i] = c->powers[i];
        f->powers[i].dropout *= DEEP;
        f->powers[i].restart = HELD;
    }
    for (int i = 0; i < c->comparator_count; i++) {
        f->comparators[i] = c->comparators[i];
        f->comparators[i].set = HELD;
        f->comparators[i].reset = -HELD;
    }
    f->circuit = *c;
    f->circuit.powers = f->powers;
    f->circuit.comparators = f->comparators;
}

// ---- the first device on the way ---------------------------------------------------------------
static double power_volts(const power_load *d, const double *volts) {
    return fabs(volts[d->a] - volts[d->b]);
}

// Of the way, after which what goes from `first` to `last` has got to the limit, from above or from
// below; 2: it doesn't.
static double passes(double first, double last, double limit, bool from_above) {
    bool before = from_above ? first > limit : first < limit;
    bool after = from_above ? last <= limit : last >= limit;
    return before && after ? (limit - first) / (last - first) : 2.0;
}

static double smaller(double a, double b) { return a < b ? a : b; }

static double first_power(const run *r) {
    const circuit *c = circuit_of(r);
    const settled_state *s = &r->now.view.settled;
    const double *now = r->now.view.solution.volts, *then = r->trial.view.solution.volts;
    double share = 2.0;
    for (int i = 0; i < c->power_count; i++) {
        const power_load *d = &c->powers[i];
        bool off = r->now.view.solution.dropped[i] != 0;
        double first = power_volts(d, now), last = power_volts(d, then);
        double at = passes(first, last, off ? d->restart : d->dropout, !off);
        if (at < share && !r->ignored[r->first_drop_mark + i] && signal_at(s, d->gate))
            share = at;
    }
    return share;
}

static double amount_of(const run *r, const run_end *e, const comparator *h) {
    const double *volts = e->view.solution.volts;
    const job *j = &e->view.settled.job;
    if (h->of == QUANTITY_VOLTS)
        return h->sign * (volts[h->a] - volts[h->b]);
    if (h->of == QUANTITY_CONDUCTANCE_AMPS)
        return h->sign * conductance_amps(circuit_of(r), j, &e->view.solution, h->a);
    return h->sign * piecewise_amps(circuit_of(r), j, &e->view.solution, h->a);
}

static double first_comparator(const run *r) {
    const circuit *c = circuit_of(r);
    const settled_state *s = &r->now.view.settled;
    double share = 2.0;
    for (int i = 0; i < c->comparator_count; i++) {
        const comparator *h = &c->comparators[i];
        bool on = r->now.view.solution.comparator[i] != 0;
        if (r->ignored[i] || !comparator_enabled(s, h))
            continue;
        double first = amount_of(r, &r->now, h), last = amount_of(r, &r->trial, h);
        share = smaller(share, passes(first, last, on ? h->reset : h->set, on));
    }
    return share;
}

// ---- cut there ---------------------------------------------------------------------------------
// The trial becomes what lies that share of the way to it, after so many seconds.
static void cut(run *r, double share, double seconds) {
    const run_end *from = &r->now;
    run_end *to = &r->trial;
    size_t nodes = (size_t)circuit_of(r)->node_count;
    double *volts = to->view.solution.volts;
    for (size_t i = 0; i < nodes; i++)
        volts[i] = from->view.solution.volts[i] + share * (volts[i] - from->view.solution.volts[i]);
    for (int i = 0; i < r->battery_count; i++)
        to->amps[i] = from->amps[i] + share * (to->amps[i] - from->amps[i]);
    r->aim = seconds;
    to->rated = false;
    run_land_there(r, seconds);
}

bool run_cut_trial(run *r) {
    double share = smaller(first_power(r), first_comparator(r));
    if (share > 1.0)
        return false;
    double seconds = run_time_of_way(r, share) + AFTER * r->finest;
    if (seconds >= r->aim)
        return true;
    cut(r, run_way_at(r, seconds), seconds);
    return true;
}
