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
    const int *bares;  // functions that must stay, of which this step takes the last spare
    int bare_count;
} shed_step;

// What is kept in hand for the landing: near the end of the time needed the landing light comes on,
// and what moves by a motor goes once to its other end and back (trade practice, no source).
enum { SHED_CYCLES_MOST = 4 };
#define SHED_LIGHT_SECONDS 300.0  // choice

typedef struct shed_cycle {
    int part, selector;
    double other;   // setting of the selector for the other end
    double place;   // of the part at that end
    double travel;  // seconds, each way, at nominal volts
} shed_cycle;

typedef struct shed_reserve {
    bool light;      // there is a landing light, and after the loss it works
    int light_hand;  // PART_NONE: it is on already
    double light_setting;
    int light_function;  // -1: none
    shed_cycle cycles[SHED_CYCLES_MOST];
    int cycle_count;
} shed_reserve;

typedef struct shed {
    bool possible;  // with the reserve in hand
    bool bare;      // not possible, but it lasts without the reserve: the steps are for that
    shed_reserve reserve;
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
