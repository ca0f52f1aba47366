// Which commands this build answers, and in which forms. There are two such tables, and the linker
// takes one: answers_all.c, the program's and the library's, and answers_page.c, that of the module
// which a page carries along. A command that isn't in the page's table isn't in its module either.
#ifndef DEADBUS_ASK_ANSWERS_H
#define DEADBUS_ASK_ANSWERS_H

#include "ask/ask_commands.h"
#include "ask/command_table.h"

typedef status (*answerer)(const aircraft *a, const ask_options *o, text *out, findings *f,
                           deadbus_exit *exit);

// NULL: not in this form, or not here.
typedef struct command_answers {
    answerer plain, json, csv;  // text or a drawing; for programs; a table for a spreadsheet
} command_answers;

extern const command_answers answers_here[COMMAND_COUNT];

#endif
