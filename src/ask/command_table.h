// The one table of commands and options: checked against when a question is read, and with
// command_words.h what the help, the manual page and the shells' completions are written from.
#ifndef DEADBUS_ASK_COMMAND_TABLE_H
#define DEADBUS_ASK_COMMAND_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef enum command_id {
    COMMAND_CHECK,
    COMMAND_SHOW,
    COMMAND_STATE,
    COMMAND_ENDURANCE,
    COMMAND_SHED,
    COMMAND_DRAW,
    COMMAND_PAGE,
    COMMAND_CARD,
    COMMAND_SCHEMA,
    COMMAND_ASK,
    COMMAND_RUN,
    COMMAND_COUNT
} command_id;

typedef enum option_id {
    OPTION_PHASE,
    OPTION_SET,
    OPTION_FAIL,
    OPTION_CHARGE,
    OPTION_TEMPERATURE,
    OPTION_BEFORE_TRIP,
    OPTION_AT,
    OPTION_KEEP,
    OPTION_NEED,
    OPTION_SHED,
    OPTION_NOTICED,
    OPTION_WITHIN,
    OPTION_FLIGHTS,
    OPTION_SEED,
    OPTION_FAULTS,
    OPTION_NORMAL,
    OPTION_WIDTH,
    OPTION_THEME,
    OPTION_TOUCH,
    OPTION_INSTRUCTOR,
    OPTION_PAPER,
    OPTION_FORM,
    OPTION_QUESTION,
    OPTION_OUTPUT,
    OPTION_JSON,
    OPTION_CSV,
    OPTION_CHART,
    OPTION_SCENARIO,
    OPTION_COUNT
} option_id;

// Whether a scenario's file goes after the aircraft's.
typedef enum scenario_use { SCENARIO_NEVER, SCENARIO_MAY, SCENARIO_MUST } scenario_use;

typedef struct command_info {
    const char *name;
    bool reads_file;  // takes the name of an aircraft file
    scenario_use scenario;
} command_info;

typedef struct option_info {
    const char *name;    // "--phase"
    const char *letter;  // "-o", or NULL
    const char *value;   // what stands for its value in the help, NULL: takes none
    const char *words;   // the values there are, one space apart; NULL: any
    bool file;           // its value is the name of a file
    bool repeats;        // may be given more than once
    uint32_t commands;   // bits of command_id
} option_info;

const command_info *command_at(command_id id);
const option_info *option_at(option_id id);
static inline bool option_of_command(const option_info *o, command_id c) {
    return (o->commands >> c & 1) != 0;
}

// By name; -1: there is none. The option's word may be followed by '=' (length: of what is before).
int command_find(const char *name);
int option_find(const char *word, size_t length);
// The nearest name within a third of its letters, NULL if none is near. Options: of that command,
// or of any with -1.
const char *command_nearest(const char *name);
const char *option_nearest(const char *word, int command);

#endif
