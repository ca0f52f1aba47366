#include "reference/support/plain_network.h"

#include <stdlib.h>
#include <string.h>

#include "reference/support/plain_elements.h"

static void *need(void *block) {
    if (!block)
        abort();
    return block;
}

static int contact_count(const part *p) {
    const positions *places = part_positions(p);
    return p->kind == KIND_SWITCH ? (places ? places->count : 2) : 0;
}

static bool has(const part *p, part_key k) {
    const reference_list *list = part_references(p, k);
    return list && list->count > 0;
}

int plain_root(const plain_network *n, int point) {
    while (n->joined[point] != point)
        point = n->joined[point];
    return point;
}

int plain_point(const plain_network *n, int part, point_name name, int detail) {
    return plain_root(n, n->first_point[part] + (int)name + detail);
}

static void join(plain_network *n, int a, int b) {
    a = plain_root(n, a);
    b = plain_root(n, b);
    if (a < b)
        n->joined[b] = a;
    else
        n->joined[a] = b;
}

// What the id alone stands for (the format's table of terminals).
static int own_point(const plain_network *n, int part) {
    const struct part *p = &n->aircraft->parts[part];
    switch (kind_class(p->kind)) {
    case CLASS_PATH: return plain_point(n, part, has(p, KEY_FROM) ? POINT_FAR : POINT_NEAR, 0);
    case CLASS_SOURCE: return plain_point(n, part, POINT_FAR, 0);
    case CLASS_UNIT:
        return plain_point(n, part, p->kind == KIND_REGULATOR ? POINT_FAR : POINT_INSIDE, 0);
    case CLASS_ITEM: return plain_point(n, part, POINT_INSIDE, 0);
    default: return plain_point(n, part, POINT_NEAR, 0);
    }
}

int plain_reference(const plain_network *n, const reference *r) {
    if (r->part == PART_AIRFRAME)
        return 0;
    if (r->part < 0)
        return -1;
    switch (r->terminal) {
    case TERMINAL_FIELD: return plain_point(n, r->part, POINT_FIELD, 0);
    case TERMINAL_SENSE: return plain_point(n, r->part, POINT_SENSE, 0);
    case TERMINAL_COIL: return plain_point(n, r->part, POINT_COIL, 0);
    case TERMINAL_CONTACT: return plain_point(n, r->part, POINT_CONTACT, r->position);
    case TERMINAL_NONE: return -1;
    default: return own_point(n, r->part);
    }
}

// One reference is the same point; a list gives it diodes later; none: it is joined with
// `otherwise`.
static void join_key(plain_network *n, int part, point_name name, part_key key, int otherwise) {
    const reference_list *list = part_references(&n->aircraft->parts[part], key);
    int to = otherwise;
    if (list && list->count > 0)
        to = list->diodes ? -1 : plain_reference(n, &list->items[0]);
    if (to >= 0)
        join(n, plain_point(n, part, name, 0), to);
}

int plain_on_position(const part *p) {
    const positions *places = part_positions(p);
    for (int i = 0; places && i < places->count; i++) {
        if (strcmp(places->labels[i], "ON") == 0)
            return i;
    }
    return places ? -1 : 1;
}

bool plain_is_selector(const part *p) {
    const positions *places = part_positions(p);
    return p->kind == KIND_SWITCH && part_condition(p, KEY_CLOSES_WHEN) < 0 &&
           part_condition(p, KEY_OPENS_WHEN) < 0 && (!places || places->sort == POSITIONS_CONTACTS);
}

static void join_path(plain_network *n, int part) {
    const struct part *p = &n->aircraft->parts[part];
    join_key(n, part, POINT_NEAR, KEY_FROM, -1);
    join_key(n, part, POINT_FAR, KEY_TO, -1);
    join_key(n, part, POINT_COIL, KEY_COIL_FROM, -1);
    join_key(n, part, POINT_COIL_END, KEY_COIL_TO, 0);
    join_key(n, part, POINT_OTHER, KEY_RESTS_ON, -1);
    int on = plain_on_position(p);
    if (plain_is_selector(p) && on >= 0)  // the end that isn't the common
        join(n, plain_point(n, part, POINT_CONTACT, on),
             plain_point(n, part, has(p, KEY_FROM) ? POINT_FAR : POINT_NEAR, 0));
}

