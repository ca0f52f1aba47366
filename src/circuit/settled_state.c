// Reading a settled circuit: what is live, and what flows.
#include "circuit/judge.h"

bool signal_at(const settled_state *s, int signal) { return signal < 0 || s->signals[signal] != 0; }

bool comparator_enabled(const settled_state *s, const comparator *h) {
    return signal_at(s, h->enable) && (h->power < 0 || s->solution->dropped[h->power] == 0);
}

double across(const settled_state *s, int a, int b) {
    if (a < 0 || b < 0)
        return 0.0;
    return s->solution->volts[a] - s->solution->volts[b];
}

double element_siemens(const settled_state *s, int k) {
    const conductance *e = &s->made->circuit.conductances[k];
    if (!signal_at(s, e->gate))
        return 0.0;
    if (e->breaker >= 0 && s->solution->tripped[e->breaker])
        return 0.0;
    return s->job.params[e->slot];
}

bool diode_passes(const settled_state *s, int k) {
    const piecewise *e = &s->made->circuit.piecewises[k];
    return s->job.params[e->slot + e->pieces] > 0;  // slope of the second piece
}

static bool carries_on(element_role role) { return role == ROLE_PATH || role == ROLE_SENSE; }

// Ends of what carries live on: of closed paths both ways, then of diodes that pass, one way.
static void find_passages(const settled_state *s) {
    const circuit *c = &s->made->circuit;
    passage_list *l = s->passages;
    l->count = 0;
    for (int i = 0; i < c->conductance_count; i++) {
        int a = c->conductances[i].a, b = c->conductances[i].b;
        if (a == AIRFRAME_NODE || b == AIRFRAME_NODE ||
            !carries_on(s->made->conductance_owner[i].role) || element_siemens(s, i) <= 0)
            continue;
        l->list[l->count++] = (passage){a, b};
    }
    l->paths = l->count;
    for (int i = 0; i < c->piecewise_count; i++) {
        int a = c->piecewises[i].a, b = c->piecewises[i].b;
        if (s->made->piecewise_owner[i].role == ROLE_DIODE && b != AIRFRAME_NODE &&
            diode_passes(s, i))
            l->list[l->count++] = (passage){a, b};
    }
}

// One sweep over the passages; true if something new was reached.
static bool spread(const settled_state *s, uint8_t *reached) {
    const passage *p = s->passages->list;
    bool grew = false;
    for (int i = 0; i < s->passages->paths; i++) {
        if (reached[p[i].a] == reached[p[i].b])
            continue;
        reached[p[i].a] = reached[p[i].b] = 1;
        grew = true;
    }
    for (int i = s->passages->paths; i < s->passages->count; i++) {
        if (!reached[p[i].a] || reached[p[i].b])
            continue;
        reached[p[i].b] = 1;
        grew = true;
    }
    return grew;
}

// An open coil, a stopped machine, an empty battery start nothing.
static bool source_alive(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    const piecewise *e = &s->made->circuit.piecewises[m->piecewise];
    const double *p = s->job.params + e->slot;
    if (s->made->aircraft->parts[part].kind == KIND_BATTERY) {
        double g = p[e->pieces - 1], emf = g > 0 ? -p[2 * e->pieces - 1] / g : 0.0;
        return g > 0 && emf >= 1.0;
    }
    return signal_at(s, m->on_line) && p[3] > 0;  // slope of the regulating piece
}

static void reach_from(const settled_state *s, bool batteries, uint8_t *reached) {
    const aircraft *a = s->made->aircraft;
    for (int i = 0; i < s->made->circuit.node_count; i++)
        reached[i] = 0;
    for (int i = 0; i < a->part_count; i++) {
        const part_map *m = &s->made->maps[i];
        if (kind_class(a->parts[i].kind) != CLASS_SOURCE || m->piecewise < 0)
            continue;
        if (a->parts[i].kind == KIND_BATTERY && !batteries)
            continue;
        if (!source_alive(s, i))
            continue;
        reached[s->made->circuit.piecewises[m->piecewise].a] = 1;
    }
    reached[AIRFRAME_NODE] = 0;
    while (spread(s, reached))
        continue;
}

bool settled_reach(const settled_state *s, int source, uint8_t *reached) {
    for (int i = 0; i < s->made->circuit.node_count; i++)
        reached[i] = 0;
    const part_map *m = &s->made->maps[source];
    if (m->piecewise < 0 || !source_alive(s, source))
        return false;
    reached[s->made->circuit.piecewises[m->piecewise].a] = 1;
    while (spread(s, reached))
        continue;
    return true;
}

void settled_read(settled_state *s) {
    solution_signals(&s->made->circuit, &s->job, s->solution, s->signals);
    find_passages(s);
    reach_from(s, true, s->live);
    reach_from(s, false, s->fed);
    for (int i = 0; i < s->made->circuit.node_count; i++)
        if (s->solution->volts[i] < LIVE_MILLIVOLTS / 1000.0)
            s->live[i] = s->fed[i] = 0;
}

static double throws_amps(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    const positions *p = part_positions(&s->made->aircraft->parts[part]);
    double sum = 0.0;
    for (int i = 0; i < (p != NULL ? p->count : 2); i++)
        sum += conductance_amps(&s->made->circuit, &s->job, s->solution, m->throws[i]);
    return sum;
}

static double source_amps(const settled_state *s, const part_map *m) {
    const circuit *c = &s->made->circuit;
    double into = piecewise_amps(c, &s->job, s->solution, m->piecewise);
    for (int i = 1; i < OUTPUTS_MOST; i++)
        if (m->outputs[i] >= 0)
            into += piecewise_amps(c, &s->job, s->solution, m->outputs[i]);
    if (m->residual >= 0)
        into += piecewise_amps(c, &s->job, s->solution, m->residual);
    if (m->load >= 0)
        into += conductance_amps(c, &s->job, s->solution, m->load);
    if (m->fault_inside >= 0)
        into += conductance_amps(c, &s->job, s->solution, m->fault_inside);
    return -into;
}

double part_amps(const settled_state *s, int part) {
    const circuit *c = &s->made->circuit;
    const part_map *m = &s->made->maps[part];
    const struct part *p = &s->made->aircraft->parts[part];
    switch (kind_class(p->kind)) {
    case CLASS_SOURCE: return m->piecewise >= 0 ? source_amps(s, m) : 0.0;
    case CLASS_ITEM: return m->wire >= 0 ? conductance_amps(c, &s->job, s->solution, m->wire) : 0.0;
    default: break;
    }
    if (p->kind == KIND_DIODE)
        return piecewise_amps(c, &s->job, s->solution, m->piecewise);
    if (m->throws != NULL)
        return throws_amps(s, part);
    double amps = m->path >= 0 ? conductance_amps(c, &s->job, s->solution, m->path) : 0.0;
    if (m->path < 0 && m->wire >= 0)
        amps = conductance_amps(c, &s->job, s->solution, m->wire);
    return m->rest >= 0 ? amps + conductance_amps(c, &s->job, s->solution, m->rest) : amps;
}

double part_volts(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    const struct part *p = &s->made->aircraft->parts[part];
    if (p->kind == KIND_BATTERY)
        return across(s, m->to, m->from);
    if (m->inner >= 0 && s->made->verdict->rule_of[part] >= 0)
        return across(s, m->inner, m->to);
    return m->own >= 0 ? s->solution->volts[m->own] : 0.0;
}
