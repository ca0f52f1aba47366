// The words of what modules hand to each other as plain text (carried.h, carried_outcome.h).
//
// Letters are printable ASCII without < and &. Whole numbers and numbers end with a space, texts
// stand in double quotes with %XX for all else. What is taken is held to its bounds: once something
// is wrong, or memory has failed, all that follows is 0 or "" and `wrong` stays.
#ifndef DEADBUS_MODEL_CARRIED_WORDS_H
#define DEADBUS_MODEL_CARRIED_WORDS_H

#include "base/arena.h"
#include "base/text.h"

void carry_int(text *t, int64_t value);
// By its bits where decimals wouldn't give them back.
void carry_number(text *t, double value);
void carry_text(text *t, const char *s);  // NULL, too
void carry_ints(text *t, const int *items, int count);
void carry_texts(text *t, const char *const *items, int count);

// The letters that are left, and where what they say is kept.
typedef struct taker {
    const char *at, *end;
    arena *keep;
    int parts, conditions;  // how many there will be
    bool wrong;
} taker;

int64_t take_whole(taker *t);
int take_int(taker *t, int least, int most);  // from `least` to `most`, or wrong and `least`
bool take_yes(taker *t);
int take_count(taker *t);  // no more than there are letters left
int take_part(taker *t);   // or PART_NONE
double take_number(taker *t);
// NULL: that was written.
const char *take_text(taker *t);
const int *take_list(taker *t, int *count, int (*take)(taker *t));
const char *const *take_texts(taker *t, int *count);
// For one more than `count`, zeroed; NULL: no memory, and wrong.
void *take_room(taker *t, int count, size_t size);

#endif
