#include "draw/power_graph.h"

#include <string.h>

#include "base/stable_sort.h"

enum { SLOT_SELF, SLOT_FIELD, SLOT_SENSE, SLOT_COIL, SLOT_CONTACTS };

typedef struct maker {
    arena *memory;
    const aircraft *a;
    power_graph *g;
    int *base;  // by part: number of its first point
    int *own, *returns;
    bool *used;  // by point: some reference names it
    graph_edge *edges;
    int edge_room;
    graph_stop *stops;
    int stop_room;
} maker;

bool part_is_source(const part *p) { return kind_class(p->kind) == CLASS_SOURCE; }

static bool has_contacts(const part *p) {
    const positions *at = part_positions(p);
    return p->kind == KIND_SWITCH && at && at->sort == POSITIONS_CONTACTS;
}

static int contact_named(const part *p, const char *label) {
    const positions *at = part_positions(p);
    for (int i = 0; at && i < at->count; i++)
        if (strcmp(at->labels[i], label) == 0)
            return i;
    return -1;
}

// One end of a path is named and the other isn't, or the only one there is.
static const reference *named(const part *p, part_key k) {
    const reference_list *list = part_references(p, k);
    return list && list->count ? &list->items[0] : NULL;
}

static int point_of(const maker *m, const reference *r) {
    if (r->part == PART_AIRFRAME)
        return AIRFRAME_POINT;
    if (r->part < 0 || r->part >= m->a->part_count || r->terminal == TERMINAL_NONE)
        return NO_POINT;
    const part *p = &m->a->parts[r->part];
    int base = m->base[r->part];
    if (p->kind == KIND_GROUND)
        return AIRFRAME_POINT;
    switch (r->terminal) {
    case TERMINAL_FIELD: return base + SLOT_FIELD;
    case TERMINAL_SENSE: return base + SLOT_SENSE;
    case TERMINAL_COIL: return base + SLOT_COIL;
    case TERMINAL_CONTACT: return has_contacts(p) ? base + SLOT_CONTACTS + r->position : base;
    default: break;
    }
    if (has_contacts(p)) {
        int on = contact_named(p, "ON");
        if (on >= 0)
            return base + SLOT_CONTACTS + on;
    }
    const reference *to = part_is_source(p) ? named(p, KEY_TO) : NULL;
    // A source whose output is named has no point of its own.
    return to && to->part != r->part ? point_of(m, to) : base;
}

static void add_edge(maker *m, int which, int a, int b, int contact) {
    if (a < 0 || b < 0 || a == b)
        return;
    graph_edge *edges =
        arena_grow(m->memory, m->edges, &m->edge_room, m->g->edge_count + 1, sizeof *edges);
    if (!edges)
        return;
    m->edges = edges;
    edges[m->g->edge_count++] = (graph_edge){which, a, b, contact};
}

static void add_stop(maker *m, stop_kind kind, int which, int point, int behind) {
    if (point < 0 || point == AIRFRAME_POINT)
        return;
    graph_stop *stops =
        arena_grow(m->memory, m->stops, &m->stop_room, m->g->stop_count + 1, sizeof *stops);
    if (!stops)
        return;
    m->stops = stops;
    stops[m->g->stop_count++] = (graph_stop){kind, which, point, behind};
}

static void add_path(maker *m, int which) {
    const part *p = &m->a->parts[which];
    const reference *from = named(p, KEY_FROM), *to = named(p, KEY_TO);
    int own = m->base[which];
    int a = from ? point_of(m, from) : own, b = to ? point_of(m, to) : own;
    if (has_contacts(p) && !(from && to)) {
        const positions *at = part_positions(p);
        for (int i = 0; i < at->count; i++) {
            int contact = own + SLOT_CONTACTS + i;
            if (m->used[contact])
                add_edge(m, which, from ? a : contact, from ? contact : b, i);
        }
    } else if (from || to) {
        add_edge(m, which, a, b, -1);
    }
    const reference *rests = named(p, KEY_RESTS_ON);
    if (rests)
        add_edge(m, which, point_of(m, rests), b, -1);
    const reference_list *coil = part_references(p, KEY_COIL_FROM);
    for (int i = 0; coil && i < coil->count; i++)
        add_stop(m, STOP_COIL, which, point_of(m, &coil->items[i]), NO_POINT);
    const reference *coil_to = named(p, KEY_COIL_TO);
    if (coil_to)
        m->returns[which] = point_of(m, coil_to);
}

