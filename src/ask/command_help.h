// The command table as text.
#ifndef DEADBUS_ASK_COMMAND_HELP_H
#define DEADBUS_ASK_COMMAND_HELP_H

#include <stdbool.h>

#include "base/text.h"

// Topics: "" (all), a command's name, "man", "bash", "zsh", "fish". False: there is no such topic.
bool help_write(const char *topic, text *out);

void help_man_page(text *out);
void help_bash(text *out);
void help_zsh(text *out);
void help_fish(text *out);

#endif
