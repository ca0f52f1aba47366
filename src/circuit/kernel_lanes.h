// The run: all lanes iterate together; one that settles is handed out, or goes on after a breaker
// has opened, and its lane takes the next job at once.
#ifndef DEADBUS_CIRCUIT_KERNEL_LANES_H
#define DEADBUS_CIRCUIT_KERNEL_LANES_H

#include "circuit/kernel_prepare.h"

#define TRIP_RATIO 1.38  // of a breaker's rating: above this it opens in an instant answer

// Everything of lane l into a solution, but what ranges and chatter say.
static void write_lane(const lanes *L, int l, solution *s) {
    const circuit *c = L->c;
    const work *w = L->w;
    const lane *own = &w->lanes[l];
    const vm *comparators = L->signal + circuit_signal_of_comparator(c, 0);
    const vm *memories = L->signal + circuit_signal_of_memory(c, 0);
    const vm *dropped = L->dropped, *tripped = L->tripped;
    const vd *x = L->x_all;
    const int *place_of = L->p->place_of;
    int nodes = c->node_count, powers = c->power_count, pieces = c->piecewise_count;
    int comparator_count = c->comparator_count, memory_count = c->memory_count;
    int breakers = c->breaker_count;
    for (int i = 0; i < nodes; i++)
        s->volts[i] = number_at(&x[place_of[i]], l);
    for (int k = 0; k < comparator_count; k++)
        s->comparator[k] = (uint8_t)mask_at(&comparators[k], l);
    for (int k = 0; k < memory_count; k++)
        s->latched[k] = (uint8_t)mask_at(&memories[k], l);
    for (int k = 0; k < powers; k++)
        s->dropped[k] = (uint8_t)mask_at(&dropped[k], l);
    for (int k = 0; k < pieces; k++)
        s->piece[k] = w->piece[(size_t)k * LANES_MOST + (size_t)l];
    for (int b = 0; b < breakers; b++)
        s->tripped[b] = own->has_tripped ? (uint8_t)mask_at(&tripped[b], l) : 0;
    s->iterations = own->iterations + (int)((const int64_t *)&L->iteration)[l];
    s->rounds = own->rounds + 1;
    s->trip_count = own->trip_count;
    memcpy(s->trips, own->trips, (size_t)own->trip_count * sizeof(int));
}

INLINE vd breaker_amps(const lanes *L, int b) {
    const stamp *s = &L->p->breaker_stamps[b];
    vm on = L->signal[s->gate] & ~L->tripped[b];
    return magnitude(when(on, L->params[s->slot]) * across(L->x_all, s));
}

// Lanes in which some breaker carries too much.
static vm overloaded(const lanes *L) {
    vm over = all_masks(0);
    int count = L->c->breaker_count;
    for (int b = 0; b < count; b++)
        over |= less(TRIP_RATIO * L->params[L->c->breakers[b].slot], breaker_amps(L, b));
    return over;
}

// The breaker of lane l that opens first: the largest ratio, then the lowest index.
static int first_to_trip(const lanes *L, int l) {
    const circuit *c = L->c;
    const vd *x = L->x_all, *params = L->params;
    int first = -1;
    double most = 0;
    for (int b = 0; b < c->breaker_count; b++) {
        const stamp *s = &L->p->breaker_stamps[b];
        vm on = L->signal[s->gate] & ~L->tripped[b];
        if (!mask_at(&on, l))
            continue;
        double v = number_at(&x[s->a], l) - number_at(&x[s->b], l);
        double amps = number_at(&params[s->slot], l) * (v < 0 ? -v : v);
        double rating = number_at(&params[c->breakers[b].slot], l);
        if (amps > TRIP_RATIO * rating && amps / rating > most) {
            first = b;
            most = amps / rating;
        }
    }
    return first;
}

// Opens a breaker: the task goes on from what is saved. False: no breaker opens.
static bool trip(lanes *L, int l) {
    work *w = L->w;
    lane *own = &w->lanes[l];
    int b = own->trip_count < TRIPS_MOST ? first_to_trip(L, l) : -1;
    if (b < 0)
        return false;
    set_mask(&L->tripped[b], l, 1);
    own->has_tripped = true;
    own->trips[own->trip_count++] = b;
    int saved = w->free_saved[--w->free_count];
    write_lane(L, l, &w->saved[saved]);
    w->pending[w->pending_count++] = (task){own->task.job, saved};
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
    } else {
        s->lowest = s->highest = s->volts;
        s->flips = w->no_flips;
        w->bad_pivots += ((const int64_t *)&L->signs)[l] < 0;
    }
    w->iterations += s->iterations;
    if (w->next != NULL)
        w->lanes[l].job = w->next(w->ctx, l, s);
    else
        w->done(w->ctx, w->lanes[l].task.job, s);
}

// Hands out or goes on with every lane that has come to an end.
static void close_lanes(lanes *L, unsigned settled_lanes, unsigned chattering) {
    const work *w = L->w;
    solve_static(L);
    unsigned over = lanes_of(overloaded(L));
    unsigned collapsed = lanes_of(L->collapsed);
    for (int l = 0; l < LANES; l++) {
        bool ends = settled_lanes >> l & 1u;
        if (!ends && !(chattering >> l & 1u))
            continue;
        bool looks = ends && over >> l & 1u && !w->lanes[l].job->keep_breakers;
        if (!looks || !trip(L, l)) {
            settled how = collapsed >> l & 1u ? SETTLED_COLLAPSED : SETTLED_YES;
            hand_out(L, l, ends ? how : SETTLED_CHATTERS);
        }
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
}

static void run(work *w) {
    lanes here;
    lanes *L = &here;
    open_room(L, w);
    bool same_base = w->next == NULL && w->same_params && w->fixed.base == w->jobs[0].params;
    if (!same_base)
        w->fixed.base = NULL;  // its parameters may have changed since the last run
    for (int l = 0; l < LANES; l++) {
        w->lanes[l].task = (task){-1, -1};
        w->own_fixed[l].base = NULL;
        if (w->lanes_before != LANES)
            w->lanes[l].figures = NULL;
        if (same_base && w->lanes_before == LANES)
            continue;
        w->lanes[l].version = -1;
        w->lanes[l].has_tripped = true;
    }
    w->lanes_before = LANES;
    for (int l = 0; l < LANES; l++) {
        if (w->next != NULL)
            w->lanes[l].job = w->next(w->ctx, l, NULL);
        refill(L, l);
    }
    const vm one = all_masks(1);
    while (any(L->active)) {
        if (L->signals_changed) {
            evaluate_gates(L->c, L->p->dynamic_gates, L->p->dynamic_gate_count, L->signal);
            L->signals_changed = false;
        }
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
