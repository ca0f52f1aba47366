// Times in the words of endurance answers, rounded down to a minute. For the files of this room.
#ifndef DEADBUS_REPORT_ENDURANCE_WORDS_H
#define DEADBUS_REPORT_ENDURANCE_WORDS_H

#include "base/text.h"
#include "study/endurance_result.h"

// "38 min", "2 h 10 min", "44 days", "under 1 min".
void endurance_span_words(double seconds, text *t);
// What batteries give, of which some give no more than a clock takes: "15.2 A", "6 mA".
void endurance_amps_words(double amps, text *t);
// As a span, and "more than 4 h" for what outlasts the run.
void endurance_time_words(const endurance *e, double seconds, text *t);
// Where nothing that must stay is ever lost: what counts as such.
extern const char endurance_counts[];

#endif
