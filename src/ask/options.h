// The words of a question, read and checked against the command table.
#ifndef DEADBUS_ASK_OPTIONS_H
#define DEADBUS_ASK_OPTIONS_H

#include <stdbool.h>

#include "ask/command_table.h"
#include "base/arena.h"
#include "base/findings.h"
#include "base/status.h"
#include "deadbus.h"
#include "draw/paper.h"

typedef struct ask_pair {  // ID=WORD of --set and --fail
    const char *id, *word;
} ask_pair;

typedef enum ask_theme { THEME_LIGHT, THEME_DARK, THEME_PRINT, THEME_PAGE } ask_theme;

// Of `card`.
typedef enum ask_form { FORM_TEXT, FORM_HTML, FORM_SVG, FORM_PDF } ask_form;

typedef struct ask_options {
    arena memory;  // holds all text below; what an answer allocates for itself comes from
                   // memory.memory
    command_id command;
    const char *file_name;  // as the question gives it; never NULL
    bool color;
    bool given[OPTION_COUNT];
    const char *phase;     // NULL: the first of the file
    const ask_pair *sets;  // in the order given, each id once
    int set_count;
    const ask_pair *fails;  // in the order given; at most STATE_FAULTS
    int fail_count;
    const ask_pair *sheds;  // as sets
    int shed_count;
    const char *const *keeps;  // in the order given, each once
    int keep_count;
    double charge;                     // 0..1; -1: not given
    double noticed, within, need, at;  // seconds; -1: not given
    int flights;                       // 0: not given
    int seed;
    double temperature;  // celsius; meaningful if given[OPTION_TEMPERATURE]
    bool before_trip, faults, normal, chart, scenario, json, csv, instructor, touch;
    int width;  // pixels; 0: not given
    ask_theme theme;
    paper_id paper;
    ask_form form;
    const char *json_question;         // of `ask`; NULL: not given
    deadbus_opened *opened;            // NULL: the aircraft isn't kept open
    const deadbus_question *question;  // what was asked
    findings *scenario_findings;       // about the scenario file
    const findings *file_findings;     // about the aircraft file
} ask_options;

// Reads `words`; every mistake becomes an error in `out`. STATUS_OK, STATUS_BAD_REQUEST or
// STATUS_NO_MEMORY; `o` is to be freed in any case. `command` must exist.
status options_read(allocator memory, command_id command, const char *const *words, int count,
                    ask_options *o, findings *out);
void options_free(ask_options *o);

#endif
