#include "circuit/static_part.h"

#include <string.h>

enum { WORD = 64 };

static size_t round_up(size_t size, size_t to) { return (size + to - 1) / to * to; }
static size_t words(int bits) { return ((size_t)bits + WORD - 1) / WORD; }
static void raise_bit(uint64_t *set, int i) { set[i / WORD] |= UINT64_C(1) << (i % WORD); }

// The lowest raised bit from word *w on, lowered; -1: none is left.
static int next_bit(uint64_t *set, size_t count, size_t *w) {
    for (; *w < count; ++*w) {
        if (set[*w] != 0) {
            int i = __builtin_ctzll(set[*w]);
            set[*w] &= set[*w] - 1;
            return (int)*w * WORD + i;
        }
    }
    return -1;
}

// ---- memory -------------------------------------------------------------------------------------
typedef struct extents {
    size_t params, signals, breakers, entries, lower, columns, gates;
} extents;

static extents extents_of(const circuit *c) {
    const pattern *p = c->pattern;
    size_t entries = (size_t)p->static_entries + (size_t)p->core_entries;
    return (extents){(size_t)c->param_count,       (size_t)circuit_signal_count(c) + 1,
                     (size_t)c->breaker_count + 1, entries,
                     (size_t)p->fixed.off_count,   words(p->statics),
                     words(p->static_gate_count)};
}

size_t static_part_size(const circuit *c) {
    extents e = extents_of(c);
    size_t numbers = e.params + 2 * (e.entries + e.lower) + words((int)e.entries) + e.columns;
    size_t bytes = (numbers + e.gates) * sizeof(double) + 2 * e.signals + e.breakers;
    return bytes + sizeof(int) + static_changes_size(c);
}

static_part static_part_carve(const circuit *c, void *block) {
    extents e = extents_of(c);
    static_part s = {.c = c};
    s.params = block;
    s.entries = s.params + e.params;
    s.base_entries = s.entries + e.entries;
    s.lower = s.base_entries + e.entries;
    s.base_lower = s.lower + e.lower;
    s.dirty = (uint64_t *)(void *)(s.base_lower + e.lower);
    s.dirty_columns = s.dirty + words((int)e.entries);
    s.dirty_gates = s.dirty_columns + e.columns;
    s.signal = (uint8_t *)(s.dirty_gates + e.gates);
    s.base_signal = s.signal + e.signals;
    s.tripped = s.base_signal + e.signals;
    size_t used = (size_t)(s.tripped + e.breakers - (unsigned char *)block);
    s.moved = static_changes_carve(c, (unsigned char *)block + round_up(used, sizeof(int)));
    memset(s.dirty, 0, words((int)e.entries) * sizeof(uint64_t));
    memset(s.dirty_columns, 0, e.columns * sizeof(uint64_t));
    memset(s.dirty_gates, 0, e.gates * sizeof(uint64_t));
    memset(s.tripped, 0, e.breakers);
    s.signal[e.signals - 1] = 1;
    return s;
}

size_t static_changes_size(const circuit *c) {
    const pattern *p = c->pattern;
    return ((size_t)p->statics + (size_t)p->core_entries + (size_t)circuit_signal_count(c)) *
           sizeof(int);
}

static_changes static_changes_carve(const circuit *c, void *block) {
    const pattern *p = c->pattern;
    static_changes s = {.columns = block};
    s.cores = s.columns + p->statics;
    s.signals = s.cores + p->core_entries;
    return s;
}

// ---- summing ------------------------------------------------------------------------------------
// An entry: the leak, its elements in their order, then what each static column takes off it.
static double sum_of(const static_part *s, int e) {
    const pattern *p = s->c->pattern;
    const static_reach *r = &p->reach;
    int first_core = p->static_entries;
    bool diagonal = e < p->statics || (e >= first_core && e < first_core + p->cores);
    double sum = diagonal ? LEAK : 0.0;
    for (int i = r->entry_stamps.start[e]; i < r->entry_stamps.start[e + 1]; i++) {
        const stamp *d = &p->static_stamps[r->entry_stamps.list[i]];
        bool on = s->signal[d->gate] && !s->tripped[d->breaker];
        double g = on ? s->params[d->slot] : 0.0;
        sum = e == d->ab ? sum - g : sum + g;
    }
    for (int i = r->entry_updates.start[e]; i < r->entry_updates.start[e + 1]; i++) {
        const int *pair = &r->entry_updates.list[2 * i];
        sum -= s->lower[pair[0]] * s->entries[p->statics + pair[1]];
    }
    return sum;
}

