// What still has a spare: a function that some one item takes by failing has none. Only for the
// files of this room.
#ifndef DEADBUS_STUDY_SPARES_H
#define DEADBUS_STUDY_SPARES_H

#include "study/moment.h"

// Per function of `wanted` (function_count): how many items there are each of which alone takes it
// away now, by what the routes and the items' needs say; in the moment's own memory. NULL: none.
const int *spares_count(const solver *s, const moment *m, const bool *wanted);

#endif
