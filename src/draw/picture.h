// A diagram before it is written: plain shapes with places and states, in the order in which
// they came. The writer turns it into SVG; tests look at it to see that nothing touches what it
// mustn't.
#ifndef DEADBUS_DRAW_PICTURE_H
#define DEADBUS_DRAW_PICTURE_H

#include <stdbool.h>

#include "base/arena.h"
#include "draw/symbols.h"

typedef enum power { POWER_LIVE, POWER_DRAINING, POWER_DEAD } power;

typedef struct wire_shape {
    int x1, y1, x2, y2;  // level or upright
    power power;
} wire_shape;

typedef struct bar_shape {
    int x, y, width, height;
    power power;
    int part;
} bar_shape;

// Turned by quarter turns clockwise, then mirrored left to right where `mirror`.
typedef struct symbol_shape {
    symbol_id id;
    int x, y, turns;
    bool mirror;
    power power;
    bool ink;   // drawn in ink whatever its power: what a hand or a fault has moved
    bool warn;  // a failed part
    int part;   // -1: none
} symbol_shape;

typedef enum anchor { ANCHOR_START, ANCHOR_MIDDLE, ANCHOR_END } anchor;
typedef enum tone { TONE_INK, TONE_QUIET, TONE_LIVE, TONE_DRAINING, TONE_WARN } tone;

typedef struct label_shape {
    double x, y;  // of the baseline
    double left, top, right, bottom;
    anchor anchor;
    double size;
    bool bold, serif;
    tone tone;
    const char *text;
} label_shape;

typedef struct dot_shape {
    int x, y;
    power power;
} dot_shape;

typedef struct rule_shape {  // hairline or dotted line that carries no current
    int x1, y1, x2, y2;
    bool dotted, heavy;
} rule_shape;

// What belongs together, for people who can't see it: spoken as one line.
// `kind`: "row", "symbol", "bus", "meter", "lamp" or "list"; `part`: id, or ""; `paths`: ids of
// the breakers, switches and the like of a row, from the bar outwards, with spaces between.
// `mirror`: the row's bar stands to its right.
typedef struct group_shape {
    const char *kind, *part, *paths, *title;
    int x, y, width, height;
    bool mirror;
} group_shape;

// The face of a meter: a flat fan around (x, y), which lies below it. Places on the scale run from
// 0 at its left stop to 1.
typedef struct gauge_shape {
    double x, y, radius;
    double needle;               // not drawn where `dead`
    double band_low, band_high;  // what is normal; equal: not known
    int ticks, longer;           // intervals in all; every how many a longer tick stands
    bool dead;
    power power;
} gauge_shape;

typedef struct picture {
    arena *memory;
    int width, height;
    double sheet;         // its width on paper in mm; 0: on a screen
    double sheet_height;  // and the height that it is fitted to; 0: as it comes
    bool fitted;          // labels are held to the width they were measured at, whatever the font
    int needed;           // height without what was added to fill a sheet
    const char *title, *description;
    wire_shape *wires;
    int wire_count, wire_room;
    bar_shape *bars;
    int bar_count, bar_room;
    symbol_shape *symbols;
    int symbol_count, symbol_room;
    label_shape *labels;
    int label_count, label_room;
    dot_shape *dots;
    int dot_count, dot_room;
    rule_shape *rules;
    int rule_count, rule_room;
    group_shape *groups;
    int group_count, group_room;
    gauge_shape *gauges;
    int gauge_count, gauge_room;
} picture;

typedef struct label_style {
    double size;
    bool bold, serif;
    tone tone;
    anchor anchor;
} label_style;

// All of these do nothing once memory has failed (memory->failed is set). Texts are copied.
void picture_wire(picture *p, int x1, int y1, int x2, int y2, power w);
void picture_bar(picture *p, int x, int y, int width, int height, power w, int part);
void picture_symbol(picture *p, symbol_shape s);
void picture_dot(picture *p, int x, int y, power w);
void picture_rule(picture *p, int x1, int y1, int x2, int y2, bool dotted, bool heavy);
void picture_group(picture *p, group_shape g);
void picture_gauge(picture *p, gauge_shape g);
// Where a place of a gauge's scale lies, `out` of its radius from the middle.
void gauge_point(const gauge_shape *g, double place, double out, double *x, double *y);
void picture_label(picture *p, double x, double y, label_style s, const char *text);
// Wraps at `width`; lines stand `leading` apart from the baseline `y` down. Returns their number,
// 30 at most: the last of them is an ellipsis then.
int picture_lines(picture *p, double x, double y, double width, double leading, label_style s,
                  const char *text);
int picture_line_count(const char *text, double width, double size, bool bold);
// The same with a first line that has only `first`, 0 < first <= width.
int picture_lines_beside(picture *p, double x, double y, double first, double width, double leading,
                         label_style s, const char *text);

#endif
