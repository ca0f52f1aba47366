// Index tables of a pattern: the factorization as a program, where elements add, which signals
// matter.
#include "circuit/pattern_tables.h"

#include <assert.h>

// Off-diagonals of the static columns, and of the core's.
static int static_offs(const triangle *t) { return t->start[t->statics]; }
static int first_core(const triangle *t) { return t->statics + static_offs(t); }

static int diagonal(const triangle *t, int place) {
    return place < t->statics ? place : first_core(t) + place - t->statics;
}

// Entry of two places, either order; -1 if the pattern has none.
static int entry(const triangle *t, int a, int b) {
    if (a == b)
        return diagonal(t, a);
    int column = a < b ? a : b;
    int row = a < b ? b : a;
    int low = t->start[column];
    int high = t->start[column + 1];
    while (low < high) {
        int middle = (low + high) / 2;
        if (t->place[middle] < row)
            low = middle + 1;
        else
            high = middle;
    }
    if (low == t->start[column + 1] || t->place[low] != row)
        return -1;
    return column < t->statics ? t->statics + low : first_core(t) + t->cores + low - static_offs(t);
}

static size_t program_size(const triangle *t, int from, int to) {
    size_t size = 0;
    for (int k = from; k < to; k++) {
        size_t m = (size_t)(t->start[k + 1] - t->start[k]);
        size += 1 + m + m * (m + 1) / 2;
    }
    return size;
}

static uint32_t offset_of(int index) { return (uint32_t)index * OFFSET; }

// Columns from..to one after the other, as long as they have equally many off-diagonals and none
// reaches another. `reached`: zeros; becomes 1 + the last column that reaches a place.
static int list_runs(const triangle *t, int from, int to, int *reached, column_run *runs) {
    int count = 0, first = from;
    for (int k = from; k < to; k++) {
        int m = t->start[k + 1] - t->start[k];
        if (count == 0 || runs[count - 1].m != m || reached[k] > first) {
            runs[count++] = (column_run){m, 0};
            first = k;
        }
        runs[count - 1].count++;
        for (int i = t->start[k]; i < t->start[k + 1]; i++)
            reached[t->place[i]] = k + 1;
    }
    return count;
}

// Columns from..to; places and entries are written less `places` and `entries`.
static bool program(const triangle *t, int from, int to, int places, int entries, arena *keep,
                    arena *scratch, columns *out) {
    int count = to - from;
    int *start = arena_new(keep, (size_t)count + 1, sizeof(int));
    int off_count = t->start[to] - t->start[from];
    uint32_t *row = arena_new(keep, (size_t)off_count + 1, sizeof(uint32_t));
    uint32_t *steps = arena_new(keep, program_size(t, from, to) + 1, sizeof(uint32_t));
    column_run *runs = arena_new(keep, (size_t)count + 1, sizeof *runs);
    int *reached = arena_new(scratch, (size_t)t->unknowns + 1, sizeof(int));
    if (!start || !row || !steps || !runs || !reached)
        return false;
    *out = (columns){count, off_count, start, row, steps, runs, 0};
    out->run_count = list_runs(t, from, to, reached, runs);
    for (int k = from; k < to; k++) {
        const int *rows = t->place + t->start[k];
        int m = t->start[k + 1] - t->start[k];
        start[k - from] = t->start[k] - t->start[from];
        *steps++ = (uint32_t)m;
        for (int j = 0; j < m; j++)
            *steps++ = row[start[k - from] + j] = offset_of(rows[j] - places);
        for (int j = 0; j < m; j++) {
            for (int i = j; i < m; i++)
                *steps++ = offset_of(entry(t, rows[j], rows[i]) - entries);
        }
    }
    start[count] = off_count;
    return true;
}

bool pattern_programs(pattern *p, const triangle *t, arena *keep, arena *scratch) {
    p->static_entries = first_core(t);
    p->core_entries = t->cores + t->start[t->unknowns] - static_offs(t);
    return program(t, 0, t->statics, 0, 0, keep, scratch, &p->fixed) &&
           program(t, t->statics, t->unknowns, t->statics, p->static_entries, keep, scratch,
                   &p->core);
}

typedef struct element {
    int a, b, slot, gate, breaker;
} element;

