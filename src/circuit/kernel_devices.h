// Devices in lanes: what each adds to the core's matrix, and what it makes of the voltages solved.
#ifndef DEADBUS_CIRCUIT_KERNEL_DEVICES_H
#define DEADBUS_CIRCUIT_KERNEL_DEVICES_H

#include <math.h>

#include "circuit/kernel.h"
#include "circuit/kernel_linear.h"
#include "circuit/kernel_power.h"

#define LEAK 1e-9  // siemens, every node to the airframe
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
    vd *prepared_params, *prepared;
    vm *prepared_signal, *prepared_tripped;

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
    vm signs;          // pivots
    vm lost;           // from above: passed the point beyond which there is no high-voltage state
    vm broken;         // a voltage isn't a number
    vm moved;          // a piece moved, or a power load went off from above
    vm piece_moved;
    vd power_margin;  // distance of the nearest power load from the threshold that it watches
    vm power_violated;
    vm collapsed;  // a load that dropped out would find enough volts to start again
} lanes;

INLINE vm gate_of(const lanes *L, int gate) {
    return L->signal[gate < 0 ? circuit_signal_count(L->c) : gate];
}

INLINE vd across(const lanes *L, const stamp *s) {
    vd a = s->a < 0 ? all_lanes(0) : L->x[s->a];
    vd b = s->b < 0 ? all_lanes(0) : L->x[s->b];
    return a - b;
}

static void stamp_conductances(lanes *L) {
    const circuit *c = L->c;
    const pattern *p = L->p;
    for (int i = 0; i < p->dynamic_conductance_count; i++) {
        const conductance *d = &c->conductances[p->dynamic_conductances[i]];
        vm on = L->signal[d->gate];
        if (d->breaker >= 0)
            on &= ~L->tripped[d->breaker];
        add_stamp(L->core, &p->dynamic_stamps[i], when(on, L->params[d->slot]));
    }
}

static void stamp_piecewises(lanes *L) {
    for (int k = 0; k < L->c->piecewise_count; k++) {
        const stamp *s = &L->p->piecewise_stamps[k];
        vm on = gate_of(L, L->c->piecewises[k].gate);
        add_stamp(L->core, s, when(on, L->slope[k]));
        add_source(L->x, s, when(on, L->offset[k]));
    }
}

static void stamp_powers(lanes *L) {
    vd top = L->params[L->c->slot_top];
    for (int k = 0; k < L->c->power_count; k++) {
        const power_load *d = &L->c->powers[k];
        const stamp *s = &L->p->power_stamps[k];
        vm on = gate_of(L, d->gate) & ~L->dropped[k];
        vd v = L->power_volts[k];
        vd knee = all_lanes(power_knee(d));
        vm linear = at_most(v, knee);
        v = L->power_volts[k] = pick(linear & L->boost, larger(top, knee), v);
        linear = at_most(v, knee);
        vd g = when(on, L->params[d->slot]) / (v * v);
        vm chord = linear | L->chord;
        add_stamp(L->core, s, signed_by(g, ~chord & INT64_MIN));
        add_source(L->x, s, when(~chord, signed_by(2.0 * g * v, L->power_sign[k])));
    }
}

static void stamp_lamps(lanes *L) {
    for (int k = 0; k < L->c->lamp_count; k++) {
        const lamp_load *d = &L->c->lamps[k];
        const stamp *s = &L->p->lamp_stamps[k];
        vd v = L->lamp_volts[k];
        vd i = when(gate_of(L, d->gate), L->params[d->slot]) * power_055(v / d->volts);
        vm chord = at_most(v, all_lanes(LAMP_KNEE * d->volts)) | L->chord;
        vd g = i / v;
        add_stamp(L->core, s, pick(chord, g, LAMP_EXPONENT * g));
        vd rest = (1.0 - LAMP_EXPONENT) * i;
        add_source(L->x, s, when(~chord, signed_by(rest, L->lamp_sign[k])));
    }
}

