// What lanes that have come to an end leave: all their voltages, breakers that open, solutions.
#ifndef DEADBUS_CIRCUIT_KERNEL_FINISH_H
#define DEADBUS_CIRCUIT_KERNEL_FINISH_H

#include "circuit/kernel_devices.h"

#define TRIP_RATIO 1.38  // of a breaker's rating: above this it opens in an instant answer

// Voltages of the static nodes, from those of the core.
static void solve_static(lanes *L) {
    vd *x = L->x_all;
    int statics = L->p->statics;
    for (int i = 0; i < statics; i++)
        x[i] = all_lanes(0);
    back_substitute(&L->p->fixed, L->fixed, x);
}

// Lanes in which some breaker carries too much.
static vm overloaded(const lanes *L) {
    const breaker_probe *probes = L->p->breaker_probes;
    const vd *x = L->x_all, *params = L->params;
    const vm *signal = L->signal, *tripped = L->tripped;
    vm over = all_masks(0);
    int count = L->c->breaker_count;
    for (int b = 0; b < count; b++) {
        const breaker_probe *q = &probes[b];
        vd amps = params[q->slot] * magnitude(x[q->a] - x[q->b]);
        over |= less(TRIP_RATIO * params[q->rating], amps) & signal[q->gate] & ~tripped[b];
    }
    return over;
}

// The breaker of lane l that opens first: the largest ratio, then the lowest index; -1: none does.
static int first_to_trip(const lanes *L, int l) {
    const double *x = (const double *)L->x_all + l, *params = (const double *)L->params + l;
    const int64_t *signal = (const int64_t *)L->signal + l;
    const int64_t *tripped = (const int64_t *)L->tripped + l;
    int first = -1, count = L->c->breaker_count;
    double most = 0.0;
    for (int b = 0; b < count; b++) {
        const breaker_probe *q = &L->p->breaker_probes[b];
        double v = x[q->a * LANES] - x[q->b * LANES];
        double amps = params[q->slot * LANES] * (v < 0 ? -v : v);
        double rating = params[q->rating * LANES];
        bool on = signal[q->gate * LANES] & ~tripped[b * LANES];
        if (on && amps > TRIP_RATIO * rating && amps / rating > most) {
            first = b;
            most = amps / rating;
        }
    }
    return first;
}

INLINE void write_bytes(uint8_t *restrict to, const vm *from, int l, int count) {
    const int64_t *mask = (const int64_t *)from + l;
    UNROLLED
    for (int k = 0; k < count; k++)
        to[k] = (uint8_t)(mask[k * LANES] & 1);
}

// Everything of lane l but what ranges and chatter say.
static void write_lane(const lanes *L, int l, solution *s) {
    const circuit *c = L->c;
    const work *w = L->w;
    const lane *own = &w->lanes[l];
    const uint32_t *restrict offset = L->p->offset_of;
    const char *x = (const char *)((const double *)L->x_all + l);
    const uint8_t *from_piece = w->piece + l;
    double *restrict volts = s->volts;
    uint8_t *restrict piece = s->piece;
    int nodes = c->node_count, pieces = c->piecewise_count;
    UNROLLED
    for (int i = 0; i < nodes; i++)
        volts[i] = *(const double *)(const void *)(x + (size_t)offset[i] * LANES);
    UNROLLED
    for (int k = 0; k < pieces; k++)
        piece[k] = from_piece[k * LANES_MOST];
    write_bytes(s->comparator, L->signal + circuit_signal_of_comparator(c, 0), l,
                c->comparator_count);
    write_bytes(s->latched, L->signal + circuit_signal_of_memory(c, 0), l, c->memory_count);
    write_bytes(s->dropped, L->dropped, l, c->power_count);
    if (own->has_tripped)
        write_bytes(s->tripped, L->tripped, l, c->breaker_count);
    else
        memset(s->tripped, 0, (size_t)c->breaker_count);
    s->iterations = own->iterations + (int)((const int64_t *)&L->iteration)[l];
    s->rounds = own->rounds + 1;
    s->trip_count = own->trip_count;
    memcpy(s->trips, own->trips, (size_t)own->trip_count * sizeof(int));
}

#endif
