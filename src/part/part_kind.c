#include "part/part_kind.h"

#include "part/kind_rows.h"

static const part_row NOTHING = {NULL, NULL, NULL};
static const part_row POINT = {point_nodes, point_build, point_bind};
static const part_row BREAKER = {contact_nodes, breaker_build, breaker_bind};
static const part_row PLAIN_PATH = {contact_nodes, plain_path_build, plain_path_bind};
static const part_row SWITCH = {switch_nodes, switch_build, switch_bind};
static const part_row DIMMER = {contact_nodes, dimmer_build, dimmer_bind};
static const part_row RELAY = {contact_nodes, relay_build, relay_bind};
static const part_row DIODE = {contact_nodes, diode_build, diode_bind};
static const part_row BATTERY = {battery_nodes, battery_build, battery_bind};
static const part_row MACHINE = {machine_nodes, machine_build, machine_bind};
static const part_row EXTERNAL = {external_power_nodes, external_power_build, external_power_bind};
static const part_row REGULATOR = {regulator_nodes, regulator_build, regulator_bind};
// What moves without volts of its own still obeys a selector.
static const part_row MECHANISM = {item_nodes, NULL, NULL};
static const part_row ITEM = {item_nodes, item_build, item_bind};

const part_row *part_row_of(part_kind k) {
    switch (k) {
    case KIND_BATTERY: return &BATTERY;
    case KIND_ALTERNATOR:
    case KIND_GENERATOR: return &MACHINE;
    case KIND_EXTERNAL_POWER: return &EXTERNAL;
    case KIND_BUS:
    case KIND_OUTLET:
    case KIND_GROUND: return &POINT;
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER: return &BREAKER;
    case KIND_SWITCH: return &SWITCH;
    case KIND_RELAY:
    case KIND_CONTACTOR: return &RELAY;
    case KIND_DIODE: return &DIODE;
    case KIND_WIRE:
    case KIND_SHUNT:
    case KIND_RESISTOR: return &PLAIN_PATH;
    case KIND_DIMMER: return &DIMMER;
    case KIND_REGULATOR: return &REGULATOR;
    case KIND_MECHANISM: return &MECHANISM;
    case KIND_ENGINE:
    case KIND_PUMP:
    case KIND_LEVER:
    case KIND_CONNECTOR:
    case KIND_BUNDLE:
    case KIND_COUNT: return &NOTHING;
    default: return &ITEM;
    }
}