static void add_source(maker *m, int which) {
    const part *p = &m->a->parts[which];
    const reference *from = named(p, KEY_FROM);
    int return_point = from ? point_of(m, from) : AIRFRAME_POINT;
    if (return_point != AIRFRAME_POINT)
        add_edge(m, which, return_point, m->own[which], -1);
    else
        add_stop(m, STOP_SOURCE, which, m->own[which], NO_POINT);
    const reference_list *field = part_references(p, KEY_FIELD_FROM);
    for (int i = 0; field && i < field->count; i++) {
        int point = point_of(m, &field->items[i]);
        if (point != m->own[which])
            add_stop(m, STOP_FIELD, which, point, NO_POINT);
    }
}

static void add_item(maker *m, int which) {
    const part *p = &m->a->parts[which];
    const reference_list *from = part_references(p, KEY_FROM);
    const reference *to = named(p, KEY_TO);
    if (to)
        m->returns[which] = point_of(m, to);
    for (int i = 0; from && i < from->count; i++) {
        int point = point_of(m, &from->items[i]);
        add_stop(m, i ? STOP_SECOND : STOP_ITEM, which, point, i ? NO_POINT : m->own[which]);
    }
    const reference *sense = named(p, KEY_SENSE_FROM);
    if (sense)
        add_stop(m, STOP_SENSE, which, point_of(m, sense), NO_POINT);
    const reference *charged = named(p, KEY_CHARGED_FROM);
    if (charged)
        add_stop(m, STOP_SECOND, which, point_of(m, charged), NO_POINT);
}

static void add_point(maker *m, int which) {
    const part *p = &m->a->parts[which];
    const reference *from = named(p, KEY_FROM);
    if (!from || p->kind == KIND_GROUND)
        return;
    // An outlet ends a row like an item; what is plugged in hangs behind it.
    if (p->kind == KIND_OUTLET) {
        add_stop(m, STOP_ITEM, which, point_of(m, from), m->own[which]);
        return;
    }
    int strap = p->wire;
    for (int i = which + 1; i < m->a->part_count && m->a->parts[i].host == which; i++)
        if (m->a->parts[i].implied == IMPLIED_STRAP)
            strap = i;
    add_edge(m, strap >= 0 ? strap : which, point_of(m, from), m->own[which], -1);
}

static void add_part(maker *m, int which) {
    const part *p = &m->a->parts[which];
    // A row written on one line has its breaker and switch as parts of their own; wires are seen
    // only when they fail.
    if (p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP || (p->fitted & FITTED_ABSENT))
        return;
    switch (kind_class(p->kind)) {
    case CLASS_POINT: add_point(m, which); break;
    case CLASS_PATH: add_path(m, which); break;
    case CLASS_SOURCE: {
        add_source(m, which);
        const reference *charged = named(p, KEY_CHARGED_FROM);
        if (charged)
            add_stop(m, STOP_SECOND, which, point_of(m, charged), NO_POINT);
        break;
    }
    case CLASS_UNIT:
    case CLASS_ITEM: add_item(m, which); break;
    default: break;
    }
}

static void mark_used(maker *m) {
    for (int i = 0; i < m->a->part_count; i++)
        for (int k = 0; k < m->a->parts[i].value_count; k++) {
            const part_value *v = &m->a->parts[i].values[k];
            if (v->type != VALUE_REFERENCES)
                continue;
            for (int r = 0; r < v->as.references.count; r++) {
                int point = point_of(m, &v->as.references.items[r]);
                if (point >= 0)
                    m->used[point] = true;
            }
        }
}

