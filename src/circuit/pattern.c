// Works out the pattern of a circuit: which nodes are static, the order, the programs.
#include "circuit/pattern.h"

#include <assert.h>
#include <string.h>

#include "circuit/pattern_tables.h"

// A signal is static when only inputs decide it.
static uint8_t *static_signals(const circuit *c, arena *scratch) {
    uint8_t *fixed = arena_new(scratch, (size_t)circuit_signal_count(c) + 1, 1);
    if (!fixed)
        return NULL;
    for (int i = 0; i < c->input_count; i++)
        fixed[i] = 1;
    for (int k = 0; k < c->gate_count; k++) {
        const gate *g = &c->gates[k];
        int s = circuit_signal_of_gate(c, k);
        fixed[s] = (g->a < 0 || fixed[g->a]) && (g->op == GATE_NOT || g->b < 0 || fixed[g->b]);
    }
    return fixed;
}

// Nodes that a device touches or senses are late; so are the ends of conductances that a device
// drives.
static uint8_t *late_nodes(const circuit *c, const uint8_t *fixed, arena *scratch) {
    uint8_t *late = arena_new(scratch, (size_t)c->node_count, 1);
    if (!late)
        return NULL;
    for (int k = 0; k < c->conductance_count; k++) {
        const conductance *g = &c->conductances[k];
        if (g->gate >= 0 && !fixed[g->gate])
            late[g->a] = late[g->b] = 1;
    }
    for (int k = 0; k < c->piecewise_count; k++)
        late[c->piecewises[k].a] = late[c->piecewises[k].b] = 1;
    for (int k = 0; k < c->power_count; k++)
        late[c->powers[k].a] = late[c->powers[k].b] = 1;
    for (int k = 0; k < c->lamp_count; k++)
        late[c->lamps[k].a] = late[c->lamps[k].b] = 1;
    for (int k = 0; k < c->comparator_count; k++) {
        const comparator *h = &c->comparators[k];
        if (h->of == QUANTITY_VOLTS) {
            late[h->a] = late[h->b] = 1;
        } else if (h->of == QUANTITY_CONDUCTANCE_AMPS) {
            const conductance *g = &c->conductances[h->a];
            late[g->a] = late[g->b] = 1;
        }
    }
    return late;
}

typedef struct edges {
    int (*ends)[2];
    int count;
} edges;

static void edge(edges *e, int a, int b) {
    if (a == 0 || b == 0 || a == b)
        return;
    e->ends[e->count][0] = a - 1;
    e->ends[e->count][1] = b - 1;
    e->count++;
}

static bool all_edges(const circuit *c, arena *scratch, edges *e) {
    size_t most = (size_t)c->conductance_count + (size_t)c->piecewise_count +
                  (size_t)c->power_count + (size_t)c->lamp_count;
    e->ends = arena_new(scratch, most + 1, sizeof *e->ends);
    if (!e->ends)
        return false;
    for (int k = 0; k < c->conductance_count; k++)
        edge(e, c->conductances[k].a, c->conductances[k].b);
    for (int k = 0; k < c->piecewise_count; k++)
        edge(e, c->piecewises[k].a, c->piecewises[k].b);
    for (int k = 0; k < c->power_count; k++)
        edge(e, c->powers[k].a, c->powers[k].b);
    for (int k = 0; k < c->lamp_count; k++)
        edge(e, c->lamps[k].a, c->lamps[k].b);
    return true;
}

