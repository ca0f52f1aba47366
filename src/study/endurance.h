// How long it lasts once the sources are lost: until each item drops out, each function is gone, a
// contactor lets go and a battery is exhausted. One run a case; the cases differ in the batteries.
#ifndef DEADBUS_STUDY_ENDURANCE_H
#define DEADBUS_STUDY_ENDURANCE_H

#include "circuit/solver.h"
#include "study/endurance_result.h"

typedef struct endurance_question {
    // Positions and faults. The faults come once all has settled without them; without any, every
    // alternator, generator and ground supply goes dead.
    const state *asked;
    const state *after;     // positions from `noticed` on; NULL: nothing is switched
    double noticed, lasts;  // seconds from the loss of the sources
    const bool *must_stay;  // function_count; NULL: none
} endurance_question;

// Results live in `memory`.
status endurance_find(solver *s, const endurance_question *q, arena *memory, endurance *out);

#endif
