// One question to one aircraft in words, as an instructor would type it, and its outcome.
#ifndef DEADBUS_TEST_ASKED_H
#define DEADBUS_TEST_ASKED_H

#include "support/fleet_states.h"

// `words`: options of `state` ("--phase", "cruise", "--fail", "alternator=dead"), ends at NULL.
// The outcome is owned by the caller (outcome_free). Fails the running test if the words are wrong.
outcome *asked(subject *s, const char *const *words);

const part_outcome *asked_part(const outcome *o, const char *id);
const function_outcome *asked_function(const outcome *o, const char *name);
const indication *asked_indication(const outcome *o, const char *id);
const source_outcome *asked_source(const outcome *o, const char *id);

#endif
