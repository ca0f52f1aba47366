// Words for positions: what a person writes for a switch, breaker, engine or thing that moves.
#ifndef DEADBUS_MODEL_POSITION_WORDS_H
#define DEADBUS_MODEL_POSITION_WORDS_H

#include "base/text.h"
#include "model/state.h"

// The value of a position word for a part, or false: it has none such. `s`: the state whose phase
// says how fast an engine runs.
bool position_value(const aircraft *a, int which, const char *word, const state *s, double *value);
// "on, off", "UP, TAKE-OFF, FULL": what a part takes; "" if it has no positions.
void position_words(const aircraft *a, int which, text *t);
// Whether a part at this setting counts as on (a switch not at OFF, a breaker in...).
bool setting_is_on(const part *p, double setting);

#endif
