// What lanes that have come to an end leave: all their voltages, breakers that open, solutions.
#ifndef DEADBUS_CIRCUIT_KERNEL_FINISH_H
#define DEADBUS_CIRCUIT_KERNEL_FINISH_H

#include "circuit/kernel_devices.h"

#define TRIP_RATIO 1.38  // of a breaker's rating: above this it opens in an instant answer
// The same at the worst moment of what chatters: it has that half of the time at least (choice).
#define CHATTER_TRIP_RATIO (1.41 * TRIP_RATIO)

// Voltages of the static nodes, from those of the core.
static void solve_static(lanes *L) { back_substitute(&L->p->fixed, L->fixed, L->x_all, true); }

// Lanes in which some breaker carries too much.
static vm overloaded(const lanes *L) {
    const breaker_probe *probes = L->p->breaker_probes;
    const vd *x = L->x_all, *params = L->params;
    const vm *signal = L->signal, *tripped = L->tripped;
    vm over = all_masks(0);
    int count = L->c->breaker_count;
    for (int b = 0; b < count; b++) {
        const breaker_probe *q = &probes[b];
        vd volts = at_offset(x, q->a) - at_offset(x, q->b);
        vd amps = at_offset(params, q->slot) * magnitude(volts);
        over |= less(TRIP_RATIO * at_offset(params, q->rating), amps) &
                mask_at_offset(signal, q->gate) & ~tripped[b];
    }
    return over;
}

// The breaker of lane l that opens first, of those that carry more than *ratio of their rating: the
// largest ratio, then the lowest index. -1: none does. *ratio becomes its own.
static int first_to_trip(const lanes *L, int l, double *ratio) {
    int first = -1, count = L->c->breaker_count;
    double most = *ratio;
    for (int b = 0; b < count; b++) {
        const breaker_probe *q = &L->p->breaker_probes[b];
        double v = lane_at_offset(L->x_all, q->a, l) - lane_at_offset(L->x_all, q->b, l);
        double amps = lane_at_offset(L->params, q->slot, l) * (v < 0 ? -v : v);
        double rating = lane_at_offset(L->params, q->rating, l);
        bool on = lane_mask_at_offset(L->signal, q->gate, l) != 0 && !mask_at(&L->tripped[b], l);
        if (on && amps / rating > most) {
            first = b;
            most = amps / rating;
        }
    }
    *ratio = most;
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
    const vd *x = L->x_all;
    const uint8_t *from_piece = w->piece + l;
    double *restrict volts = s->volts;
    uint8_t *restrict piece = s->piece;
    int nodes = c->node_count, pieces = c->piecewise_count;
    UNROLLED
    for (int i = 0; i < nodes; i++)
        volts[i] = lane_at_offset(x, offset[i], l);
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
