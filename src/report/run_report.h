// A scenario's log, written for people, for programs and for spreadsheets: the same in all.
#ifndef DEADBUS_REPORT_RUN_REPORT_H
#define DEADBUS_REPORT_RUN_REPORT_H

#include "base/text.h"
#include "timeline/scenario_result.h"

void run_text(const scenario_log *log, const char *caution, text *out);
void run_json(const scenario_log *log, const char *caution, text *out);
// The trace: seconds, then a column a record.
void run_csv(const scenario_log *log, text *out);

// "4 min 20 s", "35 s", "2 h 5 min": how long.
void run_span(double seconds, text *t);
// The sentence about one fact of an answer: "AMMETER: −18 A".
void run_fact_name(const aircraft *a, scenario_thing thing, text *t);

#endif
