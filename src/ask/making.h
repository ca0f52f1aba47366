// What an answer is made of until it is handed over. Only for the files of this room.
#ifndef DEADBUS_ASK_MAKING_H
#define DEADBUS_ASK_MAKING_H

#include "base/findings.h"
#include "base/text.h"
#include "deadbus.h"

// The caller's memory, and whether it has ever failed. Texts and arenas remember their own
// failures, but a text that only lends its words to another is gone before the answer ends, and the
// answer would lack those words without anyone knowing.
typedef struct watched_memory {
    allocator caller;
    bool failed;
} watched_memory;

typedef struct making {
    watched_memory *watched;
    allocator memory;
    text out, messages;
    findings asked;     // about the question
    findings file;      // about the file
    findings scenario;  // about the scenario file
    deadbus_exit exit;
    bool json;  // `out` is JSON
} making;

allocator allocator_of(const deadbus_memory *memory);  // NULL: the C library's
allocator watched_allocator(watched_memory *w);

making making_start(watched_memory *watched);
// Hands the texts over to `answer` and forgets the rest.
deadbus_exit making_end(making *m, deadbus_answer *answer);

// Answers a question that isn't itself worded as JSON: the answer into m->out, findings into
// m->file and m->asked. `forced`: ask for the form for programs where there is one.
// Returns the command, -1 if there is none such.
int make_plain_answer(making *m, const deadbus_question *q, bool forced);
// The same with a question worded in JSON: everything into m->out.
void make_json_answer(making *m, const deadbus_question *about, const char *question,
                      size_t length);

#endif
