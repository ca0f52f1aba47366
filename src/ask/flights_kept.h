// Many flights of which each question flies a few: begun by the first, kept in the opened aircraft.
#ifndef DEADBUS_ASK_FLIGHTS_KEPT_H
#define DEADBUS_ASK_FLIGHTS_KEPT_H

#include "ask/opened.h"
#include "ask/options.h"
#include "study/flights.h"

// Goes on with what the same words have begun, or begins; what other words had begun is gone. In
// *found what has come of it once all are flown, until kept_study_free; NULL: not yet.
status kept_flights_go_on(const ask_options *o, const aircraft *a, solver *s,
                          const flights_question *q, int *flown, endurance **found);

#endif
