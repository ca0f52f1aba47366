// Names and figures as they stand on a diagram. All texts come from the arena.
#ifndef DEADBUS_DRAW_BOARD_WORDS_H
#define DEADBUS_DRAW_BOARD_WORDS_H

#include "draw/board.h"

// A text under work whose result goes into the arena; "" if memory fails.
const char *words_keep(arena *memory, text *t);
const char *words_join(arena *memory, const char *const parts[], int count);

const char *words_part(const board *b, int which);  // "Pitot heat", "PITOT HT breaker"
// The same with the printed label where the name leaves it out.
const char *words_full(const board *b, int which);
const char *words_label(const board *b, int which);        // as printed, or the id in words
const char *words_strip(const board *b, int which);        // "Main bus"
const char *words_tenths(arena *memory, int tenths);       // "2.1", "−0.4"
const char *words_small_amps(arena *memory, double amps);  // "6 mA"
const char *words_volts(arena *memory, double volts);      // "28.0 V"
const char *words_fixed(arena *memory, double value, int decimals, const char *sign);
// Rating of a breaker, fuse or limiter: "5", "7.5"; "" for others.
const char *words_rating(const board *b, int which);
// True if a printed label says no more than the name beside it: PITOT HT beside Pitot heat.
bool words_alike(const char *label, const char *name);
// Fills the words of a row: name, note, title.
void words_row(const board *b, int which, row_view *v);

#endif
