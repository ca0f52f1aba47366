// What the instruments and lights show when nothing has failed, phase by phase, and how that is
// proven on the ground.
#ifndef DEADBUS_REPORT_NORMAL_REPORT_H
#define DEADBUS_REPORT_NORMAL_REPORT_H

#include "base/text.h"
#include "model/outcome.h"

typedef struct normal_phase {
    const outcome *usual;
    const outcome *source_off;  // the same with every alternator and generator dead; NULL: none
} normal_phase;

typedef struct normal_report {
    const aircraft *aircraft;
    const normal_phase *phases;  // phase_count
    const char *caution;
} normal_report;

typedef struct confirmed_reading {
    const figure *figure;  // by hand, from the file; NULL: none
    double off;            // solved less confirmed
    bool agrees;           // within what can be read
} confirmed_reading;

// What the file says was read there. A needle can be read to 2 A or a twentieth of its scale, a
// voltmeter to half a volt of 28 (design choice).
confirmed_reading normal_confirmed(const aircraft *a, int phase, const indication *i);

void normal_text(const normal_report *r, text *out);
void normal_json(const normal_report *r, text *out);
void normal_csv(const normal_report *r, text *out);

#endif
