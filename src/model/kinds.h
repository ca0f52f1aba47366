// Kinds of parts and keys of their lines, as lists that every table shares.
#ifndef DEADBUS_MODEL_KINDS_H
#define DEADBUS_MODEL_KINDS_H

#include <stdint.h>

// clang-format off
#define KIND_LIST(X)                                                                              \
    X(BATTERY, "battery") X(ALTERNATOR, "alternator") X(GENERATOR, "generator")                   \
    X(EXTERNAL_POWER, "external-power") X(BUS, "bus") X(OUTLET, "outlet") X(GROUND, "ground")     \
    X(BREAKER, "breaker") X(FUSE, "fuse") X(LIMITER, "limiter") X(SWITCH, "switch")               \
    X(RELAY, "relay") X(CONTACTOR, "contactor") X(DIODE, "diode") X(WIRE, "wire")                 \
    X(SHUNT, "shunt") X(RESISTOR, "resistor") X(DIMMER, "dimmer") X(REGULATOR, "regulator")       \
    X(CONVERTER, "converter") X(EQUIPMENT, "equipment") X(DISPLAY, "display") X(RADIO, "radio")   \
    X(INSTRUMENT, "instrument") X(LED, "led") X(LAMP, "lamp") X(HEATER, "heater")                 \
    X(MOTOR, "motor") X(SOLENOID, "solenoid") X(SOUNDER, "sounder") X(IGNITION, "ignition")       \
    X(PROBE, "probe") X(LIGHT, "light") X(AMMETER, "ammeter") X(LOADMETER, "loadmeter")           \
    X(VOLTMETER, "voltmeter") X(ENGINE, "engine") X(PUMP, "pump") X(MECHANISM, "mechanism")       \
    X(LEVER, "lever") X(CONNECTOR, "connector") X(BUNDLE, "bundle")
// clang-format on

typedef enum part_kind {
#define X(name, word) KIND_##name,
    KIND_LIST(X)
#undef X
        KIND_COUNT
} part_kind;

// Class of terminals (the format's section on terminals).
typedef enum part_class {
    CLASS_POINT,  // bus, outlet, ground
    // breaker, fuse, limiter, switch, relay, contactor, diode, wire, shunt, resistor, dimmer
    CLASS_PATH,
    CLASS_SOURCE,  // battery, alternator, generator, external power
    CLASS_UNIT,    // regulator, converter
    CLASS_ITEM,    // all else that uses power; lights and meters too
    CLASS_DRY,     // engine, pump, mechanism, lever
    CLASS_GROUP,   // connector, bundle
} part_class;

