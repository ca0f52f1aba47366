// One row a kind: how it is built into the circuit and how a state sets its parameters.
#ifndef DEADBUS_PART_PART_KIND_H
#define DEADBUS_PART_PART_KIND_H

#include "part/binder.h"
#include "part/builder.h"

typedef struct part_row {
    void (*nodes)(builder *b, int part);  // own nodes, before anything refers to them
    void (*build)(builder *b, int part);  // elements and signals
    void (*bind)(binder *b, int part);    // parameters of a state
} part_row;

const part_row *part_row_of(part_kind k);  // all NULL for kinds without a circuit

#endif
