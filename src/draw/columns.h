// The diagram of one state as SVG: buses as columns, sources above them.
#ifndef DEADBUS_DRAW_COLUMNS_H
#define DEADBUS_DRAW_COLUMNS_H

#include <stdbool.h>

#include "base/status.h"
#include "draw/layout.h"
#include "draw/theme.h"

typedef struct columns_options {
    int width;  // pixels; 0: 1120, for print 1750
    theme_id theme;
    paper_id paper;       // of print without a width; a card's is taken for its whole sheet
    bool still;           // without the spots that a hand or a screen reader finds parts by
    bool touch;           // rows as far apart as fingers need
    const char *caution;  // stands at the foot of every drawing
} columns_options;

// STATUS_OK or STATUS_NO_MEMORY.
status columns_write(const outcome *o, columns_options options, text *out);
// The picture before it is written, in `memory`. NULL: no memory.
const picture *columns_picture(arena *memory, const outcome *o, columns_options options);
void picture_write(const picture *p, theme_id colors, text *out);

#endif
