// One step of a run: charges, parameters, settling, error.
#include <math.h>
#include <string.h>

#include "timeline/run_state.h"

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

int run_battery_slot(const run *r, int battery) {
    const part_map *m = &r->solver->made->maps[r->batteries[battery].part];
    return circuit_of(r)->piecewises[m->piecewise].slot;
}

static void write(run_end *e, int slot, double value) {
    e->view.params[slot] = value;
    e->patches[e->job.patch_count++] = (patch){slot, value};
}

// The batteries as the circuit is shown them, and what depends on their charge.
static void write_charges(const run *r, run_end *e) {
    double *params = e->view.params;
    double top = r->bound_top;
    e->job = (job){.params = r->bound,
                   .patches = e->patches,
                   .keep_breakers = true,
                   .figures = circuit_of(r),
                   .stamp = r->bound_stamp};
    for (int i = 0; i < r->battery_count; i++) {
        if (r->batteries[i].cut)
            continue;
        int slot = run_battery_slot(r, i);
        battery_pieces(&e->shown[i], params + slot);
        for (int k = 0; k < BATTERY_PARAMS; k++)
            write(e, slot + k, params[slot + k]);
        top = e->shown[i].emf > top ? e->shown[i].emf : top;
    }
    write(e, circuit_of(r)->slot_top, top);
    for (int i = 0; i < r->condition_count; i++) {
        const charge_condition *k = &r->conditions[i];
        const condition *c = &r->solver->aircraft->conditions[k->condition];
        double x = battery_fraction(&r->batteries[k->battery].model, e->charge[k->battery]);
        write(e, k->input, (c->below ? x < c->value : x > c->value) ? 1.0 : 0.0);
    }
    for (int i = 0; i < r->timer_count; i++)
        write(e, r->timers[i].input, r->timers[i].over ? 1.0 : 0.0);
}

// Ready to be settled from `start`.
static void pose(run *r, run_end *e, const solution *start) {
    settled_state *s = &e->view.settled;
    write_charges(r, e);
    s->asked = &e->view.asked;
    s->faults = e->view.faults;
    e->job.start = start;
    s->job = (job){.params = e->view.params, .start = start, .keep_breakers = true};
    s->solution = &e->view.solution;
}

// What its solution says of the batteries.
static void take(run *r, run_end *e) {
    e->rated = false;
    for (int i = 0; i < r->battery_count; i++)
        e->amps[i] = part_amps(&e->view.settled, r->batteries[i].part);
    r->solves++;
}

static void settle(run *r, run_end *e) {
    if (r->same_bound)
        solve_again(r->solver->work, &e->job, &e->view.solution);
    else
        solve_one(r->solver->work, &e->job, &e->view.solution);
    r->same_bound = true;
    take(r, e);
}

static battery_law law_of(const run *r, const run_end *e, int i) {
    const run_battery *b = &r->batteries[i];
    return battery_law_now(&b->model, e->charge[i], e->view.faults[b->part]);
}

void run_pose(run *r, run_end *e, const solution *start) {
    for (int i = 0; i < r->battery_count; i++)
        e->shown[i] = e->law[i] = law_of(r, e, i);
    pose(r, e, start);
}

void run_take(run *r, run_end *e) { take(r, e); }

void run_settle(run *r, run_end *e, const solution *start) {
    run_pose(r, e, start);
    settle(r, e);
}

double run_ratio(const run *r, const run_end *e, int breaker) {
    const circuit *c = circuit_of(r);
    double amps = conductance_amps(c, &e->view.settled.job, &e->view.solution,
                                   c->breakers[breaker].conductance);
    return (amps < 0 ? -amps : amps) / e->view.params[c->breakers[breaker].slot];
}

static void rate(const run *r, run_end *e) {
    for (int i = 0; i < circuit_of(r)->breaker_count && !e->rated; i++)
        if (!r->cold[i])
            e->ratio[i] = run_ratio(r, e, i);
    e->rated = true;
}

