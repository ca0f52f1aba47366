// What came of a scenario: read by reports and charts, made by scenario_play. Plain results.
#ifndef DEADBUS_TIMELINE_SCENARIO_RESULT_H
#define DEADBUS_TIMELINE_SCENARIO_RESULT_H

#include "model/outcome.h"
#include "model/scenario.h"

// One thing that happened.
typedef struct log_line {
    // "start", "end", "says", "asks", "phase", "set", "fails", "repaired"; of items "on", "weak",
    // "off", "no-data", "unused", "restarts", "off-transmitting",
    // "off-running"; of functions "kept", "reduced",
    // "lost"; of lights "lit", "out"; of relays "closes", "opens"; of sources "source-off",
    // "no-field", "over-volts", "idle", "regulating", "limited", "off-bus"; of radios "mute",
    // "transmits"; of what draws part of the time "pauses"; of what starts "dips"; of wires "hot",
    // and beforehand "warms"; "trips", "exhausted", "chatters"
    const char *what;
    int part, function;  // -1: none
    const char *words;   // a sentence
    bool by_hand;        // the scenario brought it, not the circuit
} log_line;

// What a pilot sees differ from the last entry.
typedef struct log_sight {
    int part;
    const char *reading;
} log_sight;

// All that happened at one instant, and what is seen once it has settled.
typedef struct log_entry {
    double at;  // seconds
    const log_line *lines;
    int line_count;
    const log_sight *sights;
    int sight_count;
} log_entry;

typedef struct log_fact {
    scenario_thing thing;
    const char *words;  // "−18 A", "lit", "lost", "48 %"
} log_fact;

typedef struct log_answer {
    const scenario_question *question;
    double asked, looked;  // seconds from the start; looked < 0: the run ended before
    const log_fact *facts;
    int fact_count;
    double how_long;  // seconds from the question; < 0: not before the end
} log_answer;

typedef struct scenario_log {
    arena memory;
    const aircraft *aircraft;
    const scenario *scenario;
    const log_entry *entries;
    int entry_count;
    const log_answer *answers;
    int answer_count;
    // The trace: rows of time, never falling, and a value a record; two rows of one time stand
    // about what happened.
    const double *times;
    const double *values;  // row_count x scenario->record_count; volts, amps, charge 0..1
    int row_count;
    double ended;  // seconds
    int solves;
} scenario_log;

#endif
