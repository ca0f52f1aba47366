// Putting right what is blamed.
#ifndef DEADBUS_TEST_REPAIRS_H
#define DEADBUS_TEST_REPAIRS_H

#include "circuit/solver.h"

// Whether an item has lost its work.
bool item_lost(item_status s);
// Of `o`, the outcome of `asked`: does the part work again (or as in its phase) once the faults of
// those blamed for it are repaired? The test fails if nothing is blamed that has a fault.
bool repair_gives_back(solver *s, const state *asked, const outcome *o, int part);

#endif
