// What the files that turn words into a state share. Only for them.
#ifndef DEADBUS_ASK_STATE_ASKER_H
#define DEADBUS_ASK_STATE_ASKER_H

#include "ask/state_question.h"

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
// The value of a position word for a part, or false: it has none such. Nothing is complained about.
bool position_value(const aircraft *a, int which, const char *word, const state *s, double *value);
// "on, off", "UP, TAKE-OFF, FULL": what asker_set takes for a part; "" if it has no positions.
void position_words(const aircraft *a, int which, text *t);
// Whether a part at this setting counts as on (a switch not at OFF, a breaker in...).
bool setting_is_on(const part *p, double setting);

#endif