static void heat_up(run *r, double seconds) {
    rate(r, &r->now);
    rate(r, &r->trial);
    const trip_law *law = NULL;
    double left = 1.0;
    for (int i = 0; i < circuit_of(r)->breaker_count; i++) {
        r->trial.heat[i] = r->now.heat[i];
        if (r->cold[i])
            continue;
        double first = r->now.ratio[i], last = r->trial.ratio[i];
        double mean = 0.5 * (first * first + last * last);
        if (law == NULL || law->seconds != r->trip_laws[i].seconds) {
            law = &r->trip_laws[i];
            left = trip_left(law, seconds);
        }
        r->trial.heat[i] = r->now.heat[i] * left + mean * (1.0 - left);
    }
}

static outlook look_ahead(const run *r, int i, double seconds) {
    const run_battery *b = &r->batteries[i];
    uint32_t faults = r->now.view.faults[b->part];
    double first = r->now.amps[i], more = 0.01 * b->model.one_hour_amps;
    outlook o = {.span = battery_span_of(&b->model, seconds), .amps = first + r->ramp[i] * seconds};
    o.charge = battery_after_span(&b->model, r->now.charge[i], first, o.amps, &o.span);
    o.law = battery_law_now(&b->model, o.charge, faults);
    battery_charge q =
        battery_after_span(&b->model, r->now.charge[i], first, o.amps + more, &o.span);
    battery_law other = battery_law_now(&b->model, q, faults);
    o.emf_slope = (other.emf - o.law.emf) / more;
    o.ohms_slope = (other.ohms - o.law.ohms) / more;
    o.accepts_slope = (other.accepts - o.law.accepts) / more;
    return o;
}

// The same as one straight law: an end current that differs from what was expected has moved the
// EMF by the end of the step, so it looks like a resistance. Without it an empty battery, whose EMF
// hangs on its last drops, would ask for steps of seconds.
static battery_law straight(const outlook *o) {
    battery_law law = o->law;
    double slope = o->ohms_slope * o->amps - o->emf_slope;
    if (law.ohms < 0)
        return law;
    if (slope > 0) {
        law.emf += slope * o->amps;
        law.ohms += slope;
    }
    double accepts = law.accepts - o->accepts_slope * o->amps;
    if (o->accepts_slope > 0 && accepts > 0)
        law.accepts = accepts / (1.0 + o->accepts_slope);
    return law;
}

// A current that bends as a parabola through the steps' ends, `before` being the length of the step
// before, is off the straight line that was expected by so much that the charge that the straight
// line between the ends misses is this share of what that moves the EMF by. Where no step of the
// kind was before, the share is a choice.
#define BENT 0.3
static double bent(const run *r, double seconds) {
    return r->newer.known ? seconds / (3.0 * (seconds + r->last_step)) : BENT;
}

// How far off the law is that was shown, at the current it has led to; and `bent` of what the EMF's
// change owes to a current that didn't go straight.
static double volts_off(const outlook *o, const battery_law *found, double amps, double bent) {
    double apart = amps - o->amps;
    double off = fabs(found->emf - (o->law.emf + o->emf_slope * apart));
    off += fabs(found->ohms - (o->law.ohms + o->ohms_slope * apart)) * fabs(amps);
    return off + bent * fabs(o->emf_slope * apart);
}

// The same of what a battery accepts that takes all of it.
static double amps_off(const outlook *o, const battery_law *found, const battery_law *shown,
                       double amps, double bent) {
    return fabs(found->accepts - shown->accepts) + bent * fabs(o->accepts_slope * (amps - o->amps));
}

void run_aim(run *r, double seconds) {
    run_end *to = &r->trial;
    for (int i = 0; i < r->battery_count; i++) {
        r->ahead[i] = look_ahead(r, i, seconds);
        to->shown[i] = straight(&r->ahead[i]);
        to->charge[i] = r->ahead[i].charge;
    }
    pose(r, to, &r->now.view.solution);
    if (r->options.coarse)
        to->job.figures = &r->frozen.circuit;
}

