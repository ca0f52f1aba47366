// What is said of commands and options in the help, the manual page and the shells' completions.
// Apart from the table of them, because the page answers and is never asked for help.
#ifndef DEADBUS_ASK_COMMAND_WORDS_H
#define DEADBUS_ASK_COMMAND_WORDS_H

#include "ask/command_table.h"

enum { EXAMPLES_MOST = 4 };

typedef struct command_words {
    const char *question;                     // the one line: what it answers
    const char *help;                         // paragraphs, parted by '\n', unwrapped
    const char *examples[EXAMPLES_MOST + 1];  // without the program's name; ends with NULL
} command_words;

const command_words *command_words_of(command_id id);
const char *option_help(option_id id);

#endif
