// Every part's volts, amps and flags.
#include "circuit/judge.h"

static bool node_is(const uint8_t *flags, int node) { return node >= 0 && flags[node] != 0; }

// How many elements end at each node, one or several (in s->reached).
static void count_ends(const settled_state *s) {
    const circuit *c = &s->made->circuit;
    for (int i = 0; i < c->node_count; i++)
        s->reached[i] = 0;
    for (int i = 0; i < c->conductance_count; i++) {
        int ends[2] = {c->conductances[i].a, c->conductances[i].b};
        for (int k = 0; k < 2; k++)
            s->reached[ends[k]] = s->reached[ends[k]] == 0 ? 1 : 2;
    }
    for (int i = 0; i < c->piecewise_count; i++)
        s->reached[c->piecewises[i].a] = s->reached[c->piecewises[i].b] = 2;
}

// A switch at OFF touches a contact too; it joins something only if a wire leads on from there.
static bool contact_joins(const settled_state *s, const part_map *m, int position, bool off) {
    if (element_siemens(s, m->throws[position]) <= 0)
        return false;
    return !off || s->reached[m->contacts[position]] > 1;
}

// After count_ends.
static bool path_closed(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    const struct part *p = &s->made->aircraft->parts[part];
    if (p->kind == KIND_DIODE)
        return m->piecewise >= 0 && s->solution->piece[m->piecewise] > 0;
    if (m->throws != NULL) {
        const positions *at = part_positions(p);
        for (int i = 0; i < (at != NULL ? at->count : 2); i++)
            if (contact_joins(s, m, i, at == NULL && i == 0))
                return true;
        return false;
    }
    if (m->path < 0)
        return false;
    return element_siemens(s, m->path) > 0;
}

static void judge_path(const settled_state *s, int part, part_outcome *o) {
    const part_map *m = &s->made->maps[part];
    const solution *r = s->solution;
    o->volts = across(s, m->from, m->to);
    int end = m->own >= 0 ? m->own : m->to;
    o->end_volts = end >= 0 ? r->volts[end] : 0.0;
    o->closed = path_closed(s, part);
    o->live = node_is(s->live, m->from) || node_is(s->live, m->to);
    o->draining = o->live && !node_is(s->fed, m->from) && !node_is(s->fed, m->to);
    o->energized = m->energized >= -1 && m->coil_load >= 0 && signal_at(s, m->energized);
    if (m->breaker < 0)
        return;
    o->tripped = r->tripped[m->breaker] != 0;
    double rating = s->job.params[s->made->circuit.breakers[m->breaker].slot];
    double ratio = (o->amps < 0 ? -o->amps : o->amps) / rating;
    o->may_trip = ratio > 1.15 && ratio <= 1.38;
}

static void judge_point(const settled_state *s, int node, part_outcome *o) {
    if (node < 0)
        return;
    o->volts = o->end_volts = s->solution->volts[node];
    o->live = s->live[node] != 0;
    o->draining = o->live && !s->fed[node];
}

static void judge_source(const settled_state *s, int part, part_outcome *o) {
    const part_map *m = &s->made->maps[part];
    judge_point(s, m->to, o);
    o->volts = across(s, m->to, m->from);
    o->works = signal_at(s, m->works);
    o->closed = m->path < 0 || path_closed(s, part);  // unless it has disconnected itself
}

static void range_of(const settled_state *s, int node, part_outcome *o) {
    o->lowest = o->highest = o->volts;
    if (s->solution->settled != SETTLED_CHATTERS || node < 0)
        return;
    o->lowest = s->solution->lowest[node];
    o->highest = s->solution->highest[node];
}

static void mark_chatter(const settled_state *s, part_outcome *parts) {
    const circuit *c = &s->made->circuit;
    if (s->solution->settled != SETTLED_CHATTERS)
        return;
    for (int i = 0; i < c->comparator_count; i++)
        if (s->solution->flips[i] && s->made->comparator_owner[i] >= 0)
            parts[s->made->comparator_owner[i]].chatters = true;
    for (int i = 0; i < c->power_count; i++)
        if (s->solution->flips[c->comparator_count + c->memory_count + i])
            parts[s->made->power_owner[i]].chatters = true;
}

void judge_parts(const settled_state *s, part_outcome *parts) {
    const aircraft *a = s->made->aircraft;
    count_ends(s);
    for (int i = 0; i < a->part_count; i++) {
        const part_map *m = &s->made->maps[i];
        part_outcome *o = &parts[i];
        *o = (part_outcome){.reason = "", .traced = NOWHERE};
        o->amps = part_amps(s, i);
        int node = m->own;
        switch (kind_class(a->parts[i].kind)) {
        case CLASS_POINT: judge_point(s, m->own, o); break;
        case CLASS_PATH: judge_path(s, i, o); break;
        case CLASS_SOURCE: judge_source(s, i, o); break;
        case CLASS_UNIT:
            if (a->parts[i].kind == KIND_REGULATOR)
                judge_path(s, i, o);
            o->works = signal_at(s, m->works);
            break;
        default: o->works = signal_at(s, m->works); break;
        }
        range_of(s, node, o);
    }
    mark_chatter(s, parts);
}

