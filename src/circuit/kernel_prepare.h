// The next jobs are prepared a whole vector at a time (parameters, static signals, static
// elimination); a lane that becomes free then only copies its column.
#ifndef DEADBUS_CIRCUIT_KERNEL_PREPARE_H
#define DEADBUS_CIRCUIT_KERNEL_PREPARE_H

#include "circuit/kernel_chatter.h"

INLINE bool next_task(work *w, task *t) {
    if (w->pending_count > 0) {
        *t = w->pending[--w->pending_count];
        return true;
    }
    if (w->next_job >= w->job_count)
        return false;
    *t = (task){w->next_job++, -1};
    return true;
}

// Lane l of `params` becomes the parameters of a job. Where the lane was filled from the same ones,
// only the patches are undone and set.
INLINE void load_params(lane *own, const job *j, int count, vd *params, int l) {
    double *to = (double *)params + l;
    if (own->base == j->params) {
        for (int i = 0; i < own->patch_count; i++)
            to[own->patches[i].slot * LANES] = j->params[own->patches[i].slot];
    } else {
        for (int i = 0; i < count; i++)
            to[i * LANES] = j->params[i];
    }
    for (int i = 0; i < j->patch_count; i++)
        to[j->patches[i].slot * LANES] = j->patches[i].value;
    own->base = j->params;
    own->patches = j->patches;
    own->patch_count = j->patch_count;
}

INLINE void load_tripped(lanes *L, lane *own, const task *t, int l) {
    bool now = t->saved >= 0;
    int count = now || own->has_tripped ? L->c->breaker_count : 0;
    for (int b = 0; b < count; b++)
        set_mask(&L->prepared_tripped[b], l, now ? L->w->saved[t->saved].tripped[b] : 0);
    own->has_tripped = now;
}

INLINE void assemble_static(lanes *L) {
    const pattern *p = L->p;
    const stamp *stamps = p->static_stamps;
    const vd *params = L->prepared_params;
    const vm *signal = L->prepared_signal, *tripped = L->prepared_tripped;
    vd *entries = L->prepared;
    int statics = p->statics, core = p->static_entries, cores = p->cores;
    int count = p->static_conductance_count, all = core + p->core_entries;
    for (int i = 0; i < all; i++) {
        bool diagonal = i < statics || (i >= core && i < core + cores);
        entries[i] = all_lanes(diagonal ? LEAK : 0);
    }
    for (int i = 0; i < count; i++) {
        const stamp *s = &stamps[i];
        add_stamp(entries, s, when(signal[s->gate] & ~tripped[s->breaker], params[s->slot]));
    }
}

// False: nothing is left to do.
static bool prepare(lanes *L) {
    work *w = L->w;
    const circuit *c = L->c;
    w->prepared_next = 0;
    w->prepared_count = 0;
    for (int l = 0; l < LANES; l++) {
        task t;
        if (!next_task(w, &t))
            break;
        lane *own = &w->prepared[l];
        own->task = t;
        load_params(own, &w->jobs[t.job], c->param_count, L->prepared_params, l);
        load_tripped(L, own, &t, l);
        w->prepared_count++;
    }
    if (w->prepared_count == 0)
        return false;
    for (int i = 0; i < c->input_count; i++)
        L->prepared_signal[i] = differs(L->prepared_params[i], all_lanes(0));
    evaluate_gates(c, L->p->static_gates, L->p->static_gate_count, L->prepared_signal);
    assemble_static(L);
    factor_static(&L->p->fixed, L->prepared);
    return true;
}

INLINE void copy_lane(vd *to, int l, const vd *from, int f, int count) {
    double *t = (double *)to + l;
    const double *s = (const double *)from + f;
    for (int i = 0; i < count; i++)
        t[i * LANES] = s[i * LANES];
}

// Lane l takes the static part that was prepared in lane f.
INLINE void take_prepared(lanes *L, int l, int f) {
    work *w = L->w;
    const pattern *p = L->p;
    const lane *from = &w->prepared[f];
    lane *own = &w->lanes[l];
    const job *j = &w->jobs[from->task.job];
    if (own->base == j->params) {
        load_params(own, j, 0, L->params, l);
    } else {
        for (int i = 0; i < p->hot_param_count; i++) {
            int slot = p->hot_params[i];
            set_number(&L->params[slot], l, number_at(&L->prepared_params[slot], f));
        }
        own->base = j->params;
        own->patches = j->patches;
        own->patch_count = j->patch_count;
    }
    const int *hot_signals = p->hot_signals;
    int64_t *signal = (int64_t *)L->signal + l;
    const int64_t *prepared_signal = (const int64_t *)L->prepared_signal + f;
    int hot_count = p->hot_signal_count;
    for (int i = 0; i < hot_count; i++)
        signal[hot_signals[i] * LANES] = prepared_signal[hot_signals[i] * LANES];
    int breakers = from->has_tripped || own->has_tripped ? L->c->breaker_count : 0;
    for (int b = 0; b < breakers; b++)
        set_mask(&L->tripped[b], l, mask_at(&L->prepared_tripped[b], f));
    own->has_tripped = from->has_tripped;
    copy_lane(L->fixed, l, L->prepared + p->statics, f, p->fixed.off_count);
    copy_lane(L->base, l, L->prepared + p->static_entries, f, p->core_entries);
}

