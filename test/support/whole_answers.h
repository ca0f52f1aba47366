// Questions about a file whose answers must be whole: UTF-8, and JSON or XML where asked for.
#ifndef DEADBUS_TEST_WHOLE_ANSWERS_H
#define DEADBUS_TEST_WHOLE_ANSWERS_H

#include "base/text.h"
#include "model/aircraft.h"

typedef struct asking {
    const char *name;  // for messages
    const text *file;
    int asked;
} asking;

// One question, with one option and its value or without (NULL). The test fails if it isn't
// answered, or not wholly.
void ask_whole(asking *k, const char *command, const char *option, const char *value);
// `state` with each fault that each part can have.
void ask_every_fault(asking *k, const aircraft *a);

#endif
