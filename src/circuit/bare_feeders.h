// Feeders between two buses that no breaker, fuse or limiter protects: for the technician, nothing
// here is an approval.
#ifndef DEADBUS_CIRCUIT_BARE_FEEDERS_H
#define DEADBUS_CIRCUIT_BARE_FEEDERS_H

#include "circuit/solver.h"

// A note for each way between two buses that both hand power out, where neither the way nor what
// feeds one of them has a protector. The cables of batteries, starters, ground power and sources
// have none by common practice, and bus straps neither: they are left out. `scratch` holds what is
// needed meanwhile. STATUS_OK or STATUS_NO_MEMORY.
status bare_feeders_find(const solver *s, arena *scratch, findings *f);

#endif
