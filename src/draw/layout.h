// Places for everything on the board: bars, columns, rows, sources, lists. The result is a picture.
#ifndef DEADBUS_DRAW_LAYOUT_H
#define DEADBUS_DRAW_LAYOUT_H

#include "draw/board.h"
#include "draw/paper.h"

enum { COLUMNS_MOST = 7 };

// Of layout_options.close: rows far enough apart for fingers.
enum { CLOSE_TOUCH = 3 };

// How the lists are placed: as one reads them, or so that they take little room.
typedef enum layout_order {
    ORDER_READING,
    ORDER_SIZE,          // the largest first
    ORDER_WIDE,          // and over as many columns as it likes
    ORDER_TIGHT,         // and where least is wasted
    ORDER_SECOND_FIRST,  // as ORDER_SIZE, but the second largest first, and so on
    ORDERS = ORDER_SECOND_FIRST + 4
} layout_order;

typedef struct layout_options {
    int width;
    int columns;  // 0: as many as layout_columns says
    int close;    // 1, 2: smaller type and steps than on a screen
    int order;
    bool bare;              // the diagram alone: no header, no lists, no foot
    bool print;             // never lower than the paper's proportions
    paper_id paper;         // the sheet, where `print`
    const char *caution;    // sentence at the foot
    const char *base_note;  // "" or what else the foot says (equipment date, file)
} layout_options;

// Columns of a drawing this wide, and how many sources may stand beside each other on the bars.
int layout_columns(int width);

// NULL: no memory.
const picture *layout_make(const board *b, layout_options o);

#endif
