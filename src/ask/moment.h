// What `state` and `draw` are about: a state that is asked for, or a moment of a scenario.
#ifndef DEADBUS_ASK_MOMENT_H
#define DEADBUS_ASK_MOMENT_H

#include "ask/options.h"
#include "circuit/solver.h"

// A scenario is given, or --at.
bool moment_is_asked(const ask_options *o);
// How all stands at that moment; `*made` is to be freed with outcome_free. What is wrong with the
// question goes to `f`, with the scenario to o->scenario_findings. STATUS_OK, STATUS_BAD_REQUEST,
// STATUS_BAD_FILE or STATUS_NO_MEMORY.
status asked_moment(solver *s, const aircraft *a, const ask_options *o, findings *f,
                    outcome **made);

#endif
