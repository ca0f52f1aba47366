// The one table of a scenario file's keys. Drives the reader, defaults, ranges, the JSON Schema,
// the reference page and the fuzzer's dictionary.
#ifndef DEADBUS_MODEL_SCENARIO_TABLE_H
#define DEADBUS_MODEL_SCENARIO_TABLE_H

#include "model/field_table.h"
#include "model/scenario.h"

typedef enum scenario_place {
    PLACE_TOP,
    PLACE_START,
    PLACE_STEP,  // an entry of `happens`
    PLACE_ENDS,
    PLACE_COUNT
} scenario_place;

typedef enum scenario_type {
    SCENARIO_VERSION,
    SCENARIO_TEXT,
    SCENARIO_NOTE,     // text that may be a block
    SCENARIO_SECTION,  // a map of its own keys
    SCENARIO_STEPS,    // a list of such maps
    SCENARIO_FIGURE,
    SCENARIO_WORD,
    SCENARIO_PHASE,
    SCENARIO_SETTINGS,  // id or condition: position
    SCENARIO_OUTSIDE,   // condition: figure, or yes or no
    SCENARIO_FAULTS,    // id: fault
    SCENARIO_MOMENT,
    SCENARIO_WATCH,
    SCENARIO_THINGS,  // ids and functions
    SCENARIO_RECORDS,
} scenario_type;

typedef enum scenario_key {
    TOP_SCENARIO,
    TOP_TITLE,
    TOP_AIRCRAFT,
    TOP_TEACHES,
    TOP_BELIEF,
    TOP_NOTE,
    TOP_START,
    TOP_HAPPENS,
    TOP_RECORD,
    TOP_ENDS,
    START_PHASE,
    START_SET,
    START_FAIL,
    START_CHARGE,
    START_CASE,
    START_CAPACITY,
    START_TEMPERATURE,
    STEP_AT,
    STEP_SAY,
    STEP_ASK,
    STEP_PHASE,
    STEP_SET,
    STEP_OUTSIDE,
    STEP_FAIL,
    STEP_REPAIR,
    STEP_ABOUT,
    STEP_ANSWERED,
    STEP_HOW_LONG,
    STEP_BECAUSE,
    ENDS_AT,
    ENDS_WHEN,
    SCENARIO_KEYS
} scenario_key;

typedef struct scenario_field {
    scenario_place place;
    const char *name;
    scenario_type type;
    bool needed;
    field figure;  // units and range, figures only
    const char *words;
    const char *otherwise;  // what holds if it isn't given, in words; NULL
    const char *doc, *example;
} scenario_field;

const scenario_field *scenario_field_at(scenario_key k);
const char *scenario_place_word(scenario_place p);  // "the file", "`start`"...

// A word that a watch may end with.
typedef struct watch_word {
    const char *word;
    watch_op op;
    int status;
    const char *said_of;  // in words
    const char *doc;
} watch_word;

const watch_word *watch_word_at(int i);  // NULL: no more

#endif
