// What to switch off, written for people and for programs: the same answer in both.
#ifndef DEADBUS_REPORT_SHED_REPORT_H
#define DEADBUS_REPORT_SHED_REPORT_H

#include "report/endurance_report.h"
#include "study/shed_result.h"

typedef struct shed_report {
    const aircraft *aircraft;
    const state *asked;
    const shed *found;
    bool stays_assumed, noticed_assumed;
    const char *const *notes;
    int note_count;
    const char *caution;
} shed_report;

void shed_text(const shed_report *r, text *out);
void shed_json(const shed_report *r, text *out);
void shed_csv(const shed_report *r, text *out);

// For the files of this room: in the words of --set; and when the first of what must stay goes.
const char *shed_position(const aircraft *a, const shed_step *step);
endurance_row shed_stays(const shed_report *r, const endurance *e, int *which);

#endif