// clang-format off
#define KEY_LIST(X)                                                                               \
    X(VALUE, "")  /* the kind's own value, a figure or text */                                    \
    X(FROM, "from") X(TO, "to") X(COIL_FROM, "coil-from") X(COIL_TO, "coil-to")                   \
    X(FIELD_FROM, "field-from") X(FIELD_TO, "field-to") X(SENSE_FROM, "sense-from")               \
    X(CHARGED_FROM, "charged-from") X(RESTS_ON, "rests-on") X(PERHAPS_FROM, "perhaps-from")       \
    X(BASIS, "basis") X(WIRE, "wire") X(CAPACITY, "capacity") X(CHEMISTRY, "chemistry")           \
    X(RESISTANCE, "resistance") X(CHARGE, "charge") X(CHARGE_LIMIT, "charge-limit")               \
    X(LIMIT, "limit") X(FIELD, "field") X(TURNED_BY, "turned-by") X(DRIVE, "drive")               \
    X(RATIO, "ratio") X(IDLE, "idle") X(REGULATED_AT, "regulated-at")                             \
    X(WITHOUT_FIELD, "without-field") X(SHARES_WITH, "shares-with") X(PULLS_IN, "pulls-in")       \
    X(DROPS_OUT, "drops-out") X(COIL, "coil") X(RESTS, "rests") X(USED_AS, "used-as")             \
    X(SHOULD_BE, "should-be") X(RATING, "rating") X(POSITIONS, "positions")                       \
    X(SPRINGS_BACK, "springs-back") X(ONLY_WITH, "only-with") X(MOVES_WITH, "moves-with")         \
    X(OWN_SWITCH, "own-switch") X(OWN_BATTERY, "own-battery") X(CARRIED, "carried")               \
    X(WORKS_ABOVE, "works-above") X(OFF_BELOW, "off-below") X(TRANSMIT, "transmit")               \
    X(TRANSMITS_ABOVE, "transmits-above") X(RESTARTS_IN, "restarts-in") X(STALL, "stall")         \
    X(STARTS_WITH, "starts-with") X(STARTS_IN, "starts-in") X(AMPS, "amps") X(DUTY, "duty")       \
    X(EVERY, "every") X(FLASHES, "flashes")                                                       \
    X(EFFICIENCY, "efficiency") X(FREQUENCY, "frequency") X(FOLLOWS, "follows")                   \
    X(TRAVEL, "travel") X(TAKES, "takes") X(WHEN_DEAD, "when-dead") X(RUNS_WHEN, "runs-when")     \
    X(CLOSES_WHEN, "closes-when") X(OPENS_WHEN, "opens-when") X(TRIPS_WHEN, "trips-when")         \
    X(FAILS_WHEN, "fails-when") X(LIT_WHEN, "lit-when") X(FLASHES_WHEN, "flashes-when")           \
    X(SOUNDS_WHEN, "sounds-when") X(GROUNDED_WHEN, "grounded-when") X(TURNS, "turns")             \
    X(MOVES, "moves") X(NEEDS, "needs") X(MAKES, "makes") X(GIVES, "gives")                       \
    X(GIVES_PARTLY, "gives-partly") X(READS, "reads") X(RIGHT, "right") X(SCALE, "scale")         \
    X(SELECTED_BY, "selected-by") X(DIMMED_BY, "dimmed-by") X(PRESS_TO_TEST, "press-to-test")     \
    X(COLOR, "color") X(CARRIES, "carries") X(LABEL, "label") X(LABEL_IS, "label-is")             \
    X(ROW_BREAKER, "breaker") X(ROW_FUSE, "fuse") X(ROW_SWITCH, "switch")                         \
    X(PLACE, "place") X(REACH, "reach") X(AS_FITTED, "as-fitted") X(HANDBOOK, "handbook")         \
    X(NOTE, "note")
// clang-format on

typedef enum part_key {
#define X(name, word) KEY_##name,
    KEY_LIST(X)
#undef X
        KEY_COUNT
} part_key;

// Faults (words of `--fail ID=KIND`).
// clang-format off
#define FAULT_LIST(X)                                                                             \
    X(NONE, "") X(TRIPPED, "tripped") X(STUCK, "stuck") X(RESISTIVE, "resistive")                 \
    X(TRIPS_EARLY, "trips-early") X(BLOWN, "blown") X(STUCK_OPEN, "stuck-open")                   \
    X(STUCK_CLOSED, "stuck-closed") X(COIL_OPEN, "coil-open") X(OPEN, "open") X(SHORT, "short")   \
    X(SHORTED, "shorted") X(OVERLOAD, "overload") X(DEAD, "dead") X(WEAK, "weak")                 \
    X(SHORTED_CELL, "shorted-cell") X(LOW, "low") X(HIGH, "high") X(FULL_FIELD, "full-field")     \
    X(DIODE_OPEN, "diode-open") X(DIODE_SHORTED, "diode-shorted") X(SLIPPING, "slipping")         \
    X(SENSE_OPEN, "sense-open") X(WRONG, "wrong") X(P_LEAD_OPEN, "p-lead-open")                   \
    X(FAILED, "failed") X(WINDMILLING, "windmilling")
// clang-format on

typedef enum fault_kind {
#define X(name, word) FAULT_##name,
    FAULT_LIST(X)
#undef X
        FAULT_COUNT
} fault_kind;

const char *kind_word(part_kind k);
const char *key_word(part_key k);
const char *fault_word(fault_kind f);
part_class kind_class(part_kind k);
// Faults a part of this kind can have, as bits of fault_kind. `electric`: the item has a supply
// (`from`); for KIND_WIRE of an item also short and resistive.
uint32_t kind_faults(part_kind k, int electric);

#endif
