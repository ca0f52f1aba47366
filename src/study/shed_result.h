// What to switch off so that it lasts, as a result: read by reports, made by the study.
#ifndef DEADBUS_STUDY_SHED_RESULT_H
#define DEADBUS_STUDY_SHED_RESULT_H

#include "study/endurance_result.h"

enum { SHED_STEPS_MOST = 12 };

typedef struct shed_step {
    int part;
    double setting;    // as in a state
    double saves;      // amps of the batteries, at once
    const int *loses;  // functions that are lost or reduced by this step on top of those before
    int lose_count;
    const int *items;  // items that go off by it
    int item_count;
} shed_step;

typedef struct shed {
    bool possible;
    shed_step steps[SHED_STEPS_MOST];  // in the order to do them; not possible: the nearest
    int step_count;
    int candidates;  // hands that may be offered
    int kept_back;   // hands that would save something and are never offered, or would take what
                     // must stay
    double needed;   // seconds from the loss of the sources
    double noticed;
    double amps, amps_after;  // of the batteries
    endurance plain, after;   // with nothing switched off, and with these steps
} shed;

#endif
