// What the pilot sees: the reading of every meter, light and sounder, gauges that have no
// power, and the one sentence that says what just happened.
#ifndef DEADBUS_CIRCUIT_INDICATION_H
#define DEADBUS_CIRCUIT_INDICATION_H

#include "model/outcome.h"

// One indication for each meter, light and sounder, and for each item that is wanted, not
// working and tells so (`when-dead`), in the order of the file. Uses parts, sources and state
// of `now`, all filled in. `base`: the outcome of the phase without faults, for what is normal
// here; NULL: nothing is known to be normal. Everything is owned by `memory`. STATUS_OK or
// STATUS_NO_MEMORY.
status indications_make(const aircraft *a, const outcome *now, const outcome *base, arena *memory,
                        indication **items, int *count);

// "Main bus 23.8 V. Battery discharging 57 A. 4 items lost." NULL: no memory.
const char *outcome_sentence(const aircraft *a, const outcome *now, const outcome *base,
                             arena *memory);

// The parts that flip for ever, by name, at most three: "cut out, starter contactor and 2 more".
// Contacts alone if there are any: what they feed only follows. False: none.
bool chatter_words(const aircraft *a, const part_outcome *parts, text *t);

#endif
