// One step of a run: charges, parameters, settling, error.
#include <math.h>
#include <string.h>

#include "timeline/run_state.h"

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

static int battery_slot(const run *r, int battery) {
    const part_map *m = &r->solver->made->maps[r->batteries[battery].part];
    return circuit_of(r)->piecewises[m->piecewise].slot;
}

void run_bind(run *r) {
    view *v = &r->now.view;
    const compiled *c = r->solver->made;
    bind_state(c, &v->asked, r->solver->bases[v->asked.phase].amps, v->faults, v->params);
    run_bind_timers(r, v->params);
    r->bound_top = v->params[c->circuit.slot_top];
    for (int i = 0; i < c->circuit.power_count; i++)
        if (r->ignored[r->first_drop_mark + i])
            v->params[c->circuit.powers[i].slot] = 0.0;  // it chatters: held off
    for (int i = 0; i < r->battery_count; i++)
        r->batteries[i].cut = v->params[battery_slot(r, i) + BATTERY_PIECES - 1] <= 0;
    view *t = &r->trial.view;
    state_copy(c->aircraft, &v->asked, &t->asked);
    memcpy(t->params, v->params, (size_t)c->circuit.param_count * sizeof(double));
    memcpy(t->faults, v->faults, (size_t)c->aircraft->part_count * sizeof(uint32_t));
}

// The batteries' laws and what depends on their charge.
static void write_charges(const run *r, run_end *e) {
    double *params = e->view.params;
    double top = r->bound_top;
    for (int i = 0; i < r->battery_count; i++) {
        const run_battery *b = &r->batteries[i];
        e->law[i] = battery_law_now(&b->model, e->charge[i], e->view.faults[b->part]);
        if (b->cut)
            continue;
        battery_pieces(&e->law[i], params + battery_slot(r, i));
        top = e->law[i].emf > top ? e->law[i].emf : top;
    }
    params[circuit_of(r)->slot_top] = top;
    for (int i = 0; i < r->condition_count; i++) {
        const charge_condition *k = &r->conditions[i];
        const condition *c = &r->solver->aircraft->conditions[k->condition];
        double x = battery_fraction(&r->batteries[k->battery].model, e->charge[k->battery]);
        params[k->input] = (c->below ? x < c->value : x > c->value) ? 1.0 : 0.0;
    }
}

void run_settle(run *r, run_end *e, const solution *start) {
    settled_state *s = &e->view.settled;
    write_charges(r, e);
    s->asked = &e->view.asked;
    s->faults = e->view.faults;
    s->job = (job){.params = e->view.params, .start = start, .keep_breakers = true};
    solve_one(r->solver->work, &s->job, &e->view.solution);
    s->solution = &e->view.solution;
    for (int i = 0; i < r->battery_count; i++)
        e->amps[i] = part_amps(s, r->batteries[i].part);
    r->solves++;
}

double run_ratio(const run *r, const run_end *e, int breaker) {
    const circuit *c = circuit_of(r);
    double amps = conductance_amps(c, &e->view.settled.job, &e->view.solution,
                                   c->breakers[breaker].conductance);
    return (amps < 0 ? -amps : amps) / e->view.params[c->breakers[breaker].slot];
}

static void heat_up(run *r, double seconds) {
    for (int i = 0; i < circuit_of(r)->breaker_count; i++) {
        double first = run_ratio(r, &r->now, i), last = run_ratio(r, &r->trial, i);
        double mean = 0.5 * (first * first + last * last);
        r->trial.heat[i] = trip_after(&r->trip_laws[i], r->now.heat[i], mean, seconds);
    }
}

// The current goes straight on as in the last step; settled so; then the charges of a straight line
// to the current that was found.
double run_try(run *r, double seconds) {
    run_end *from = &r->now, *to = &r->trial;
    double error = 0.0;
    for (int i = 0; i < r->battery_count; i++)
        to->charge[i] = battery_after(&r->batteries[i].model, from->charge[i], from->amps[i],
                                      from->amps[i] + r->ramp[i] * seconds, seconds);
    run_settle(r, to, &from->view.solution);
    for (int i = 0; i < r->battery_count; i++) {
        const battery_model *m = &r->batteries[i].model;
        to->charge[i] = battery_after(m, from->charge[i], from->amps[i], to->amps[i], seconds);
        battery_law law = battery_law_now(m, to->charge[i], to->view.faults[r->batteries[i].part]);
        double off = fabs(law.emf - to->law[i].emf);
        off += fabs(law.ohms - to->law[i].ohms) * fabs(to->amps[i]);
        if (to->amps[i] < 0)
            off += fabs(law.accepts - to->law[i].accepts) * law.ohms;
        error = off > error ? off : error;
    }
    heat_up(r, seconds);
    run_mark(r, to);
    return error;
}

void run_accept(run *r, double seconds) {
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
    r->steps++;
}
