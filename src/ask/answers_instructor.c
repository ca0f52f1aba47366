// What an instructor's page asks: all that a student's does, what is wrong with a text, the card
// of a text that was edited, and many flights.
#include "ask/answers.h"

const command_answers answers_here[COMMAND_COUNT] = {
    [COMMAND_CHECK] = {.json = check_in_json},         [COMMAND_SHOW] = {.json = show_in_json},
    [COMMAND_STATE] = {.json = state_in_json},         [COMMAND_DRAW] = {.plain = ask_draw},
    [COMMAND_ENDURANCE] = {.json = endurance_in_json}, [COMMAND_RUN] = {.json = run_in_json},
    [COMMAND_CARD] = {.json = card_in_json},
};
