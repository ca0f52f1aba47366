// What the files of the layout share.
#ifndef DEADBUS_DRAW_LAYOUT_PARTS_H
#define DEADBUS_DRAW_LAYOUT_PARTS_H

#include "draw/board_words.h"
#include "draw/layout.h"

// Measures of a row, from the middle of its bar.
enum {
    BAR_HALF = 6,
    ROW_PITCH = 30,
    FIRST_X = 40,
    RATING_X = 70,
    FIRST_BRANCH_X = 90,
    SECOND_X = 110,
    SECOND_BRANCH_X = 130,
    NAME_X = 142,
    LINE = 20,    // between lines of one label
    GUTTER = 40,  // between columns
    TRUNK_LANE = 30,
    STEM_LANE = 20,  // wires that go down beside a bar
    NO_FIRST_SHIFT = 50,
};

typedef struct layout {
    arena *memory;
    const board *b;
    const topology *t;
    picture *p;
    layout_options o;
    int columns, x0, pitch, usable;
    int bottom[COLUMNS_MOST];  // where each column is free from
    int *row_y;                // by row: its wire
    int *row_bottom;           // by row: below its text
} layout;

// A bar's middle and the room beside it; mirrored, the room is to the left.
typedef struct place {
    int x, width;
    bool mirror;
    int shift;  // how much nearer to the bar names stand
} place;

static inline int place_x(const place *s, int dx) { return s->mirror ? s->x - dx : s->x + dx; }

// Labels as the design names them.
label_style style_name(tone c);  // item
label_style style_value(tone c, bool bold);
label_style style_note(tone c);  // secondary
label_style style_head(tone c);  // bus
label_style style_section(void);
label_style style_at(label_style s, anchor a);

void layout_wire(layout *l, const place *s, int dx1, int y1, int dx2, int y2, power w);
void layout_label(layout *l, const place *s, double dx, double y, label_style style,
                  const char *words);
// Wrapped; `width` from dx outwards. Returns the lines.
int layout_lines(layout *l, const place *s, double dx, double y, double width, label_style style,
                 const char *words);

// A path's symbol, along x or upright. A mere wire is drawn as one, or as a cut if it is open.
void layout_symbol(layout *l, symbol_shape s);

// Rows first .. first + count - 1 of a strip from `y` down. Returns where the next row would start.
int layout_rows(layout *l, const place *s, int first, int count, int y);
int layout_rows_height(layout *l, const place *s, int first, int count);
// Name and volts, and what else feeds the strip. Returns the y below.
int layout_strip_head(layout *l, const place *s, int which, int y);
// Head, rows, bar and sum of a strip (or of a stroke of it) with the bar's top at `y`.
int layout_strip(layout *l, const place *given, int which, int first, int count, int y, bool head,
                 bool total);

// The rule and the sum of all rows of a strip.
int layout_strip_total(layout *l, const place *s, int which, int y);

// A symbol on an upright wire, centered at y, with its words beside it. `downwards`: towards the
// far end. Returns the lowest y of its label.
int layout_step(layout *l, const place *s, int edge, int y, bool downwards, int room,
                const char *amps);

// Battery chain and other sources, from `y` down; drops[] of the main bars. Returns the bars' y.
typedef struct landing {
    int main;  // index into topology.mains
    int x;
    power power;
    bool arrow_up;
} landing;
enum { LANDINGS_MOST = 12 };
typedef struct landings {
    landing at[LANDINGS_MOST];
    int count;
} landings;
int layout_sources(layout *l, int y, const int limits[2], landings *out);

// Words and figures beside a source or a part in line.
const char *layout_source_says(layout *l, int which, tone *c);
const char *layout_step_name(const layout *l, int edge);
const char *layout_step_note(const layout *l, int edge);
tone layout_step_tone(const layout *l, int edge);
// Amps at shunts, breakers and limiters of the chain; "" elsewhere.
const char *layout_chain_amps(layout *l, int edge);
// Amps from the battery's side into the main bus; tenths that come over the tie, 0 if they go out.
double layout_chain_flow(const layout *l);
int layout_tie_tenths(const layout *l, int which_main);

// What flows off a main bus, in tenths of an amp, as the picture shows it; `words`: the sum in
// words.
int layout_main_sum(layout *l, int which_main, const char **words);
// What a feeder's foot shows: the sum of its bus where that is the same but for rounding.
int layout_run_tenths(const layout *l, const run *r);

// Main bars, columns, feeders.
void layout_buses(layout *l, int y, const landings *from);
// Where the bars of two mains may end: the last x of the left and the first of the right one.
void layout_split(const layout *l, int limits[2]);

// Lists into the columns' free room.
void layout_lists(layout *l);

#endif
