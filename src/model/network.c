#include "model/network.h"

#include <string.h>

enum { PER_PART = 4 };  // itself, field, sense, coil

int network_self(int part) { return 1 + part * PER_PART; }

int network_vertex(const network *n, reference ref) {
    if (ref.part == PART_AIRFRAME)
        return VERTEX_AIRFRAME;
    if (ref.part < 0)
        return VERTEX_NONE;
    int self = network_self(ref.part);
    switch (ref.terminal) {
    case TERMINAL_FIELD: return self + 1;
    case TERMINAL_SENSE: return self + 2;
    case TERMINAL_COIL: return self + 3;
    case TERMINAL_CONTACT:
        return n->first_contact[ref.part] ? n->first_contact[ref.part] + ref.position : VERTEX_NONE;
    default: return self;
    }
}

static int vertex_of(const network *n, int part, part_key key) {
    const reference_list *list = part_references(&n->a->parts[part], key);
    return list ? network_vertex(n, list->items[0]) : VERTEX_NONE;
}

static bool has_contacts(const part *p) {
    const positions *places = part_positions(p);
    return p->kind == KIND_SWITCH && (!places || places->sort == POSITIONS_CONTACTS);
}

void network_ends(const network *n, int part, int *from, int *to) {
    const struct part *p = &n->a->parts[part];
    const reference_list *f = part_references(p, KEY_FROM);
    const reference_list *t = part_references(p, KEY_TO);
    *from = f ? network_vertex(n, f->items[0]) : network_self(part);
    *to = t ? network_vertex(n, t->items[0]) : network_self(part);
    if (has_contacts(p) && part_positions(p))
        *to = f && t ? *to : VERTEX_NONE;
}

static void add_edge(network *n, arena *memory, int part, int a, int b, bool one_way) {
    if (a < 0 || b < 0 || a == b)
        return;
    network_edge *edges =
        arena_grow(memory, n->edges, &n->edge_capacity, n->edge_count + 1, sizeof *edges);
    if (!edges)
        return;
    n->edges = edges;
    edges[n->edge_count++] = (network_edge){.a = a, .b = b, .part = part, .one_way = one_way};
}

static void add_path(network *n, arena *memory, int part) {
    const struct part *p = &n->a->parts[part];
    if (p->implied == IMPLIED_WIRE || !p->electric)
        return;
    const positions *places = part_positions(p);
    int from = VERTEX_NONE;
    int to = VERTEX_NONE;
    network_ends(n, part, &from, &to);
    if (has_contacts(p) && places) {
        const reference_list *named = part_references(p, KEY_FROM);
        int common = named ? from : vertex_of(n, part, KEY_TO);
        for (int i = 0; i < places->count; i++)
            add_edge(n, memory, part, common, n->first_contact[part] + i, false);
        add_edge(n, memory, part, from, to, false);
        return;
    }
    if (has_contacts(p))  // the OFF contact of a plain switch
        add_edge(n, memory, part, part_references(p, KEY_FROM) ? from : to, n->first_contact[part],
                 false);
    add_edge(n, memory, part, from, to, p->kind == KIND_DIODE);
    add_edge(n, memory, part, vertex_of(n, part, KEY_RESTS_ON), to, false);
}

static void add_part(network *n, arena *memory, int part) {
    const struct part *p = &n->a->parts[part];
    int self = network_self(part);
    const reference_list *from = part_references(p, KEY_FROM);
    switch (kind_class(p->kind)) {
    case CLASS_PATH: add_path(n, memory, part); break;
    case CLASS_SOURCE:
        add_edge(n, memory, part, self, vertex_of(n, part, KEY_TO), false);
        if (p->kind == KIND_EXTERNAL_POWER)
            add_edge(n, memory, part, self, self + 2, true);
        break;
    case CLASS_POINT: break;  // its strap is a part of its own
    case CLASS_UNIT:
    case CLASS_ITEM:
        for (int i = 0; from && i < from->count; i++)
            add_edge(n, memory, part, network_vertex(n, from->items[i]), self, true);
        if (p->kind == KIND_REGULATOR && part_references(p, KEY_SENSE_FROM))
            add_edge(n, memory, part, vertex_of(n, part, KEY_SENSE_FROM), self + 2, true);
        break;
    case CLASS_DRY:
    case CLASS_GROUP: break;
    }
}

