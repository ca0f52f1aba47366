// What the conditions outside ask for (pitot heat in icing, lights at night) and nothing gives, for
// it isn't switched on.
#ifndef DEADBUS_STUDY_DEMANDED_H
#define DEADBUS_STUDY_DEMANDED_H

#include "circuit/solver.h"

typedef struct demand {
    int function;    // that nothing in use gives, though nothing has failed
    int hand;        // one that gives it, put to `setting`; PART_NONE: none does alone
    double setting;  // as in a state
    int phase;       // of the file, in which it is given, airborne first; -1: none
} demand;

// Of the functions `demanded` (function_count) those that some hand or some phase would give.
// Faults of `asked` aside. Their number, -1: no memory; the list is in `memory`.
int demands_missing(solver *s, const state *asked, const bool *demanded, arena *memory,
                    demand **list);

#endif