static void join_item(plain_network *n, int part) {
    const struct part *p = &n->aircraft->parts[part];
    join_key(n, part, POINT_NEAR, KEY_FROM, -1);
    int stud = p->ground >= 0 ? own_point(n, p->ground) : 0;
    join_key(n, part, POINT_FAR, KEY_TO, stud);
}

static void join_part(plain_network *n, int part) {
    const struct part *p = &n->aircraft->parts[part];
    switch (kind_class(p->kind)) {
    case CLASS_PATH:
        if (p->implied != IMPLIED_WIRE && p->implied != IMPLIED_STRAP)
            join_path(n, part);
        break;
    case CLASS_SOURCE:
        join_key(n, part, POINT_NEAR, KEY_FROM, 0);
        join_key(n, part, POINT_FAR, KEY_TO, -1);
        join_key(n, part, POINT_FIELD, KEY_FIELD_FROM, plain_point(n, part, POINT_FAR, 0));
        join_key(n, part, POINT_FIELD_END, KEY_FIELD_TO, 0);
        break;
    case CLASS_UNIT:
        if (p->kind == KIND_REGULATOR) {
            join_key(n, part, POINT_NEAR, KEY_FROM, -1);
            join_key(n, part, POINT_SENSE, KEY_SENSE_FROM, plain_point(n, part, POINT_NEAR, 0));
            break;
        }
        join_item(n, part);
        break;
    case CLASS_ITEM: join_item(n, part); break;
    default: break;
    }
}

void plain_add(plain_network *n, plain_element e) {
    if (n->element_count == n->element_room) {
        n->element_room = n->element_room * 2 + 64;
        n->elements = need(realloc(n->elements, (size_t)n->element_room * sizeof *n->elements));
    }
    e.a = plain_root(n, e.a);
    e.b = plain_root(n, e.b);
    n->elements[n->element_count++] = e;
}

// A bus bar that has come away joins nothing any more.
static void open_buses(plain_network *n, const state *s) {
    const aircraft *a = n->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        part_kind k = a->parts[i].kind;
        bool bar = k == KIND_BUS || k == KIND_OUTLET;
        if (!bar || !plain_faulted(a, s, i, FAULT_OPEN))
            continue;
        int bus = plain_point(n, i, POINT_NEAR, 0), kept = 0;
        for (int e = 0; e < n->element_count; e++) {
            if (n->elements[e].a != bus && n->elements[e].b != bus)
                n->elements[kept++] = n->elements[e];
        }
        n->element_count = kept;
    }
}

plain_network plain_network_make(const aircraft *a, const state *s, const device_modes *m,
                                 const double *base_amps) {
    plain_network n = {.aircraft = a, .point_count = 1};
    n.first_point = need(calloc((size_t)a->part_count + 1, sizeof(int)));
    for (int i = 0; i < a->part_count; i++) {
        n.first_point[i] = n.point_count;
        n.point_count += POINT_CONTACT + contact_count(&a->parts[i]);
    }
    n.joined = need(calloc((size_t)n.point_count, sizeof(int)));
    for (int i = 0; i < n.point_count; i++)
        n.joined[i] = i;
    for (int i = 0; i < a->part_count; i++)
        join_part(&n, i);
    plain_context x = {.n = &n, .a = a, .s = s, .m = m, .base_amps = base_amps};
    for (int i = 0; i < a->part_count; i++)
        plain_elements_of(&x, i);
    open_buses(&n, s);
    return n;
}

void plain_network_free(plain_network *n) {
    free(n->elements);
    free(n->first_point);
    free(n->joined);
    *n = (plain_network){0};
}