// How often each terminal is referred to, and which parts are looked at.
static void count_uses(network *n) {
    const aircraft *a = n->a;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        for (int j = 0; j < p->value_count; j++) {
            const part_value *v = &p->values[j];
            if (v->type == VALUE_REFERENCES && v->key != KEY_PERHAPS_FROM) {
                for (int k = 0; k < v->as.references.count; k++) {
                    int vertex = network_vertex(n, v->as.references.items[k]);
                    if (vertex >= 0 && p->implied != IMPLIED_STRAP)
                        n->joined[vertex]++;
                }
            }
            if (v->type == VALUE_READS) {
                for (int k = 0; k < v->as.reads.count; k++) {
                    if (v->as.reads.items[k].ref.part >= 0)
                        n->used[v->as.reads.items[k].ref.part] = true;
                }
            }
            bool selector =
                v->key == KEY_SELECTED_BY || v->key == KEY_DIMMED_BY || v->key == KEY_FOLLOWS;
            if (v->type == VALUE_IDS && selector)
                n->used[v->as.ids.items[0]] = true;
        }
    }
    for (int i = 0; i < a->condition_count; i++) {
        const condition *c = &a->conditions[i];
        if (c->ref.part >= 0)
            n->used[c->ref.part] = true;
        if (c->other.part >= 0)
            n->used[c->other.part] = true;
    }
}

// Floods along the edges. Each round walks all edges both ways; chains are short, so few are
// needed, but a file made to be long must not cost the square of its length: hence the list of
// edges by vertex.
static bool flood(const network *n, arena *memory, bool *reached, bool against) {
    size_t vertices = (size_t)n->vertex_count;
    int *head = arena_new(memory, vertices, sizeof *head);
    int *next = arena_new(memory, (size_t)n->edge_count * 2 + 1, sizeof *next);
    int *stack = arena_new(memory, vertices, sizeof *stack);
    if (!head || !next || !stack)
        return false;
    for (int i = 0; i < n->edge_count; i++) {  // entries 2i+1 (at a), 2i+2 (at b); 0: the end
        next[2 * i] = head[n->edges[i].a];
        head[n->edges[i].a] = 2 * i + 1;
        next[2 * i + 1] = head[n->edges[i].b];
        head[n->edges[i].b] = 2 * i + 2;
    }
    int depth = 0;
    for (int v = 0; v < n->vertex_count; v++) {
        if (reached[v])
            stack[depth++] = v;
    }
    while (depth > 0) {
        int v = stack[--depth];
        for (int e = head[v]; e; e = next[e - 1]) {
            const network_edge *edge = &n->edges[(e - 1) / 2];
            bool at_a = (e - 1) % 2 == 0;
            int other = at_a ? edge->b : edge->a;
            bool allowed = !edge->one_way || at_a != against;
            if (allowed && other != VERTEX_AIRFRAME && !reached[other]) {
                reached[other] = true;
                stack[depth++] = other;
            }
        }
    }
    return true;
}

static bool flood_all(network *n, arena *memory) {
    for (int i = 0; i < n->a->part_count; i++) {
        const part *p = &n->a->parts[i];
        if (kind_class(p->kind) == CLASS_SOURCE)
            n->fed[network_self(i)] = true;
        if (p->kind == KIND_GROUND)
            n->grounded[network_self(i)] = true;
    }
    n->grounded[VERTEX_AIRFRAME] = true;
    return flood(n, memory, n->fed, false) && flood(n, memory, n->grounded, true);
}

bool network_build(network *n, reader *r) {
    *n = (network){.a = r->a};
    int parts = r->a->part_count;
    n->vertex_count = 1 + parts * PER_PART;
    n->first_contact = arena_new(r->scratch, (size_t)parts + 1, sizeof *n->first_contact);
    n->used = arena_new(r->scratch, (size_t)parts + 1, sizeof *n->used);
    if (!n->first_contact || !n->used)
        return false;
    for (int i = 0; i < parts; i++) {
        const part *p = &r->a->parts[i];
        if (!has_contacts(p))
            continue;
        n->first_contact[i] = n->vertex_count;
        n->vertex_count += part_positions(p) ? part_positions(p)->count : 1;
    }
    n->joined = arena_new(r->scratch, (size_t)n->vertex_count, sizeof *n->joined);
    n->fed = arena_new(r->scratch, (size_t)n->vertex_count, sizeof *n->fed);
    n->grounded = arena_new(r->scratch, (size_t)n->vertex_count, sizeof *n->grounded);
    if (!n->joined || !n->fed || !n->grounded)
        return false;
    for (int i = 0; i < parts; i++)
        add_part(n, r->scratch, i);
    count_uses(n);
    return flood_all(n, r->scratch) && !reader_failed(r);
}