// ---- order of the panel ----------------------------------------
static const part *part_at(const power_graph *g, int k) {
    int which = graph_is_edge(g, k) ? g->edges[k].part : graph_stop_at(g, k)->part;
    return &g->aircraft->parts[which];
}

static int by_place(const void *x, const void *y, const void *ctx) {
    const power_graph *g = ctx;
    const part *a = part_at(g, *(const int *)x), *b = part_at(g, *(const int *)y);
    int a_row = a->row ? a->row : 1000, b_row = b->row ? b->row : 1000;
    if (a_row != b_row)
        return a_row - b_row;
    int a_number = a->number ? a->number : 1000, b_number = b->number ? b->number : 1000;
    if (a_number != b_number)
        return a_number - b_number;
    return a->host - b->host;
}

static bool sort_points(maker *m) {
    power_graph *g = m->g;
    int *first = arena_new(m->memory, (size_t)g->point_count + 1, sizeof *first);
    int *fill = arena_new(m->memory, (size_t)g->point_count + 1, sizeof *fill);
    int total = 2 * g->edge_count + g->stop_count;
    int *at = arena_new(m->memory, (size_t)total + 1, sizeof *at);
    if (!first || !fill || !at || (g->edge_count > 0 && !m->edges) ||
        (g->stop_count > 0 && !m->stops))
        return false;
    for (int i = 0; i < g->edge_count; i++) {
        fill[m->edges[i].a]++;
        fill[m->edges[i].b]++;
    }
    for (int i = 0; i < g->stop_count; i++)
        fill[m->stops[i].point]++;
    for (int i = 0; i < g->point_count; i++) {
        first[i + 1] = first[i] + fill[i];
        fill[i] = first[i];
    }
    for (int i = 0; i < g->edge_count; i++) {
        at[fill[m->edges[i].a]++] = i;
        at[fill[m->edges[i].b]++] = i;
    }
    for (int i = 0; i < g->stop_count; i++)
        at[fill[m->stops[i].point]++] = g->edge_count + i;
    g->first = first;
    g->at = at;
    for (int i = 0; i < g->point_count; i++)
        stable_sort(at + first[i], (size_t)(first[i + 1] - first[i]), sizeof *at, NULL, by_place,
                    g);
    return true;
}

static bool number_points(maker *m) {
    const aircraft *a = m->a;
    size_t parts = (size_t)a->part_count + 1;
    m->base = arena_new(m->memory, parts, sizeof *m->base);
    m->own = arena_new(m->memory, parts, sizeof *m->own);
    m->returns = arena_new(m->memory, parts, sizeof *m->returns);
    if (!m->base || !m->own || !m->returns)
        return false;
    int next = AIRFRAME_POINT + 1;
    for (int i = 0; i < a->part_count; i++) {
        const positions *at = part_positions(&a->parts[i]);
        m->base[i] = next;
        next += SLOT_CONTACTS + (at ? at->count : 0);
    }
    m->g->point_count = next;
    m->used = arena_new(m->memory, (size_t)next, sizeof *m->used);
    for (int i = 0; i < a->part_count; i++) {
        reference self = {.part = i, .terminal = TERMINAL_SELF};
        m->own[i] = point_of(m, &self);
    }
    return m->used != NULL;
}

const power_graph *power_graph_make(arena *memory, const aircraft *a) {
    power_graph *g = arena_new(memory, 1, sizeof *g);
    if (!g)
        return NULL;
    maker m = {.memory = memory, .a = a, .g = g};
    g->aircraft = a;
    if (!number_points(&m))
        return NULL;
    mark_used(&m);
    for (int i = 0; i < a->part_count; i++)
        add_part(&m, i);
    g->own = m.own;
    g->returns = m.returns;
    g->edges = m.edges;
    g->stops = m.stops;
    if (!sort_points(&m) || memory->failed)
        return NULL;
    return g;
}
