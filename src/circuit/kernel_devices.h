// Devices in lanes: what each adds to the core's matrix, and what it makes of the voltages solved.
#ifndef DEADBUS_CIRCUIT_KERNEL_DEVICES_H
#define DEADBUS_CIRCUIT_KERNEL_DEVICES_H

#include <math.h>

#include "circuit/kernel.h"
#include "circuit/kernel_linear.h"
#include "circuit/kernel_power.h"

// Volts by which a piece's limit may be passed. With 1e-9 a node behind a blocked diode could stay
// on the knee, held by nothing but the leak: 7 of 2,976 states were off by up to 1.7e-6 V.
#define PIECE_SLACK   1e-12
#define LEAST_KNEE    0.01  // volts
#define LAMP_EXPONENT 0.55
#define LAMP_KNEE     0.05  // of its nominal voltage

enum {
    BOOST_LAST = 12,
    LOWEST_ONLY_FROM = 15,
    ABOVE_FROM = 24,
    PRESS_FROM = 160,
    ITERATIONS_MOST = 200,
};

// Below its drop-out a power load is linear. One that never drops out turns linear near zero.
// (In lanes: ROOM_KNEE.)
INLINE double power_knee(const power_load *d) {
    return d->dropout > LEAST_KNEE ? d->dropout : LEAST_KNEE;
}

// The lanes of one run: typed views of the scratch, and the masks that steer each lane.
typedef struct lanes {
    work *w;
    const circuit *c;
    const pattern *p;
    vd *params, *fixed, *base, *core, *x_all, *x;  // x: from the first core place
    vm *signal, *tripped, *dropped, *dropped_now, *violation;
    vd *power_volts, *lamp_volts;
    vm *power_sign, *lamp_sign;
    vd *slope, *offset, *low, *high;
    vd *dropout, *restart, *knee, *set, *reset;

    vm active;
    vm chord;             // no tangents in this iteration
    vm boost;             // a power load below its knee is linearised at the top
    vm above;             // from above
    vm lowest_only;       // only the first piece that violates moves
    vm careful;           // no early look at the levels
    vm iteration, limit;  // in this round
    bool signals_changed;

    // What the last iteration found
    vd change;         // e
    vd change_before;  // of the iteration before
    vd early_margin;   // how far from its threshold a device is decided before level 0 holds
    vm signs;          // pivots
    vm lost;           // from above: passed the point beyond which there is no high-voltage state
    vm broken;         // a voltage isn't a number
    vm moved;          // a piece moved, or a power load went off from above
    vm piece_moved;
    vd power_margin;  // distance of the nearest power load from the threshold that it watches
    vm power_violated;
    vm collapsed;  // a load that dropped out would find enough volts to start again
} lanes;

// Pointers are taken into locals before each loop: what a vector store might change is read anew
// otherwise, in every turn.

INLINE vd across(const vd *x, const device_stamp *s) {
    return at_offset(x, s->a) - at_offset(x, s->b);
}

static void stamp_conductances(lanes *L) {
    const device_stamp *stamps = L->p->dynamic_stamps;
    const vd *params = L->params;
    const vm *signal = L->signal, *tripped = L->tripped;
    vd *core = L->core;
    int count = L->p->dynamic_conductance_count;
    for (int i = 0; i < count; i++) {
        const device_stamp *s = &stamps[i];
        add_stamp(core, s,
                  when(mask_at_offset(signal, s->gate) & ~mask_at_offset(tripped, s->breaker),
                       at_offset(params, s->slot)));
    }
}

static void stamp_piecewises(lanes *L) {
    const device_stamp *stamps = L->p->piecewise_stamps;
    const vd *slope = L->slope, *offset = L->offset;
    const vm *signal = L->signal;
    vd *core = L->core, *x = L->x;
    int count = L->c->piecewise_count;
    for (int k = 0; k < count; k++) {
        const device_stamp *s = &stamps[k];
        vm on = mask_at_offset(signal, s->gate);
        add_stamp(core, s, when(on, slope[k]));
        add_source(x, s, when(on, offset[k]));
    }
}

