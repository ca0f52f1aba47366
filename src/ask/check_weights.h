// Which assumptions matter most: what the file leaves open about its batteries, and the assumed or
// guessed draws by their share of the load on the batteries once every other source is lost.
#ifndef DEADBUS_ASK_CHECK_WEIGHTS_H
#define DEADBUS_ASK_CHECK_WEIGHTS_H

#include "base/arena.h"
#include "base/text.h"
#include "circuit/solver.h"
#include "model/aircraft.h"

typedef struct weight {
    int part;
    const char *key;  // what the figure is called
    const figure *figure;
    double amps, share;  // of the batteries' discharge; 0 for a battery's own figures
} weight;

typedef struct weights {
    int phase;     // the usual one, with every alternator, generator and ground supply lost
    bool several;  // more than one battery
    double amps;   // what the batteries then give together, coils and fields included
    const weight *batteries;
    int battery_count;
    const weight *items;  // largest first; what draws nothing then isn't among them
    int item_count;
} weights;

// STATUS_OK or STATUS_NO_MEMORY. The lists come from `memory`.
status weights_find(solver *s, const aircraft *a, arena *memory, weights *w);
void weights_text(const aircraft *a, const weights *w, text *out);
void weights_json(const aircraft *a, const weights *w, text *out);  // the object alone

#endif
