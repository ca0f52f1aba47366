// How long it lasts, as a result: read by reports, made by the study.
#ifndef DEADBUS_STUDY_ENDURANCE_RESULT_H
#define DEADBUS_STUDY_ENDURANCE_RESULT_H

#include "model/outcome.h"

// Cases, the worst first: choices, until many flights are drawn.
typedef enum endurance_case {
    ENDURANCE_LOW,     // 80 % of its capacity, at which a battery is rejected; pessimistic in cold
    ENDURANCE_MIDDLE,  // 90 %
    ENDURANCE_NEW,     // all of it
    ENDURANCE_CASES,
} endurance_case;

#define ENDURANCE_OUTLASTS (-1.0)

// What isn't known, and how much of the difference between flights comes from it.
typedef enum unknown_kind {
    UNKNOWN_HEALTH,  // of the batteries: capacity now over capacity when new
    UNKNOWN_COLD,    // which of the published figures for cold holds
    UNKNOWN_CHARGE,
    UNKNOWN_TEMPERATURE,
    UNKNOWN_LABEL,       // battery: whether its label means one hour or twenty
    UNKNOWN_RESISTANCE,  // battery
    UNKNOWN_DRAW,        // item
    UNKNOWN_VOLTS,       // item: below which it is weak and drops out
} unknown_kind;

typedef struct endurance_unknown {
    unknown_kind kind;
    int part;      // PART_NONE: of the flight
    double share;  // 0..1, all of them together 1
} endurance_unknown;

// What a case takes of every battery: capacity over that of a new one, the colder of the published
// figures for cold.
typedef struct endurance_assumption {
    double health;
    bool pessimistic;
} endurance_assumption;

extern const endurance_assumption endurance_assumed[ENDURANCE_CASES];

// What hands do with --shed that is never done in flight (trade practice, no source).
enum {
    NEVER_BATTERY = 1,  // a battery off the line, or off all that it feeds
    NEVER_SOURCE = 2,   // a source that works, or its output breaker
    NEVER_ENGINE = 4,   // what feeds the engine, or makes a supply
    NEVER_RADIOS = 8,   // several radios with one hand, in cloud
};

// Seconds from the loss of the sources; ENDURANCE_OUTLASTS: not within the run.
typedef struct endurance_times {
    double *items;      // part_count: first off or without data. Only items that worked before
    double *weak;       // part_count: first below what they need
    double *functions;  // function_count: first lost
    double *reduced;    // function_count: first reduced or lost, if it was kept before
    double *lets_go;    // part_count: contactor or relay that held before
    double *exhausted;  // part_count: battery
    // part_count: radio, first too few volts to transmit; item, first without enough volts while a
    // radio transmits that somebody speaks into in this phase
    double *mute, *off_transmitting;
    // part_count: item, first without enough volts while what draws most of what counts by its
    // average runs
    double *off_running;
    double *mute_for_good;  // part_count: radio, from when on it never can again; only of the cases
    // part_count: battery, 0..1, when the loss is noticed; and when the first function that must
    // stay is gone, or at the end of the run
    double *charge_noticed, *charge;
} endurance_times;

typedef struct endurance {
    endurance_times of[ENDURANCE_CASES];
    bool *counts;             // part_count: item that worked before
    bool *function_counts;    // function_count: kept or reduced before
    bool *holds, *batteries;  // part_count: contactor or relay that held before; battery
    bool *failed;             // part_count: failed at the beginning of it
    bool *must_stay;          // function_count: as asked
    bool *switched;           // part_count: moved by hand once the loss is noticed
    bool *shed;               // part_count: off by that; no loss
    bool *shed_functions;     // function_count: lost or reduced by that
    bool *shed_lost;          // function_count: of these, lost
    unsigned never;           // of that: NEVER_...
    bool *blank;              // part_count: what it lost first is its data, not its volts
    // part_count: alternator, generator or ground supply that carried load before and no longer
    // does; and that does afterwards
    bool *source_lost, *source_goes_on;
    double noticed;  // seconds from the loss of the sources
    int flights;     // drawn; 0: the three cases
    // part_count, function_count: how many of these flights lose it
    int *items_lost, *functions_lost;
    uint64_t seed;
    const endurance_unknown *unknowns;  // the largest share first
    int unknown_count;
    double lasts;            // how long each run was, at least
    double amps;             // the batteries give together, as soon as the sources are lost
    double linear;           // seconds by the linear method; ENDURANCE_OUTLASTS: nothing is drawn
    double ampere_hours;     // that it divides: the labels' sum, charge and derating taken off
    double linear_derating;  // 0.75
} endurance;

#endif
