// The circuit's parameters by what is asked: most changes are a hand's or a fault, so only the
// groups of parts that have it are bound anew.
#include <string.h>

#include "timeline/run_state.h"

enum { CHANGES_MOST = 16 };  // more of them, and all parts are bound

// An item that chatters draws nothing and is no use to anybody: its volts alone would look as if it
// worked.
static void hold_off(const compiled *c, int power, double *params) {
    int whole = c->maps[c->power_owner[power]].whole;
    params[c->circuit.powers[power].slot] = 0.0;
    if (whole >= 0 && whole < c->circuit.input_count)
        params[whole] = 0.0;
}

static bool same_around(const state *a, const state *b) {
    return a->phase == b->phase && a->airborne == b->airborne && a->night == b->night &&
           a->cloud == b->cloud && a->icing == b->icing && a->stall_near == b->stall_near &&
           a->throttle == b->throttle && a->airspeed == b->airspeed &&
           a->temperature == b->temperature && a->charge == b->charge;
}

typedef struct changed_parts {
    int parts[CHANGES_MOST];
    int count;
    bool all;  // too many, or a bus that is whole again
} changed_parts;

static void add_part(changed_parts *c, int part) {
    if (c->count == CHANGES_MOST)
        c->all = true;
    else
        c->parts[c->count++] = part;
}

static bool has_fault(const state *s, const fault *f) {
    for (int i = 0; i < s->fault_count; i++)
        if (s->faults[i].part == f->part && s->faults[i].kind == f->kind)
            return true;
    return false;
}

static void add_lost_faults(changed_parts *c, const state *of, const state *without) {
    for (int i = 0; i < of->fault_count; i++)
        if (!has_fault(without, &of->faults[i]))
            add_part(c, of->faults[i].part);
}

// Batteries are among them: their charge is never what it was.
static changed_parts changes_between(const run *r, const state *before, const state *now) {
    const aircraft *a = r->solver->aircraft;
    changed_parts c = {.all = !same_around(before, now)};
    for (int i = 0; i < r->battery_count; i++)
        add_part(&c, r->batteries[i].part);
    for (int i = 0; i < a->part_count; i++)
        if (before->setting[i] != now->setting[i])
            add_part(&c, i);
    add_lost_faults(&c, now, before);
    int added = c.count;
    add_lost_faults(&c, before, now);
    for (int i = added; i < c.count; i++)
        c.all |= kind_class(a->parts[c.parts[i]].kind) == CLASS_POINT;
    return c;
}

static void bind_asked(run *r) {
    view *v = &r->now.view;
    const compiled *c = r->solver->made;
    const double *amps = r->solver->bases[v->asked.phase].amps;
    changed_parts changed = {.all = true};
    if (r->has_plain)
        changed = changes_between(r, &r->plain_asked, &v->asked);
    if (changed.all)
        bind_state(c, &v->asked, amps, v->faults, r->plain);
    else
        bind_parts(c, &v->asked, amps, changed.parts, changed.count, v->faults, r->plain);
    state_copy(c->aircraft, &v->asked, &r->plain_asked);
    r->has_plain = true;
    memcpy(v->params, r->plain, (size_t)c->circuit.param_count * sizeof(double));
}

void run_bind(run *r) {
    view *v = &r->now.view;
    const compiled *c = r->solver->made;
    bind_asked(r);
    run_bind_timers(r, v->params);
    run_bind_cycles(r, v->params);
    run_choose_heaviest(r);
    r->bound_top = v->params[c->circuit.slot_top];
    for (int i = 0; i < c->circuit.power_count; i++)
        if (r->ignored[r->first_drop_mark + i])
            hold_off(c, i, v->params);
    for (int i = 0; i < r->battery_count; i++)
        r->batteries[i].cut = v->params[run_battery_slot(r, i) + BATTERY_PIECES - 1] <= 0;
    memcpy(r->bound, v->params, (size_t)c->circuit.param_count * sizeof(double));
    r->same_bound = r->block_begun = false;
    r->bound_stamp++;
    r->judged = JUDGED_NEITHER;
    view *t = &r->trial.view;
    state_copy(c->aircraft, &v->asked, &t->asked);
    memcpy(t->params, v->params, (size_t)c->circuit.param_count * sizeof(double));
    memcpy(t->faults, v->faults, (size_t)c->aircraft->part_count * sizeof(uint32_t));
}