static int breaker_or_none(const circuit *c, int breaker) {
    return breaker < 0 ? c->breaker_count : breaker;
}

static int gate_or_always(const circuit *c, int gate) {
    return gate < 0 ? circuit_signal_count(c) : gate;
}

static stamp stamp_of(const circuit *c, const pattern *p, const triangle *t, element e) {
    int pa = p->place_of[e.a], pb = p->place_of[e.b];
    stamp s = {-1, -1, -1, gate_or_always(c, e.gate), e.slot, breaker_or_none(c, e.breaker)};
    if (e.a == e.b)
        return s;
    if (e.a != 0)
        s.aa = diagonal(t, pa);
    if (e.b != 0)
        s.bb = diagonal(t, pb);
    if (e.a != 0 && e.b != 0)
        s.ab = entry(t, pa, pb);
    return s;
}

static stamp_ends ends_of(const stamp *s) {
    if (s->ab >= 0)
        return ENDS_A_B;
    if (s->aa >= 0)
        return ENDS_A_GROUND;
    return s->bb >= 0 ? ENDS_GROUND_B : ENDS_NOWHERE;
}

static uint32_t core_entry(const pattern *p, int entry_of_all) {
    return entry_of_all < 0 ? 0 : offset_of(entry_of_all - p->static_entries);
}

static device_stamp device_stamp_of(const circuit *c, const pattern *p, const triangle *t,
                                    element e) {
    stamp s = stamp_of(c, p, t, e);
    return (device_stamp){core_entry(p, s.aa),
                          core_entry(p, s.bb),
                          core_entry(p, s.ab),
                          offset_of(p->place_of[e.a] - p->statics),
                          offset_of(p->place_of[e.b] - p->statics),
                          offset_of(s.gate),
                          offset_of(s.slot),
                          offset_of(s.breaker),
                          ends_of(&s)};
}

static element of_conductance(const conductance *d) {
    return (element){d->a, d->b, d->slot, d->gate, d->breaker};
}

static bool conductance_stamps(const circuit *c, pattern *p, const triangle *t,
                               const uint8_t *fixed, arena *keep) {
    size_t count = (size_t)c->conductance_count + 1;
    int *statics = arena_new(keep, count, sizeof(int));
    int *dynamics = arena_new(keep, count, sizeof(int));
    stamp *static_stamps = arena_new(keep, count, sizeof(stamp));
    device_stamp *dynamic_stamps = arena_new(keep, count, sizeof *dynamic_stamps);
    if (!statics || !dynamics || !static_stamps || !dynamic_stamps)
        return false;
    for (int k = 0; k < c->conductance_count; k++) {
        const conductance *g = &c->conductances[k];
        if (g->gate < 0 || fixed[g->gate]) {
            static_stamps[p->static_conductance_count] = stamp_of(c, p, t, of_conductance(g));
            statics[p->static_conductance_count++] = k;
        } else {
            dynamic_stamps[p->dynamic_conductance_count] =
                device_stamp_of(c, p, t, of_conductance(g));
            dynamics[p->dynamic_conductance_count++] = k;
        }
    }
    p->static_conductances = statics;
    p->dynamic_conductances = dynamics;
    p->static_stamps = static_stamps;
    p->dynamic_stamps = dynamic_stamps;
    return true;
}

static probe probe_of(const circuit *c, const pattern *p, int k) {
    const comparator *h = &c->comparators[k];
    probe q = {.of = h->of, .sign = h->sign, .comparator = k};
    q.enable = offset_of(gate_or_always(c, h->enable));
    q.dropped = offset_of(h->power >= 0 ? h->power : c->power_count);
    q.signal = offset_of(circuit_signal_of_comparator(c, k));
    if (h->of == QUANTITY_PIECEWISE_AMPS) {
        q.device = h->a;
        return q;
    }
    int a = h->a;
    int b = h->b;
    if (h->of == QUANTITY_CONDUCTANCE_AMPS) {
        const conductance *g = &c->conductances[h->a];
        a = g->a;
        b = g->b;
        q.slot = offset_of(g->slot);
        q.gate = offset_of(gate_or_always(c, g->gate));
        q.breaker = offset_of(breaker_or_none(c, g->breaker));
    }
    q.a = offset_of(p->place_of[a] - p->statics);
    q.b = offset_of(p->place_of[b] - p->statics);
    return q;
}

