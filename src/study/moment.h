// A state settled, and what each function comes to by what is in use: what a hand has switched off
// gives nothing here, though it would work. Only for the files of this room.
#ifndef DEADBUS_STUDY_MOMENT_H
#define DEADBUS_STUDY_MOMENT_H

#include "circuit/solver.h"
#include "circuit/verdict.h"

typedef struct moment {
    outcome *outcome;
    uint8_t *functions;  // function_status
    double amps;         // all batteries together, discharging
} moment;

bool moment_make(solver *s, const state *now, moment *m);  // false: no memory
// What a step of the verdict's routes gives (0 nothing, 1 partly, 2 all), `value`s those before it.
// Of the state that the solver has settled last, which must be the moment's.
uint8_t moment_step(const solver *s, const moment *m, const uint8_t *value, const route_step *k);
void moment_free(moment *m);
// As asked, with what fails: without faults every source goes dead. NULL: no memory.
state *moment_after_loss(const solver *s, const state *asked, arena *m);

#endif
