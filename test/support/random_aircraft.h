// Aeroplanes that nobody drew: sources, buses, feeders, items, lights and meters at random, as the
// text of an aircraft file. What the demo aircraft have in common is no law of these.
#ifndef DEADBUS_TEST_RANDOM_AIRCRAFT_H
#define DEADBUS_TEST_RANDOM_AIRCRAFT_H

#include <stdint.h>

#include "base/text.h"

// Appends the file of aeroplane number `seed`: the same text on every machine, without errors.
void random_aircraft(uint64_t seed, text *file);

#endif
