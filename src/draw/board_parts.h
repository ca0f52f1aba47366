// What the files of the board share.
#ifndef DEADBUS_DRAW_BOARD_PARTS_H
#define DEADBUS_DRAW_BOARD_PARTS_H

#include "draw/board.h"

// Amps of a strip's rows that count in its sum.
double board_strip_amps(const board *b, int which);
// Totals of main buses and of the buses that they feed; false: no memory.
bool board_round_mains(board *b);

#endif
