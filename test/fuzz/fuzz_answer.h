// Asks one question and ends the program when the answer isn't what every answer must be.
#ifndef DEADBUS_TEST_FUZZ_ANSWER_H
#define DEADBUS_TEST_FUZZ_ANSWER_H

#include <stdio.h>
#include <stdlib.h>

#include "deadbus.h"
#include "fuzz/well_formed.h"

static inline void fuzz_must(bool holds, const char *what, const deadbus_answer *answer) {
    if (holds)
        return;
    fprintf(stderr, "the answer is %s (exit %d)\n%s\n%s\n", what, (int)answer->exit,
            answer->messages ? answer->messages : "", answer->out ? answer->out : "");
    abort();
}

static inline bool fuzz_has_option(const deadbus_question *q, const char *word) {
    for (int i = 0; i < q->option_count; i++)
        if (strcmp(q->options[i], word) == 0)
            return true;
    return false;
}

static inline void fuzz_judge(const deadbus_question *q, const deadbus_answer *a) {
    // There is memory: an answer that says otherwise has met a size that overflowed.
    fuzz_must(a->exit != DEADBUS_NO_MEMORY, "out of memory", a);
    fuzz_must(a->out && a->messages, "without text", a);
    fuzz_must(strlen(a->out) == a->out_length, "cut by a 0", a);
    fuzz_must(strlen(a->messages) == a->messages_length, "cut by a 0 in its messages", a);
    fuzz_must(well_formed_utf8(a->out, a->out_length), "not UTF-8", a);
    fuzz_must(a->exit == DEADBUS_DONE || a->messages_length > 0, "a refusal without a word", a);
    if (a->out_length == 0 || !q->command)
        return;
    if (fuzz_has_option(q, "--json") || strcmp(q->command, "schema") == 0)
        fuzz_must(well_formed_json(a->out, a->out_length), "no JSON", a);
    bool svg = strcmp(q->command, "card") == 0 && fuzz_has_option(q, "svg");
    if (strcmp(q->command, "draw") == 0 || fuzz_has_option(q, "--chart") || svg)
        fuzz_must(well_formed_xml(a->out), "no XML", a);
}

// Asks, judges, and asks again if `twice`: the same question has the same answer.
static inline void fuzz_ask(const deadbus_question *q, bool twice) {
    deadbus_answer first;
    deadbus_ask(NULL, q, &first);
    fuzz_judge(q, &first);
    if (twice) {
        deadbus_answer second;
        deadbus_ask(NULL, q, &second);
        fuzz_must(first.exit == second.exit && strcmp(first.out, second.out) == 0 &&
                      strcmp(first.messages, second.messages) == 0,
                  "another one the second time", &second);
        deadbus_forget(&second);
    }
    deadbus_forget(&first);
}

#endif
