// What a student's page asks, in the one form it asks for. Everything else stays out of the module
// that every page carries; a new command comes in by a line here, once the page has a use for it.
#include "ask/answers.h"

const command_answers answers_here[COMMAND_COUNT] = {
    [COMMAND_STATE] = {.json = state_in_json},
    [COMMAND_DRAW] = {.plain = ask_draw_told},  // the map draws it: map.wasm
    [COMMAND_RUN] = {.json = run_in_json},
};
