// What the files shed*.c share. Only for them.
#ifndef DEADBUS_STUDY_SHED_STATE_H
#define DEADBUS_STUDY_SHED_STATE_H

#include "study/shed.h"

// As asked, with what fails; NULL: no memory.
state *shed_state(solver *s, const shed_question *q, arena *m);

// A state settled, and what each function comes to by what is in use: what a hand has switched off
// gives nothing here, though it would work.
typedef struct moment {
    outcome *outcome;
    uint8_t *functions;  // function_status
    double amps;         // all batteries together, discharging
} moment;

bool moment_make(solver *s, const state *now, moment *m);  // false: no memory
void moment_free(moment *m);
void shed_count_losses(const shed_question *q, const moment *before, const moment *after,
                       shed_cost *cost, bool *takes);

#endif
