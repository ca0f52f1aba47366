#include "draw/topology_build.h"

#include <string.h>

int topology_add_strip(topology_builder *b, strip_role role, int point) {
    topology *t = b->t;
    strip *strips =
        arena_grow(b->memory, t->strips, &b->strip_room, t->strip_count + 1, sizeof *strips);
    if (!strips)
        return -1;
    t->strips = strips;
    strips[t->strip_count] = (strip){.role = role, .point = point, .part = -1, .after = -1};
    b->strip_of[point] = t->strip_count;
    return t->strip_count++;
}

static bool builder_make(topology_builder *b) {
    const power_graph *g = b->g;
    size_t points = (size_t)g->point_count + 1;
    b->owned = arena_new(b->memory, (size_t)g->edge_count + 1, sizeof *b->owned);
    b->seen = arena_new(b->memory, (size_t)g->stop_count + 1, sizeof *b->seen);
    b->visited = arena_new(b->memory, points, sizeof *b->visited);
    b->shown = arena_new(b->memory, (size_t)b->a->part_count + 1, sizeof *b->shown);
    // A strip has a point of its own, so there are never more strips than points.
    b->placed = arena_new(b->memory, points, sizeof *b->placed);
    b->strip_of = arena_new(b->memory, points, sizeof *b->strip_of);
    b->cost = arena_new(b->memory, points, sizeof *b->cost);
    b->by = arena_new(b->memory, points, sizeof *b->by);
    if (b->memory->failed)
        return false;
    for (int i = 0; i < g->point_count; i++)
        b->strip_of[i] = -1;
    return true;
}

static bool add_buses(topology_builder *b) {
    for (int i = 0; i < b->a->part_count; i++) {
        if (b->a->parts[i].kind != KIND_BUS || (b->a->parts[i].fitted & FITTED_ABSENT))
            continue;
        int which = topology_add_strip(b, STRIP_BUS, b->g->own[i]);
        if (which < 0)
            return false;
        b->t->strips[which].part = i;
        b->shown[i] = true;
    }
    return true;
}

// ---- mains ----------------------------------------
static int busiest(const topology_builder *b, int but) {
    int best = -1, most = -1;
    for (int i = 0; i < b->t->strip_count; i++) {
        int degree = graph_degree(b->g, b->t->strips[i].point);
        if (i != but && degree > most) {
            most = degree;
            best = i;
        }
    }
    return best;
}

static bool passes_joint(const topology_builder *b, int point) { return b->strip_of[point] < 0; }

static bool ends_any_strip(const topology_builder *b, int point) { return b->strip_of[point] >= 0; }

static bool rotates(const topology_builder *b, int which) {
    part_kind k = b->a->parts[which].kind;
    return k == KIND_ALTERNATOR || k == KIND_GENERATOR;
}

// How many rotating sources feed a bus with nothing but parts in line between.
static int sources_of(topology_builder *b, int which) {
    int count = 0;
    for (int i = 0; i < b->a->part_count; i++) {
        run r;
        if (rotates(b, i) && b->g->own[i] >= 0 &&
            topology_find_run(b, b->g->own[i], passes_joint, ends_any_strip, &r) &&
            b->strip_of[r.points[r.count]] == which)
            count++;
    }
    return count;
}

static void make_main(topology_builder *b, int which) {
    topology *t = b->t;
    t->strips[which].role = STRIP_MAIN;
    b->placed[which] = true;
    t->mains[t->main_count++] = which;
}

static bool find_mains(topology_builder *b, int columns) {
    topology *t = b->t;
    int first = busiest(b, -1);
    if (first < 0) {
        // No bus at all: the busiest point stands for one.
        int best = -1;
        for (int i = 1; i < b->g->point_count; i++)
            if (best < 0 || graph_degree(b->g, i) > graph_degree(b->g, best))
                best = i;
        if (best < 0)
            return true;
        first = topology_add_strip(b, STRIP_MAIN, best);
        if (first < 0)
            return false;
        for (int i = 0; i < b->a->part_count; i++)
            if (b->g->own[i] == best) {
                t->strips[first].part = part_is_source(&b->a->parts[i]) ? i : -1;
                t->strips[first].after = i;
            }
    }
    make_main(b, first);
    if (columns < 2 || !sources_of(b, first))
        return true;
    for (int tries = 0; tries < t->strip_count; tries++) {
        int second = busiest(b, first);
        int degree = second >= 0 ? graph_degree(b->g, t->strips[second].point) : 0;
        if (5 * degree < 2 * graph_degree(b->g, t->strips[first].point))
            return true;
        if (sources_of(b, second)) {
            make_main(b, second);
            // Left and right as the file has them.
            if (second < first) {
                t->mains[0] = second;
                t->mains[1] = first;
            }
        }
        return true;
    }
    return true;
}

