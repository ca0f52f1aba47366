// A scenario: what happens to one aeroplane on a time line, as read from its file. Const once read.
// Seconds, volts, amps; shares from 0 to 1. All text is owned by the scenario and ends with 0.
#ifndef DEADBUS_MODEL_SCENARIO_H
#define DEADBUS_MODEL_SCENARIO_H

#include "model/state.h"

// Something that a run looks at all the time: it holds or it doesn't.
typedef enum watch_op {
    WATCH_LIT,        // light lit or flashing, sounder sounds
    WATCH_DARK,       // light out, sounder silent
    WATCH_STATUS,     // item: `status`; weak also holds when it is off
    WATCH_FUNCTION,   // function: `status`; reduced also holds when it is lost
    WATCH_TRIPPED,    // breaker or fuse, by its own current
    WATCH_OPEN,       // contact of a relay, contactor or switch
    WATCH_CLOSED,     //
    WATCH_EXHAUSTED,  // battery
    WATCH_VOLTS,      // item or battery: across it; everything else: to the airframe
    WATCH_AMPS,       // as the format signs them
    WATCH_CHARGE,     // battery
} watch_op;

typedef struct scenario_watch {
    watch_op op;
    int part;      // -1: `function`
    int function;  // -1: `part`
    int status;    // item_status or function_status
    bool below;
    double value;
    const char *words;  // as written
} scenario_watch;

// A moment: so many seconds from the start, or after a watch first holds.
typedef struct scenario_moment {
    double seconds;
    int watch;  // index; -1: from the start
} scenario_moment;

typedef enum change_kind {
    CHANGE_SET,          // part: its setting, as in a state
    CHANGE_FLAG,         // a condition of the phase: `flag`, setting 0 or 1
    CHANGE_THROTTLE,     // 0..1
    CHANGE_AIRSPEED,     // knots
    CHANGE_TEMPERATURE,  // celsius, of the air
    CHANGE_FAIL,
    CHANGE_REPAIR,
    CHANGE_PHASE,  // to phase `part`: what it sets otherwise than the one before
} change_kind;

typedef enum condition_flag {
    FLAG_AIRBORNE,
    FLAG_NIGHT,
    FLAG_CLOUD,
    FLAG_ICING,
    FLAG_STALL_NEAR,
} condition_flag;

typedef struct scenario_change {
    change_kind kind;
    int part;
    condition_flag flag;
    double setting;
    fault_kind fault;
    const char *word;  // the position or fault as written
} scenario_change;

typedef struct scenario_thing {  // one of them is -1
    int part, function;
} scenario_thing;

// A prediction to ask for; its answer is what the run comes to.
typedef struct scenario_question {
    const char *ask;  // NULL: nothing is asked
    const scenario_thing *about;
    int about_count;
    double answered;      // seconds after the step
    int until;            // watch whose first holding is asked for; -1: none
    const char *because;  // one line to take away; ""
} scenario_question;

typedef struct scenario_step {
    scenario_moment at;
    const scenario_change *changes;
    int change_count;
    const char *say;  // narration; ""
    scenario_question question;
    span span;
} scenario_step;

typedef enum scenario_record_of { RECORD_VOLTS, RECORD_AMPS, RECORD_CHARGE } scenario_record_of;

typedef struct scenario_record {
    int part;
    scenario_record_of of;
} scenario_record;

typedef struct scenario {
    arena memory;
    const char *title, *aircraft, *teaches, *belief, *note;
    int phase;
    const scenario_change *start;
    int start_count;
    double charge;       // -1: as the file of the aircraft says
    double temperature;  // celsius
    bool has_temperature;
    double health;     // of every battery: capacity now over capacity when new
    bool pessimistic;  // the colder of the published figures for cold
    const scenario_watch *watches;
    int watch_count;
    const scenario_step *steps;  // in the order of the file
    int step_count;
    const scenario_record *records;
    int record_count;
    double lasts;
    int ends;  // watch that ends it; -1: none
} scenario;

// Reads and checks a whole file for this aircraft. All findings go to `out`. STATUS_OK, and
// `*made` is to be freed; STATUS_BAD_FILE or STATUS_NO_MEMORY, and there is none.
status scenario_read(allocator memory, const aircraft *a, const char *source, size_t length,
                     scenario **made, findings *out);
void scenario_free(scenario *s);

// The JSON Schema, the reference page and the fuzzer's dictionary of scenario files.
status scenario_schema_write(text *out);
status scenario_page_write(text *out);
status scenario_dictionary_write(text *out);

#endif
