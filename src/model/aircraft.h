// One aeroplane, as read from its file: parts, phases, functions. Built once, then const.
// All figures are SI (volts, amps, ohms, seconds, coulombs, kelvin differences in celsius,
// fractions for percent, meters, turns as rpm). All text is owned by the aircraft and ends with
// 0.
#ifndef DEADBUS_MODEL_AIRCRAFT_H
#define DEADBUS_MODEL_AIRCRAFT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/findings.h"
#include "base/status.h"
#include "model/kinds.h"

// Where a figure or a connection comes from, weakest first.
typedef enum basis {
    BASIS_ASSUMED,  // a default
    BASIS_GUESS,
    BASIS_UNSTATED,  // written in the file without saying where it is from
    BASIS_BOOK,
    BASIS_MEASURED,
    BASIS_SURVEY,  // connections only
} basis;

// Units a figure was written in; `value` is SI all the same.
typedef enum unit {
    UNIT_NONE,
    UNIT_VOLT,
    UNIT_AMP,
    UNIT_OHM,
    UNIT_WATT,
    UNIT_AMP_HOUR,
    UNIT_SECOND,
    UNIT_CELSIUS,
    UNIT_PERCENT,
    UNIT_RPM,
    UNIT_PER_MINUTE,
    UNIT_HERTZ,
    UNIT_KNOT,
    UNIT_METER,
    UNIT_RATIO,
} unit;

typedef struct figure {
    double value;      // SI; the middle of a band
    double low, high;  // ends of the band, or equal to value
    double at;         // SI; the `at` figure, meaningful if at_unit is one
    unit unit, at_unit;
    basis basis;
    const char *where;  // date, or document and page; ""
    span span;          // in the file; line 0 if assumed
} figure;

// A terminal of a part.
typedef enum terminal {
    TERMINAL_SELF,     // what the id alone stands for
    TERMINAL_FIELD,    // alternator, generator
    TERMINAL_SENSE,    // regulator, external power
    TERMINAL_COIL,     // relay, contactor
    TERMINAL_CONTACT,  // a switch's contact for `position`
    TERMINAL_NONE,     // `unknown`: not connected yet
} terminal;

#define PART_AIRFRAME (-1)  // the part of a reference to `ground`
#define PART_NONE     (-2)

// What a text becomes: the id of a switch with a list of positions is its contact ON
// (TERMINAL_CONTACT); a plain switch (no `positions`) is TERMINAL_SELF, its `at OFF`
// TERMINAL_CONTACT 0, its `at ON` SELF.
typedef struct reference {
    int part;  // index, PART_AIRFRAME or PART_NONE
    terminal terminal;
    int position;  // TERMINAL_CONTACT: index into that switch's positions
    span span;
} reference;

typedef struct reference_list {
    const reference *items;
    int count;
    bool diodes;  // written as a list: each through a diode of its own
} reference_list;

typedef struct text_list {
    const char *const *items;
    int count;
} text_list;

// ---- conditions ---------------------------------------------------------------------------------
typedef enum condition_op {
    CONDITION_ALWAYS,
    CONDITION_NEVER,
    CONDITION_AND,
    CONDITION_OR,
    CONDITION_NOT,     // a, b: nodes (NOT: a)
    CONDITION_LATCH,   // set by a, ended by b (`until`)
    CONDITION_FOR,     // a held for `value` seconds (instant answers take it as over)
    CONDITION_VOLTS,   // `ref` to the airframe (item or battery: across it) above/below value
    CONDITION_AMPS,    // amps through ref.part above/below value
    CONDITION_DIFFER,  // volts of `ref` above/below those of `other` by `value`
    CONDITION_CHARGE,  // battery ref.part's charge (0..1)
    CONDITION_TRAVEL,  // place of ref.part (0..1) above/below value
    CONDITION_RPM,     // engine ref.part
    CONDITION_THROTTLE,
    CONDITION_AIRSPEED,
    CONDITION_TEMPERATURE,  // of the phase
    // ref.part on: switch not at OFF; item works; source on line (connected, turning, excited)
    CONDITION_ON,
    CONDITION_IN,      // breaker or fuse in and whole
    CONDITION_CLOSED,  // contact of relay, contactor, switch
    // engine (or motor that turns things)
    CONDITION_RUNNING,
    CONDITION_WINDMILLING,
    CONDITION_STOPPED,
    CONDITION_MOVING,  // thing with places under way
    // ref.part at position `position` (switch: selected; mechanism or item with places: place
    // reached)
    CONDITION_AT,
    CONDITION_PRESENT,  // supply number `supply` is there
    CONDITION_AIRBORNE,
    CONDITION_NIGHT,
    CONDITION_CLOUD,
    CONDITION_ICING,
    CONDITION_STALL_NEAR,
    // ref.part works: item on or weak with its needs met; path closed and whole; bus live
    CONDITION_WORKS,
} condition_op;

