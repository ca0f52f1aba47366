// What a state that somebody else has settled comes to: a moment of a run.
#ifndef DEADBUS_CIRCUIT_SNAPSHOT_H
#define DEADBUS_CIRCUIT_SNAPSHOT_H

#include "circuit/judge.h"
#include "circuit/solver.h"

// Parts, functions, sources and indications as of `now` (settled_read has read it); no causes, and
// no sentence's reasons. What is normal is the base of its phase. Free it with outcome_free.
status snapshot_make(solver *s, const settled_state *now, outcome **made);
// Modes of all sources alone; `parts` (part_count) is scratch. Returns how many there are.
int snapshot_sources(const settled_state *now, part_outcome *parts, source_outcome *sources);

#endif