static void stamp_powers(lanes *L) {
    const vd *knees = L->knee;
    const device_stamp *stamps = L->p->power_stamps;
    const vd *params = L->params;
    const vm *signal = L->signal, *dropped = L->dropped, *sign = L->power_sign;
    vd *volts = L->power_volts, *core = L->core, *x = L->x;
    const vd top = params[L->c->slot_top];
    const vm boost = L->boost, all_chord = L->chord;
    int count = L->c->power_count;
    for (int k = 0; k < count; k++) {
        const device_stamp *s = &stamps[k];
        vm on = mask_at_offset(signal, s->gate) & ~dropped[k];
        vd knee = knees[k];
        vd v = volts[k];
        v = volts[k] = pick(at_most(v, knee) & boost, larger(top, knee), v);
        vd g = when(on, at_offset(params, s->slot)) / (v * v);
        vm tangent = ~(at_most(v, knee) | all_chord);
        add_stamp(core, s, signed_by(g, tangent & INT64_MIN));
        add_source(x, s, when(tangent, signed_by(2.0 * g * v, sign[k])));
    }
}

static void stamp_lamps(lanes *L) {
    const lamp_load *loads = L->c->lamps;
    const device_stamp *stamps = L->p->lamp_stamps;
    const vd *params = L->params, *volts = L->lamp_volts;
    const vm *signal = L->signal, *sign = L->lamp_sign;
    vd *core = L->core, *x = L->x;
    const vm all_chord = L->chord;
    int count = L->c->lamp_count;
    for (int k = 0; k < count; k++) {
        const device_stamp *s = &stamps[k];
        vm on = mask_at_offset(signal, s->gate);
        if (!any(on))
            continue;
        vd v = volts[k];
        vd i = when(on, at_offset(params, s->slot)) * power_055(v * (1.0 / loads[k].volts));
        vm tangent = ~(at_most(v, all_lanes(LAMP_KNEE * loads[k].volts)) | all_chord);
        vd g = i / v;
        add_stamp(core, s, pick(tangent, LAMP_EXPONENT * g, g));
        add_source(x, s, when(tangent, signed_by((1.0 - LAMP_EXPONENT) * i, sign[k])));
    }
}

INLINE void assemble(lanes *L) {
    const vd *base = L->base;
    vd *core = L->core, *x = L->x;
    int entries = L->p->core_entries, cores = L->p->cores;
    UNROLLED
    for (int i = 0; i < entries; i++)
        core[i] = base[i];
    UNROLLED
    for (int i = 0; i <= cores; i++)
        x[i] = all_lanes(0);
    stamp_conductances(L);
    stamp_piecewises(L);
    stamp_powers(L);
    stamp_lamps(L);
}

// Takes one lane's piece from the table: slope, offset and limits.
INLINE void set_piece(lanes *L, int k, int l, int piece) {
    const piecewise *d = &L->c->piecewises[k];
    const double *from = (const double *)(L->params + d->slot) + l;
    int n = d->pieces;
    size_t at = (size_t)k * LANES + (size_t)l;
    L->w->piece[(size_t)k * LANES_MOST + (size_t)l] = (uint8_t)piece;
    ((double *)L->low)[at] = piece == 0 ? -INFINITY : from[(piece - 1) * LANES];
    ((double *)L->high)[at] = piece == n - 1 ? INFINITY : from[piece * LANES];
    ((double *)L->slope)[at] = from[(n - 1 + piece) * LANES];
    ((double *)L->offset)[at] = from[(2 * n - 1 + piece) * LANES];
}

INLINE void move_lanes(lanes *L, int k, unsigned moving, unsigned up) {
    for (int l = 0; l < LANES; l++) {
        if (moving >> l & 1u) {
            int piece = L->w->piece[(size_t)k * LANES_MOST + (size_t)l];
            set_piece(L, k, l, up >> l & 1u ? piece + 1 : piece - 1);
        }
    }
}

// Pieces move to the neighbor when their limit is passed.
static void move_pieces(lanes *L) {
    const device_stamp *stamps = L->p->piecewise_stamps;
    const vd *x = L->x, *low = L->low, *high = L->high;
    const vm *signal = L->signal;
    const vm may = L->active & ~L->lost, lowest_only = L->lowest_only;
    vm moved = all_masks(0);
    int count = L->c->piecewise_count;
    for (int k = 0; k < count; k++) {
        const device_stamp *s = &stamps[k];
        vm on = mask_at_offset(signal, s->gate) & may & ~(lowest_only & moved);
        vd v = across(x, s);
        vm up = on & less(high[k] + PIECE_SLACK, v);
        vm move = up | (on & less(v, low[k] - PIECE_SLACK));
        if (any(move)) {
            moved |= move;
            move_lanes(L, k, lanes_of(move), lanes_of(up));
        }
    }
    L->piece_moved = L->moved = moved;
}

