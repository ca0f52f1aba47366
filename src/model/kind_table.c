// Words, classes and possible faults of every kind: the tables behind kinds.h.
#include "model/kinds.h"

#include <stddef.h>

static const char *const KIND_WORDS[KIND_COUNT] = {
#define X(name, word) word,
    KIND_LIST(X)
#undef X
};

static const char *const KEY_WORDS[KEY_COUNT] = {
#define X(name, word) word,
    KEY_LIST(X)
#undef X
};

static const char *const FAULT_WORDS[FAULT_COUNT] = {
#define X(name, word) word,
    FAULT_LIST(X)
#undef X
};

static const part_class CLASSES[KIND_COUNT] = {
    [KIND_BATTERY] = CLASS_SOURCE,   [KIND_ALTERNATOR] = CLASS_SOURCE,
    [KIND_GENERATOR] = CLASS_SOURCE, [KIND_EXTERNAL_POWER] = CLASS_SOURCE,
    [KIND_BUS] = CLASS_POINT,        [KIND_OUTLET] = CLASS_POINT,
    [KIND_GROUND] = CLASS_POINT,     [KIND_BREAKER] = CLASS_PATH,
    [KIND_FUSE] = CLASS_PATH,        [KIND_LIMITER] = CLASS_PATH,
    [KIND_SWITCH] = CLASS_PATH,      [KIND_RELAY] = CLASS_PATH,
    [KIND_CONTACTOR] = CLASS_PATH,   [KIND_DIODE] = CLASS_PATH,
    [KIND_WIRE] = CLASS_PATH,        [KIND_SHUNT] = CLASS_PATH,
    [KIND_RESISTOR] = CLASS_PATH,    [KIND_DIMMER] = CLASS_PATH,
    [KIND_REGULATOR] = CLASS_UNIT,   [KIND_CONVERTER] = CLASS_UNIT,
    [KIND_EQUIPMENT] = CLASS_ITEM,   [KIND_DISPLAY] = CLASS_ITEM,
    [KIND_RADIO] = CLASS_ITEM,       [KIND_INSTRUMENT] = CLASS_ITEM,
    [KIND_LED] = CLASS_ITEM,         [KIND_LAMP] = CLASS_ITEM,
    [KIND_HEATER] = CLASS_ITEM,      [KIND_MOTOR] = CLASS_ITEM,
    [KIND_SOLENOID] = CLASS_ITEM,    [KIND_SOUNDER] = CLASS_ITEM,
    [KIND_IGNITION] = CLASS_ITEM,    [KIND_PROBE] = CLASS_ITEM,
    [KIND_LIGHT] = CLASS_ITEM,       [KIND_AMMETER] = CLASS_ITEM,
    [KIND_LOADMETER] = CLASS_ITEM,   [KIND_VOLTMETER] = CLASS_ITEM,
    [KIND_ENGINE] = CLASS_DRY,       [KIND_PUMP] = CLASS_DRY,
    [KIND_MECHANISM] = CLASS_DRY,    [KIND_LEVER] = CLASS_DRY,
    [KIND_CONNECTOR] = CLASS_GROUP,  [KIND_BUNDLE] = CLASS_GROUP,
};

// Bits of fault_kind
#define F(name) (UINT32_C(1) << FAULT_##name)
#define CONTACT (F(STUCK_OPEN) | F(STUCK_CLOSED) | F(RESISTIVE))
#define TOLD    (F(DEAD) | F(STUCK) | F(WRONG))

// Faults that a kind has whether or not it is electric.
static const uint32_t FAULTS[KIND_COUNT] = {
    [KIND_BATTERY] = F(DEAD) | F(WEAK) | F(OPEN) | F(SHORTED_CELL),
    [KIND_ALTERNATOR] =
        F(DEAD) | F(LOW) | F(HIGH) | F(FULL_FIELD) | F(DIODE_OPEN) | F(DIODE_SHORTED) | F(SLIPPING),
    [KIND_GENERATOR] = F(DEAD) | F(LOW) | F(HIGH) | F(FULL_FIELD) | F(SLIPPING),
    [KIND_EXTERNAL_POWER] = F(DEAD) | F(LOW) | F(HIGH),
    [KIND_BUS] = F(SHORT) | F(OPEN),
    [KIND_OUTLET] = F(SHORT) | F(OPEN),
    [KIND_GROUND] = F(OPEN) | F(RESISTIVE),
    [KIND_BREAKER] = F(TRIPPED) | F(STUCK) | F(RESISTIVE) | F(TRIPS_EARLY),
    [KIND_FUSE] = F(BLOWN) | F(RESISTIVE),
    [KIND_LIMITER] = F(BLOWN) | F(RESISTIVE),
    [KIND_SWITCH] = CONTACT,
    [KIND_RELAY] = CONTACT | F(COIL_OPEN),
    [KIND_CONTACTOR] = CONTACT | F(COIL_OPEN),
    [KIND_DIODE] = F(OPEN) | F(SHORTED),
    [KIND_WIRE] = F(OPEN) | F(SHORT) | F(RESISTIVE),
    [KIND_SHUNT] = F(OPEN) | F(RESISTIVE),
    [KIND_RESISTOR] = F(OPEN) | F(SHORT),
    [KIND_DIMMER] = CONTACT,
    [KIND_REGULATOR] = F(DEAD) | F(LOW) | F(HIGH) | F(FULL_FIELD) | F(SENSE_OPEN),
    [KIND_INSTRUMENT] = TOLD,
    [KIND_MOTOR] = F(STUCK),
    [KIND_SOUNDER] = F(DEAD),
    [KIND_IGNITION] = F(P_LEAD_OPEN) | F(FAILED),
    [KIND_PROBE] = F(FAILED),
    [KIND_LIGHT] = TOLD,
    [KIND_AMMETER] = TOLD,
    [KIND_LOADMETER] = TOLD,
    [KIND_VOLTMETER] = TOLD,
    [KIND_ENGINE] = F(FAILED) | F(WINDMILLING),
    [KIND_PUMP] = F(FAILED),
    [KIND_MECHANISM] = F(STUCK),
    [KIND_LEVER] = F(STUCK),
    [KIND_CONNECTOR] = F(OPEN),
    [KIND_BUNDLE] = F(OPEN) | F(SHORT),
};

// Lights and meters have their own three words instead of open, short and overload.
static int has_load_faults(part_kind k) {
    switch (k) {
    case KIND_CONVERTER:
    case KIND_EQUIPMENT:
    case KIND_DISPLAY:
    case KIND_RADIO:
    case KIND_INSTRUMENT:
    case KIND_LED:
    case KIND_LAMP:
    case KIND_HEATER:
    case KIND_MOTOR:
    case KIND_SOLENOID:
    case KIND_SOUNDER:
    case KIND_IGNITION:
    case KIND_PROBE: return 1;
    default: return 0;
    }
}

const char *kind_word(part_kind k) { return KIND_WORDS[k]; }

const char *key_word(part_key k) { return KEY_WORDS[k]; }

const char *fault_word(fault_kind f) { return FAULT_WORDS[f]; }

part_class kind_class(part_kind k) { return CLASSES[k]; }

uint32_t kind_faults(part_kind k, int electric) {
    uint32_t faults = FAULTS[k];
    if (electric && has_load_faults(k)) {
        faults |= F(OPEN) | F(SHORT) | F(OVERLOAD);
    }
    return faults;
}
