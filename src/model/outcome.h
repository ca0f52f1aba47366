// The answer to one state: every part's volts and amps, what is lost and kept, why, and what the
// pilot sees. Plain results: made by the circuit room, read by draw, report and ask.
#ifndef DEADBUS_MODEL_OUTCOME_H
#define DEADBUS_MODEL_OUTCOME_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "model/aircraft.h"
#include "model/state.h"

typedef enum item_status {
    ITEM_NONE,  // not an item (bus, breaker, switch, group...)
    ITEM_ON,
    ITEM_WEAK,     // below its minimum but not dead
    ITEM_OFF,      // wanted and dead
    ITEM_NO_DATA,  // powered (or needing no power), but what it needs isn't there
    ITEM_UNUSED,   // switched off in this phase
} item_status;

enum { CAUSES_MOST = 8 };

typedef struct part_outcome {
    double volts;      // item, battery, source: across it; point: to the airframe; path: across it
    double end_volts;  // path: of its unnamed end (its id), to the airframe; else = volts
    double amps;       // from `from` to `to`; sources: out of the output; battery: discharging
    double lowest, highest;  // chattering: volts over the cycle; else = volts
    bool live;      // its supply side (point, item, source: itself; path: either end) is live
    bool draining;  // live, and only batteries feed it
    bool
        // path: conducts now (contact closed, breaker in, diode conducting counts as closed)
        closed;
    bool tripped;    // breaker, fuse: opened by its own current in this answer
    bool may_trip;   // breaker between 1.15 and 1.38 of its rating: may trip within the hour
    bool energized;  // relay, contactor: its coil holds
    bool chatters;   // flips for ever in this answer
    bool lit;        // light: lit now; sounder: sounds now
    bool flashing;   // light: in its flashing code
    bool works;      // item on or weak with its needs met; dry part doing its work; source on line
    bool available;  // works, or would if it were switched on / asked for
    bool wanted;     // not switched off by its own switch
    item_status status, base_status;
    // Why it isn't on (status OFF, WEAK or NO_DATA): parts to blame, and a sentence.
    int causes[CAUSES_MOST];
    int cause_count;
    int traced;  // the part that walking back through the circuit alone arrived at, -1: at none
    const char *reason;  // "" if there is nothing to say; owned by the outcome's arena
} part_outcome;

typedef enum function_status { FUNCTION_KEPT, FUNCTION_REDUCED, FUNCTION_LOST } function_status;

typedef struct function_outcome {
    function_status status, base_status;
    int by[CAUSES_MOST];  // parts that still give it (kept, reduced)
    int by_count;
    bool without_volts;  // kept, and still kept were every source of the aeroplane dead
} function_outcome;

// One instrument or light in `aircraft.parts`.
typedef struct indication {
    int part;
    bool valid;  // the figure means something (the instrument works)
    double
        figure;  // amps or volts as the instrument shows them (signed by its `right`), lights 0/1/2
    double normal;  // the same in the phase's base
    bool normal_valid;
    double low, high;     // stops of its scale, in what `figure` is in; equal: none, or digital
    const char *unit;     // of a meter: "A", "V", "%"; NULL of the others
    const char *reading;  // "-57 A", "23.8 V", "lit", "out", "flashing", "reads its left stop"
    const char *says;     // in words: "discharge: everything on the bus comes from the battery"
    bool soon;            // light that is out: a loaded battery's sag will bring it
} indication;

typedef enum source_mode {
    SOURCE_OFF,       // not turning, not connected, dead
    SOURCE_NO_FIELD,  // turning, not excited
    SOURCE_TRIPPED,   // its control unit's over-voltage latch holds it off
    SOURCE_IDLE,      // on line, gives nothing (something else holds the volts above its set point)
    SOURCE_REGULATING,
    SOURCE_LIMITED,      // at its limit: the volts sag
    SOURCE_CHARGING,     // battery
    SOURCE_DISCHARGING,  // battery
} source_mode;

typedef struct source_outcome {
    int part;
    bool battery;
    double volts, amps, charge, limit;  // limit: amps it can give now
    source_mode mode;
    bool joins_bus;      // closed parts lead from it to a bus
    bool joins_battery;  // and to a battery that isn't open or dead
} source_outcome;

typedef enum outcome_settled {
    OUTCOME_SETTLED,
    OUTCOME_CHATTERS,
    OUTCOME_COLLAPSED
} outcome_settled;

typedef struct outcome {
    arena memory;  // holds all below
    const aircraft *aircraft;
    outcome_settled settled;
    bool instant;                 // of no moment of a run: its batteries have not sagged yet
    state state;                  // what was asked (setting owned by the arena)
    part_outcome *parts;          // part_count
    function_outcome *functions;  // function_count
    bool *supplies;               // supply_count: present
    indication *indications;
    int indication_count;
    source_outcome *sources;
    int source_count;
    int trips[64];  // parts that tripped, in order
    int trip_count;
    int basis[BASIS_MEASURED + 1];  // how many of the figures used rest on what
    const char *sentence;           // one plain status sentence: what just happened
} outcome;

const char *item_status_word(item_status s);          // "on", "weak", "off", "no-data", "unused"
const char *function_status_word(function_status s);  // "kept", "reduced", "lost"
const char *source_mode_word(source_mode m);
// A generator that turns without being excited: what it gives is of its iron, and of no use.
bool source_residual_only(const aircraft *a, const source_outcome *s);
const char *outcome_settled_word(outcome_settled s);  // "yes", "chatters", "collapsed"

#endif
