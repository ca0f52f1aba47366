// A lane that becomes free takes the next job: only what differs from the job before is copied.
#ifndef DEADBUS_CIRCUIT_KERNEL_PREPARE_H
#define DEADBUS_CIRCUIT_KERNEL_PREPARE_H

#include "circuit/kernel_chatter.h"
#include "circuit/kernel_finish.h"
#include "circuit/kernel_image.h"

// In a flow each lane's jobs have parameters of their own.
INLINE static_part *static_of(work *w, int l) {
    return w->following != NULL ? &w->fixed : &w->own_fixed[l];
}

INLINE void copy_to_lane(vd *to, int l, const double *from, int count) {
    double *t = (double *)to + l;
    for (int i = 0; i < count; i++)
        t[i * LANES] = from[i];
}

// Lane l becomes a copy of the static part's base.
static void copy_base(lanes *L, int l) {
    const static_part *s = static_of(L->w, l);
    const pattern *p = L->p;
    copy_to_lane(L->fixed, l, s->base_lower, p->fixed.off_count);
    copy_to_lane(L->base, l, s->base_entries + p->static_entries, p->core_entries);
    for (int i = 0; i < p->hot_param_count; i++)
        set_number(&L->params[p->hot_params[i]], l, s->base[p->hot_params[i]]);
    for (int i = 0; i < p->hot_signal_count; i++)
        set_mask(&L->signal[p->hot_signals[i]], l, s->base_signal[p->hot_signals[i]]);
}

// Figures of the circuit in lane l.
static void copy_figures(lanes *L, int l, const circuit *c) {
    for (int k = 0; k < c->power_count; k++) {
        set_number(&L->dropout[k], l, c->powers[k].dropout);
        set_number(&L->restart[k], l, c->powers[k].restart);
        set_number(&L->knee[k], l, power_knee(&c->powers[k]));
    }
    for (int i = 0; i < L->p->probe_count; i++) {
        const comparator *h = &c->comparators[L->p->probes[i].comparator];
        set_number(&L->set[i], l, h->set);
        set_number(&L->reset[i], l, h->reset);
    }
    L->w->lanes[l].figures = c;
    L->w->lanes[l].drawn = c->drawn;
}

// What `changes` names becomes as it stands in these arrays.
static void copy_changes(lanes *L, int l, const static_changes *changes, const uint8_t *signal,
                         const double *entries, const double *lower) {
    const pattern *p = L->p;
    for (int i = 0; i < changes->column_count; i++) {
        int k = changes->columns[i];
        for (int t = p->fixed.start[k]; t < p->fixed.start[k + 1]; t++)
            set_number(&L->fixed[t], l, lower[t]);
    }
    for (int i = 0; i < changes->core_count; i++) {
        int e = changes->cores[i];
        set_number(&L->base[e], l, entries[p->static_entries + e]);
    }
    for (int i = 0; i < changes->signal_count; i++) {
        int k = changes->signals[i];
        set_mask(&L->signal[k], l, signal[k]);
        L->signals_changed |= p->hot_signal[k];
    }
}

// Lane l goes back to the base: its job may change or go away now.
static void leave_job(lanes *L, int l) {
    const static_part *s = static_of(L->w, l);
    const lane *own = &L->w->lanes[l];
    const job *j = own->job;
    copy_changes(L, l, &own->changes, s->base_signal, s->base_entries, s->base_lower);
    for (int i = 0; i < j->patch_count; i++)
        set_number(&L->params[j->patches[i].slot], l, s->base[j->patches[i].slot]);
}

// Lane l takes the base of its job.
INLINE void take_base(lanes *L, int l) {
    static_part *s = static_of(L->w, l);
    lane *own = &L->w->lanes[l];
    const job *j = own->job;
    const double *params = j->params;
    if (s->base != params || (L->w->following == NULL && s->stamp != j->stamp))
        static_part_rebase(s, params);
    s->stamp = j->stamp;
    if (own->version != s->version) {
        copy_base(L, l);
        own->version = s->version;
    }
}

