#include "ask/answers.h"

const command_answers answers_here[COMMAND_COUNT] = {
    [COMMAND_CHECK] = {.plain = check_in_words, .json = check_in_json},
    [COMMAND_SHOW] = {.plain = show_all_in_words, .json = show_all_in_json, .csv = show_all_in_csv},
    [COMMAND_STATE] = {.plain = state_in_words, .json = state_in_json},
    [COMMAND_ENDURANCE] = {.plain = endurance_in_words,
                           .json = endurance_in_json,
                           .csv = endurance_in_csv},
    [COMMAND_SHED] = {.plain = ask_shed, .json = ask_shed, .csv = ask_shed},
    [COMMAND_DRAW] = {.plain = ask_draw},
    [COMMAND_PAGE] = {.plain = ask_page},
    [COMMAND_CARD] = {.plain = card_in_form, .json = card_in_json},
    [COMMAND_SCHEMA] = {.plain = ask_schema},
    [COMMAND_RUN] = {.plain = run_in_words, .json = run_in_json, .csv = run_in_csv},
};
