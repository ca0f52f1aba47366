// Where power can go in an aircraft, as points and the parts between them: drawn from the file
// alone, without volts or amps.
#ifndef DEADBUS_DRAW_POWER_GRAPH_H
#define DEADBUS_DRAW_POWER_GRAPH_H

#include <stdbool.h>

#include "base/arena.h"
#include "model/aircraft.h"

enum { AIRFRAME_POINT = 0, NO_POINT = -1 };

// A part that conducts between two points; its amps are positive from `a` to `b`.
typedef struct graph_edge {
    int part;
    int a, b;
    int position;  // contact of a switch, -1
} graph_edge;

typedef enum stop_kind {
    STOP_ITEM,    // its supply
    STOP_SECOND,  // another supply of an item that has several, joined by diodes inside it
    STOP_COIL,
    STOP_FIELD,
    STOP_SENSE,
    STOP_SOURCE,  // its output
} stop_kind;

// Something that ends at a point.
typedef struct graph_stop {
    stop_kind kind;
    int part;
    int point;
    int behind;  // the point that its id stands for, if that is another one; NO_POINT
} graph_stop;

typedef struct power_graph {
    const aircraft *aircraft;
    int point_count;
    const int *own;      // by part: the point its id stands for, NO_POINT
    const int *returns;  // by part: where its return goes; AIRFRAME_POINT unless the file says more
    const graph_edge *edges;
    int edge_count;
    const graph_stop *stops;
    int stop_count;
    // Edges and stops at each point, in order of the panel: indices of edges, and of stops plus
    // edge_count, from first[point] to first[point + 1].
    const int *first, *at;
} power_graph;

// NULL: no memory (memory->failed is set).
const power_graph *power_graph_make(arena *memory, const aircraft *a);

static inline bool graph_is_edge(const power_graph *g, int k) { return k < g->edge_count; }
static inline const graph_stop *graph_stop_at(const power_graph *g, int k) {
    return &g->stops[k - g->edge_count];
}
static inline int graph_far(const power_graph *g, int edge, int point) {
    return g->edges[edge].a == point ? g->edges[edge].b : g->edges[edge].a;
}
static inline int graph_degree(const power_graph *g, int point) {
    return g->first[point + 1] - g->first[point];
}

// A source other than one that stands between two points (batteries in series).
bool part_is_source(const part *p);

#endif
