// Levels 1 to 3 in lanes: drop-outs, comparators, memories; and what the next iteration may do.
#ifndef DEADBUS_CIRCUIT_KERNEL_LEVELS_H
#define DEADBUS_CIRCUIT_KERNEL_LEVELS_H

#include "circuit/kernel_devices.h"

#define HELD_VOLTS       1e-6  // level 0 holds below this change
#define HELD_CHORD_VOLTS 1e-9  // without tangents: what is left shrinks slowly
// A tangent step leaves the square of its error. Once steps shrink tenfold, the one after this
// would be below HELD_VOLTS by far, so it isn't taken.
#define HELD_NEWTON_VOLTS 1e-4
#define NEWTON_SHRINKS    0.1
#define EARLY_VOLTS       0.05  // levels may be looked at below this change
#define EARLY_MARGIN      10.0  // by devices that are so many changes from their threshold
// After a tangent: what it leaves is a tenth of the change at most, where loads have 5 V or more.
#define EARLY_TANGENT_VOLTS  0.5
#define EARLY_TANGENT_MARGIN 1.0
#define TANGENT_VOLTS        2.0   // tangents only after a smaller change
#define POLISH_VOLTS         1e-4  // from above: tangents after a smaller change
// Chords shrink slowly near the largest power that a source can give; where each is a tenth of the
// one before, that is far away, and tangents are safe from above too.
#define CHORD_SHRINKS 0.1
#define PRESS_VOLTS   0.5  // the same once chords have crept for PRESS_FROM iterations

static void evaluate_gates(lanes *L) {
    const gate_step *steps = L->p->dynamic_gates;
    vm *signal = L->signal;
    int count = L->p->dynamic_gate_count;
    for (int i = 0; i < count; i++) {
        const gate_step *g = &steps[i];
        vm a = mask_at_offset(signal, g->a), *out = mask_place(signal, g->out);
        if (g->op == GATE_AND)
            *out = a & mask_at_offset(signal, g->b);
        else
            *out = g->op == GATE_OR ? a | mask_at_offset(signal, g->b) : ~a;
    }
    L->signals_changed = false;
}

// A comparator's quantity, and how much of it one volt makes.
INLINE vd sense(const lanes *L, const probe *q, vd *per_volt) {
    if (q->of == QUANTITY_PIECEWISE_AMPS) {
        const device_stamp *s = &L->p->piecewise_stamps[q->device];
        vm on = mask_at_offset(L->signal, s->gate);
        vd slope = when(on, L->slope[q->device]);
        *per_volt = slope;
        return q->sign * (slope * across(L->x, s) + when(on, L->offset[q->device]));
    }
    vd v = at_offset(L->x, q->a) - at_offset(L->x, q->b);
    *per_volt = all_lanes(1.0);
    if (q->of == QUANTITY_CONDUCTANCE_AMPS) {
        vm on = mask_at_offset(L->signal, q->gate) & ~mask_at_offset(L->tripped, q->breaker);
        *per_volt = when(on, at_offset(L->params, q->slot));
        v = v * *per_volt;
    }
    return q->sign * v;
}

// Looks at comparators from..to-1 in the lanes of *look; flips all violators of a lane together.
// Lanes that flip or must wait are taken out of *look; the flipped ones are returned.
static vm look_at_probes(lanes *L, int from, int to, vm held, vm *look) {
    const probe *probes = L->p->probes;
    const vd *set = L->set, *reset = L->reset;
    const vm *dropped = L->dropped;
    vm *signal = L->signal, *violation = L->violation;
    vm violated = all_masks(0);
    vm waits = all_masks(0);
    const vd margin = L->early_margin;
    for (int i = from; i < to; i++) {
        const probe *q = &probes[i];
        vd per_volt;
        vd amount = sense(L, q, &per_volt);
        vm now = mask_at_offset(signal, q->signal);
        vm enabled = mask_at_offset(signal, q->enable) & ~mask_at_offset(dropped, q->dropped);
        vm above = at_most(set[i], amount);
        vm below = at_most(amount, reset[i]) & ~above;
        vd watched = pick(now, reset[i], set[i]);
        waits |= enabled & ~less(margin * per_volt, magnitude(amount - watched));
        vm wrong = (now & (below | ~enabled)) | (~now & above & enabled);
        violation[i] = wrong;
        violated |= wrong;
    }
    *look &= held | ~waits;
    vm flip = *look & violated;
    if (any(flip)) {
        for (int i = from; i < to; i++)
            *mask_place(signal, probes[i].signal) ^= violation[i] & flip;
        L->signals_changed = true;
    }
    *look &= ~flip;
    return flip;
}

static vm look_at_memories(lanes *L, vm *look) {
    const circuit *c = L->c;
    int always = circuit_signal_count(c);
    vm *state = L->signal + circuit_signal_of_memory(c, 0);
    vm violated = all_masks(0);
    for (int k = 0; k < c->memory_count; k++) {
        const memory *m = &c->memories[k];
        vm set = L->signal[m->set < 0 ? always : m->set];
        vm next = state[k] & set;
        if (m->kind == MEMORY_LATCH) {
            vm hold = L->signal[m->hold < 0 ? always : m->hold];
            vm reset = m->reset < 0 ? all_masks(0) : L->signal[m->reset];
            next = hold & ~reset & (set | state[k]);
        }
        L->violation[k] = next ^ state[k];
        violated |= L->violation[k];
    }
    vm flip = *look & violated;
    if (any(flip)) {
        for (int k = 0; k < c->memory_count; k++)
            state[k] ^= L->violation[k] & flip;
        L->signals_changed = true;
    }
    *look &= ~flip;
    return flip;
}

