// What the files of the card's sheet share.
#ifndef DEADBUS_DRAW_CARD_PARTS_H
#define DEADBUS_DRAW_CARD_PARTS_H

#include "base/text.h"
#include "draw/picture.h"
#include "report/card_result.h"

// What is left out first where room is scarce, side by side.
enum {
    FRONT_ALL,
    FRONT_RUN_IN,  // lists become sentences; and so on, each with what stands before it
    FRONT_SMALL_FACE,
    FRONT_NO_FACE,
    FRONT_NO_FADING,
    FRONT_NO_EATERS,
    FRONT_SHORT,  // long texts are cut
    FRONT_FEW,    // no meanings of meters, and as many phases as there is room for
    BACK_ALL = 0,
    BACK_MAP_IN_WORDS,
    BACK_FEEDS_ONLY,  // of a feeder no more than the map says; from here on its bus at most
    BACK_PART_MAP,
    BACK_NO_MAP,
    BACK_NO_ALIKE,
    BACK_NO_NOTES,
    BACK_SHORT,
    BACK_FEW,  // as many breakers as there is room for
};

// One side under work.
typedef struct card_pen {
    picture *p;
    const card *c;
    int left, width, low;  // low: where its room ends
    int type, line;        // size of text; step between lines
    int gap;               // between pieces
    int columns;           // of breakers
    bool run_in;           // what a breaker carries begins on its label's line
    int level;
    bool lists_behind;  // eaters and fading stand on side 2
    int most;           // lines of one text
    bool cut;           // some text was longer
    text left_out;      // "the map, 4 breakers"
} card_pen;

label_style pen_plain(const card_pen *k);
label_style pen_bold(const card_pen *k);
// Wrapped, at most k->most lines, from baseline `y`. Returns the lines.
int pen_lines(card_pen *k, int x, int y, int width, label_style s, const char *words);
int pen_line_count(const card_pen *k, double width, bool bold, const char *words);
// The same with a bold beginning. Returns the y below.
int pen_told(card_pen *k, int x, int y, int width, const char *bold, const char *words);
// A paragraph over the whole width; returns the y below.
int pen_paragraph(card_pen *k, int y, label_style s, const char *words);
int pen_heading(card_pen *k, int x, int y, const char *words);
// `what` in the right number; count 0: none is told.
void pen_leave(card_pen *k, int count, const char *what);
// A line to write on, from x1 to x2 under baseline y.
void pen_blank(card_pen *k, int x1, int x2, int y);

// Each draws a side from `y` down and returns the y below.
int card_front(card_pen *k, int y);
int card_back(card_pen *k, int y);
// Says where the feeders' items stand when they have no room here.
const char *card_back_title(const card_pen *k);
int card_lists(card_pen *k, int y);  // eaters and fading as sentences

#endif
