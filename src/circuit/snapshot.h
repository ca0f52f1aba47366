// What a state that somebody else has settled comes to: a moment of a run.
#ifndef DEADBUS_CIRCUIT_SNAPSHOT_H
#define DEADBUS_CIRCUIT_SNAPSHOT_H

#include "circuit/judge.h"
#include "circuit/solver.h"

// Parts, functions, sources and indications as of `now` (settled_read has read it). What is normal
// is the base of its phase. Free it with outcome_free.
status snapshot_make(solver *s, const settled_state *now, outcome **made);
// With causes and reasons as well. `tripped`, per breaker: opened by its own current some time
// before. What a repair would give is tried with each battery at its own charge (per part, 0..1).
status snapshot_explained(solver *s, const settled_state *now, const uint8_t *tripped,
                          const double *charges, outcome **made);
// Modes of all sources alone; `parts` (part_count) is scratch. Returns how many there are.
int snapshot_sources(const settled_state *now, part_outcome *parts, source_outcome *sources);

#endif