// Parameters, signals and static part of lane l become those of its job, with these breakers open
// (NULL: none).
static void take_job(lanes *L, int l, const uint8_t *tripped) {
    work *w = L->w;
    lane *own = &w->lanes[l];
    const job *j = own->job;
    const circuit *figures = j->figures != NULL ? j->figures : w->c;
    static_part *fixed = static_of(w, l);
    take_base(L, l);
    if (own->figures != figures || own->drawn != figures->drawn)
        copy_figures(L, l, figures);
    static_part_apply(fixed, j, tripped, &own->changes);
    copy_changes(L, l, &own->changes, fixed->signal, fixed->entries, fixed->lower);
    static_part_undo(fixed, j, tripped, &own->changes);
    for (int i = 0; i < j->patch_count; i++)
        set_number(&L->params[j->patches[i].slot], l, j->patches[i].value);
    int breakers = tripped != NULL || own->has_tripped ? L->c->breaker_count : 0;
    for (int b = 0; b < breakers; b++)
        set_mask(&L->tripped[b], l, tripped != NULL ? tripped[b] : 0);
    own->has_tripped = tripped != NULL;
}

INLINE double start_volts(double v, double knee, double top, int64_t *sign) {
    double size = v < 0 ? -v : v;
    memcpy(sign, &v, sizeof v);
    *sign &= INT64_MIN;
    size = size < top ? size : top;
    return size < knee ? knee : size;
}

// Device states of s, and the voltages and pieces that lane l starts from: those of its job's start
// also when a breaker has opened. What a short dragged down comes back without climbing.
static void take_start(lanes *L, int l, const solution *s, bool resumed) {
    const circuit *c = L->c;
    const double top = number_at(&L->params[c->slot_top], l);
    const solution *start = L->w->lanes[l].job->start;
    const double *from = start->volts;
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
        set_piece(L, k, l, start->piece[k] < c->piecewises[k].pieces ? start->piece[k] : 0);
    const power_load *powers = c->powers;
    vd *volts = L->power_volts;
    int64_t *sign = (int64_t *)L->power_sign + l;
    for (int k = 0; k < power_count; k++) {
        const power_load *d = &powers[k];
        set_mask(&dropped[k], l, s->dropped[k]);
        set_mask(&dropped_now[k], l, 0);
        double v =
            start_volts(from[d->a] - from[d->b], number_at(&L->knee[k], l), top, &sign[k * LANES]);
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

// A start that comes a second time is worth an image.
static void take_first_start(lanes *L, int l) {
    start_image *m = &L->w->image;
    const lane *own = &L->w->lanes[l];
    const job *j = own->job;
    bool shared = L->w->following != NULL && starts_as_base(L, j);
    bool again = m->start == j->start && m->version == L->w->fixed.version;
    if (shared && again && m->stands) {
        copy_image(L, l);
        return;
    }
    take_start(L, l, j->start, false);
    if (!shared)
        return;
    m->start = j->start;
    m->version = L->w->fixed.version;
    m->stands = again;
    if (again)
        take_image(L, l);
}

static void begin_round(lanes *L, int l, const solution *start, bool resumed) {
    lane *own = &L->w->lanes[l];
    take_job(L, l, resumed ? start->tripped : NULL);
    own->flips = 0;
    own->has_copy = own->recording = false;
    if (resumed)
        take_start(L, l, start, true);
    else
        take_first_start(L, l);
    reset_lane(L, l);
}

// Lane l takes the next job, if there is one.
static void refill(lanes *L, int l) {
    work *w = L->w;
    lane *own = &w->lanes[l];
    set_mask(&L->active, l, 0);
    if (w->following != NULL)
        own->job = w->following(w->ctx, &own->number);
    if (own->job == NULL)
        return;
    own->iterations = own->rounds = own->trip_count = 0;
    own->asked_again = false;
    begin_round(L, l, own->job->start, false);
}

// Lane l, whose voltages are worked out, goes on from where it is, with what has tripped.
static void go_on(lanes *L, int l) {
    work *w = L->w;
    lane *own = &w->lanes[l];
    write_lane(L, l, &w->saved);
    own->iterations = w->saved.iterations;
    own->rounds = w->saved.rounds;
    leave_job(L, l);
    begin_round(L, l, &w->saved, true);
}

#endif
