#include "circuit/meter_place.h"

#include <limits.h>

enum { NODE_NONE = -1, FAR = INT_MAX / 4 };
// Terminals of a part before its contacts.
enum { SLOT_SELF, SLOT_FIELD, SLOT_SENSE, SLOT_COIL, SLOT_CONTACTS };

typedef struct edge {
    int a, b;
    int part;      // whose path this is
    int position;  // contact of a switch with positions, else -1
    bool resting;  // the resting side of a changeover relay
} edge;

struct meter_graph {
    const aircraft *aircraft;
    int *first;  // per part: number of its first node
    int node_count;
    edge *edges;
    int edge_count;
};

static const positions *contacts_of(const part *p) {
    const positions *list = part_positions(p);
    return list && list->sort == POSITIONS_CONTACTS && p->kind == KIND_SWITCH ? list : NULL;
}

// The contact that the bare id of a switch with positions stands for.
static int contact_on(const positions *list) {
    for (int i = 0; i < list->count; i++)
        if (text_equal(list->labels[i], "ON"))
            return i;
    return -1;
}

static int node_of_self(const meter_graph *g, int which) {
    const positions *list = contacts_of(&g->aircraft->parts[which]);
    int on = list ? contact_on(list) : -1;
    return g->first[which] + (on >= 0 ? SLOT_CONTACTS + on : SLOT_SELF);
}

static int node_of(const meter_graph *g, const reference *r) {
    if (!r || r->part < 0)
        return NODE_NONE;
    switch (r->terminal) {
    case TERMINAL_SELF: return node_of_self(g, r->part);
    case TERMINAL_FIELD: return g->first[r->part] + SLOT_FIELD;
    case TERMINAL_SENSE: return g->first[r->part] + SLOT_SENSE;
    case TERMINAL_COIL: return g->first[r->part] + SLOT_COIL;
    case TERMINAL_CONTACT: return g->first[r->part] + SLOT_CONTACTS + r->position;
    case TERMINAL_NONE: return NODE_NONE;
    }
    return NODE_NONE;
}

static const reference *only(const part *p, part_key key) {
    const reference_list *list = part_references(p, key);
    return list && list->count == 1 ? &list->items[0] : NULL;
}

static void add_edge(meter_graph *g, int a, int b, int which, int position, bool resting) {
    if (a != NODE_NONE && b != NODE_NONE && a != b)
        g->edges[g->edge_count++] = (edge){a, b, which, position, resting};
}

static void add_path(meter_graph *g, int which) {
    const part *p = &g->aircraft->parts[which];
    const reference *from = only(p, KEY_FROM), *to = only(p, KEY_TO), *rest = only(p, KEY_RESTS_ON);
    const positions *list = contacts_of(p);
    if (list) {
        int common = node_of(g, from ? from : to);
        for (int i = 0; i < list->count; i++)
            add_edge(g, common, g->first[which] + SLOT_CONTACTS + i, which, i, false);
        return;
    }
    if (!from && !to)
        return;
    int end = to ? node_of(g, to) : node_of_self(g, which);
    add_edge(g, from ? node_of(g, from) : node_of_self(g, which), end, which, -1, false);
    if (rest)
        add_edge(g, node_of(g, rest), end, which, -1, true);
    else if (p->kind == KIND_SWITCH && from)
        add_edge(g, node_of(g, from), g->first[which] + SLOT_CONTACTS, which, 0, false);
}

// What a part joins. A source's own inside is no edge: only where its named ends lie.
static void add_part(meter_graph *g, int which) {
    const part *p = &g->aircraft->parts[which];
    switch (kind_class(p->kind)) {
    case CLASS_PATH: add_path(g, which); break;
    case CLASS_POINT:
        add_edge(g, node_of(g, only(p, KEY_FROM)), node_of_self(g, which), which, -1, false);
        break;
    case CLASS_SOURCE:
        add_edge(g, node_of_self(g, which), node_of(g, only(p, KEY_TO)), which, -1, false);
        if (p->kind == KIND_BATTERY)  // batteries in series
            add_edge(g, node_of(g, only(p, KEY_FROM)), node_of_self(g, which), which, -1, false);
        break;
    default: break;
    }
}

meter_graph *meter_graph_make(const aircraft *a, arena *memory) {
    meter_graph *g = arena_new(memory, 1, sizeof *g);
    if (!g)
        return NULL;
    g->aircraft = a;
    g->first = arena_new(memory, (size_t)a->part_count + 1, sizeof *g->first);
    int most = 0;
    for (int i = 0; g->first && i < a->part_count; i++) {
        const positions *list = contacts_of(&a->parts[i]);
        g->first[i] = g->node_count;
        // A plain switch has a contact for OFF.
        g->node_count += SLOT_CONTACTS + (list ? list->count : 1);
        most += list ? list->count : 2;
    }
    g->edges = arena_new(memory, (size_t)most + 1, sizeof *g->edges);
    if (!g->first || !g->edges)
        return NULL;
    for (int i = 0; i < a->part_count; i++)
        add_part(g, i);
    return g;
}

// Whether the path of an edge conducts now.
static bool conducts(const outcome *o, const edge *e) {
    const part *p = &o->aircraft->parts[e->part];
    const part_outcome *now = &o->parts[e->part];
    if (kind_class(p->kind) != CLASS_PATH)
        return true;
    if (part_references(p, KEY_RESTS_ON))
        return e->resting != now->energized;
    if (e->position >= 0)
        return (int)o->state.setting[e->part] == e->position;
    return now->closed;
}

