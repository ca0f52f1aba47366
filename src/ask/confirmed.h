// Readings that an instructor has confirmed by hand, against the solved ones.
#ifndef DEADBUS_ASK_CONFIRMED_H
#define DEADBUS_ASK_CONFIRMED_H

#include "circuit/solver.h"
#include "model/outcome.h"

// A finding at the line of each reading of this phase that differs from the solved one by more than
// can be read; false: there is one.
bool confirmed_agree(const aircraft *a, int phase, const outcome *usual, findings *f);
// The same of every phase that has some, solved here.
status confirmed_all(solver *s, const aircraft *a, arena *memory, findings *f);

#endif
