// Times in the words of endurance answers, rounded down to a minute. For the files of this room.
#ifndef DEADBUS_REPORT_ENDURANCE_WORDS_H
#define DEADBUS_REPORT_ENDURANCE_WORDS_H

#include "base/text.h"
#include "study/endurance_result.h"

// "38 min", "2 h 10 min", "under 1 min".
void endurance_span_words(double seconds, text *t);
// The same, and "more than 4 h" for what outlasts the run.
void endurance_time_words(const endurance *e, double seconds, text *t);
// Where nothing that must stay is ever lost: what counts as such.
extern const char endurance_counts[];

#endif
