// Any words as a question about a small aircraft, and as a topic of the help. The first byte
// chooses the command; then one word a line. A word whose first byte is small stands for the option
// of that number, as mutations seldom spell.
#include <stdint.h>

#include "ask/command_table.h"
#include "fuzz/fuzz_answer.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char small[] =
    "deadbus: 1\n"
    "aircraft: {name: Words, nominal: 28 V}\n"
    "parts:\n"
    "  engine: {engine: four cylinders}\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h}\n"
    "  battery-switch: {switch: BAT, from: battery}\n"
    "  main-bus: {bus: MAIN, from: battery-switch}\n"
    "  alternator: {alternator: 60 A, to: main-bus, regulated-at: 28 V, turned-by: engine}\n"
    "  lamp-breaker: {breaker: 5 A, from: main-bus}\n"
    "  dimmer: {dimmer: PANEL, from: lamp-breaker}\n"
    "  panel-lamps: {light: panel, amps: 1 A, from: dimmer}\n"
    "  flap-switch: {switch: FLAPS, from: main-bus, positions: {UP: 0%, HALF: 50%, DOWN: 100%}}\n"
    "  flaps: {motor: 8 A, from: main-bus, follows: flap-switch, travel: 9 s}\n"
    "phases:\n"
    "  parked: {airborne: no, on: []}\n"
    "  cruise: {airborne: yes, engine: 2400 rpm, on: [battery-switch]}\n";

enum { WORDS_MOST = 40, BYTES_MOST = 4096 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static const char *const commands[] = {"check",  "show", "state", "draw",
                                           "schema", NULL,   "",      "endurance"};
    if (size < 1 || size > BYTES_MOST)
        return 0;
    char text[BYTES_MOST + 1];
    memcpy(text, data + 1, size - 1);
    text[size - 1] = 0;
    const char *words[WORDS_MOST];
    int count = 0;
    for (char *at = text; at && count < WORDS_MOST;) {
        char *end = strchr(at, '\n');
        if (end)
            *end++ = 0;
        unsigned char first = (unsigned char)*at;
        words[count++] =
            first > 0 && first <= OPTION_COUNT ? option_at((option_id)(first - 1))->name : at;
        at = end;
    }
    unsigned choice = data[0];
    deadbus_question q = {.command = commands[choice % 8],
                          .file_name = "words.yaml",
                          .file = choice & 0x80 ? NULL : small,
                          .file_length = sizeof small - 1,
                          .options = words,
                          .option_count = count};
    if (choice % 8 == 6)  // any first word as a command
        q = (deadbus_question){
            .command = words[0], .options = words + 1, .option_count = count - 1};
    fuzz_ask(&q, (choice & 0x60) == 0x60);
    for (int i = 0; i < count; i++)
        deadbus_option_takes_value(words[i]);
    deadbus_answer answer;
    deadbus_help(NULL, words[0], &answer);
    fuzz_must(answer.exit == DEADBUS_DONE || answer.exit == DEADBUS_WRONG_USAGE, "no help",
              &answer);
    fuzz_must(answer.out && answer.messages, "without text", &answer);
    deadbus_forget(&answer);
    return 0;
}
