// What the files that draw a scenario's chart share. Only for them.
#ifndef DEADBUS_DRAW_RUN_CHART_PARTS_H
#define DEADBUS_DRAW_RUN_CHART_PARTS_H

#include "draw/run_chart.h"

// One thing marked on the chart: entries that would stand too near to each other are one.
typedef struct chart_mark {
    double at, x;
    const char *words;  // owned by the chart's memory
} chart_mark;

// One panel: all records in one unit.
typedef struct chart_panel {
    scenario_record_of of;
    double top, height;
    double low, high, step;  // of its scale
} chart_panel;

enum { PANELS_MOST = 3, CHART_TYPE = 15, CHART_LINE = 21 };

typedef struct chart {
    const scenario_log *log;
    run_chart_options options;
    arena memory;
    text *out;
    double width, left, right;  // the plot's sides
    bool narrow;                // a phone: names above the panel, not beside it
    chart_panel panels[PANELS_MOST];
    int panel_count;
    chart_mark *marks;
    int mark_count;
    double bottom;  // where the panels end
} chart;

double chart_x(const chart *c, double seconds);
double chart_y(const chart_panel *p, double value);
double chart_value(const chart *c, int row, int record);
// Even figures for a scale from `low` to `high` of at most `most` steps.
double chart_step(double low, double high, int most);
void chart_scale(chart *c, chart_panel *p);

// run_chart_marks.c
void chart_find_marks(chart *c);

// Writing: `classes` as in theme.h.
void chart_text(chart *c, double x, double y, const char *classes, const char *anchor,
                const char *words);
void chart_line(chart *c, double x1, double y1, double x2, double y2, const char *classes);

#endif
