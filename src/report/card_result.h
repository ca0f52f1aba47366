// What a card says, before it is laid out: plain texts that belong to one arena, and a few figures.
// Made by ask/card_content.c; read by draw (the sheet) and report (text, JSON). No text is NULL.
#ifndef DEADBUS_REPORT_CARD_RESULT_H
#define DEADBUS_REPORT_CARD_RESULT_H

#include <stdbool.h>

#include "base/arena.h"
#include "model/aircraft.h"
#include "model/kinds.h"

enum { CARD_STEPS_MOST = 12, CARD_EATERS = 5, CARD_TOLD_MOST = 5 };

typedef struct card_phase {
    const char *name;
    const char *const *readings;  // by meter, without its unit
    const char *lights;           // lit: "PITOT HEAT, LOW VOLTS", "none"
} card_phase;

typedef struct card_told {  // "At 0", "four meanings: ..."
    const char *where, *means;
} card_told;

typedef struct card_meter {
    int part;
    const char *name, *unit, *place;  // place: "feed stud to main bus"
    const char *others;               // a selector's other positions and their places, ""
    double low, high;                 // stops of its needle; equal: it has none
    double usual;                     // what it shows in the usual phase
    bool usual_valid;
    card_told told[CARD_TOLD_MOST];
    int told_count;
} card_meter;

typedef struct card_eater {
    const char *name;
    double amps;
    basis basis;
} card_eater;

typedef struct card_fading {  // at this voltage, falling
    const char *names;
    double volts;
    bool assumed;  // every one of these limits is a default
} card_fading;

typedef struct card_breaker {
    int part;
    const char *group;  // "row 1", "left row 2"; "" for those without a place in the grid
    int number;         // 0: none
    const char *label, *rating;
    const char *carries;  // beyond its label, of a feeder all that its bus takes; ""
    const char *bus;      // of a feeder its bus alone; else ""
    const char *remark;   // "collared", "out of reach", ""
} card_breaker;

typedef struct card_step {
    int part;
    part_kind kind;
    bool closed;  // in the usual phase
    const char *name;
} card_step;

typedef struct card_feed {  // how power gets from one place to a bus
    const char *from, *to;
    int bus;    // the part that `to` is
    bool live;  // `from`, in the usual phase
    card_step steps[CARD_STEPS_MOST];
    int step_count;
} card_feed;

typedef struct card {
    const aircraft *aircraft;
    const char *name, *tail, *equipment_date, *capacity_test, *hash;
    const char *phase;   // the usual one
    const char *dead;    // what works with everything electrical dead
    const char *counts;  // how many of the figures rest on what
    const char *handbook;
    const char *lasts;       // the source lost: less than so many minutes; "": to be filled in
    const char *goes_first;  // the function that is lost or reduced by then; ""
    bool lost;
    int less_than;             // minutes
    const char *confirmed;     // readings confirmed by hand
    const char *const *notes;  // relays that rest closed
    int note_count;
    const card_meter *meters;
    int meter_count;
    const card_phase *phases;
    int phase_count;
    card_eater eaters[CARD_EATERS];
    int eater_count;
    const card_fading *fading;
    int fading_count;
    const card_breaker *breakers;
    int breaker_count;
    const card_feed *feeds;
    int feed_count;
} card;

// What stands on every card.
extern const char card_title[], card_first[], card_void[], card_alike[], card_computed[];

#endif
