// What the files of the layout share.
#ifndef DEADBUS_DRAW_LAYOUT_PARTS_H
#define DEADBUS_DRAW_LAYOUT_PARTS_H

#include "draw/board_words.h"
#include "draw/layout.h"

enum {
    BAR_HALF = 6,
    SIDE_LANE = 20,  // wires that go down beside a bar
    NO_FIRST_SHIFT = 50,
    NO_SECOND_SHIFT = 26,
};

// Sizes of type and steps between lines; on paper they may be closer than on a screen.
// Where what stands in a row starts, from the middle of its bar.
typedef struct row_places {
    int first_x, rating_x, first_branch, second_x, second_branch, name_x;
} row_places;

typedef struct measures {
    int pitch, line;  // between rows; between lines of one label
    int gutter;       // between columns
    int name, label, note, head, section;
    row_places row;
} measures;

typedef struct layout {
    arena *memory;
    measures m;
    const board *b;
    const topology *t;
    picture *p;
    layout_options o;
    int columns, x0, pitch, usable;
    int right;                 // margin
    int bar_y;                 // of the main bars
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
label_style style_name(const layout *l, tone c);  // item
label_style style_value(const layout *l, tone c, bool bold);
label_style style_label(const layout *l, tone c);
label_style style_note(const layout *l, tone c);  // secondary
label_style style_head(const layout *l, tone c);  // bus
label_style style_section(const layout *l);
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

// How much lower than usual the symbol stands, so that words over its dotted line have room.
int layout_step_lift(const layout *l, int edge, int room, const char *amps);

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
// words, "" of one term; `longest`: the most that it can say in any state, to keep room for.
int layout_main_sum(layout *l, int which_main, const char **words, const char **longest);
// What a feeder's foot shows: the sum of its bus where that is the same but for rounding.
int layout_run_tenths(const layout *l, const run *r);

// Main bars, columns, feeders.
void layout_buses(layout *l, int y, const landings *from);
// Where the bars of two mains may end: the last x of the left and the first of the right one.
void layout_split(const layout *l, int limits[2]);

// A piece that writes itself at (x, y) into `p`, or only measures itself where `p` is NULL.
// Returns its height, 0 where it has nothing to say. `index`: which of several of its kind.
typedef struct block_place {
    picture *p;
    int x, y, width;
    int index;
} block_place;

// What the pilot sees: meters as gauges, then lights and sounders. Meters: one block each.
int seat_meter_count(const layout *l);
int seat_needle_count(const layout *l);  // those come first
int seat_meter(const layout *l, const block_place *w);
int seat_figures(const layout *l, const block_place *w);  // those without a needle
int seat_lamps(const layout *l, const block_place *w);
int seat_all(const layout *l, const block_place *w);
int block_lines(const layout *l, const block_place *w, double dx, int y, double width,
                label_style s, const char *words);
int block_heading(const layout *l, const block_place *w, const char *words);
const char *words_raised(const layout *l, const char *label);

// The first y from `y` down at which nothing stands between x1 and x2 for `height`.
int layout_free_from(const layout *l, int x1, int x2, int y, int height);
// Where the next thing stands between x1 and x2 below y, at most `low`.
int layout_clear_to(const layout *l, int x1, int x2, int y, int low);
// Below all that is drawn so far.
int layout_low(const layout *l);

// Lists into the free room below `top`, wherever the diagram leaves it. `foot`: where the room of a
// sheet ends, 0 without.
void layout_lists(layout *l, int top, int foot);

#endif
