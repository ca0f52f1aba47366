// The parts of making a pattern (internal to it).
#ifndef DEADBUS_CIRCUIT_PATTERN_TABLES_H
#define DEADBUS_CIRCUIT_PATTERN_TABLES_H

#include "circuit/pattern.h"

// Lower triangle by places over all unknowns.
typedef struct triangle {
    int unknowns, statics, cores;
    int *start;  // unknowns + 1
    int *place;  // rows of each column, ascending
} triangle;

// All false: no memory.
bool pattern_programs(pattern *p, const triangle *t, arena *keep, arena *scratch);
bool pattern_stamps(const circuit *c, pattern *p, const triangle *t, const uint8_t *fixed,
                    arena *keep);
bool pattern_signals(const circuit *c, pattern *p, const uint8_t *fixed, arena *keep,
                     arena *scratch);
// From what the others have made.
bool pattern_reach(const circuit *c, pattern *p, arena *keep, arena *scratch);

#endif