// The charge that a straight line missed counts too: where volts hardly hang on charge they don't
// show it, but it adds up. Volts for a whole charge, by choice: three times those by which a 24 V
// lead-acid battery at rest sinks.
#define VOLTS_FOR_CHARGE 7.0
static double charge_off(const run_battery *b, const outlook *o, double amps, double bent,
                         double seconds) {
    double hours = seconds / 3600.0;
    return VOLTS_FOR_CHARGE * bent * 0.5 * fabs(amps - o->amps) * hours / b->model.one_hour_amps;
}

// The charges of a straight line to the current that was found, and how far off that is.
static double land(run *r, double seconds) {
    run_end *from = &r->now, *to = &r->trial;
    double error = 0.0, share = bent(r, seconds);
    for (int i = 0; i < r->battery_count; i++) {
        to->charge[i] = battery_after_span(&r->batteries[i].model, from->charge[i], from->amps[i],
                                           to->amps[i], &r->ahead[i].span);
        to->law[i] = law_of(r, to, i);
        double off = volts_off(&r->ahead[i], &to->law[i], to->amps[i], share);
        if (-to->amps[i] >= (1.0 - LIMITED) * to->shown[i].accepts)
            off += amps_off(&r->ahead[i], &to->law[i], &to->shown[i], to->amps[i], share) *
                   to->law[i].ohms;
        error = off > error ? off : error;
        off = charge_off(&r->batteries[i], &r->ahead[i], to->amps[i], share, seconds);
        error = off > error ? off : error;
    }
    heat_up(r, seconds);
    run_mark_devices(r, to);
    return error;
}

void run_land_there(run *r, double seconds) {
    for (int i = 0; i < r->battery_count; i++) {
        r->trial.charge[i] = battery_after(&r->batteries[i].model, r->now.charge[i], r->now.amps[i],
                                           r->trial.amps[i], seconds);
        r->trial.law[i] = law_of(r, &r->trial, i);
    }
    heat_up(r, seconds);
    run_mark_devices(r, &r->trial);
}

double run_land(run *r, double seconds) {
    size_t devices = (size_t)r->first_status_mark, rest = (size_t)r->mark_count - devices;
    take(r, &r->trial);
    double error = land(r, seconds);
    memcpy(r->trial.marks + devices, r->now.marks + devices, rest);
    r->trial_differs = run_marks_differ(r);
    return error;
}

// The current goes straight on as in the last step; settled so; then the charges of a straight line
// to the current that was found.
double run_try(run *r, double seconds) {
    run_aim(r, seconds);
    settle(r, &r->trial);
    double error = land(r, seconds);
    run_mark_transmitting(r, &r->trial);
    run_compare(r);
    return error;
}

void run_accept(run *r, double seconds) {
    run_pass_points(r, seconds);
    for (int i = 0; i < r->battery_count; i++) {
        run_battery *b = &r->batteries[i];
        b->given += 0.5 * seconds * (r->now.amps[i] + r->trial.amps[i]);
        r->ramp[i] = (r->trial.amps[i] - r->now.amps[i]) / seconds;
    }
    run_end swapped = r->now;
    r->now = r->trial;
    r->trial = swapped;
    // The views' settled states point at their own views: they moved along with the memory they
    // point at, all but the view itself.
    r->now.view.settled.asked = &r->now.view.asked;
    r->now.view.settled.solution = &r->now.view.solution;
    r->trial.view.settled.asked = &r->trial.view.asked;
    r->trial.view.settled.solution = &r->trial.view.solution;
    r->at += seconds;
    r->last_step = seconds;
    r->steps++;
    if (r->judged == JUDGED_TRIAL)
        r->judged = JUDGED_NOW;
    else if (r->trial_differs)
        run_judge(r, &r->now, r->now.marks);
}