static bool probes(const circuit *c, pattern *p, arena *keep) {
    probe *list = arena_new(keep, (size_t)c->comparator_count + 1, sizeof *list);
    if (!list)
        return false;
    for (int level = 2; level <= 3; level++) {
        if (level == 3)
            p->probe_level3 = p->probe_count;
        for (int k = 0; k < c->comparator_count; k++) {
            if (c->comparators[k].level == level)
                list[p->probe_count++] = probe_of(c, p, k);
        }
    }
    assert(p->probe_count == c->comparator_count);
    p->probes = list;
    return true;
}

bool pattern_stamps(const circuit *c, pattern *p, const triangle *t, const uint8_t *fixed,
                    arena *keep) {
    const size_t each = sizeof(device_stamp);
    device_stamp *piecewises = arena_new(keep, (size_t)c->piecewise_count + 1, each);
    device_stamp *powers = arena_new(keep, (size_t)c->power_count + 1, each);
    device_stamp *lamps = arena_new(keep, (size_t)c->lamp_count + 1, each);
    breaker_probe *breakers = arena_new(keep, (size_t)c->breaker_count + 1, sizeof(breaker_probe));
    if (!piecewises || !powers || !lamps || !breakers)
        return false;
    for (int k = 0; k < c->piecewise_count; k++)
        piecewises[k] =
            device_stamp_of(c, p, t,
                            (element){c->piecewises[k].a, c->piecewises[k].b, c->piecewises[k].slot,
                                      c->piecewises[k].gate, -1});
    for (int k = 0; k < c->power_count; k++)
        powers[k] = device_stamp_of(
            c, p, t,
            (element){c->powers[k].a, c->powers[k].b, c->powers[k].slot, c->powers[k].gate, -1});
    for (int k = 0; k < c->lamp_count; k++)
        lamps[k] = device_stamp_of(
            c, p, t,
            (element){c->lamps[k].a, c->lamps[k].b, c->lamps[k].slot, c->lamps[k].gate, -1});
    for (int k = 0; k < c->breaker_count; k++) {
        const conductance *g = &c->conductances[c->breakers[k].conductance];
        breakers[k] = (breaker_probe){offset_of(p->place_of[g->a]), offset_of(p->place_of[g->b]),
                                      offset_of(gate_or_always(c, g->gate)), offset_of(g->slot),
                                      offset_of(c->breakers[k].slot)};
    }
    p->piecewise_stamps = piecewises;
    p->power_stamps = powers;
    p->lamp_stamps = lamps;
    p->breaker_probes = breakers;
    return conductance_stamps(c, p, t, fixed, keep) && probes(c, p, keep);
}

static void want(uint8_t *wanted, int signal) {
    if (signal >= 0)
        wanted[signal] = 1;
}

// Signals that the settling reads by itself (what drives conductances, devices, comparators,
// breakers). What only the verdict asks for isn't among them.
static void wanted_signals(const circuit *c, const pattern *p, uint8_t *wanted) {
    for (int i = 0; i < p->dynamic_conductance_count; i++)
        want(wanted, c->conductances[p->dynamic_conductances[i]].gate);
    for (int k = 0; k < c->piecewise_count; k++)
        want(wanted, c->piecewises[k].gate);
    for (int k = 0; k < c->power_count; k++)
        want(wanted, c->powers[k].gate);
    for (int k = 0; k < c->lamp_count; k++)
        want(wanted, c->lamps[k].gate);
    for (int k = 0; k < c->comparator_count; k++) {
        const comparator *h = &c->comparators[k];
        want(wanted, h->enable);
        if (h->of == QUANTITY_CONDUCTANCE_AMPS)
            want(wanted, c->conductances[h->a].gate);
    }
    for (int k = 0; k < c->memory_count; k++) {
        want(wanted, c->memories[k].set);
        if (c->memories[k].kind == MEMORY_LATCH) {
            want(wanted, c->memories[k].reset);
            want(wanted, c->memories[k].hold);
        }
    }
    for (int k = 0; k < c->breaker_count; k++)
        want(wanted, c->conductances[c->breakers[k].conductance].gate);
}

