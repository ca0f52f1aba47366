// Checks on the graph: what no source can reach, what nothing is joined to, sources that don't
// match.
#include <string.h>

#include "model/network.h"

static bool left_alone(const part *p) {
    return (p->fitted & (FITTED_SPARE | FITTED_ABSENT | FITTED_INOPERATIVE)) != 0;
}

static bool is_sound(const part *p) {
    return p->implied != IMPLIED_WIRE && p->implied != IMPLIED_STRAP && p->electric &&
           !left_alone(p);
}

static bool supply_unknown(const reader *r, int part) {
    const reference_list *from = part_references(&r->a->parts[part], KEY_FROM);
    return from && from->items[0].part == PART_NONE;
}

// A part has a supply if a source or the airframe reaches any of its ends; an item: if a source
// does.
static bool is_reached(const reader *r, const network *n, int part) {
    const struct part *p = &r->a->parts[part];
    int self = network_self(part);
    switch (kind_class(p->kind)) {
    case CLASS_ITEM:
    case CLASS_UNIT: return n->fed[self];
    case CLASS_SOURCE: return true;
    default: break;
    }
    if (n->fed[self] || n->grounded[self])
        return true;
    int from = VERTEX_NONE;
    int to = VERTEX_NONE;
    if (kind_class(p->kind) == CLASS_PATH)
        network_ends(n, part, &from, &to);
    if (p->kind == KIND_SWITCH && to == VERTEX_NONE) {
        const reference_list *named = part_references(p, KEY_TO);
        to = named ? network_vertex(n, named->items[0]) : VERTEX_NONE;
    }
    return (from >= 0 && (n->fed[from] || n->grounded[from])) ||
           (to >= 0 && (n->fed[to] || n->grounded[to]));
}

// ---- islands ------------------------------------------------------------------------------------

static int root_of(int *above, int v) {
    while (above[v] != v) {
        above[v] = above[above[v]];
        v = above[v];
    }
    return v;
}

static void unite(int *above, int a, int b) {
    a = root_of(above, a);
    b = root_of(above, b);
    if (a != b)
        above[a > b ? a : b] = a > b ? b : a;
}

static int *components(reader *r, const network *n) {
    int *above = arena_new(r->scratch, (size_t)n->vertex_count, sizeof *above);
    if (!above)
        return NULL;
    for (int v = 0; v < n->vertex_count; v++)
        above[v] = v;
    for (int i = 0; i < n->edge_count; i++) {
        const network_edge *e = &n->edges[i];
        if (e->a != VERTEX_AIRFRAME && e->b != VERTEX_AIRFRAME)
            unite(above, e->a, e->b);
    }
    return above;
}

// A path with both ends named lies in the island of its ends.
static int island_of(const network *n, int *above, int part) {
    int from = VERTEX_NONE;
    int to = VERTEX_NONE;
    if (kind_class(n->a->parts[part].kind) == CLASS_PATH)
        network_ends(n, part, &from, &to);
    return root_of(above, from > VERTEX_AIRFRAME ? from : network_self(part));
}

// One finding an island, at its first part, not one for each part in it.
static void say_islands(reader *r, const network *n) {
    const aircraft *a = r->a;
    int *above = components(r, n);
    int *first = arena_new(r->scratch, (size_t)n->vertex_count, sizeof *first);
    int *more = arena_new(r->scratch, (size_t)a->part_count + 1, sizeof *more);
    bool *point = arena_new(r->scratch, (size_t)a->part_count + 1, sizeof *point);
    if (!above || !first || !more || !point)
        return;
    for (int i = 0; i < a->part_count; i++) {
        if (!is_sound(&a->parts[i]) || is_reached(r, n, i) || supply_unknown(r, i))
            continue;
        int island = island_of(n, above, i);
        if (first[island] == 0)
            first[island] = i + 1;
        else
            more[first[island] - 1]++;
        if (kind_class(a->parts[i].kind) == CLASS_POINT)
            point[first[island] - 1] = true;
    }
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (!is_sound(p) || is_reached(r, n, i) || supply_unknown(r, i))
            continue;
        if (first[island_of(n, above, i)] != i + 1)
            continue;
        const char *others = more[i]
                                 ? join(r, (const char *const[]){" and ", number_words(r, more[i]),
                                                                 more[i] == 1 ? " part" : " parts",
                                                                 " joined to it", NULL})
                                 : "";
        say_warning(r, p->span, point[i] ? "island" : "not-fed", "", "no source can reach '", p->id,
                    join(r, (const char *const[]){"'", others, NULL}), NULL);
    }
}

// ---- nothing joined -----------------------------------------------------------------------------

static int uses_of_contacts(const network *n, int part) {
    const positions *places = part_positions(&n->a->parts[part]);
    int uses = n->joined[network_self(part)];
    int count = places ? (places->sort == POSITIONS_CONTACTS ? places->count : 0) : 1;
    for (int i = 0; i < count && n->first_contact[part]; i++)
        uses += n->joined[n->first_contact[part] + i];
    return uses;
}

