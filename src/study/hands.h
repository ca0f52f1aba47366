// What hands do when they switch off in flight: what they take with it, and what is never done in
// the air (trade practice, no source).
#ifndef DEADBUS_STUDY_HANDS_H
#define DEADBUS_STUDY_HANDS_H

#include "circuit/solver.h"
#include "study/endurance.h"

// Item `i` was on and is off.
bool hands_put_off(const outcome *before, const outcome *after, int i);
// A battery is off the line, or gives next to nothing.
bool hands_isolate(const outcome *before, const outcome *after);
// A supply is gone, or something that makes one, or that is the engine's.
bool hands_starve(const outcome *before, const outcome *after);
// Several radios are off at once.
bool hands_silence(const outcome *before, const outcome *after);

// Puts into `found` which sources are lost and which go on, what of the functions in use the hands
// of the question take, and what of that is never done in flight. `found` as endurance_find has
// left it for the same question.
status hands_look(solver *s, const endurance_question *q, arena *memory, endurance *found);

#endif