// What a loop over loads gathers, lane by lane.
typedef struct tally {
    vd change;
    vm broken;
} tally;

// How far a load's voltage v is from where it was linearised; keeps the new place unless `hold`.
INLINE void follow(tally *t, vd v, vd size, vd knee, vd top, vm on, vm chord, vm hold, vd *volts,
                   vm *sign) {
    vd old = *volts;
    vd now = pick(less(size, top), size, top);  // the top also where v isn't a number
    now = larger(knee, now);
    vd change = magnitude(now - old);
    // A tangent of the other sign says nothing of this one.
    vm opposite = mask_from_sign((sign_bit(v) ^ *sign) & ~chord & less(knee, old));
    change = pick(opposite, now + old, change);
    t->change = larger(t->change, when(on, change));
    t->broken |= on & differs(v, v);
    *volts = pick(hold, old, now);
    *sign = sign_bit(v);
}

static void follow_powers(lanes *L, tally *t) {
    const vd *dropouts = L->dropout, *restarts = L->restart, *knees = L->knee;
    const device_stamp *stamps = L->p->power_stamps;
    const vd *x = L->x;
    const vm *signal = L->signal;
    vm *dropped = L->dropped, *dropped_now = L->dropped_now, *violation = L->violation;
    vm *sign = L->power_sign;
    vd *volts = L->power_volts;
    const vd top = L->params[L->c->slot_top];
    const vm hold = L->lost | (L->above & L->piece_moved), chord = L->chord;
    const vm goes_off = L->above & ~hold & L->active;
    vd margin = all_lanes(INFINITY);
    vm violated = all_masks(0), collapsed = all_masks(0), moved = all_masks(0);
    tally sum = *t;
    int count = L->c->power_count;
    for (int k = 0; k < count; k++) {
        const device_stamp *s = &stamps[k];
        vd dropout = dropouts[k], restart = restarts[k];
        vm fed = mask_at_offset(signal, s->gate), off = dropped[k],
           stays_off = off & dropped_now[k];
        vm on = fed & ~off;
        vd v = across(x, s);
        vd size = magnitude(v);
        follow(&sum, v, size, knees[k], top, on, chord, hold, &volts[k], &sign[k]);
        vm low = on & less(size, dropout);
        vm again = fed & off & at_most(restart, size);
        vd distance = magnitude(size - pick(off, restart, dropout));
        margin = smaller(margin, pick(fed & ~stays_off, distance, margin));
        collapsed |= again & stays_off;
        vm sags = low & goes_off;
        vm wrong = (low & ~sags) | (again & ~stays_off);
        violation[k] = wrong;
        violated |= wrong;
        dropped[k] = off | sags;
        dropped_now[k] |= sags;
        moved |= sags;
    }
    *t = sum;
    L->moved |= moved;
    L->power_margin = margin;
    L->power_violated = violated;
    L->collapsed = collapsed;
}

static void follow_lamps(lanes *L, tally *t) {
    const lamp_load *loads = L->c->lamps;
    const device_stamp *stamps = L->p->lamp_stamps;
    const vd *x = L->x;
    const vm *signal = L->signal;
    vm *sign = L->lamp_sign;
    vd *volts = L->lamp_volts;
    const vd top = L->params[L->c->slot_top];
    const vm hold = L->lost | (L->above & L->piece_moved), chord = L->chord;
    tally sum = *t;
    int count = L->c->lamp_count;
    for (int k = 0; k < count; k++) {
        const device_stamp *s = &stamps[k];
        vd v = across(x, s);
        follow(&sum, v, magnitude(v), all_lanes(LAMP_KNEE * loads[k].volts), top,
               mask_at_offset(signal, s->gate), chord, hold, &volts[k], &sign[k]);
    }
    *t = sum;
}

// One iteration of level 0 for all lanes.
INLINE void iterate(lanes *L) {
    assemble(L);
    L->signs = factor_core(&L->p->core, L->core, L->x);
    back_substitute(&L->p->core, L->core + L->p->cores, L->x, false);
    L->lost = L->active & ~L->chord & mask_from_sign(L->signs) &
              reached(L->iteration, all_masks(PRESS_FROM));
    move_pieces(L);
    tally t = {all_lanes(0), all_masks(0)};
    follow_powers(L, &t);
    follow_lamps(L, &t);
    L->change = t.change;
    L->broken = t.broken;
}

#endif
