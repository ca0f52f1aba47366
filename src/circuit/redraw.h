// What a circuit and its verdict take from an aircraft's figures besides parameters. Private to
// compile.c and redraw.c.
#ifndef DEADBUS_CIRCUIT_REDRAW_H
#define DEADBUS_CIRCUIT_REDRAW_H

#include "circuit/compiled.h"

typedef struct drawn_figures {
    power_load *powers;  // the circuit's and the verdict's own arrays
    comparator *comparators;
    struct item_rule *rules;
    double *load_below;    // per part
    const int *supply_of;  // per comparator: the part whose own figure it compares with, NOWHERE
} drawn_figures;

// Amps of the items on each path's branch, up to the next point or source.
void loads_below(const aircraft *a, double *amps);

#endif
