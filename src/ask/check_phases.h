// Phases that leave something undone: what a phase wants on and doesn't get, though nothing has
// failed.
#ifndef DEADBUS_ASK_CHECK_PHASES_H
#define DEADBUS_ASK_CHECK_PHASES_H

#include "circuit/solver.h"

// Findings at the phases of `a` in which every engine runs and no starter turns: items that are on
// and have too few volts, items that their own switch has on and that are dead, items without what
// they need, and batteries that carry the load though a machine could. What else is dead in a phase
// is meant so. Phases that say the same share one finding.
// STATUS_OK or STATUS_NO_MEMORY.
status check_phases(solver *s, const aircraft *a, arena *memory, findings *f);

#endif
