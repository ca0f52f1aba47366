#include "support/settled_check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAK        1e-9
#define SLACK_VOLTS 2e-6

typedef struct sums {
    const circuit *c;
    const job *j;
    const solution *s;
    const uint8_t *signal;
    double *at_node;
    double power, size;
    settled_check out;
} sums;

static double param(const sums *u, int slot) {
    double value = u->j->params[slot];
    for (int i = 0; i < u->j->patch_count; i++) {
        if (u->j->patches[i].slot == slot)
            value = u->j->patches[i].value;
    }
    return value;
}

static bool fed(const sums *u, int gate) { return gate < 0 || u->signal[gate]; }

static double across(const sums *u, int a, int b) { return u->s->volts[a] - u->s->volts[b]; }

static void carry(sums *u, int a, int b, double amps) {
    u->at_node[a] += amps;
    u->at_node[b] -= amps;
    double watts = amps * across(u, a, b);
    u->power += watts;
    u->size += fabs(watts);
    if (fabs(amps) > u->out.largest_amps)
        u->out.largest_amps = fabs(amps);
}

static void rule(sums *u, bool kept, const char *whose) {
    if (kept)
        return;
    if (u->out.broken_rules++ == 0)
        u->out.first_broken = whose;
}

static void check_linear(sums *u) {
    for (int k = 0; k < u->c->conductance_count; k++) {
        const conductance *d = &u->c->conductances[k];
        carry(u, d->a, d->b, conductance_amps(u->c, u->j, u->s, k));
    }
    for (int k = 0; k < u->c->breaker_count; k++) {
        int g = u->c->breakers[k].conductance;
        double most = 1.38 * param(u, u->c->breakers[k].slot) * (1 + 1e-9);
        rule(u, u->j->keep_breakers || fabs(conductance_amps(u->c, u->j, u->s, g)) <= most,
             "breaker");
    }
}

static void check_piecewises(sums *u) {
    for (int k = 0; k < u->c->piecewise_count; k++) {
        const piecewise *d = &u->c->piecewises[k];
        carry(u, d->a, d->b, piecewise_amps(u->c, u->j, u->s, k));
        if (!fed(u, d->gate))
            continue;
        double v = across(u, d->a, d->b);
        int piece = u->s->piece[k];
        rule(u, piece == 0 || v >= param(u, d->slot + piece - 1) - 1e-8, "piece, low");
        rule(u, piece == d->pieces - 1 || v <= param(u, d->slot + piece) + 1e-8, "piece, high");
    }
}

static void check_loads(sums *u) {
    bool settled = u->s->settled == SETTLED_YES;
    for (int k = 0; k < u->c->power_count; k++) {
        const power_load *d = &u->c->powers[k];
        carry(u, d->a, d->b, power_amps(u->c, u->j, u->s, k));
        double size = fabs(across(u, d->a, d->b));
        if (!fed(u, d->gate) || !settled)
            continue;
        if (u->s->dropped[k])
            rule(u, size < d->restart + SLACK_VOLTS, "dropped, but could start");
        else
            rule(u, size > d->dropout - SLACK_VOLTS, "on below its drop-out");
    }
    for (int k = 0; k < u->c->lamp_count; k++)
        carry(u, u->c->lamps[k].a, u->c->lamps[k].b, lamp_amps(u->c, u->j, u->s, k));
}

static double sensed(const sums *u, const comparator *h) {
    if (h->of == QUANTITY_VOLTS)
        return h->sign * across(u, h->a, h->b);
    if (h->of == QUANTITY_CONDUCTANCE_AMPS)
        return h->sign * conductance_amps(u->c, u->j, u->s, h->a);
    return h->sign * piecewise_amps(u->c, u->j, u->s, h->a);
}

static void check_signals(sums *u) {
    for (int k = 0; k < u->c->comparator_count; k++) {
        const comparator *h = &u->c->comparators[k];
        bool on = u->s->comparator[k];
        double q = sensed(u, h);
        double slack = SLACK_VOLTS * (1 + fabs(q));
        if (!fed(u, h->enable) || (h->power >= 0 && u->s->dropped[h->power]))
            rule(u, !on, "comparator, not enabled");
        else
            rule(u, on ? q > h->reset - slack : q < h->set + slack, "comparator");
    }
    for (int k = 0; k < u->c->memory_count; k++) {
        const memory *m = &u->c->memories[k];
        bool now = u->s->latched[k];
        bool reset = m->kind == MEMORY_LATCH && m->reset >= 0 && u->signal[m->reset];
        bool next = m->kind == MEMORY_ALIVE ? now && fed(u, m->set)
                                            : fed(u, m->hold) && !reset && (fed(u, m->set) || now);
        rule(u, next == now, "memory");
    }
}

settled_check check_settled(const circuit *c, const job *j, const solution *s) {
    uint8_t *signal = calloc((size_t)circuit_signal_count(c) + 1, 1);
    double *at_node = calloc((size_t)c->node_count, sizeof(double));
    if (!signal || !at_node)
        abort();
    solution_signals(c, j, s, signal);
    sums u = {.c = c, .j = j, .s = s, .signal = signal, .at_node = at_node};
    check_linear(&u);
    check_piecewises(&u);
    check_loads(&u);
    check_signals(&u);
    for (int i = 1; i < c->node_count; i++)
        carry(&u, i, 0, LEAK * s->volts[i]);
    double worst = 0;
    for (int i = 1; i < c->node_count; i++)
        worst = fmax(worst, fabs(at_node[i]));
    u.out.residual = u.out.largest_amps > 1e-6 ? worst / u.out.largest_amps : 0;
    u.out.watts = u.size;
    u.out.imbalance = u.size > 1e-6 ? fabs(u.power) / u.size : 0;
    free(signal);
    free(at_node);
    return u.out;
}

static uint64_t mix(uint64_t hash, uint64_t word) {
    hash = (hash ^ word) * 0x9fb21c651e98df25u;
    return hash ^ (hash >> 29);
}

static uint64_t mix_bytes(uint64_t hash, const uint8_t *bytes, int count) {
    for (int i = 0; i < count; i++)
        hash = mix(hash, bytes[i]);
    return hash;
}

uint64_t hash_solution(const circuit *c, const solution *s, uint64_t hash) {
    for (int i = 0; i < c->node_count; i++) {
        uint64_t bits[3];
        memcpy(&bits[0], &s->volts[i], sizeof bits[0]);
        memcpy(&bits[1], &s->lowest[i], sizeof bits[1]);
        memcpy(&bits[2], &s->highest[i], sizeof bits[2]);
        hash = mix(mix(mix(hash, bits[0]), bits[1]), bits[2]);
    }
    hash = mix_bytes(hash, s->comparator, c->comparator_count);
    hash = mix_bytes(hash, s->latched, c->memory_count);
    hash = mix_bytes(hash, s->dropped, c->power_count);
    hash = mix_bytes(hash, s->piece, c->piecewise_count);
    hash = mix_bytes(hash, s->tripped, c->breaker_count);
    hash = mix_bytes(hash, s->flips, c->comparator_count + c->memory_count + c->power_count);
    for (int i = 0; i < s->trip_count; i++)
        hash = mix(hash, (uint64_t)s->trips[i]);
    hash = mix(hash, (uint64_t)s->settled);
    return mix(mix(hash, (uint64_t)s->iterations), (uint64_t)s->rounds);
}
