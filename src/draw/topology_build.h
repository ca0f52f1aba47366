// What the files that build a topology share.
#ifndef DEADBUS_DRAW_TOPOLOGY_BUILD_H
#define DEADBUS_DRAW_TOPOLOGY_BUILD_H

#include "draw/topology.h"

typedef struct topology_builder {
    arena *memory;
    const aircraft *a;
    const power_graph *g;
    topology *t;
    bool *owned;     // by edge
    bool *seen;      // by stop
    bool *visited;   // by point: rows have been through it
    bool *shown;     // by part
    bool *placed;    // by strip: a feeder leads to it
    int *cost, *by;  // by point, for the search of a run
    int *strip_of;   // by point, -1
    int home;        // point of the strip whose rows are being drawn
    int strip_room, row_room, source_room, group_room, free_room, cross_room, also_room;
} topology_builder;

// -1: no memory.
int topology_add_strip(topology_builder *b, strip_role role, int point);

// Shortest way from `from` over parts that nothing owns to a point for which `ends` holds, through
// points for which `passes` holds. False: there is none of at most RUN_MOST parts.
typedef bool (*point_test)(const topology_builder *b, int point);
bool topology_find_run(topology_builder *b, int from, point_test passes, point_test ends,
                       run *found);
void topology_own_run(topology_builder *b, run *r);

// All rows of a strip, into t->rows.
void topology_rows(topology_builder *b, int which);
// Feeders from a main bus.
void topology_groups(topology_builder *b, int main_strip);

#endif
