// The run: all lanes iterate together; one that settles is handed out, or goes on after a breaker
// has opened, and its lane takes the next job at once.
#ifndef DEADBUS_CIRCUIT_KERNEL_LANES_H
#define DEADBUS_CIRCUIT_KERNEL_LANES_H

#include "circuit/kernel_prepare.h"

// The breaker that opens in lane l at its end; -1: none.
static int opens(const lanes *L, int l, bool settled) {
    const lane *own = &L->w->lanes[l];
    double ratio = TRIP_RATIO;
    if (own->job->keep_breakers || own->trip_count == TRIPS_MOST)
        return -1;
    return settled ? first_to_trip(L, l, &ratio) : own->hot_breaker;
}

// Lane l goes on without breaker b.
static void trip(lanes *L, int l, int b) {
    lane *own = &L->w->lanes[l];
    set_mask(&L->tripped[b], l, 1);
    own->has_tripped = true;
    own->asked_again = false;
    own->trips[own->trip_count++] = b;
    go_on(L, l);
}

// Loads that have dropped out and have the volts for it are let start once more: a tie that closes
// on the loss of a source, or a relay that changes over, comes after what it is there for has
// dropped out. What the sources can't carry drops out again.
static bool asks_again(lanes *L, int l) {
    lane *own = &L->w->lanes[l];
    if (own->asked_again)
        return false;
    own->asked_again = true;
    go_on(L, l);
    return true;
}

static void hand_out(lanes *L, int l, settled how) {
    work *w = L->w;
    solution *s = &w->out[w->next_out];
    *s = w->out_room[w->next_out];
    w->next_out = (w->next_out + 1) % SOLUTIONS_KEPT;
    write_lane(L, l, s);
    s->settled = how;
    if (how == SETTLED_CHATTERS) {
        size_t n = (size_t)L->c->node_count, devices = (size_t)w->device_count;
        memcpy(s->lowest, w->lowest + (size_t)l * n, n * sizeof(double));
        memcpy(s->highest, w->highest + (size_t)l * n, n * sizeof(double));
        memcpy(s->flips, w->flipping + (size_t)l * devices, devices);
        write_devices(L, l, s);
    } else {
        s->lowest = s->highest = s->volts;
        s->flips = w->no_flips;
        w->bad_pivots += ((const int64_t *)&L->signs)[l] < 0;
    }
    w->iterations += s->iterations;
    leave_job(L, l);
    if (w->following != NULL)
        w->done(w->ctx, w->lanes[l].number, s);
    else
        w->lanes[l].job = w->next(w->ctx, l, s);
}

// Hands out or goes on with every lane that has come to an end.
static void close_lanes(lanes *L, unsigned settled_lanes, unsigned chattering) {
    solve_static(L);
    unsigned over = lanes_of(overloaded(L));
    unsigned collapsed = lanes_of(L->collapsed);
    for (int l = 0; l < LANES; l++) {
        bool ends = settled_lanes >> l & 1u;
        if (!ends && !(chattering >> l & 1u))
            continue;
        int b = !ends || over >> l & 1u ? opens(L, l, ends) : -1;
        if (b >= 0) {
            trip(L, l, b);
            continue;
        }
        settled how = collapsed >> l & 1u ? SETTLED_COLLAPSED : SETTLED_YES;
        if (ends && how == SETTLED_COLLAPSED && asks_again(L, l))
            continue;
        hand_out(L, l, ends ? how : SETTLED_CHATTERS);
        refill(L, l);
    }
}

INLINE void open_room(lanes *L, work *w) {
    vd *room = (vd *)(void *)w->room;
    memset(L, 0, sizeof *L);
    L->w = w;
    L->c = w->c;
    L->p = w->c->pattern;
    L->params = room + w->at[ROOM_PARAMS];
    L->fixed = room + w->at[ROOM_STATIC];
    L->base = room + w->at[ROOM_BASE];
    L->core = room + w->at[ROOM_CORE];
    L->x_all = room + w->at[ROOM_X];
    L->x = L->x_all + L->p->statics;
    L->signal = (vm *)(room + w->at[ROOM_SIGNAL]);
    L->tripped = (vm *)(room + w->at[ROOM_TRIPPED]);
    L->dropped = (vm *)(room + w->at[ROOM_DROPPED]);
    L->dropped_now = (vm *)(room + w->at[ROOM_DROPPED_NOW]);
    L->violation = (vm *)(room + w->at[ROOM_VIOLATION]);
    L->power_volts = room + w->at[ROOM_POWER_VOLTS];
    L->lamp_volts = room + w->at[ROOM_LAMP_VOLTS];
    L->power_sign = (vm *)(room + w->at[ROOM_POWER_SIGN]);
    L->lamp_sign = (vm *)(room + w->at[ROOM_LAMP_SIGN]);
    L->slope = room + w->at[ROOM_SLOPE];
    L->offset = room + w->at[ROOM_OFFSET];
    L->low = room + w->at[ROOM_LOW];
    L->high = room + w->at[ROOM_HIGH];
    L->dropout = room + w->at[ROOM_DROPOUT];
    L->restart = room + w->at[ROOM_RESTART];
    L->knee = room + w->at[ROOM_KNEE];
    L->set = room + w->at[ROOM_SET];
    L->reset = room + w->at[ROOM_RESET];
    int always = circuit_signal_count(w->c);
    L->signal[always] = all_masks(-1);
    L->tripped[w->c->breaker_count] = all_masks(0);
    L->dropped[w->c->power_count] = all_masks(0);
}

static void run(work *w) {
    lanes here;
    lanes *L = &here;
    open_room(L, w);
    bool same_base = w->same_params != NULL && w->fixed.base == w->same_params;
    if (!same_base)
        w->fixed.base = NULL;  // its parameters may have changed since the last run
    for (int l = 0; l < LANES; l++) {
        w->lanes[l].job = NULL;
        w->own_fixed[l].base = NULL;
        if (w->lanes_before != LANES)
            w->lanes[l].figures = NULL;
        if (same_base && w->lanes_before == LANES)
            continue;
        w->lanes[l].version = -1;
        w->lanes[l].has_tripped = true;
    }
    w->lanes_before = LANES;
    w->image.start = NULL;
    for (int l = 0; l < LANES; l++) {
        if (w->following == NULL)
            w->lanes[l].job = w->next(w->ctx, l, NULL);
        refill(L, l);
    }
    const vm one = all_masks(1);
    while (any(L->active)) {
        if (L->signals_changed)
            evaluate_gates(L);
        iterate(L);
        L->iteration += one & L->active;
        verdict v = judge(L);
        unsigned settled_lanes = lanes_of(v.settled);
        unsigned chattering = 0;
        unsigned flipped = lanes_of(v.flipped);
        if (flipped != 0 || any(reached(L->iteration, all_masks(LISTED_FROM))))
            chattering = find_chatter(L, flipped) & ~settled_lanes;
        if ((settled_lanes | chattering) != 0)
            close_lanes(L, settled_lanes, chattering);
    }
}

#endif
