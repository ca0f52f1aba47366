// What the program is talking to.
#ifndef DEADBUS_CLI_TERMINAL_H
#define DEADBUS_CLI_TERMINAL_H

// Nonzero if standard output is a terminal that may get color (https://no-color.org is respected).
int terminal_color(void);
// Nonzero if standard input is a person at a keyboard.
int terminal_typed(void);

#endif