// A path with one end named that nothing looks at, or a source whose output isn't named.
static bool has_open_end(const network *n, int part) {
    const struct part *p = &n->a->parts[part];
    bool from = part_references(p, KEY_FROM) != NULL;
    bool to = part_references(p, KEY_TO) != NULL;
    if (kind_class(p->kind) == CLASS_SOURCE)
        return !to;
    return kind_class(p->kind) == CLASS_PATH && p->kind != KIND_SWITCH && from != to &&
           !n->used[part];
}

static void say_open_ends(reader *r, const network *n) {
    for (int i = 0; i < r->a->part_count; i++) {
        const part *p = &r->a->parts[i];
        if (!is_sound(p))
            continue;
        int joined = n->joined[network_self(i)];
        bool from = part_references(p, KEY_FROM) != NULL;
        bool to = part_references(p, KEY_TO) != NULL;
        if (!is_reached(r, n, i))
            continue;
        if (p->kind == KIND_BUS && joined + from <= 1) {
            say_warning(r, p->span, "one-thing-joined", "",
                        (joined || from) ? "only one thing" : "nothing", " is joined to '", p->id,
                        "'");
        } else if (joined == 0 && has_open_end(n, i)) {
            bool source = kind_class(p->kind) == CLASS_SOURCE;
            say_warning(r, p->span, "nothing-joined",
                        source ? "name what it feeds: `to: ID`, or a line with `from` it" : "",
                        "nothing is joined to '", p->id, "'", NULL);
        } else if (p->kind == KIND_SWITCH && from != to && uses_of_contacts(n, i) == 0 &&
                   !n->used[i]) {
            say_warning(r, p->span, "controls-nothing", "", "'", p->id,
                        "' is a switch that controls nothing", NULL);
        } else if (p->kind == KIND_REGULATOR && joined == 0) {
            say_warning(r, p->span, "controls-nothing", "join it to a field: `field-from`", "'",
                        p->id, "' is a regulator that controls nothing", NULL);
        }
    }
}

// ---- sources in parallel ------------------------------------------------------------------------

// Volts of a source's output: what it regulates at, or its nominal volts with those below it in
// series.
static double output_volts(const aircraft *a, int part, int steps) {
    const struct part *p = &a->parts[part];
    double volts = part_number(p, KEY_VALUE, a->nominal);
    if (p->kind == KIND_ALTERNATOR || p->kind == KIND_GENERATOR)
        return part_number(p, KEY_REGULATED_AT, 0);
    if (p->kind == KIND_BATTERY) {
        const reference_list *below = part_references(p, KEY_FROM);
        int other = below ? below->items[0].part : PART_NONE;
        double under = 0;
        if (other >= 0 && steps > 0 && a->parts[other].kind == KIND_BATTERY)
            under = output_volts(a, other, steps - 1);
        // A lead-acid battery of 24 V and a regulator of 28 V belong together.
        return volts * 7 / 6 + under;
    }
    return volts;
}

static bool joins_sources(const aircraft *a, const network_edge *e) {
    const part *p = &a->parts[e->part];
    const positions *places = part_positions(p);
    if (e->one_way || e->a == VERTEX_AIRFRAME || e->b == VERTEX_AIRFRAME)
        return false;
    return !(p->kind == KIND_SWITCH && places && places->count > 2) && p->kind != KIND_RESISTOR &&
           !part_references(p, KEY_RESTS_ON);
}

static void say_unlike(reader *r, const network *n) {
    const aircraft *a = r->a;
    int *above = arena_new(r->scratch, (size_t)n->vertex_count, sizeof *above);
    int *first = arena_new(r->scratch, (size_t)n->vertex_count, sizeof *first);
    if (!above || !first)
        return;
    for (int v = 0; v < n->vertex_count; v++)
        above[v] = v;
    for (int i = 0; i < n->edge_count; i++) {
        if (joins_sources(a, &n->edges[i]))
            unite(above, n->edges[i].a, n->edges[i].b);
    }
    for (int i = 0; i < a->part_count; i++) {
        if (kind_class(a->parts[i].kind) != CLASS_SOURCE)
            continue;
        double volts = output_volts(a, i, 4);
        int root = root_of(above, network_self(i));
        if (volts <= 0)
            continue;
        if (first[root] == 0) {
            first[root] = i + 1;
            continue;
        }
        int other = first[root] - 1;
        double others = output_volts(a, other, 4);
        double ratio = volts > others ? volts / others : others / volts;
        if (ratio > 1.3)
            say_warning(r, a->parts[i].span, "unlike-sources", "a slip in one of their volts?", "'",
                        a->parts[i].id,
                        join(r, (const char *const[]){"' and '", a->parts[other].id, NULL}),
                        "' are sources of unlike nominal voltage in parallel");
    }
}

void check_network(reader *r) {
    network n;
    if (!network_build(&n, r))
        return;
    // After an error in the lines, much is unjoined only because it couldn't be read.
    if (r->out->errors > 0 || r->tree.broken)
        return;
    say_islands(r, &n);
    say_open_ends(r, &n);
    say_unlike(r, &n);
}