// Fewest parts from `start` to every node, without the part `but`; `o`: only over what conducts
// now.
static void distances(const meter_graph *g, int start, int but, const outcome *o, int *far) {
    for (int i = 0; i < g->node_count; i++)
        far[i] = FAR;
    if (start == NODE_NONE)
        return;
    far[start] = 0;
    for (bool moved = true; moved;) {
        moved = false;
        for (int i = 0; i < g->edge_count; i++) {
            const edge *e = &g->edges[i];
            // How a lead is built is told without what only diodes join: a standby or alternate
            // feed would make every bus a battery's.
            bool diode = g->aircraft->parts[e->part].kind == KIND_DIODE;
            if (e->part == but || (o ? !conducts(o, e) : diode))
                continue;
            if (far[e->a] + 1 < far[e->b]) {
                far[e->b] = far[e->a] + 1;
                moved = true;
            } else if (far[e->b] + 1 < far[e->a]) {
                far[e->a] = far[e->b] + 1;
                moved = true;
            }
        }
    }
}

typedef struct side {
    int battery, battery_far;  // nearest battery and how far
    int source, source_far;    // nearest alternator or generator
    bool items;                // something that uses power is fed from this side
} side;

static bool is_item(const part *p) {
    return kind_class(p->kind) == CLASS_ITEM && p->electric && p->section == SECTION_PARTS;
}

static side look(const meter_graph *g, const int *far, int but) {
    side s = {PART_NONE, FAR, PART_NONE, FAR, false};
    const aircraft *a = g->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (i == but)
            continue;
        int at = far[node_of_self(g, i)];
        if (p->kind == KIND_BATTERY && at < s.battery_far) {
            s.battery = i;
            s.battery_far = at;
        }
        if ((p->kind == KIND_ALTERNATOR || p->kind == KIND_GENERATOR) && at < s.source_far) {
            s.source = i;
            s.source_far = at;
        }
        const reference_list *feeds = is_item(p) ? part_references(p, KEY_FROM) : NULL;
        for (int k = 0; feeds && k < feeds->count; k++) {
            int feed = node_of(g, &feeds->items[k]);
            s.items = s.items || (feed != NODE_NONE && far[feed] < FAR);
        }
    }
    return s;
}

static void judge(meter_place *place, const side *from, const side *to) {
    bool battery_at_to = to->battery_far < from->battery_far;
    bool source_at_to = to->source_far < from->source_far;
    const side *battery = battery_at_to ? to : from, *source = source_at_to ? to : from;
    place->battery = battery->battery;
    place->source = source->source;
    if (source->source != PART_NONE && !source->items && source->battery == PART_NONE) {
        place->lead = LEAD_SOURCE;
        place->output = source_at_to ? -1 : 1;
    } else if (battery->battery != PART_NONE && from->battery_far != to->battery_far &&
               (battery_at_to != source_at_to || source->source == PART_NONE)) {
        place->lead = LEAD_BATTERY;
        place->charging = battery_at_to ? 1 : -1;
        place->fed_before = battery->items;
    }
}

// A source or battery read directly: amps out of its output.
static void at_source(meter_place *place, const part *p, int reads, const reference *right) {
    bool battery = p->kind == KIND_BATTERY;
    place->lead = battery ? LEAD_BATTERY : LEAD_SOURCE;
    place->charging = -1;
    place->output = 1;
    place->battery = battery ? reads : PART_NONE;
    place->source = battery ? PART_NONE : reads;
    place->battery_joined = battery;
    // "towards battery" is said of a current that charges it, whichever terminal the id stands for.
    place->right_is_to = right ? right->part != reads : !battery;
}

status meter_place_find(const meter_graph *g, const outcome *o, int reads, const reference *right,
                        arena *memory, meter_place *place) {
    *place = (meter_place){.battery = PART_NONE,
                           .source = PART_NONE,
                           .from = PART_NONE,
                           .to = PART_NONE,
                           .right_is_to = true};
    if (reads < 0)
        return STATUS_OK;
    const part *p = &g->aircraft->parts[reads];
    if (kind_class(p->kind) == CLASS_SOURCE) {
        at_source(place, p, reads, right);
        return STATUS_OK;
    }
    if (kind_class(p->kind) != CLASS_PATH)
        return STATUS_OK;
    const reference *from = only(p, KEY_FROM), *to = only(p, KEY_TO);
    int a = from ? node_of(g, from) : node_of_self(g, reads);
    int b = to ? node_of(g, to) : node_of_self(g, reads);
    place->from = from ? from->part : reads;
    place->to = to ? to->part : reads;
    place->right_is_to = !right || node_of(g, right) != a;
    size_t nodes = (size_t)g->node_count + 1;
    int *far_a = arena_new(memory, nodes, sizeof *far_a);
    int *far_b = arena_new(memory, nodes, sizeof *far_b);
    if (!far_a || !far_b)
        return STATUS_NO_MEMORY;
    distances(g, a, reads, NULL, far_a);
    distances(g, b, reads, NULL, far_b);
    side at_from = look(g, far_a, reads), at_to = look(g, far_b, reads);
    judge(place, &at_from, &at_to);
    if (place->lead != LEAD_BATTERY || !o)
        return STATUS_OK;
    distances(g, place->charging > 0 ? b : a, reads, o, far_a);
    place->battery_joined = far_a[node_of_self(g, place->battery)] < FAR;
    for (int i = 0; i < o->state.fault_count; i++)
        if (o->state.faults[i].part == place->battery && o->state.faults[i].kind == FAULT_OPEN)
            place->battery_joined = false;
    return STATUS_OK;
}
