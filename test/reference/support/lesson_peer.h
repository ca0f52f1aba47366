// A scenario played once more, in small even steps: explicit Euler on the batteries' wells, their
// sag, the heat of breakers and the way of things that move, all written here from
// docs/physics.md. Nothing of the runner is used: only reading, one settling of the circuit, and
// the verdict on it.
#ifndef DEADBUS_TEST_LESSON_PEER_H
#define DEADBUS_TEST_LESSON_PEER_H

#include "circuit/solver_state.h"
#include "model/scenario.h"

typedef enum change_of { OF_STATUS, OF_FUNCTION, OF_LIT, OF_TRIP, OF_CONTACT, OF_KINDS } change_of;

// Something became otherwise. `index`: a part; OF_FUNCTION: a function.
typedef struct observed {
    double at;
    change_of of;
    int index, was, to;
} observed;

enum { OBSERVED_MOST = 4096, PEER_BATTERIES = 4, SAMPLES_MOST = 4096 };

typedef struct lesson_log {
    observed list[OBSERVED_MOST];
    int count;
    double sample_seconds;  // between samples of charge
    double charge[SAMPLES_MOST][PEER_BATTERIES];
    int sample_count;
    double ended;
} lesson_log;

// Contact of a relay or contactor as it is now.
bool peer_contact(const settled_state *s, int part);
// `seconds`: of one step.
void lesson_peer_play(solver *s, const scenario *sc, double seconds, lesson_log *log);

#endif
