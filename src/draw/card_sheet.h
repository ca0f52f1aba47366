// The flight-bag card: two sides on one sheet, black on white. Type is never below 10 pt; what has
// no room then is left out, and named on the card and to the caller.
#ifndef DEADBUS_DRAW_CARD_SHEET_H
#define DEADBUS_DRAW_CARD_SHEET_H

#include "draw/paper.h"
#include "draw/picture.h"
#include "report/card_result.h"

// In `memory`. `*left_out`: what is left out, in words; "". NULL: no memory.
const picture *card_sheet(arena *memory, const card *c, paper_id paper, const char **left_out);

#endif