typedef struct condition {
    condition_op op;
    bool below;  // comparisons: below instead of above
    int a, b;    // indices into aircraft.conditions, -1: none
    reference ref, other;
    int supply;
    int position;
    double value;  // SI
    double place;  // CONDITION_AT on something with places: its fraction
    span span;
} condition;

// ---- parts --------------------------------------------------------------------------------------
typedef enum position_sort {
    POSITIONS_CONTACTS,
    POSITIONS_PLACES,
    POSITIONS_SETTINGS
} position_sort;

typedef struct positions {
    position_sort sort;
    int count;
    const char *const *labels;
    const double *figures;  // places 0..1, settings in amps; NULL for contacts
} positions;

typedef struct wire_run {
    int gauge;  // AWG; 1/0 to 4/0 are 0, -1, -2, -3
    double meters;
    basis basis;
    const char *where;
} wire_run;

typedef enum value_type {
    VALUE_FIGURE,
    VALUE_TEXT,
    VALUE_YES,
    VALUE_REFERENCES,
    VALUE_IDS,
    VALUE_CONDITION,
    VALUE_CONDITIONS,
    VALUE_NAMES,
    VALUE_WIRE,
    VALUE_POSITIONS,
    VALUE_READS,
} value_type;

// What an instrument reads or which way is right, for each position of its selector (one without).
typedef struct reading {
    // READS: a node or a part; RIGHT: the end that the needle's right hand points to
    reference ref;
    int position;  // of `selected-by`, -1 without
} reading;

typedef struct part_value {
    part_key key;
    value_type type;
    span span;
    union {
        figure figure;
        const char *text;
        bool yes;
        reference_list references;
        struct {
            const int *items;
            int count;
        } ids;          // parts
        int condition;  // index into aircraft.conditions
        struct {
            const int *items;
            int count;
        } conditions;  // needs: every one must hold
        text_list names;
        wire_run wire;
        positions positions;
        struct {
            const reading *items;
            int count;
        } reads;
    } as;
} part_value;

typedef enum implied {
    IMPLIED_NO,
    IMPLIED_ROW_BREAKER,  // id.breaker, from the short row (also for `fuse:`)
    IMPLIED_ROW_SWITCH,   // id.switch
    IMPLIED_WIRE,         // id.wire: an item's own wire, or that of a path with `wire:`
    IMPLIED_STRAP,        // id.strap: a point's strap to its `from`
} implied;

// Bits of part.fitted
enum {
    FITTED_NO_PULL = 1,
    FITTED_COLLARED = 2,
    FITTED_SPARE = 4,
    FITTED_INOPERATIVE = 8,
    FITTED_ABSENT = 16
};

typedef enum reach { REACH_SEAT, REACH_GROUND, REACH_TOOLS } reach;
typedef enum section { SECTION_PARTS, SECTION_SEEN, SECTION_TOGETHER } section;

// Which keys are there, as bits.
typedef struct key_set {
    uint64_t bits[KEY_COUNT / 64 + 1];
} key_set;
static inline bool key_set_has(const key_set *s, part_key k) {
    return (s->bits[(int)k / 64] >> ((int)k % 64) & 1) != 0;
}
static inline void key_set_add(key_set *s, part_key k) {
    s->bits[(int)k / 64] |= UINT64_C(1) << ((int)k % 64);
}

typedef struct part {
    const char *id;     // with the suffix for implied parts
    const char *label;  // as printed; never empty
    part_kind kind;
    section section;
    implied implied;
    int host;  // implied parts: the part whose line it stands on; else its own index
    int wire;  // index of id.wire (of a point: id.strap), -1 if none
    int row_breaker, row_switch;  // indices of the implied row parts, -1
    span span;                    // of the id in the file (host's for implied parts)
    // sorted by key; defaults that apply are filled in (basis assumed)
    const part_value *values;
    int value_count;
    key_set keys;   // of the values: most look-ups are for keys that a part hasn't
    bool electric;  // has circuit terminals
    bool hand;      // a switch, dimmer, breaker... that a hand operates (no closes-when)
    uint8_t fitted;
    reach reach;
    // The place on the panel: row and number from 1, 0 if not given
    const char *panel;
    int row, number;
    int ground;       // index of the ground part that carries its return, -1: the airframe
    basis connected;  // basis of its connections
    const char *connected_where;
} part;

