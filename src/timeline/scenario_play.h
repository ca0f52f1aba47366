// A scenario played: an aircraft run through it, and a log of what happened and what was seen.
#ifndef DEADBUS_TIMELINE_SCENARIO_PLAY_H
#define DEADBUS_TIMELINE_SCENARIO_PLAY_H

#include "circuit/solver.h"
#include "timeline/run.h"
#include "timeline/scenario_result.h"

// `sc` was read for the solver's aircraft; both must outlive the log. STATUS_OK, and `*made` is
// to be freed, or STATUS_NO_MEMORY.
status scenario_play(solver *s, const scenario *sc, scenario_log **made);
// The same, and `also` is told every step and event after the player has dealt with it; what its
// step answers is passed over.
status scenario_play_told(solver *s, const scenario *sc, const run_hooks *also,
                          scenario_log **made);
// How all stands at a moment of it, with causes and reasons, just after what happens then: seconds
// from the start, at most to where it ends (*ended is then no later than `at`). To be freed with
// outcome_free. As above.
status scenario_at(solver *s, const scenario *sc, double at, outcome **made, double *ended);
void scenario_log_free(scenario_log *log);

#endif
