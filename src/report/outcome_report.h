// The answer to one state, written for people and for programs: the same answer in both.
#ifndef DEADBUS_REPORT_OUTCOME_REPORT_H
#define DEADBUS_REPORT_OUTCOME_REPORT_H

#include "base/text.h"
#include "model/outcome.h"

typedef struct outcome_report {
    const outcome *now;
    const outcome *base;       // of the same phase, nothing failed or moved: what is normal here
    const char *const *notes;  // sentences about the question itself
    int note_count;
    bool before_trip;     // the first instant, before any breaker has opened
    const char *caution;  // the usual one
} outcome_report;

void outcome_text(const outcome_report *r, text *out);
void outcome_json(const outcome_report *r, text *out);

#endif