// *calm: lanes in which loads only went off. Volts rise or stay then, and tangents may go on.
static vm look_at_powers(lanes *L, vm *look, vm *calm) {
    vm *dropped = L->dropped, *dropped_now = L->dropped_now;
    const vm *violation = L->violation;
    vm flip = *look & L->power_violated;
    vm restarts = all_masks(0);
    if (any(flip)) {
        int count = L->c->power_count;
        for (int k = 0; k < count; k++) {
            vm turn = violation[k] & flip;
            restarts |= turn & dropped[k];
            dropped_now[k] |= turn & ~dropped[k];
            dropped[k] ^= turn;
        }
    }
    *calm = flip & ~restarts;
    *look &= ~flip;
    return flip;
}

// All linearisation voltages of these lanes to the top.
static void restart_from_above(lanes *L, vm which) {
    vd top = L->params[L->c->slot_top];
    for (int k = 0; k < L->c->power_count; k++) {
        vd high = larger(top, L->knee[k]);
        L->power_volts[k] = pick(which, high, L->power_volts[k]);
    }
    for (int k = 0; k < L->c->lamp_count; k++) {
        vd high = larger(top, all_lanes(LAMP_KNEE * L->c->lamps[k].volts));
        L->lamp_volts[k] = pick(which, high, L->lamp_volts[k]);
    }
}

// How the next iteration linearises. `flipped`: at levels 1 to 3, of these
// `calm`: only loads went off; `saddle`: level 0 seemed to hold
// at a point with a negative pivot, which is not a state that lasts.
INLINE void plan_next(lanes *L, vm flipped, vm calm, vm saddle) {
    vm restless = L->moved | (flipped & ~calm) | saddle | L->broken;
    vm above = L->above | saddle | reached(L->iteration, all_masks(ABOVE_FROM));
    vm anew = (above & ~L->above) | (above & flipped);
    vd polish = pick(reached(L->iteration, all_masks(PRESS_FROM)), all_lanes(PRESS_VOLTS),
                     all_lanes(POLISH_VOLTS));
    vm shrinks =
        less(L->change, all_lanes(EARLY_VOLTS)) & less(L->change, CHORD_SHRINKS * L->change_before);
    vm tangent = ~restless & at_most(L->change, all_lanes(TANGENT_VOLTS)) &
                 (~above | shrinks | less(L->change, polish));
    L->chord = ~tangent;
    L->boost = flipped & ~calm & ~reached(L->iteration, all_masks(BOOST_LAST));
    L->lowest_only = reached(L->iteration, all_masks(LOWEST_ONLY_FROM));
    L->above = above;
    if (any(anew & L->active))
        restart_from_above(L, anew);
}

// Chords from above creep where the largest power that a source can give is just passed. A tangent
// there has a negative pivot: no state at high voltage is left, the load that has sagged most goes
// off.
static void drop_lost(lanes *L) {
    unsigned bits = lanes_of(L->lost);
    for (int l = 0; l < LANES; l++) {
        int worst = -1;
        double least = INFINITY;
        for (int k = 0; bits >> l & 1u && k < L->c->power_count; k++) {
            vm on = mask_at_offset(L->signal, L->p->power_stamps[k].gate) & ~L->dropped[k];
            double v = number_at(&L->power_volts[k], l);
            if (mask_at(&on, l) && v < least) {
                worst = k;
                least = v;
            }
        }
        if (worst >= 0) {
            set_mask(&L->dropped[worst], l, 1);
            set_mask(&L->dropped_now[worst], l, 1);
        }
    }
}

typedef struct verdict {
    vm settled;  // levels 0 to 3 hold
    vm flipped;  // something flipped at levels 1 to 3 (or went off from above)
} verdict;

INLINE verdict judge(lanes *L) {
    vm quiet = L->active & ~L->moved & ~L->broken & ~L->lost;
    vm bad = mask_from_sign(L->signs);
    vd e = L->change;
    vm newton = less(e, NEWTON_SHRINKS * L->change_before);
    vd near = pick(newton, all_lanes(HELD_NEWTON_VOLTS), all_lanes(HELD_VOLTS));
    near = pick(L->chord, all_lanes(HELD_CHORD_VOLTS), near);
    vm close = quiet & less(e, near);
    vm held = close & ~bad;
    vd soon = pick(L->chord, all_lanes(EARLY_VOLTS), all_lanes(EARLY_TANGENT_VOLTS));
    L->early_margin = e * pick(L->chord, all_lanes(EARLY_MARGIN), all_lanes(EARLY_TANGENT_MARGIN));
    vm early = quiet & ~bad & ~L->above & ~L->careful & less(e, soon) &
               less(L->early_margin, L->power_margin);
    vm look = held | early;
    vm flipped = L->lost, calm = all_masks(0);
    if (any(flipped))
        drop_lost(L);
    if (any(look)) {
        const pattern *p = L->p;
        flipped |= look_at_powers(L, &look, &calm);
        if (any(look))
            flipped |= look_at_probes(L, 0, p->probe_level3, held, &look);
        if (any(look)) {
            flipped |= look_at_probes(L, p->probe_level3, p->probe_count, held, &look);
            flipped |= look_at_memories(L, &look);
        }
    }
    plan_next(L, flipped, calm, close & bad);
    L->change_before = L->change;
    return (verdict){look & held, flipped | (L->moved & ~L->piece_moved)};
}

#endif
