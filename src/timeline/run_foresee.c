// What is coming, before anything has been settled: what the charge that is left makes of a
// battery's volts if its current goes on as in the last step.
#include <math.h>

#include "timeline/run_state.h"

#define NEVER 1e300
#define DEEP  0.08  // of its EMF: no step makes more of a fall of it, as far as is known before
#define CLOSE 0.02  // of the gap
#define DEAD  1e-3  // volts: no battery moves what has no more
enum { SEARCHES_MOST = 8 };

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

static battery_law law_after(const run *r, int battery, double ramp, double seconds) {
    const run_battery *b = &r->batteries[battery];
    double first = r->now.amps[battery];
    battery_charge q =
        battery_after(&b->model, r->now.charge[battery], first, first + ramp * seconds, seconds);
    return battery_law_now(&b->model, q, r->now.view.faults[b->part]);
}

double run_above_knee(const run *r, double seconds) {
    for (int i = 0; i < r->battery_count; i++) {
        double least = (1.0 - DEEP) * r->now.law[i].emf;
        while (r->now.amps[i] > 0 && seconds > FIRST_STEP &&
               law_after(r, i, r->ramp[i], seconds).emf < least)
            seconds *= 0.5;
    }
    return seconds;
}

// ---- the first threshold on the way -------------------------------------------------------------
static double smaller(double a, double b) { return a < b ? a : b; }

static double gap_of_volts(const run *r, double way) {
    const double *volts = r->now.view.solution.volts;
    double gap = NEVER;
    for (int i = 0; i < r->threshold_count && !r->options.coarse; i++) {
        const threshold *t = &r->thresholds[i];
        double left = way * (t->limit - (volts[t->a] - volts[t->b]));
        if (left > 0)
            gap = smaller(gap, left);
    }
    return gap;
}

// A gap of a device in volts of the battery that leads: what went less far than that one in the
// last step of a coarse run, as on a battery of its own, is as much farther off.
static double of_battery(const run *r, int battery, double way, double gap, int a, int b) {
    const double *now = r->now.view.solution.volts, *then = r->newer.volts;
    const part_map *m = &r->solver->made->maps[r->batteries[battery].part];
    if (!r->options.coarse || !r->newer.known)
        return gap;
    double led = way * (now[m->to] - now[m->from] - then[m->to] + then[m->from]);
    double went = way * (fabs(now[a] - now[b]) - fabs(then[a] - then[b]));
    return led < DEAD || went > led ? gap : went > DEAD * led ? gap * led / went : NEVER;
}

// How far the volts of that battery go up (`way` 1) or down (-1) until a device changes, or a
// status does where that ends a step.
static double least_gap(const run *r, int battery, double way) {
    const circuit *c = circuit_of(r);
    const settled_state *s = &r->now.view.settled;
    const solution *now = &r->now.view.solution;
    double gap = gap_of_volts(r, way);
    for (int i = 0; i < c->power_count; i++) {
        const power_load *d = &c->powers[i];
        double volts = fabs(now->volts[d->a] - now->volts[d->b]);
        double left = way * ((now->dropped[i] ? d->restart : d->dropout) - volts);
        if ((now->dropped[i] != 0) == (way > 0) && left > 0 && volts > DEAD &&
            signal_at(s, d->gate))
            gap = smaller(gap, of_battery(r, battery, way, left, d->a, d->b));
    }
    for (int i = 0; i < c->comparator_count; i++) {
        const comparator *d = &c->comparators[i];
        bool on = now->comparator[i] != 0, rises = way * d->sign > 0;
        if (d->of != QUANTITY_VOLTS || on == rises || !comparator_enabled(s, d))
            continue;
        double volts = d->sign * (now->volts[d->a] - now->volts[d->b]);
        double left = rises ? d->set - volts : volts - d->reset;
        if (left > 0 && fabs(volts) > DEAD)
            gap = smaller(gap, of_battery(r, battery, way, left, d->a, d->b));
    }
    return gap;
}

// The battery that gives most, or, where none gives anything, the first.
static int leading_battery(const run *r) {
    int found = -1;
    double most = -1e-9;
    for (int i = 0; i < r->battery_count; i++) {
        if (r->now.amps[i] > most && !r->batteries[i].cut) {
            most = r->now.amps[i];
            found = i;
        }
    }
    return found;
}

// Its volts by then, less those of now.
static double moved(const run *r, int battery, double seconds) {
    const battery_law *now = &r->now.law[battery];
    battery_law then = law_after(r, battery, r->ramp[battery], seconds);
    double amps = r->now.amps[battery], later = amps + r->ramp[battery] * seconds;
    return then.emf - now->emf - later * then.ohms + amps * now->ohms;
}

double run_foresee(const run *r, double seconds, double past) {
    int battery = leading_battery(r);
    if (battery < 0)
        return NEVER;
    double far = moved(r, battery, seconds), way = far > 0 ? 1.0 : -1.0;
    double gap = least_gap(r, battery, way) + past, low = 0.0, high = seconds, at_low = 0.0,
           at_high = way * far;
    if (at_high <= gap)
        return NEVER;
    for (int i = 0; i < SEARCHES_MOST; i++) {
        double middle = low + (high - low) * (gap - at_low) / (at_high - at_low);
        if (i % 3 == 2)
            middle = 0.5 * (low + high);
        double at = way * moved(r, battery, middle);
        if (fabs(at - gap) < CLOSE * gap)
            return middle;
        if (at < gap) {
            low = middle;
            at_low = at;
        } else {
            high = middle;
            at_high = at;
        }
    }
    return low;
}