static void wanted_params(const circuit *c, const pattern *p, uint8_t *hot) {
    hot[c->slot_top] = HOT_AT_START;
    for (int i = 0; i < p->dynamic_conductance_count; i++)
        hot[c->conductances[p->dynamic_conductances[i]].slot] = HOT_ALWAYS;
    for (int k = 0; k < c->piecewise_count; k++) {
        const piecewise *d = &c->piecewises[k];
        for (int i = 0; i < 3 * d->pieces - 1; i++)
            hot[d->slot + i] = HOT_AT_START;
    }
    for (int k = 0; k < c->power_count; k++)
        hot[c->powers[k].slot] = HOT_ALWAYS;
    for (int k = 0; k < c->lamp_count; k++)
        hot[c->lamps[k].slot] = HOT_ALWAYS;
    for (int k = 0; k < c->comparator_count; k++) {
        if (c->comparators[k].of == QUANTITY_CONDUCTANCE_AMPS)
            hot[c->conductances[c->comparators[k].a].slot] = HOT_ALWAYS;
    }
    for (int k = 0; k < c->breaker_count; k++) {
        hot[c->breakers[k].slot] = HOT_ALWAYS;
        hot[c->conductances[c->breakers[k].conductance].slot] = HOT_ALWAYS;
    }
}

// Gates of which a wanted one is made; each stands behind its inputs.
static void want_inputs(const circuit *c, const uint8_t *fixed, uint8_t *wanted) {
    for (int k = c->gate_count - 1; k >= 0; k--) {
        const gate *g = &c->gates[k];
        int signal = circuit_signal_of_gate(c, k);
        if (fixed[signal] || !wanted[signal])
            continue;
        want(wanted, g->a);
        if (g->op != GATE_NOT)
            want(wanted, g->b);
    }
}

static bool split_gates(const circuit *c, pattern *p, const uint8_t *fixed, const uint8_t *wanted,
                        arena *keep) {
    int *statics = arena_new(keep, (size_t)c->gate_count + 1, sizeof(int));
    gate_step *dynamics = arena_new(keep, (size_t)c->gate_count + 1, sizeof *dynamics);
    if (!statics || !dynamics)
        return false;
    for (int k = 0; k < c->gate_count; k++) {
        const gate *g = &c->gates[k];
        int signal = circuit_signal_of_gate(c, k);
        if (fixed[signal])
            statics[p->static_gate_count++] = k;
        else if (wanted[signal])
            dynamics[p->dynamic_gate_count++] =
                (gate_step){g->op, offset_of(gate_or_always(c, g->a)),
                            offset_of(gate_or_always(c, g->b)), offset_of(signal)};
    }
    p->static_gates = statics;
    p->dynamic_gates = dynamics;
    return true;
}

bool pattern_signals(const circuit *c, pattern *p, const uint8_t *fixed, arena *keep,
                     arena *scratch) {
    int signals = circuit_signal_count(c);
    uint8_t *wanted = arena_new(scratch, (size_t)signals + 1, 1);
    uint8_t *hot_signal = arena_new(keep, (size_t)signals + 1, 1);
    uint8_t *hot = arena_new(keep, (size_t)c->param_count + 1, 1);
    int *hot_signals = arena_new(keep, (size_t)signals + 1, sizeof(int));
    int *hot_params = arena_new(keep, (size_t)c->param_count + 1, sizeof(int));
    if (!wanted || !hot_signal || !hot || !hot_signals || !hot_params)
        return false;
    wanted_signals(c, p, wanted);
    want_inputs(c, fixed, wanted);
    if (!split_gates(c, p, fixed, wanted, keep))
        return false;
    for (int s = 0; s < signals; s++) {
        hot_signal[s] = wanted[s] && fixed[s];
        if (hot_signal[s])
            hot_signals[p->hot_signal_count++] = s;
    }
    wanted_params(c, p, hot);
    for (int i = 0; i < c->param_count; i++) {
        if (hot[i])
            hot_params[p->hot_param_count++] = i;
    }
    p->hot_signal = hot_signal;
    p->hot_signals = hot_signals;
    p->hot_param = hot;
    p->hot_params = hot_params;
    return true;
}
