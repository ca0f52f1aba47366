// Any bytes as a scenario of a small aircraft. The first byte chooses the form of the answer.
#include <stdint.h>

#include "fuzz/fuzz_answer.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char small[] =
    "deadbus: 1\n"
    "aircraft: {name: Small, nominal: 28 V}\n"
    "parts:\n"
    "  engine: {engine: four cylinders}\n"
    "  battery: {battery: 24 V, capacity: 2 Ah at 1 h}\n"
    "  contactor: {contactor: continuous, from: battery, to: main-bus, coil-to: battery-switch, "
    "coil-from: battery}\n"
    "  battery-switch: {switch: BAT, to: ground}\n"
    "  main-bus: {bus: MAIN}\n"
    "  alternator: {alternator: 60 A, to: main-bus, field-from: alternator-switch, turned-by: "
    "engine}\n"
    "  alternator-switch: {switch: ALT, from: main-bus, only-with: battery-switch}\n"
    "  lamp: {lamp: 40 W, from: main-bus, breaker: 3 A LAMP, switch: LAMP, gives: light}\n"
    "  com-1: {radio: 0.6 A, transmit: 5 A, from: main-bus, breaker: 5 A COM, own-switch: PWR, "
    "gives: communication, transmits-above: 22 V}\n"
    "  flap-switch: {switch: FLAPS, from: main-bus, positions: {UP: 0%, HALF: 50%, DOWN: 100%}}\n"
    "  flaps: {motor: 8 A, from: flap-switch, travel: 9 s, gives: flaps}\n"
    "seen:\n"
    "  ammeter: {ammeter: center-zero, reads: contactor, right: towards battery, scale: 60 A}\n"
    "  low-volts: {light: LOW VOLTS, lit-when: main-bus below 25 V for 2 s, from: main-bus}\n"
    "phases:\n"
    "  parked: {engine: stopped}\n"
    "  cruise: {airborne: yes, engine: 2400 rpm, on: [battery-switch, alternator-switch, com-1]}\n";

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    if (size < 1)
        return 0;
    static const char *const FORMS[] = {"--json", "--csv", "--chart"};
    unsigned form = data[0] % 4;
    deadbus_question q = {.command = "run",
                          .file_name = "small.yaml",
                          .file = small,
                          .file_length = sizeof small - 1,
                          .options = &FORMS[form < 3 ? form : 0],
                          .option_count = form < 3 ? 1 : 0,
                          .scenario = (const char *)data + 1,
                          .scenario_length = size - 1,
                          .scenario_name = "bytes.yaml"};
    fuzz_ask(&q, (data[0] & 0xE0) == 0xE0);
    return 0;
}
