// Sheets of paper, on their side (ISO 216; US letter, ANSI/ASME Y14.1). A card is half a sheet:
// both its sides stand on one, with a line to cut or fold along.
#ifndef DEADBUS_DRAW_PAPER_H
#define DEADBUS_DRAW_PAPER_H

#include <stdbool.h>

// In the order of the words of `--paper`.
typedef enum paper_id { PAPER_A5, PAPER_HALF_LETTER, PAPER_A4, PAPER_LETTER } paper_id;

static inline bool paper_metric(paper_id p) { return p == PAPER_A5 || p == PAPER_A4; }
static inline bool paper_halved(paper_id p) { return p == PAPER_A5 || p == PAPER_HALF_LETTER; }
// Of the whole sheet, in millimeters.
static inline double paper_width(paper_id p) { return paper_metric(p) ? 297 : 279.4; }
static inline double paper_height(paper_id p) { return paper_metric(p) ? 210 : 215.9; }
// Points that so many units are, on a sheet that is `width` units wide.
static inline double paper_points(paper_id p, double units, double width) {
    return units / width * paper_width(p) * 72 / 25.4;
}

#endif
