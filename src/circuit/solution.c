// Solutions: their memory, and what can be read from them (currents, signals).
#include <string.h>

#include "circuit/solve.h"

#define LANES 1
#include "circuit/kernel_devices.h"

typedef struct extents {
    size_t nodes, comparators, memories, powers, pieces, breakers;
} extents;

static extents extents_of(const circuit *c) {
    return (extents){(size_t)c->node_count,  (size_t)c->comparator_count, (size_t)c->memory_count,
                     (size_t)c->power_count, (size_t)c->piecewise_count,  (size_t)c->breaker_count};
}

size_t solution_size(const circuit *c) {
    extents e = extents_of(c);
    size_t bytes = 2 * (e.comparators + e.memories + e.powers) + e.pieces + e.breakers;
    return (3 * e.nodes * sizeof(double) + bytes + 15) / 16 * 16;
}

solution solution_carve(const circuit *c, void *block) {
    extents e = extents_of(c);
    solution s = {.rounds = 1};
    double *numbers = block;
    s.volts = numbers;
    s.lowest = numbers + e.nodes;
    s.highest = numbers + 2 * e.nodes;
    uint8_t *bytes = (uint8_t *)(numbers + 3 * e.nodes);
    s.comparator = bytes;
    s.latched = s.comparator + e.comparators;
    s.dropped = s.latched + e.memories;
    s.piece = s.dropped + e.powers;
    s.tripped = s.piece + e.pieces;
    s.flips = s.tripped + e.breakers;
    return s;
}

void solution_copy(const circuit *c, const solution *from, solution *to) {
    extents e = extents_of(c);
    solution kept = *to;
    *to = *from;
    to->volts = kept.volts;
    to->lowest = kept.lowest;
    to->highest = kept.highest;
    to->comparator = kept.comparator;
    to->latched = kept.latched;
    to->dropped = kept.dropped;
    to->piece = kept.piece;
    to->tripped = kept.tripped;
    to->flips = kept.flips;
    memcpy(to->volts, from->volts, e.nodes * sizeof(double));
    memcpy(to->lowest, from->lowest, e.nodes * sizeof(double));
    memcpy(to->highest, from->highest, e.nodes * sizeof(double));
    memcpy(to->comparator, from->comparator, e.comparators);
    memcpy(to->latched, from->latched, e.memories);
    memcpy(to->dropped, from->dropped, e.powers);
    memcpy(to->piece, from->piece, e.pieces);
    memcpy(to->tripped, from->tripped, e.breakers);
    memcpy(to->flips, from->flips, e.comparators + e.memories + e.powers);
}

// Power loads start dropped: they come on when their volts do.
void solution_cold(const circuit *c, solution *s) {
    extents e = extents_of(c);
    s->settled = SETTLED_YES;
    s->iterations = 0;
    s->rounds = 1;
    s->trip_count = 0;
    memset(s->volts, 0, e.nodes * sizeof(double));
    memset(s->lowest, 0, e.nodes * sizeof(double));
    memset(s->highest, 0, e.nodes * sizeof(double));
    memset(s->comparator, 0, e.comparators);
    memset(s->latched, 0, e.memories);
    memset(s->dropped, 1, e.powers);
    memset(s->piece, 0, e.pieces);
    memset(s->tripped, 0, e.breakers);
    memset(s->flips, 0, e.comparators + e.memories + e.powers);
}

static double param(const job *j, int slot) {
    double value = j->params[slot];
    for (int i = 0; i < j->patch_count; i++) {
        if (j->patches[i].slot == slot)
            value = j->patches[i].value;
    }
    return value;
}

// One signal: only what it depends on is looked at.
static bool signal_at(const circuit *c, const job *j, const solution *s, int signal) {
    if (signal < 0)
        return true;
    if (signal < c->input_count) {
        for (int i = 0; i < s->trip_count; i++)
            if (c->breakers[s->trips[i]].contact == signal)
                return false;
        return param(j, signal) != 0;
    }
    signal -= c->input_count;
    if (signal < c->comparator_count)
        return s->comparator[signal] != 0;
    signal -= c->comparator_count;
    if (signal < c->memory_count)
        return s->latched[signal] != 0;
    const gate *g = &c->gates[signal - c->memory_count];
    bool a = signal_at(c, j, s, g->a);
    if (g->op == GATE_NOT)
        return !a;
    if (g->op == GATE_AND)
        return a && signal_at(c, j, s, g->b);
    return a || signal_at(c, j, s, g->b);
}

void solution_signals(const circuit *c, const job *j, const solution *s, uint8_t *out) {
    int states = c->input_count + c->comparator_count + c->memory_count;
    for (int i = 0; i < c->input_count; i++)
        out[i] = j->params[i] != 0;
    for (int i = 0; i < j->patch_count; i++) {
        if (j->patches[i].slot < c->input_count)
            out[j->patches[i].slot] = j->patches[i].value != 0;
    }
    for (int i = 0; i < s->trip_count; i++)
        if (c->breakers[s->trips[i]].contact >= 0)
            out[c->breakers[s->trips[i]].contact] = 0;
    memcpy(out + c->input_count, s->comparator, (size_t)c->comparator_count);
    memcpy(out + c->input_count + c->comparator_count, s->latched, (size_t)c->memory_count);
    for (int k = 0; k < c->gate_count; k++) {
        const gate *g = &c->gates[k];
        bool a = g->a < 0 || out[g->a];
        bool b = g->op == GATE_NOT || g->b < 0 || out[g->b];
        out[states + k] = g->op == GATE_NOT ? !a : g->op == GATE_AND ? a && b : a || b;
    }
}

double conductance_amps(const circuit *c, const job *j, const solution *s, int k) {
    const conductance *d = &c->conductances[k];
    bool open = d->breaker >= 0 && s->tripped[d->breaker];
    if (open || !signal_at(c, j, s, d->gate))
        return 0;
    return param(j, d->slot) * (s->volts[d->a] - s->volts[d->b]);
}

double piecewise_amps(const circuit *c, const job *j, const solution *s, int k) {
    const piecewise *d = &c->piecewises[k];
    if (!signal_at(c, j, s, d->gate))
        return 0;
    int slopes = d->slot + d->pieces - 1 + s->piece[k];
    return param(j, slopes) * (s->volts[d->a] - s->volts[d->b]) + param(j, slopes + d->pieces);
}

double power_amps(const circuit *c, const job *j, const solution *s, int k) {
    const power_load *d = &c->powers[k];
    if (s->dropped[k] || !signal_at(c, j, s, d->gate))
        return 0;
    double v = s->volts[d->a] - s->volts[d->b];
    double knee = power_knee(d);
    double size = v < 0 ? -v : v;
    return size < knee ? param(j, d->slot) * v / (knee * knee) : param(j, d->slot) / v;
}

double lamp_amps(const circuit *c, const job *j, const solution *s, int k) {
    const lamp_load *d = &c->lamps[k];
    if (!signal_at(c, j, s, d->gate))
        return 0;
    double v = s->volts[d->a] - s->volts[d->b];
    double size = v < 0 ? -v : v;
    double knee = LAMP_KNEE * d->volts;
    double at = size < knee ? knee : size;
    return param(j, d->slot) * power_055(at / d->volts) * (v / at);
}
