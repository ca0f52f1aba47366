// The topology seen in one state: what is live at each point, what flows over each part, and the
// words and figures of each row. Figures of a column are rounded together, so that it adds up on
// paper.
#ifndef DEADBUS_DRAW_BOARD_H
#define DEADBUS_DRAW_BOARD_H

#include "draw/picture.h"
#include "draw/topology.h"
#include "model/outcome.h"

typedef struct row_view {
    const char *name, *note;  // note: "" or what else stands in the row
    const char *value;        // amps, or a word
    const char *title;        // the whole row in one line, with every label in it
    tone name_tone, value_tone;
    bool value_bold, note_warn;
    bool numeric;  // value is amps that count in the sum
    double amps;
    int tenths;
    power at_bar, after_first, after_second, at_end;
    bool wire_open;  // the end's own wire is open
    bool failed;     // the end itself has failed
} row_view;

typedef struct strip_view {
    const char *name;   // "Main bus"
    const char *volts;  // "28.0 V", "dead, 0 V"
    tone volts_tone;
    power power;
    int total;  // tenths of an amp of its rows
    bool has_total;
} strip_view;

typedef struct board {
    arena *memory;
    const aircraft *aircraft;
    const topology *topology;
    const outcome *outcome;
    power *points;  // by point
    row_view *rows;
    strip_view *strips;
    // Tenths of an amp that add up at the main buses: into a strip over its feeder, over the tie,
    // to the battery's side; -1: rounded by itself.
    int *feeds, tie, charge;
} board;

// NULL: no memory.
const board *board_make(arena *memory, const topology *t, const outcome *o);

// Amps over an edge away from a point.
double board_amps_from(const board *b, int edge, int point);
bool board_edge_closed(const board *b, int edge);
// The fault of a part in this state, FAULT_NONE.
fault_kind board_fault(const board *b, int which);
// The symbol of a path in this state.
symbol_shape board_path_symbol(const board *b, int edge);
// "out, tripped", "off", ... for a path that is open; "" if it conducts.
const char *board_path_word(const board *b, int edge);
// tenths[i] of the values so that they add up to `sum` tenths (largest remainders).
void board_apportion(const double *values, int count, int sum, int *tenths);
int board_tenths(double amps);

#endif