// ---- the battery's chain and the other sources ----------------------------------------
static bool passes_chain(const topology_builder *b, int point) {
    return b->strip_of[point] < 0 || b->t->strips[b->strip_of[point]].role != STRIP_MAIN;
}

static bool ends_main(const topology_builder *b, int point) {
    return b->strip_of[point] >= 0 && b->t->strips[b->strip_of[point]].role == STRIP_MAIN;
}

static void see_source(topology_builder *b, int which) {
    b->shown[which] = true;
    for (int i = 0; i < b->g->stop_count; i++)
        if (b->g->stops[i].part == which && b->g->stops[i].kind == STOP_SOURCE)
            b->seen[i] = true;
}

// True if something else than the run hangs at its point `i`.
static bool has_more(const topology_builder *b, const run *r, int i) {
    int point = r->points[i];
    for (int k = b->g->first[point]; k < b->g->first[point + 1]; k++) {
        int child = b->g->at[k];
        if (graph_is_edge(b->g, child) ? !b->owned[child] : !b->seen[child - b->g->edge_count])
            return true;
    }
    return false;
}

static bool run_strips(topology_builder *b, run *r, strip_role role) {
    for (int i = 0; i < r->count; i++) {
        int which = b->strip_of[r->points[i]];
        if (which < 0 && has_more(b, r, i)) {
            which = topology_add_strip(b, role, r->points[i]);
            if (which < 0)
                return false;
            b->t->strips[which].part = i == 0 ? r->part : -1;
            b->t->strips[which].after = i ? b->g->edges[r->edges[i - 1]].part : -1;
        }
        r->strips[i] = which;
        if (which >= 0) {
            b->t->strips[which].role = role;
            b->placed[which] = true;
        }
    }
    r->strips[r->count] = b->strip_of[r->points[r->count]];
    return true;
}

static int run_cost(const run *r) { return r->count; }

static bool find_chain(topology_builder *b) {
    topology *t = b->t;
    if (!t->main_count)
        return true;
    for (int i = 0; i < b->a->part_count; i++) {
        run r;
        if (b->a->parts[i].kind != KIND_BATTERY || b->g->own[i] < 0 ||
            !topology_find_run(b, b->g->own[i], passes_chain, ends_main, &r))
            continue;
        r.part = i;
        if (!t->has_chain || run_cost(&r) < run_cost(&t->chain))
            t->chain = r;
        t->has_chain = true;
    }
    if (!t->has_chain)
        return true;
    topology_own_run(b, &t->chain);
    see_source(b, t->chain.part);
    return run_strips(b, &t->chain, STRIP_CHAIN);
}

static bool ends_main_or_chain(const topology_builder *b, int point) {
    int which = b->strip_of[point];
    return which >= 0 &&
           (b->t->strips[which].role == STRIP_MAIN || b->t->strips[which].role == STRIP_CHAIN);
}

static bool find_sources(topology_builder *b) {
    topology *t = b->t;
    for (int i = 0; i < b->a->part_count; i++) {
        const part *p = &b->a->parts[i];
        run r;
        bool stands = rotates(b, i) || (p->kind == KIND_BATTERY && i != t->chain.part);
        if (!stands || b->g->own[i] < 0 || b->strip_of[b->g->own[i]] >= 0 ||
            !topology_find_run(b, b->g->own[i], passes_joint, ends_any_strip, &r) ||
            !ends_main_or_chain(b, r.points[r.count]))
            continue;
        if (p->kind == KIND_BATTERY && !ends_main(b, r.points[r.count]))
            continue;
        r.part = i;
        run *sources = arena_grow(b->memory, t->sources, &b->source_room, t->source_count + 1,
                                  sizeof *sources);
        if (!sources)
            return false;
        t->sources = sources;
        topology_own_run(b, &r);
        see_source(b, i);
        if (!run_strips(b, &r, STRIP_SOURCE))
            return false;
        t->sources[t->source_count++] = r;
    }
    return true;
}