INLINE void assemble(lanes *L) {
    const pattern *p = L->p;
    memcpy(L->core, L->base, (size_t)p->core_entries * sizeof(vd));
    memset(L->x, 0, ((size_t)p->cores + 1) * sizeof(vd));
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

// Pieces move to the neighbor when their limit is passed.
static void move_pieces(lanes *L) {
    vm moved = all_masks(0);
    for (int k = 0; k < L->c->piecewise_count; k++) {
        vm on =
            gate_of(L, L->c->piecewises[k].gate) & L->active & ~L->lost & ~(L->lowest_only & moved);
        vd v = across(L, &L->p->piecewise_stamps[k]);
        vm up = on & less(L->high[k] + PIECE_SLACK, v);
        vm move = up | (on & less(v, L->low[k] - PIECE_SLACK));
        unsigned bits = lanes_of(move);
        if (bits == 0)
            continue;
        unsigned up_bits = lanes_of(up);
        moved |= move;
        for (int l = 0; l < LANES; l++) {
            if (bits >> l & 1u) {
                int piece = L->w->piece[(size_t)k * LANES_MOST + (size_t)l];
                set_piece(L, k, l, up_bits >> l & 1u ? piece + 1 : piece - 1);
            }
        }
    }
    L->piece_moved = L->moved = moved;
}

// How far a device's voltage is from where it was linearised; keeps the new place.
INLINE void follow(lanes *L, vd v, vd knee, vd top, vm on, vm chord, vd *volts, vm *sign) {
    vd size = magnitude(v);
    vd old = *volts;
    vd now = pick(less(size, top), size, top);  // the top also where v isn't a number
    now = pick(less(now, knee), knee, now);
    vm turned = (sign_bit(v) ^ *sign) & ~chord & less(knee, old);
    vd change = magnitude(now - old);
    // A tangent of the other sign says nothing of this one.
    vm opposite = mask_from_sign(turned);
    change = pick(opposite, now + old, change);
    L->change = larger(L->change, when(on, change));
    L->broken |= on & differs(v, v);
    vm hold = L->lost | (L->above & L->piece_moved);
    *volts = pick(hold, old, now);
    *sign = sign_bit(v);
}

static void follow_powers(lanes *L) {
    vd top = L->params[L->c->slot_top];
    vd margin = all_lanes(INFINITY);
    vm violated = all_masks(0);
    vm collapsed = all_masks(0);
    for (int k = 0; k < L->c->power_count; k++) {
        const power_load *d = &L->c->powers[k];
        vm fed = gate_of(L, d->gate);
        vm dropped = L->dropped[k];
        vm on = fed & ~dropped;
        vd v = across(L, &L->p->power_stamps[k]);
        follow(L, v, all_lanes(power_knee(d)), top, on, L->chord, &L->power_volts[k],
               &L->power_sign[k]);
        vd size = magnitude(v);
        vm low = on & less(size, all_lanes(d->dropout));
        vm off = low & L->above & ~L->piece_moved & ~L->lost & L->active;
        vm back = fed & dropped & ~L->dropped_now[k] & at_most(all_lanes(d->restart), size);
        vd distance = magnitude(size - pick(dropped, all_lanes(d->restart), all_lanes(d->dropout)));
        vm watched = fed & ~(dropped & L->dropped_now[k]);
        margin = smaller(margin, pick(watched, distance, margin));
        collapsed |= fed & dropped & L->dropped_now[k] & at_most(all_lanes(d->restart), size);
        L->violation[k] = (low & ~off) | back;
        violated |= L->violation[k];
        L->dropped[k] |= off;
        L->dropped_now[k] |= off;
        L->moved |= off;
    }
    L->power_margin = margin;
    L->power_violated = violated;
    L->collapsed = collapsed;
}

static void follow_lamps(lanes *L) {
    vd top = L->params[L->c->slot_top];
    for (int k = 0; k < L->c->lamp_count; k++) {
        const lamp_load *d = &L->c->lamps[k];
        vd v = across(L, &L->p->lamp_stamps[k]);
        follow(L, v, all_lanes(LAMP_KNEE * d->volts), top, gate_of(L, d->gate), L->chord,
               &L->lamp_volts[k], &L->lamp_sign[k]);
    }
}

// One iteration of level 0 for all lanes.
INLINE void iterate(lanes *L) {
    assemble(L);
    L->signs = factor_core(&L->p->core, L->core, L->x);
    back_substitute(&L->p->core, L->core + L->p->cores, L->x);
    L->lost = L->active & ~L->chord & mask_from_sign(L->signs) &
              reached(L->iteration, all_masks(PRESS_FROM));
    L->change = all_lanes(0);
    L->broken = all_masks(0);
    move_pieces(L);
    follow_powers(L);
    follow_lamps(L);
}

// Voltages of the static nodes, from those of the core.
INLINE void solve_static(lanes *L) {
    memset(L->x_all, 0, (size_t)L->p->statics * sizeof(vd));
    back_substitute(&L->p->fixed, L->fixed, L->x_all);
}

#endif