static void divide_column(static_part *s, int k) {
    const pattern *p = s->c->pattern;
    double inverse = 1.0 / s->entries[k];
    for (int t = p->fixed.start[k]; t < p->fixed.start[k + 1]; t++)
        s->lower[t] = s->entries[p->statics + t] * inverse;
}

static bool gate_value(const static_part *s, int k) {
    const gate *g = &s->c->gates[k];
    const uint8_t *signal = s->signal;
    int always = circuit_signal_count(s->c);
    bool a = signal[g->a < 0 ? always : g->a];
    if (g->op == GATE_NOT)
        return !a;
    bool b = signal[g->b < 0 ? always : g->b];
    return g->op == GATE_AND ? a && b : a || b;
}

static void work_out_all(static_part *s, const double *params) {
    const circuit *c = s->c;
    const pattern *p = c->pattern;
    extents e = extents_of(c);
    memcpy(s->params, params, e.params * sizeof(double));
    for (int i = 0; i < c->input_count; i++)
        s->signal[i] = params[i] != 0;
    for (int i = 0; i < p->static_gate_count; i++) {
        int k = p->static_gates[i];
        s->signal[circuit_signal_of_gate(c, k)] = gate_value(s, k);
    }
    for (int k = 0; k < p->statics; k++) {
        s->entries[k] = sum_of(s, k);
        for (int t = p->fixed.start[k]; t < p->fixed.start[k + 1]; t++)
            s->entries[p->statics + t] = sum_of(s, p->statics + t);
        divide_column(s, k);
    }
    for (int i = p->static_entries; i < (int)e.entries; i++)
        s->entries[i] = sum_of(s, i);
}

// ---- a job --------------------------------------------------------------------------------------
static void touch_entry(static_part *s, int e) {
    const pattern *p = s->c->pattern;
    raise_bit(s->dirty, e);
    if (e < p->statics)
        raise_bit(s->dirty_columns, e);
    else if (e < p->static_entries)
        raise_bit(s->dirty_columns, p->reach.column_of[e - p->statics]);
}

static void touch_stamps(static_part *s, const span_list *of, int key) {
    for (int i = of->start[key]; i < of->start[key + 1]; i++) {
        const stamp *d = &s->c->pattern->static_stamps[of->list[i]];
        if (d->aa >= 0)
            touch_entry(s, d->aa);
        if (d->bb >= 0)
            touch_entry(s, d->bb);
        if (d->ab >= 0)
            touch_entry(s, d->ab);
    }
}

static void turn_signal(static_part *s, int signal, static_changes *out) {
    const static_reach *r = &s->c->pattern->reach;
    s->signal[signal] ^= 1;
    out->signals[out->signal_count++] = signal;
    touch_stamps(s, &r->signal_stamps, signal);
    for (int i = r->signal_gates.start[signal]; i < r->signal_gates.start[signal + 1]; i++)
        raise_bit(s->dirty_gates, r->signal_gates.list[i]);
}

static void turn_gates(static_part *s, static_changes *out) {
    const pattern *p = s->c->pattern;
    size_t w = 0;
    for (int i; (i = next_bit(s->dirty_gates, words(p->static_gate_count), &w)) >= 0;) {
        int k = p->static_gates[i];
        int signal = circuit_signal_of_gate(s->c, k);
        if (gate_value(s, k) != s->signal[signal])
            turn_signal(s, signal, out);
    }
}

static bool lower_bit(uint64_t *set, int i) {
    uint64_t bit = UINT64_C(1) << (i % WORD);
    bool was = set[i / WORD] & bit;
    set[i / WORD] &= ~bit;
    return was;
}

static void sum_columns(static_part *s, static_changes *out) {
    const pattern *p = s->c->pattern;
    size_t w = 0;
    for (int k; (k = next_bit(s->dirty_columns, words(p->statics), &w)) >= 0;) {
        if (lower_bit(s->dirty, k))
            s->entries[k] = sum_of(s, k);
        for (int e = p->statics + p->fixed.start[k]; e < p->statics + p->fixed.start[k + 1]; e++)
            if (lower_bit(s->dirty, e))
                s->entries[e] = sum_of(s, e);
        divide_column(s, k);
        out->columns[out->column_count++] = k;
        const uint32_t *steps = p->fixed.program + p->reach.program_start[k];
        uint32_t m = *steps++;
        steps += m;
        for (uint32_t i = 0; i < m * (m + 1) / 2; i++)
            touch_entry(s, (int)(steps[i] / OFFSET));
    }
}

