// What the files that turn words into a state share. Only for them.
#ifndef DEADBUS_ASK_STATE_ASKER_H
#define DEADBUS_ASK_STATE_ASKER_H

#include "ask/state_question.h"
#include "model/position_words.h"

typedef struct asker {
    const aircraft *aircraft;
    state *state;
    arena *memory;
    question_notes *notes;
    findings *out;
    bool *said;  // part_count: the question itself gives this part a position
} asker;

// An error of the question; the strings are joined, up to NULL.
void asker_complain(asker *k, const char *code, const char *hint, ...);
// Keeps a sentence for the answer; the strings are joined, up to NULL.
void asker_note(asker *k, ...);

// --set: one position.
void asker_set(asker *k, const ask_pair *pair);
// After all positions: halves of rockers and two-pole switches follow.
void asker_follow(asker *k);

#endif
