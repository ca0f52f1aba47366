// What a drawing shows of an outcome, as plain text from the module that solves to the one that
// draws, and back. Causes, traces, trips and supplies stay behind: no drawing tells them.
#ifndef DEADBUS_MODEL_CARRIED_OUTCOME_H
#define DEADBUS_MODEL_CARRIED_OUTCOME_H

#include "model/carried_words.h"
#include "model/outcome.h"

void carry_outcome(text *t, const outcome *o);

// Of aircraft `a`, into t->keep; what isn't carried is zero. Look at t->wrong before using it.
outcome take_outcome(taker *t, const aircraft *a);

#endif
