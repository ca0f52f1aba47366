// Resistances that the circuit doesn't take as they are.
#ifndef DEADBUS_PART_RAISED_H
#define DEADBUS_PART_RAISED_H

#include "base/findings.h"
#include "model/aircraft.h"

// A note at each part of `a` whose resistance is below the least that any element has, and is
// raised to that: a short run of heavy wire, a large shunt.
void raised_find(const aircraft *a, findings *f);

#endif