// ---- functions, supplies, phases ----------------------------------------------------------------
typedef struct supply {  // vacuum, fuel-pressure...: made by parts
    const char *name;
    const int *makers;
    int count;
} supply;

typedef struct function {
    const char *name;
    bool routed;  // the routes below replace gives and gives-partly
    struct {
        const int *items;
        int count;
    } kept_by, partly_by;  // conditions
    struct {
        const int *items;
        int count;
    } gives, gives_partly;  // parts
    span span;
} function;

typedef struct phase {
    const char *name;
    span span;
    // Per part (index), what the phase sets; see state.h for its meaning
    const double *setting;
    const double *duty;  // 0..1 share, NAN-free: -1 where the phase says nothing
    bool airborne, night, cloud, icing, stall_near;
    double throttle, airspeed, temperature;  // 0..1, knots, celsius
    bool has_throttle, has_airspeed;
    double lasts;  // seconds, 0: not given
    struct confirmed {
        int part;
        figure figure;
    } const *reads;  // readings confirmed by hand
    int read_count;
} phase;

typedef struct question {  // what a survey left open
    int part, found, but;
    const char *by, *asked;
    span span;
} question;

typedef struct paper {
    const char *key, *value;
    span span;
} paper;

typedef struct aircraft {
    arena memory;
    const char *source;  // the bytes of the file, for editing; owned; NULL: carried (carried.h)
    size_t source_length;
    uint64_t fingerprint;  // of those bytes
    const char *name, *tail, *note;
    double nominal;  // volts
    int seats;
    const part *parts;
    int part_count;    // implied parts stand right after their host
    const int *by_id;  // indices of all parts, sorted by id
    const condition *conditions;
    int condition_count;
    const supply *supplies;
    int supply_count;
    const function *functions;
    int function_count;
    // at least one: without `phases:` a phase named "as-set" with every switch off
    const phase *phases;
    int phase_count;
    const question *questions;
    int question_count;
    const paper *papers;
    int paper_count;
} aircraft;

// Reads and checks a whole file. All findings go to `out`. On STATUS_OK `*made` is the aircraft
// (free it); on STATUS_BAD_FILE there is none. `source` is copied.
status aircraft_read(allocator memory, const char *source, size_t length, aircraft **made,
                     findings *out);
void aircraft_free(aircraft *a);

// Four bytes of the file's fingerprint, as "7c41 09ee": tells a card from one of an older file.
enum { REVISION_SIZE = 10 };
void aircraft_revision(const aircraft *a, char made[REVISION_SIZE]);

// Look-ups. NULL or -1: not there.
int aircraft_part(const aircraft *a, const char *id);
int aircraft_phase(const aircraft *a, const char *name);
// The id nearest to a mistyped one (for hints), NULL if none is near.
const char *aircraft_nearest_part(const aircraft *a, const char *id);

const part_value *part_value_of(const part *p, part_key k);
// The figure of a key, given or assumed; NULL if the key has neither.
const figure *part_figure(const part *p, part_key k);
double part_number(const part *p, part_key k, double otherwise);
const char *part_text(const part *p, part_key k);                  // NULL if not given
const reference_list *part_references(const part *p, part_key k);  // NULL if not given
int part_condition(const part *p, part_key k);                     // -1 if not given
const positions *part_positions(const part *p);                    // NULL if it has none
const text_list *part_names(const part *p, part_key k);            // NULL
// the first (or only) part named; -1
int part_id(const part *p, part_key k);
// What an item draws, as written (amps at nominal volts unless `at`, or watts). NULL: it has no
// supply. It is the figure of KEY_VALUE, or of KEY_AMPS for kinds whose value is text (light,
// probe, ignition, meters). The text of a kind with a figure (`radio: COM 1`) goes to `label`;
// its figure is `amps:` or the default. Not for converters: theirs follows from what they feed.
const figure *part_draw(const part *p);
// 2 for a 28 V aeroplane, 1 for a 14 V one: by nominal above 20 V. Defaults with two figures use
// it.
bool aircraft_is_28(const aircraft *a);

#endif
