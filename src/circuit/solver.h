// From an aircraft and a state to an outcome: compile once, settle, judge, explain.
#ifndef DEADBUS_CIRCUIT_SOLVER_H
#define DEADBUS_CIRCUIT_SOLVER_H

#include "base/findings.h"
#include "model/outcome.h"

typedef struct solver solver;  // an aircraft compiled, its phases' bases settled, and scratch

// Compiles `a` (which must outlive the solver) and settles every phase's base. A base that chatters
// or collapses, and figures that had to be raised, are findings.
status solver_make(allocator memory, const aircraft *a, findings *f, solver **made);
void solver_free(solver *s);

// The aircraft's figures have become others, in the same places, and nothing else of it has: as if
// made anew, without memory. Of the bases only what a run takes is kept up: volts and amps.
void solver_redraw(solver *s);

typedef struct outcome_options {
    bool before_trip;  // the first instant, before any breaker has opened
    bool explain;      // causes and reasons of what is lost (costs a few more settlings)
} outcome_options;

// The outcome of a state. Free it with outcome_free.
status solver_outcome(solver *s, const state *asked, outcome_options o, outcome **made);
void outcome_free(outcome *o);

#endif