// Neighbor lists without doubles.
static bool make_graph(const circuit *c, arena *scratch, graph *g) {
    edges e = {0};
    size_t n = (size_t)c->node_count;
    int *mark = arena_new(scratch, n, sizeof(int));
    g->count = c->node_count - 1;
    g->neighbors = arena_new(scratch, n, sizeof *g->neighbors);
    g->degree = arena_new(scratch, n, sizeof(int));
    g->capacity = arena_new(scratch, n, sizeof(int));
    if (!all_edges(c, scratch, &e) || scratch->failed)
        return false;
    for (int i = 0; i < e.count; i++) {
        g->capacity[e.ends[i][0]]++;
        g->capacity[e.ends[i][1]]++;
    }
    int *pool = arena_new(scratch, 2 * (size_t)e.count + 1, sizeof(int));
    if (!pool)
        return false;
    for (int i = 0; i < g->count; i++) {
        g->neighbors[i] = pool;
        pool += g->capacity[i];
    }
    for (int i = 0; i < e.count; i++) {
        for (int side = 0; side < 2; side++) {
            int from = e.ends[i][side];
            g->neighbors[from][g->degree[from]++] = e.ends[i][1 - side];
        }
    }
    for (int i = 0; i < g->count; i++) {
        int kept = 0;
        for (int j = 0; j < g->degree[i]; j++) {
            int to = g->neighbors[i][j];
            if (mark[to] != i + 1)
                g->neighbors[i][kept++] = to;
            mark[to] = i + 1;
        }
        g->degree[i] = kept;
    }
    return true;
}

static void sort_places(int *a, int count) {  // short columns: insertion
    for (int i = 1; i < count; i++) {
        int x = a[i];
        int j = i;
        for (; j > 0 && a[j - 1] > x; j--)
            a[j] = a[j - 1];
        a[j] = x;
    }
}

// The whole lower triangle by places, before it is split in two.
static bool make_triangle(const circuit *c, const elimination *e, arena *keep, arena *scratch,
                          triangle *t, int *place_of) {
    int n = c->node_count - 1;
    place_of[0] = n;
    t->start = arena_new(scratch, (size_t)n + 1, sizeof(int));
    if (!t->start)
        return false;
    for (int k = 0; k < n; k++) {
        place_of[e->order[k] + 1] = k;
        t->start[k + 1] = t->start[k] + e->column_count[k];
    }
    t->place = arena_new(keep, (size_t)t->start[n] + 1, sizeof(int));
    if (!t->place)
        return false;
    for (int k = 0; k < n; k++) {
        int *column = t->place + t->start[k];
        for (int i = 0; i < e->column_count[k]; i++)
            column[i] = place_of[e->column[k][i] + 1];
        sort_places(column, e->column_count[k]);
    }
    return true;
}

static status order_in(circuit *c, arena *scratch) {
    arena *keep = &c->memory;
    pattern *p = arena_new(keep, 1, sizeof *p);
    int *place_of = arena_new(keep, (size_t)c->node_count, sizeof(int));
    uint32_t *offset_of = arena_new(keep, (size_t)c->node_count, sizeof(uint32_t));
    uint8_t *fixed = static_signals(c, scratch);
    if (!p || !place_of || !offset_of || !fixed)
        return STATUS_NO_MEMORY;
    uint8_t *late = late_nodes(c, fixed, scratch);
    graph g = {0};
    elimination e = {0};
    if (!late || !make_graph(c, scratch, &g) || eliminate(&g, late + 1, scratch, &e) != STATUS_OK)
        return STATUS_NO_MEMORY;
    p->place_of = place_of;
    p->offset_of = offset_of;
    p->unknowns = c->node_count - 1;
    for (int i = 1; i < c->node_count; i++)
        p->cores += late[i];
    p->statics = p->unknowns - p->cores;
    triangle t = {.unknowns = p->unknowns, .statics = p->statics, .cores = p->cores};
    if (!make_triangle(c, &e, keep, scratch, &t, place_of) ||
        !pattern_programs(p, &t, keep, scratch) || !pattern_stamps(c, p, &t, fixed, keep) ||
        !pattern_signals(c, p, fixed, keep, scratch) || !pattern_reach(c, p, keep, scratch))
        return STATUS_NO_MEMORY;
    for (int i = 0; i < c->node_count; i++)
        offset_of[i] = (uint32_t)place_of[i] * OFFSET;
    c->pattern = p;
    return STATUS_OK;
}

status circuit_order(circuit *c) {
    arena scratch = arena_make(c->memory.memory);
    status s = order_in(c, &scratch);
    arena_free(&scratch);
    return s;
}
