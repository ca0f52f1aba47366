// Which entries, columns and gates of the static part a changed parameter, signal or breaker
// reaches; and what each entry is the sum of.
#include "circuit/pattern_tables.h"

// Gathers (key, value) pairs, then sorts them by key; values of one key stay in their order.
typedef struct gatherer {
    int *key, *value;
    int count, room;
    arena *scratch;
} gatherer;

static bool gather(gatherer *g, int key, int value) {
    if (g->count == g->room) {
        int room = g->room;
        int *keys = arena_grow(g->scratch, g->key, &room, g->count + 1, sizeof(int));
        int *values = arena_grow(g->scratch, g->value, &g->room, g->count + 1, sizeof(int));
        if (keys == NULL || values == NULL)
            return false;
        g->key = keys;
        g->value = values;
    }
    g->key[g->count] = key;
    g->value[g->count++] = value;
    return true;
}

static bool spread(const gatherer *g, int keys, arena *keep, span_list *out) {
    int *start = arena_new(keep, (size_t)keys + 1, sizeof(int));
    int *list = arena_new(keep, (size_t)g->count + 1, sizeof(int));
    int *next = arena_new(g->scratch, (size_t)keys + 1, sizeof(int));
    if (start == NULL || list == NULL || next == NULL)
        return false;
    for (int i = 0; i < g->count; i++)
        start[g->key[i] + 1]++;
    for (int k = 0; k < keys; k++)
        next[k + 1] = start[k + 1] += start[k];
    for (int i = 0; i < g->count; i++)
        list[next[g->key[i]]++] = g->value[i];
    *out = (span_list){start, list};
    return true;
}

typedef int (*stamp_key)(const stamp *s);
static int slot_of(const stamp *s) { return s->slot; }
static int gate_of_stamp(const stamp *s) { return s->gate; }
static int breaker_of(const stamp *s) { return s->breaker; }

static bool stamps_by(const pattern *p, stamp_key key, int keys, arena *keep, arena *scratch,
                      span_list *out) {
    gatherer g = {.scratch = scratch};
    for (int i = 0; i < p->static_conductance_count; i++)
        if (!gather(&g, key(&p->static_stamps[i]), i))
            return false;
    return spread(&g, keys, keep, out);
}

static bool stamps_by_entry(const pattern *p, arena *keep, arena *scratch, span_list *out) {
    gatherer g = {.scratch = scratch};
    for (int i = 0; i < p->static_conductance_count; i++) {
        const int entries[] = {p->static_stamps[i].aa, p->static_stamps[i].bb,
                               p->static_stamps[i].ab};
        for (int e = 0; e < 3; e++)
            if (entries[e] >= 0 && !gather(&g, entries[e], i))
                return false;
    }
    return spread(&g, p->static_entries + p->core_entries, keep, out);
}

static bool gates_by_signal(const circuit *c, const pattern *p, arena *keep, arena *scratch,
                            span_list *out) {
    gatherer g = {.scratch = scratch};
    for (int i = 0; i < p->static_gate_count; i++) {
        const gate *d = &c->gates[p->static_gates[i]];
        if (d->a >= 0 && !gather(&g, d->a, i))
            return false;
        if (d->op != GATE_NOT && d->b >= 0 && d->b != d->a && !gather(&g, d->b, i))
            return false;
    }
    return spread(&g, circuit_signal_count(c) + 1, keep, out);
}

// Pairs (j, i) of each column's off-diagonals, i >= j, by the entry that they are taken off.
static bool updates_by_entry(const pattern *p, const int *program_start, arena *keep,
                             arena *scratch, span_list *out) {
    gatherer first = {.scratch = scratch}, second = {.scratch = scratch};
    for (int k = 0; k < p->statics; k++) {
        const uint32_t *steps = p->fixed.program + program_start[k];
        uint32_t m = *steps++;
        steps += m;
        for (int j = p->fixed.start[k]; j < p->fixed.start[k + 1]; j++) {
            for (int i = j; i < p->fixed.start[k + 1]; i++, steps++)
                if (!gather(&first, (int)(*steps / OFFSET), j) ||
                    !gather(&second, (int)(*steps / OFFSET), i))
                    return false;
        }
    }
    int entries = p->static_entries + p->core_entries;
    span_list a, b;
    int *pairs = arena_new(keep, 2 * (size_t)first.count + 1, sizeof(int));
    if (pairs == NULL || !spread(&first, entries, keep, &a) || !spread(&second, entries, keep, &b))
        return false;
    for (int i = 0; i < first.count; i++) {
        pairs[2 * i] = a.list[i];
        pairs[2 * i + 1] = b.list[i];
    }
    *out = (span_list){a.start, pairs};
    return true;
}

bool pattern_reach(const circuit *c, pattern *p, arena *keep, arena *scratch) {
    int *column_of = arena_new(keep, (size_t)p->fixed.off_count + 1, sizeof(int));
    int *program_start = arena_new(keep, (size_t)p->statics + 1, sizeof(int));
    if (column_of == NULL || program_start == NULL)
        return false;
    for (int k = 0, at = 0; k < p->statics; k++) {
        int m = p->fixed.start[k + 1] - p->fixed.start[k];
        program_start[k] = at;
        at += 1 + m + m * (m + 1) / 2;
        for (int t = p->fixed.start[k]; t < p->fixed.start[k + 1]; t++)
            column_of[t] = k;
    }
    static_reach *r = &p->reach;
    r->column_of = column_of;
    r->program_start = program_start;
    return stamps_by(p, slot_of, c->param_count, keep, scratch, &r->slot_stamps) &&
           stamps_by(p, gate_of_stamp, circuit_signal_count(c) + 1, keep, scratch,
                     &r->signal_stamps) &&
           stamps_by(p, breaker_of, c->breaker_count + 1, keep, scratch, &r->breaker_stamps) &&
           stamps_by_entry(p, keep, scratch, &r->entry_stamps) &&
           gates_by_signal(c, p, keep, scratch, &r->signal_gates) &&
           updates_by_entry(p, program_start, keep, scratch, &r->entry_updates);
}