static bool ends_other_main(const topology_builder *b, int point) {
    return b->t->main_count > 1 && b->strip_of[point] == b->t->mains[1];
}

static void find_tie(topology_builder *b) {
    topology *t = b->t;
    run r;
    if (t->main_count < 2 ||
        !topology_find_run(b, t->strips[t->mains[0]].point, passes_joint, ends_other_main, &r) ||
        r.count == 0 || r.count > 3)
        return;
    for (int i = 1; i < r.count; i++)
        if (graph_degree(b->g, r.points[i]) != 2)
            return;
    t->tie = r;
    t->has_tie = true;
    topology_own_run(b, &t->tie);
}

// ---- rows, and what is left ----------------------------------------
static bool add_free(topology_builder *b, int which) {
    int *list =
        arena_grow(b->memory, b->t->free_strips, &b->free_room, b->t->free_count + 1, sizeof *list);
    if (!list)
        return false;
    b->t->free_strips = list;
    list[b->t->free_count++] = which;
    return true;
}

static bool add_also(topology_builder *b, int which) {
    int *list =
        arena_grow(b->memory, b->t->also, &b->also_room, b->t->also_count + 1, sizeof *list);
    if (!list)
        return false;
    b->t->also = list;
    list[b->t->also_count++] = which;
    return true;
}

static void all_rows(topology_builder *b) {
    // From the battery down: what joins two strips is drawn at the one nearer to it.
    static const strip_role order[] = {STRIP_CHAIN, STRIP_SOURCE, STRIP_MAIN, STRIP_BUS};
    for (size_t o = 0; o < sizeof order / sizeof *order; o++)
        for (int i = 0; i < b->t->strip_count; i++)
            if (b->t->strips[i].role == order[o])
                topology_rows(b, i);
    // Sources that nothing above has met get a strip of their own.
    for (int i = 0; i < b->g->stop_count; i++) {
        const graph_stop *s = &b->g->stops[i];
        if (s->kind != STOP_SOURCE || b->seen[i] || b->strip_of[s->point] >= 0)
            continue;
        int which = topology_add_strip(b, STRIP_BUS, s->point);
        if (which < 0 || !add_free(b, which))
            return;
        b->t->strips[which].part = s->part;
        b->placed[which] = true;
        see_source(b, s->part);
        topology_rows(b, which);
    }
}

static bool belongs_on_board(const topology_builder *b, int which) {
    const part *p = &b->a->parts[which];
    part_class c = kind_class(p->kind);
    if (p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP || (p->fitted & FITTED_ABSENT))
        return false;
    return p->electric || c == CLASS_PATH || c == CLASS_GROUP || p->kind == KIND_GROUND ||
           part_value_of(p, KEY_OWN_BATTERY) != NULL;
}

const topology *topology_make(arena *memory, const aircraft *a, int columns) {
    topology *t = arena_new(memory, 1, sizeof *t);
    const power_graph *g = power_graph_make(memory, a);
    if (!t || !g)
        return NULL;
    *t = (topology){.aircraft = a, .graph = g, .chain = {.part = -1}};
    topology_builder b = {.memory = memory, .a = a, .g = g, .t = t};
    if (!builder_make(&b) || !add_buses(&b) || !find_mains(&b, columns) || !find_chain(&b) ||
        (columns > 1 && !find_sources(&b)))
        return NULL;
    find_tie(&b);
    for (int i = 0; i < t->main_count; i++)
        topology_groups(&b, t->mains[i]);
    for (int i = 0; i < t->strip_count; i++)
        if (!b.placed[i] && !add_free(&b, i))
            return NULL;
    all_rows(&b);
    for (int i = 0; i < a->part_count && !memory->failed; i++)
        if (!b.shown[i] && belongs_on_board(&b, i) && !add_also(&b, i))
            return NULL;
    return memory->failed ? NULL : t;
}
