#define _POSIX_C_SOURCE 200809L

#include "terminal.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int terminal_color(void) {
    const char *off = getenv("NO_COLOR");
    const char *kind = getenv("TERM");
    return isatty(STDOUT_FILENO) && (!off || !*off) && kind && strcmp(kind, "dumb") != 0;
}

int terminal_typed(void) { return isatty(STDIN_FILENO); }