static void sum_cores(static_part *s, static_changes *out) {
    const pattern *p = s->c->pattern;
    size_t w = (size_t)p->static_entries / WORD;
    size_t count = words(p->static_entries + p->core_entries);
    for (int e; (e = next_bit(s->dirty, count, &w)) >= 0;) {
        s->entries[e] = sum_of(s, e);
        out->cores[out->core_count++] = e - p->static_entries;
    }
}

// A parameter has another value.
static void follow_param(static_part *s, int slot, static_changes *out) {
    touch_stamps(s, &s->c->pattern->reach.slot_stamps, slot);
    if (slot < s->c->input_count && (s->params[slot] != 0) != s->signal[slot])
        turn_signal(s, slot, out);
}

// Gates, columns and core entries follow what has changed.
static void settle_changes(static_part *s, static_changes *out) {
    turn_gates(s, out);
    sum_columns(s, out);
    sum_cores(s, out);
}

void static_part_apply(static_part *s, const job *j, const uint8_t *tripped, static_changes *out) {
    const circuit *c = s->c;
    const static_reach *r = &c->pattern->reach;
    out->column_count = out->core_count = out->signal_count = 0;
    for (int i = 0; i < j->patch_count; i++)
        s->params[j->patches[i].slot] = j->patches[i].value;
    for (int i = 0; i < j->patch_count; i++)
        follow_param(s, j->patches[i].slot, out);
    for (int b = 0; tripped != NULL && b < c->breaker_count; b++) {
        s->tripped[b] = tripped[b];
        if (!tripped[b])
            continue;
        touch_stamps(s, &r->breaker_stamps, b);
        int contact = c->breakers[b].contact;
        if (contact >= 0 && s->signal[contact])
            turn_signal(s, contact, out);
    }
    settle_changes(s, out);
}

void static_part_undo(static_part *s, const job *j, const uint8_t *tripped,
                      const static_changes *changes) {
    const pattern *p = s->c->pattern;
    for (int i = 0; i < j->patch_count; i++)
        s->params[j->patches[i].slot] = s->base[j->patches[i].slot];
    for (int i = 0; i < changes->signal_count; i++)
        s->signal[changes->signals[i]] = s->base_signal[changes->signals[i]];
    for (int i = 0; i < changes->column_count; i++) {
        int k = changes->columns[i];
        s->entries[k] = s->base_entries[k];
        for (int t = p->fixed.start[k]; t < p->fixed.start[k + 1]; t++) {
            s->entries[p->statics + t] = s->base_entries[p->statics + t];
            s->lower[t] = s->base_lower[t];
        }
    }
    for (int i = 0; i < changes->core_count; i++) {
        int e = p->static_entries + changes->cores[i];
        s->entries[e] = s->base_entries[e];
    }
    if (tripped != NULL)
        memset(s->tripped, 0, (size_t)s->c->breaker_count);
}

// ---- another base -------------------------------------------------------------------------------
static int count_different(const static_part *s, const double *params) {
    int different = 0;
    for (int i = 0; i < s->c->param_count; i++)
        different += s->params[i] != params[i];
    return different;
}

// From the base that stands to these parameters.
static void move_base(static_part *s, const double *params) {
    s->moved.column_count = s->moved.core_count = s->moved.signal_count = 0;
    for (int i = 0; i < s->c->param_count; i++) {
        if (s->params[i] == params[i])
            continue;
        s->params[i] = params[i];
        follow_param(s, i, &s->moved);
    }
    settle_changes(s, &s->moved);
}

// More than one parameter in so many: all is worked out anew.
enum { FEW = 16 };

void static_part_rebase(static_part *s, const double *params) {
    extents e = extents_of(s->c);
    if (s->version > 0 && count_different(s, params) <= s->c->param_count / FEW)
        move_base(s, params);
    else
        work_out_all(s, params);
    s->base = params;
    s->version++;
    memcpy(s->base_entries, s->entries, e.entries * sizeof(double));
    memcpy(s->base_lower, s->lower, e.lower * sizeof(double));
    memcpy(s->base_signal, s->signal, e.signals);
}