void judge_supplies(const settled_state *s, bool *supplies) {
    const aircraft *a = s->made->aircraft;
    for (int i = 0; i < a->supply_count; i++) {
        supplies[i] = false;
        for (int k = 0; k < a->supplies[i].count; k++)
            if (signal_at(s, s->made->maps[a->supplies[i].makers[k]].works))
                supplies[i] = true;
    }
}

// Of a machine's elements the one that carries its current now.
static int output_element(const settled_state *s, const part_map *m) {
    for (int i = 1; i < OUTPUTS_MOST; i++)
        if (m->outputs[i] >= 0 && signal_at(s, s->made->circuit.piecewises[m->outputs[i]].gate))
            return m->outputs[i];
    return m->piecewise;
}

static source_mode machine_mode(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    const struct part *p = &s->made->aircraft->parts[part];
    if (p->kind == KIND_EXTERNAL_POWER && !signal_at(s, m->on_line))
        return SOURCE_OFF;
    if (s->faults[part] >> FAULT_DEAD & 1u)
        return SOURCE_OFF;
    if (!signal_at(s, m->on_line)) {
        int r = m->regulator;
        if (r >= 0 && signal_at(s, s->made->maps[r].tripped) && s->made->maps[r].tripped >= 0)
            return SOURCE_TRIPPED;
        const part_value *turned = part_value_of(p, KEY_TURNED_BY);
        int engine = turned != NULL && turned->as.ids.count > 0 ? turned->as.ids.items[0] : -1;
        bool turning = engine < 0 || signal_at(s, s->made->maps[engine].turning);
        return turning ? SOURCE_NO_FIELD : SOURCE_OFF;
    }
    int element = output_element(s, m);
    static const source_mode MODE[] = {SOURCE_LIMITED, SOURCE_REGULATING, SOURCE_IDLE};
    int piece = s->solution->piece[element];
    return MODE[piece > 2 ? 2 : piece];
}

// Whether it stands alone: which buses closed parts join it to, and whether a battery reaches it
// (one behind a diode that only charges it doesn't).
static void judge_island(const settled_state *s, source_outcome *o) {
    const aircraft *a = s->made->aircraft;
    const uint32_t gone = 1u << FAULT_DEAD | 1u << FAULT_OPEN;
    if (!settled_reach(s, o->part, s->reached))
        return;
    for (int i = 0; i < a->part_count; i++) {
        const part_map *m = &s->made->maps[i];
        if (a->parts[i].kind == KIND_BUS && m->own >= 0 && s->reached[m->own])
            o->joins_bus = true;
    }
    int output = s->made->circuit.piecewises[s->made->maps[o->part].piecewise].a;
    for (int i = 0; i < a->part_count && !o->joins_battery; i++)
        o->joins_battery = a->parts[i].kind == KIND_BATTERY && i != o->part &&
                           !(s->faults[i] & gone) && settled_reach(s, i, s->reached) &&
                           s->reached[output];
}

int judge_sources(const settled_state *s, const part_outcome *parts, source_outcome *sources) {
    const aircraft *a = s->made->aircraft;
    int count = 0;
    for (int i = 0; i < a->part_count; i++) {
        const part_map *m = &s->made->maps[i];
        if (kind_class(a->parts[i].kind) != CLASS_SOURCE || m->piecewise < 0)
            continue;
        source_outcome *o = &sources[count++];
        *o = (source_outcome){.part = i, .volts = parts[i].volts, .amps = parts[i].amps};
        o->battery = a->parts[i].kind == KIND_BATTERY;
        const piecewise *output = &s->made->circuit.piecewises[output_element(s, m)];
        const double *p = s->job.params + output->slot;
        if (o->battery) {
            o->charge = state_charge(a, s->asked, i);
            if ((s->faults[i] >> FAULT_WEAK & 1u) && o->charge > 0.2)
                o->charge = 0.2;
            if (s->faults[i] >> FAULT_DEAD & 1u)
                o->charge = 0.0;
            o->mode = o->amps > 1e-6    ? SOURCE_DISCHARGING
                      : o->amps < -1e-6 ? SOURCE_CHARGING
                                        : SOURCE_OFF;
        } else {
            o->limit = -p[5];  // offset of the piece at the limit
            o->mode = machine_mode(s, i);
            judge_island(s, o);
        }
    }
    return count;
}