INLINE double start_volts(double v, double knee, double top, int64_t *sign) {
    double size = v < 0 ? -v : v;
    memcpy(sign, &v, sizeof v);
    *sign &= INT64_MIN;
    size = size < top ? size : top;
    return size < knee ? knee : size;
}

// Device states and voltages that lane l starts from.
INLINE void take_start(lanes *L, int l, const solution *s, bool resumed) {
    const circuit *c = L->c;
    const double top = number_at(&L->params[c->slot_top], l);
    const double *from = s->volts;
    vm *comparators = L->signal + circuit_signal_of_comparator(c, 0);
    vm *memories = L->signal + circuit_signal_of_memory(c, 0);
    vm *dropped = L->dropped, *dropped_now = L->dropped_now;
    int comparator_count = c->comparator_count, power_count = c->power_count;
    for (int k = 0; k < comparator_count; k++)
        set_mask(&comparators[k], l, s->comparator[k]);
    for (int k = 0; k < c->memory_count; k++) {
        int fresh = c->memories[k].kind == MEMORY_ALIVE && !resumed;
        set_mask(&memories[k], l, fresh | s->latched[k]);
    }
    for (int k = 0; k < c->piecewise_count; k++)
        set_piece(L, k, l, s->piece[k] < c->piecewises[k].pieces ? s->piece[k] : 0);
    const power_load *powers = c->powers;
    vd *volts = L->power_volts;
    int64_t *sign = (int64_t *)L->power_sign + l;
    for (int k = 0; k < power_count; k++) {
        const power_load *d = &powers[k];
        set_mask(&dropped[k], l, s->dropped[k]);
        set_mask(&dropped_now[k], l, 0);
        double v = start_volts(from[d->a] - from[d->b], power_knee(d), top, &sign[k * LANES]);
        set_number(&volts[k], l, v);
    }
    volts = L->lamp_volts;
    sign = (int64_t *)L->lamp_sign + l;
    for (int k = 0; k < c->lamp_count; k++) {
        const lamp_load *d = &c->lamps[k];
        double v = from[d->a] - from[d->b];
        set_number(&volts[k], l, start_volts(v, LAMP_KNEE * d->volts, top, &sign[k * LANES]));
    }
    L->signals_changed = true;
}

INLINE void reset_lane(lanes *L, int l) {
    set_mask(&L->active, l, 1);
    set_mask(&L->chord, l, 1);
    set_mask(&L->boost, l, 1);
    set_mask(&L->above, l, 0);
    set_mask(&L->lowest_only, l, 0);
    set_mask(&L->careful, l, 0);
    ((int64_t *)&L->iteration)[l] = 0;
    ((int64_t *)&L->limit)[l] = ITERATIONS_MOST;
}

// Lane l takes the next task, if there is one.
static void refill(lanes *L, int l) {
    work *w = L->w;
    lane *own = &w->lanes[l];
    set_mask(&L->active, l, 0);
    own->task = (task){-1, -1};
    if (w->prepared_next >= w->prepared_count && !prepare(L))
        return;
    int f = w->prepared_next++;
    take_prepared(L, l, f);
    task t = w->prepared[f].task;
    own->task = t;
    own->flips = 0;
    own->has_copy = own->recording = false;
    own->iterations = own->rounds = 0;
    const solution *start = w->jobs[t.job].start;
    own->trip_count = 0;
    if (t.saved >= 0) {
        start = &w->saved[t.saved];
        own->iterations = start->iterations;
        own->rounds = start->rounds;
        own->trip_count = start->trip_count;
        memcpy(own->trips, start->trips, (size_t)start->trip_count * sizeof(int));
    }
    take_start(L, l, start, t.saved >= 0);
    reset_lane(L, l);
    if (t.saved >= 0)
        w->free_saved[w->free_count++] = t.saved;
}

#endif
