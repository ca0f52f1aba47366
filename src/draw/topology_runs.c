// Ways over parts in line: from the battery to the main bus, from a source to its bus, from a
// main bus to the buses that it feeds.
#include <string.h>

#include "draw/topology_build.h"

// What a part costs on the way of a source: heavy leads before fuses, so that the battery's
// chain is the one that the current takes.
static int step_cost(part_kind k) {
    switch (k) {
    case KIND_FUSE:
    case KIND_SWITCH:
    case KIND_RESISTOR:
    case KIND_DIMMER: return 4;
    case KIND_DIODE: return 3;
    default: return 1;
    }
}

typedef struct search {
    int *cost, *by;  // by point: what it costs, and the edge it was reached over
} search;

static bool relax(topology_builder *b, search *s, int from, point_test passes) {
    bool changed = false;
    for (int e = 0; e < b->g->edge_count; e++) {
        const graph_edge *edge = &b->g->edges[e];
        if (b->owned[e] || part_is_source(&b->a->parts[edge->part]))
            continue;
        part_kind kind = b->a->parts[edge->part].kind;
        for (int way = 0; way < 2; way++) {
            int here = way ? edge->b : edge->a, there = way ? edge->a : edge->b;
            if (s->cost[here] < 0 || there == AIRFRAME_POINT || (way && kind == KIND_DIODE))
                continue;
            if (here != from && !passes(b, here))
                continue;
            int cost = s->cost[here] + step_cost(kind);
            if (s->cost[there] < 0 || cost < s->cost[there]) {
                s->cost[there] = cost;
                s->by[there] = e;
                changed = true;
            }
        }
    }
    return changed;
}

static bool trace_back(topology_builder *b, const search *s, int from, int to, run *found) {
    int edges[RUN_MOST], count = 0, point = to;
    while (point != from) {
        if (count == RUN_MOST)
            return false;
        edges[count++] = s->by[point];
        point = graph_far(b->g, s->by[point], point);
    }
    *found = (run){.part = -1, .count = count};
    found->points[0] = from;
    for (int i = 0; i < count; i++) {
        found->edges[i] = edges[count - 1 - i];
        found->points[i + 1] = graph_far(b->g, found->edges[i], found->points[i]);
    }
    for (int i = 0; i <= RUN_MOST; i++)
        found->strips[i] = -1;
    return true;
}

bool topology_find_run(topology_builder *b, int from, point_test passes, point_test ends,
                       run *found) {
    size_t points = (size_t)b->g->point_count;
    search s = {.cost = b->cost, .by = b->by};
    for (size_t i = 0; i < points; i++)
        s.cost[i] = -1;
    s.cost[from] = 0;
    // Each round settles at least one more step of every shortest way.
    for (int round = 0; round <= b->g->point_count && relax(b, &s, from, passes); round++)
        ;
    int best = -1;
    for (int i = 1; i < b->g->point_count; i++)
        if (s.cost[i] >= 0 && ends(b, i) && (best < 0 || s.cost[i] < s.cost[best]))
            best = i;
    return best >= 0 && trace_back(b, &s, from, best, found);
}

void topology_own_run(topology_builder *b, run *r) {
    for (int i = 0; i < r->count; i++) {
        b->owned[r->edges[i]] = true;
        b->shown[b->g->edges[r->edges[i]].part] = true;
    }
    for (int i = 0; i <= r->count; i++)
        b->visited[r->points[i]] = true;
}

// ---- feeders from a main bus ----------------------------------------
static bool is_unplaced_bus(const topology_builder *b, int point) {
    int which = b->strip_of[point];
    return which >= 0 && b->t->strips[which].role == STRIP_BUS && !b->placed[which];
}

// Follows parts in line from `point` over `edge`: to a bus that isn't placed yet (true), or to a
// point that parts (true, `*parts`). False: something hangs on the way.
static bool follow(const topology_builder *b, int point, int edge, run *r, bool *parts) {
    *parts = false;
    for (;;) {
        if (r->count == RUN_MOST || b->owned[edge])
            return false;
        r->edges[r->count++] = edge;
        point = graph_far(b->g, edge, point);
        r->points[r->count] = point;
        if (is_unplaced_bus(b, point)) {
            r->strips[r->count] = b->strip_of[point];
            return true;
        }
        if (point == AIRFRAME_POINT || b->strip_of[point] >= 0 || b->visited[point])
            return false;
        int next = -1, edges = 0;
        for (int i = b->g->first[point]; i < b->g->first[point + 1]; i++) {
            if (!graph_is_edge(b->g, b->g->at[i]))
                return false;
            if (b->g->at[i] != edge) {
                next = b->g->at[i];
                edges++;
            }
        }
        if (edges != 1) {
            *parts = edges > 1;
            return *parts;
        }
        edge = next;
    }
}

static run run_from(int point) {
    run r = {.part = -1};
    r.points[0] = point;
    for (int i = 0; i <= RUN_MOST; i++)
        r.strips[i] = -1;
    return r;
}

static bool find_group(topology_builder *b, int point, int edge, feed_group *g) {
    bool parts;
    g->stem = run_from(point);
    if (!follow(b, point, edge, &g->stem, &parts))
        return false;
    if (!parts) {
        g->members[0] = g->stem;
        g->count = 1;
        g->stem = run_from(point);
        return true;
    }
    int middle = g->stem.points[g->stem.count], before = g->stem.edges[g->stem.count - 1];
    for (int i = b->g->first[middle]; i < b->g->first[middle + 1]; i++) {
        int k = b->g->at[i];
        if (k == before)
            continue;
        if (g->count == GROUP_MOST)
            return false;
        run *member = &g->members[g->count];
        *member = run_from(middle);
        if (!follow(b, middle, k, member, &parts) || parts)
            return false;
        for (int other = 0; other < g->count; other++)
            if (g->members[other].strips[g->members[other].count] == member->strips[member->count])
                return false;
        g->count++;
    }
    return g->count > 0;
}

void topology_groups(topology_builder *b, int main_strip) {
    topology *t = b->t;
    int point = t->strips[main_strip].point;
    for (int i = b->g->first[point]; i < b->g->first[point + 1]; i++) {
        int k = b->g->at[i];
        feed_group g = {.main = main_strip};
        if (!graph_is_edge(b->g, k) || b->owned[k] || !find_group(b, point, k, &g))
            continue;
        feed_group *groups =
            arena_grow(b->memory, t->groups, &b->group_room, t->group_count + 1, sizeof *groups);
        if (!groups)
            return;
        t->groups = groups;
        topology_own_run(b, &g.stem);
        for (int m = 0; m < g.count; m++) {
            topology_own_run(b, &g.members[m]);
            b->placed[g.members[m].strips[g.members[m].count]] = true;
        }
        groups[t->group_count++] = g;
    }
}
