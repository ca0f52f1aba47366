// What every element of a settled circuit takes: it comes to nothing, by Tellegen's theorem.
#ifndef DEADBUS_TEST_SETTLED_POWER_H
#define DEADBUS_TEST_SETTLED_POWER_H

#include "circuit/judge.h"

// *sum: watts of all elements and leaks together; *gross: of their sizes.
void settled_power(const settled_state *s, double *sum, double *gross);

#endif
