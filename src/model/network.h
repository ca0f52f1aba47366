// The parts as a graph of terminals, for checks only: what could conduct, whatever the positions.
#ifndef DEADBUS_MODEL_NETWORK_H
#define DEADBUS_MODEL_NETWORK_H

#include "model/reader.h"

typedef struct network_edge {
    int a, b;      // vertices
    int part;      // that joins them
    bool one_way;  // from a to b only
} network_edge;

typedef struct network {
    const aircraft *a;
    int vertex_count;
    int *first_contact;  // per part: vertex of its contact 0; 0: none
    network_edge *edges;
    int edge_count, edge_capacity;
    int *joined;     // per vertex: references to it
    bool *fed;       // per vertex: a source can reach it
    bool *grounded;  // per vertex: the airframe can reach it
    bool *used;      // per part: a condition, meter or selector looks at it
} network;

enum { VERTEX_AIRFRAME = 0, VERTEX_NONE = -1 };

// False: no memory.
bool network_build(network *n, reader *r);
int network_vertex(const network *n, reference ref);
int network_self(int part);
// Vertices of a path's two ends; VERTEX_NONE for a selector's many contacts.
void network_ends(const network *n, int part, int *from, int *to);

#endif
