// Chattering: a lane whose device states repeat, or that doesn't settle, is followed through one
// cycle. Rare, so this is done lane by lane.
#ifndef DEADBUS_CIRCUIT_KERNEL_CHATTER_H
#define DEADBUS_CIRCUIT_KERNEL_CHATTER_H

#include "circuit/kernel_finish.h"
#include "circuit/kernel_levels.h"

enum {
    FIRST_COPY = 2,                      // device states are kept at flips 2, 4, 8, 16...
    LISTED_FROM = ITERATIONS_MOST - 32,  // without a repeat: the last iterations are listed
};

INLINE void read_devices(const lanes *L, int l, uint8_t *out) {
    const circuit *c = L->c;
    const vm *state = L->signal + circuit_signal_of_comparator(c, 0);
    int count = c->comparator_count + c->memory_count;
    for (int k = 0; k < count; k++)
        *out++ = (uint8_t)mask_at(&state[k], l);
    for (int k = 0; k < c->power_count; k++)
        *out++ = (uint8_t)mask_at(&L->dropped[k], l);
}

INLINE void widen_range(const lanes *L, int l) {
    work *w = L->w;
    size_t n = (size_t)L->c->node_count;
    double *lowest = w->lowest + (size_t)l * n;
    double *highest = w->highest + (size_t)l * n;
    for (size_t i = 0; i < n; i++) {
        double v = number_at(&L->x_all[L->p->place_of[i]], l);
        if (v < lowest[i])
            lowest[i] = v;
        if (v > highest[i])
            highest[i] = v;
    }
}

// The breaker that carries most for its rating at any moment of the cycle.
INLINE void note_overload(lanes *L, int l) {
    lane *own = &L->w->lanes[l];
    int b = first_to_trip(L, l, &own->hot_ratio);
    own->hot_breaker = b >= 0 ? b : own->hot_breaker;
}

INLINE void start_recording(lanes *L, int l) {
    work *w = L->w;
    size_t n = (size_t)L->c->node_count;
    for (size_t i = 0; i < n; i++) {
        w->lowest[(size_t)l * n + i] = INFINITY;
        w->highest[(size_t)l * n + i] = -INFINITY;
    }
    size_t at = (size_t)l * (size_t)w->device_count;
    memset(w->flipping + at, 0, (size_t)w->device_count);
    read_devices(L, l, w->previous + at);
    w->lanes[l].recording = true;
    w->lanes[l].hot_breaker = -1;
    w->lanes[l].hot_ratio = CHATTER_TRIP_RATIO;
    note_overload(L, l);
    set_mask(&L->careful, l, 1);
    widen_range(L, l);
}

// Compares with what was recorded before; true if the cycle has come round. At the end `previous`
// stays: the states that the volts were solved with, before the last flip.
INLINE bool record(lanes *L, int l, bool ends) {
    work *w = L->w;
    size_t count = (size_t)w->device_count;
    size_t at = (size_t)l * count;
    uint8_t *now = w->flipping + (size_t)LANES_MOST * count;  // a line to spare
    read_devices(L, l, now);
    for (size_t i = 0; i < count; i++) {
        w->flipping[at + i] |= now[i] != w->previous[at + i];
    }
    widen_range(L, l);
    note_overload(L, l);
    bool round = w->lanes[l].has_copy && memcmp(now, w->copy + at, count) == 0;
    if (!round && !ends)
        memcpy(w->previous + at, now, count);
    return round;
}

// After a flip of lane l. True: it chatters, and the cycle is recorded. A likeness may be chance (a
// state on the way in, never met again): then the recording starts anew from a later copy.
INLINE bool flip_chatters(lanes *L, int l) {
    work *w = L->w;
    lane *own = &w->lanes[l];
    own->flips++;
    if (own->flips < FIRST_COPY)
        return false;
    bool copies = (own->flips & (own->flips - 1)) == 0;
    size_t count = (size_t)w->device_count;
    uint8_t *now = w->flipping + (size_t)LANES_MOST * count;
    uint8_t *copy = w->copy + (size_t)l * count;
    if (own->recording) {
        solve_static(L);
        if (record(L, l, false))
            return true;
        if (copies) {
            memcpy(copy, now, count);
            start_recording(L, l);
        }
        return false;
    }
    read_devices(L, l, now);
    if (own->has_copy && memcmp(now, copy, count) == 0) {
        solve_static(L);
        start_recording(L, l);
        ((int64_t *)&L->limit)[l] = ((int64_t *)&L->iteration)[l] + ITERATIONS_MOST;
    } else if (copies) {
        memcpy(copy, now, count);
        own->has_copy = true;
    }
    return false;
}

// The device states that the volts of a chattering lane were solved with.
INLINE void write_devices(const lanes *L, int l, solution *s) {
    const circuit *c = L->c;
    const uint8_t *from = L->w->previous + (size_t)l * (size_t)L->w->device_count;
    memcpy(s->comparator, from, (size_t)c->comparator_count);
    memcpy(s->latched, from + c->comparator_count, (size_t)c->memory_count);
    memcpy(s->dropped, from + c->comparator_count + c->memory_count, (size_t)c->power_count);
}

// Lanes that chatter, as bits.
INLINE unsigned find_chatter(lanes *L, unsigned flipped) {
    unsigned found = 0;
    for (int l = 0; l < LANES; l++) {
        if (flipped >> l & 1u && flip_chatters(L, l))
            found |= 1u << l;
    }
    unsigned late = lanes_of(L->active & reached(L->iteration, all_masks(LISTED_FROM)));
    if (late == 0)
        return found;
    solve_static(L);
    unsigned ended = late & lanes_of(reached(L->iteration, L->limit));
    for (int l = 0; l < LANES; l++) {
        if (!(late >> l & 1u))
            continue;
        lane *own = &L->w->lanes[l];
        if (!own->recording) {
            own->has_copy = false;
            start_recording(L, l);
        } else if (!own->has_copy) {
            record(L, l, ended >> l & 1u);
        }
    }
    return found | ended;
}

#endif
