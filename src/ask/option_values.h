// The values of options, read into what is asked. Only for the files that read options.
#ifndef DEADBUS_ASK_OPTION_VALUES_H
#define DEADBUS_ASK_OPTION_VALUES_H

#include "ask/options.h"

// What is being read: one option with its value.
typedef struct option_reading {
    ask_options *o;
    findings *out;
    const option_info *option;
    const char *value;
} option_reading;

// Takes the value over, or complains. There are two, and the linker takes one:
// option_values_all.c, and option_values_page.c for the module of a student's page.
void option_take_value(const option_reading *r, option_id id);

// The same of what state, draw, show and run are asked with; false: it's an option of others.
bool option_value_of_state(const option_reading *r, option_id id);

// ---- parts of values ----------------------------------------------------------------------------
void option_complain(const option_reading *r, const char *expected);
// A number, then one of the units; returns the unit's index, -1 after complaining.
int option_number(const option_reading *r, const char *const units[], double *number,
                  const char *expected);
// The index among the words that the option has; -1 after complaining.
int option_word(const option_reading *r, const char *expected);
// ID=WORD into a list whose ids (`once`) or whole pairs may not come twice.
void option_pair(const option_reading *r, const ask_pair **list, int *count, bool once);
// A span of time in seconds, `least` or more, up to a year.
void option_time(const option_reading *r, double least, double *seconds);

#endif
