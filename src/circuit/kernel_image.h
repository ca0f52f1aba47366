// Jobs of a sweep start from one solution: what it decides in a lane is worked out once and copied.
#ifndef DEADBUS_CIRCUIT_KERNEL_IMAGE_H
#define DEADBUS_CIRCUIT_KERNEL_IMAGE_H

#include "circuit/kernel_levels.h"

// One lane's values, `count` of them a vector apart.
INLINE void copy_out(double *restrict to, const double *from, int count) {
    UNROLLED
    for (int i = 0; i < count; i++)
        to[i] = from[i * LANES];
}

INLINE void copy_in(double *restrict to, const double *from, int count) {
    UNROLLED
    for (int i = 0; i < count; i++)
        to[i * LANES] = from[i];
}

INLINE double *start_values(const lanes *L, int l, int *count) {
    const work *w = L->w;
    *count = (int)(w->at[ROOM_VIOLATION] - w->at[ROOM_DROPPED]);
    return (double *)L->dropped + l;
}

// What a start decides may also hang on parameters: pieces' tables and the highest volts.
static bool starts_as_base(const lanes *L, const job *j) {
    const uint8_t *hot = L->p->hot_param;
    for (int i = 0; i < j->patch_count; i++)
        if (hot[j->patches[i].slot] == HOT_AT_START)
            return false;
    return true;
}

// Lane l, just filled from `start`, is kept as its image.
static void take_image(lanes *L, int l) {
    start_image *m = &L->w->image;
    const circuit *c = L->c;
    const int64_t *signal = (const int64_t *)L->signal + l;
    int states = c->comparator_count + c->memory_count, count;
    const double *values = start_values(L, l, &count);
    copy_out(m->values, values, count);
    for (int k = 0; k < states; k++)
        m->states[k] = signal[circuit_signal_of_comparator(c, k) * LANES];
    for (int k = 0; k < c->piecewise_count; k++)
        m->piece[k] = L->w->piece[(size_t)k * LANES_MOST + (size_t)l];
}

static void copy_image(lanes *L, int l) {
    const start_image *m = &L->w->image;
    const circuit *c = L->c;
    const int64_t *restrict from = m->states;
    const uint8_t *restrict from_piece = m->piece;
    int64_t *restrict signal = (int64_t *)(L->signal + circuit_signal_of_comparator(c, 0)) + l;
    uint8_t *restrict piece = L->w->piece + l;
    int states = c->comparator_count + c->memory_count, pieces = c->piecewise_count, count;
    double *values = start_values(L, l, &count);
    copy_in(values, m->values, count);
    UNROLLED
    for (int k = 0; k < states; k++)
        signal[k * LANES] = from[k];
    UNROLLED
    for (int k = 0; k < pieces; k++)
        piece[k * LANES_MOST] = from_piece[k];
    L->signals_changed = true;
}

#endif
