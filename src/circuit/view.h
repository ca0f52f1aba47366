// A state, bound, settled and read: all the arrays that takes, made once and used again.
#ifndef DEADBUS_CIRCUIT_VIEW_H
#define DEADBUS_CIRCUIT_VIEW_H

#include "circuit/judge.h"

typedef struct view {
    settled_state settled;  // points at all below
    state asked;
    double *params;
    uint32_t *faults;
    solution solution;
} view;

bool view_make(view *v, const compiled *c, arena *memory);
// Settles v->asked from `start`. `base_amps`: see bind_state.
void view_settle(view *v, work *w, const double *base_amps, const solution *start,
                 bool keep_breakers);

#endif
