#include "draw/run_chart.h"

#include <string.h>

#include "draw/run_chart_parts.h"
#include "draw/svg.h"
#include "draw/text_width.h"
#include "model/part_words.h"

enum {
    USUAL_WIDTH = 1040,
    NARROW = 640,
    MARGIN = 24,
    SCALE_WIDTH = 48,
    NAMES_WIDTH = 168,
    NAME_AT = 34,  // right of the panel, past a dash of its line
    LINES_MOST = 12,
};

// ---- writing ------------------------------------------------------------------------------------
void chart_text(chart *c, double x, double y, const char *classes, const char *anchor,
                const char *words) {
    svg_open(c->out, "text");
    svg_attribute(c->out, "class", classes);
    svg_attribute_number(c->out, "x", x);
    svg_attribute_number(c->out, "y", y);
    svg_attribute_number(c->out, "font-size", CHART_TYPE);
    if (strcmp(anchor, "start") != 0)
        svg_attribute(c->out, "text-anchor", anchor);
    text_char(c->out, '>');
    xml_text(c->out, words);
    text_put(c->out, "</text>\n");
}

void chart_line(chart *c, double x1, double y1, double x2, double y2, const char *classes) {
    svg_open(c->out, "path");
    svg_attribute(c->out, "class", classes);
    text_put(c->out, " d=\"M");
    svg_number(c->out, x1);
    text_char(c->out, ' ');
    svg_number(c->out, y1);
    text_put(c->out, " L");
    svg_number(c->out, x2);
    text_char(c->out, ' ');
    svg_number(c->out, y2);
    text_put(c->out, "\"/>\n");
}

// Wrapped text from `y` on; returns the baseline after it. `write`: else only measured.
static double put_wrapped(chart *c, double x, double y, double width, double size, bool serif,
                          const char *words, bool write) {
    size_t next = 0;
    for (const char *s = words; *s; s += next) {
        size_t n = text_line(s, width, size, false, &next);
        if (write) {
            svg_open(c->out, "text");
            svg_attribute(c->out, "class", serif ? "serif c-ink" : "c-ink");
            svg_attribute_number(c->out, "x", x);
            svg_attribute_number(c->out, "y", y);
            svg_attribute_number(c->out, "font-size", size);
            text_char(c->out, '>');
            const char *line = arena_text(&c->memory, s, n);
            xml_text(c->out, line ? line : "");
            text_put(c->out, "</text>\n");
        }
        y += size * 1.4;
        if (next == 0)
            break;
    }
    return y;
}

static const char *kept(chart *c, text *t) {
    const char *words = arena_text(&c->memory, text_get(t), t->length);
    if (t->failed)
        c->memory.failed = true;
    text_free(t);
    return words ? words : "";
}

// ---- a panel ------------------------------------------------------------------------------------
static const char *unit_of(scenario_record_of of) {
    return of == RECORD_VOLTS ? "V" : of == RECORD_AMPS ? "A" : "%";
}

static const char *panel_name(scenario_record_of of) {
    return of == RECORD_VOLTS ? "Volts" : of == RECORD_AMPS ? "Amps" : "Charge";
}

static void put_scale(chart *c, const chart_panel *p) {
    int decimals = p->step < 1 ? 1 : 0;
    int steps = (int)((p->high - p->low) / p->step + 0.5);
    for (int i = 0; i <= steps; i++) {
        double v = p->low + i * p->step;
        double y = chart_y(p, v);
        bool zero = v < p->step * 1e-6 && v > -p->step * 1e-6;
        chart_line(c, c->left, y, c->right, y, zero ? "rule s-ink" : "grid s-hair");
        text t = text_make(c->memory.memory);
        words_figure(&t, zero ? 0 : v, decimals, "");
        chart_text(c, c->left - 8, y + 5, "c-ink", "end", kept(c, &t));
    }
    text t = text_make(c->memory.memory);
    text_all(&t, panel_name(p->of), ", ", unit_of(p->of), NULL);
    if (p->of == RECORD_AMPS && !c->narrow)
        text_put(&t, " (of a battery: up is discharging)");
    chart_text(c, MARGIN, p->top - 12, "b c-ink", "start", kept(c, &t));
}

// Lines are told apart by their dashes first, by their colors last.
static const char *const DASHES[] = {"", "10 4", "2.5 3.5", "12 4 2.5 4"};
static const char *const COLORS[] = {"live", "ink", "draining", "warn"};

static void line_style(chart *c, int nth) {
    text classes = text_make(c->memory.memory);
    text_all(&classes, "trace s-", COLORS[nth % 4], NULL);
    svg_attribute(c->out, "class", kept(c, &classes));
    if (nth % 4 > 0)
        svg_attribute(c->out, "stroke-dasharray", DASHES[nth % 4]);
}

static void put_trace(chart *c, const chart_panel *p, int record, int nth) {
    double last_x = -10, last_y = -10;
    svg_open(c->out, "path");
    line_style(c, nth);
    text_put(c->out, " d=\"");
    for (int i = 0; i < c->log->row_count; i++) {
        double x = chart_x(c, c->log->times[i]), y = chart_y(p, chart_value(c, i, record));
        double dx = x - last_x, dy = y - last_y;
        if (i > 0 && i < c->log->row_count - 1 && dx * dx + dy * dy < 0.25)
            continue;
        text_put(c->out, i ? " L" : "M");
        svg_number(c->out, x);
        text_char(c->out, ' ');
        svg_number(c->out, y);
        last_x = x;
        last_y = y;
    }
    text_put(c->out, "\"/>\n");
}

static const char *record_name(chart *c, int record) {
    text t = text_make(c->memory.memory);
    part_short_name(c->log->aircraft, c->log->scenario->records[record].part, &t);
    return kept(c, &t);
}

static const char *last_figure(chart *c, int record) {
    scenario_record_of of = c->log->scenario->records[record].of;
    text t = text_make(c->memory.memory);
    if (c->log->row_count > 0) {
        text_put(&t, " ");
        words_figure(&t, chart_value(c, c->log->row_count - 1, record), of == RECORD_CHARGE ? 0 : 1,
                     unit_of(of));
    }
    return kept(c, &t);
}

// A name that is too long for `room` ends in dots; its figure doesn't.
static const char *trace_name(chart *c, int record, double room) {
    const char *name = record_name(c, record), *figure = last_figure(c, record);
    double left = room - text_width(figure, CHART_TYPE, false);
    size_t next, most = text_line(name, left - CHART_TYPE, CHART_TYPE, false, &next);
    text t = text_make(c->memory.memory);
    if (text_width(name, CHART_TYPE, false) <= left)
        text_put(&t, name);
    else {
        text_put_n(&t, name, most);
        text_put(&t, "\xE2\x80\xA6");
    }
    text_put(&t, figure);
    return kept(c, &t);
}

// What the widest name takes beside the panels; at most a third of the picture.
static double names_width(chart *c) {
    double most = NAMES_WIDTH;
    for (int i = 0; i < c->log->scenario->record_count; i++) {
        double width = NAME_AT + text_width(record_name(c, i), CHART_TYPE, false) +
                       text_width(last_figure(c, i), CHART_TYPE, false) + 4;
        most = width > most ? width : most;
    }
    return most < c->width / 3 ? most : c->width / 3;
}

// Names at the ends of their lines, pushed apart; on a phone above the panel, with a dash of each.
static void put_names(chart *c, const chart_panel *p, const int *records, int count) {
    double y[LINES_MOST];
    double x = MARGIN + 90;
    for (int i = 0; i < count; i++) {
        double room = c->width - MARGIN - (c->narrow ? x + 32 : c->right + NAME_AT);
        const char *name = trace_name(c, records[i], room);
        if (c->narrow) {
            svg_open(c->out, "path");
            line_style(c, i);
            text_put(c->out, " d=\"M");
            svg_number(c->out, x);
            text_char(c->out, ' ');
            svg_number(c->out, p->top - 17 - CHART_LINE * (count - 1 - i));
            text_put(c->out, " h26\"/>\n");
            chart_text(c, x + 32, p->top - 12 - CHART_LINE * (count - 1 - i), "c-ink", "start",
                       name);
            continue;
        }
        y[i] = c->log->row_count > 0 ? chart_y(p, chart_value(c, c->log->row_count - 1, records[i]))
                                     : p->top;
        for (int round = 0; round < count; round++)
            for (int k = 0; k < i; k++)
                if (y[i] - y[k] < CHART_LINE && y[k] - y[i] < CHART_LINE)
                    y[i] = y[k] + CHART_LINE;
        svg_open(c->out, "path");
        line_style(c, i);
        text_put(c->out, " d=\"M");
        svg_number(c->out, c->right + 6);
        text_char(c->out, ' ');
        svg_number(c->out, y[i]);
        text_put(c->out, " h22\"/>\n");
        chart_text(c, c->right + NAME_AT, y[i] + 5, "c-ink", "start", name);
    }
}

static void put_panel(chart *c, const chart_panel *p) {
    int records[LINES_MOST], count = 0;
    const scenario *s = c->log->scenario;
    for (int i = 0; i < s->record_count && count < LINES_MOST; i++)
        if (s->records[i].of == p->of)
            records[count++] = i;
    put_scale(c, p);
    for (int i = 0; i < count; i++)
        put_trace(c, p, records[i], i);
    put_names(c, p, records, count);
}

// ---- time and marks -----------------------------------------------------------------------------
static void put_time(chart *c) {
    static const double STEPS[] = {1,   2,   5,    10,   20,   30,    60,    120,  300,
                                   600, 900, 1800, 3600, 7200, 14400, 28800, 86400};
    double step = STEPS[16];
    int most = c->narrow ? 4 : 9;
    for (int i = 16; i >= 0 && c->log->ended / STEPS[i] <= most; i--)
        step = STEPS[i];
    int ticks = (int)(c->log->ended / step + 1e-9);
    for (int i = 0; i <= ticks; i++) {
        double t = i * step;
        double x = chart_x(c, t);
        chart_line(c, x, c->bottom, x, c->bottom + 6, "rule s-ink");
        text words = text_make(c->memory.memory);
        text_int(&words, (int64_t)(t / (step < 60 ? 1 : 60) + 0.5));
        text_put(&words, step < 60 ? " s" : " min");
        chart_text(c, x, c->bottom + 22, "c-ink", "middle", kept(c, &words));
    }
    chart_line(c, c->left, c->bottom, c->right, c->bottom, "rule s-ink");
}

static void put_number(chart *c, double x, double y, int number) {
    svg_open(c->out, "circle");
    svg_attribute(c->out, "class", "paper s-ink rule");
    svg_attribute_number(c->out, "cx", x);
    svg_attribute_number(c->out, "cy", y);
    svg_attribute_number(c->out, "r", 10);
    text_put(c->out, "/>\n");
    text t = text_make(c->memory.memory);
    text_int(&t, number);
    chart_text(c, x, y + 5, "b c-ink", "middle", kept(c, &t));
}

static void put_marks(chart *c, double top) {
    for (int i = 0; i < c->mark_count; i++) {
        chart_line(c, c->marks[i].x, top + 12, c->marks[i].x, c->bottom, "dot s-ink");
        put_number(c, c->marks[i].x, top, i + 1);
    }
}

// The list under the chart; returns where it ends. `write`: else only measured.
static double put_list(chart *c, double top, bool write) {
    int columns = c->width >= 800 ? 2 : 1;
    double wide = (c->width - 2 * MARGIN - (columns - 1) * MARGIN) / columns;
    double y[2] = {top, top};
    int half = (c->mark_count + columns - 1) / columns;
    for (int i = 0; i < c->mark_count; i++) {
        int column = half > 0 ? i / half : 0;
        double x = MARGIN + column * (wide + MARGIN);
        text t = text_make(c->memory.memory);
        text_clock(&t, c->marks[i].at);
        const char *clock = kept(c, &t);
        if (write) {
            put_number(c, x + 10, y[column] - 5, i + 1);
            chart_text(c, x + 84, y[column], "b c-ink", "end", clock);
        }
        y[column] = put_wrapped(c, x + 94, y[column], wide - 94, CHART_TYPE, false,
                                c->marks[i].words, write);
        y[column] += 4;
    }
    return y[0] > y[1] ? y[0] : y[1];
}

// ---- all of it ----------------------------------------------------------------------------------
static int records_in(const chart *c, scenario_record_of of) {
    int count = 0;
    for (int i = 0; i < c->log->scenario->record_count; i++)
        count += c->log->scenario->records[i].of == of;
    return count;
}

static void lay_panels(chart *c, double top) {
    static const scenario_record_of ORDER[] = {RECORD_VOLTS, RECORD_AMPS, RECORD_CHARGE};
    double height = c->narrow ? 130 : 150;
    for (int i = 0; i < PANELS_MOST; i++) {
        int count = records_in(c, ORDER[i]);
        if (count == 0)
            continue;
        top += 44 + (c->narrow ? CHART_LINE * (count - 1) : 0);
        chart_panel *p = &c->panels[c->panel_count++];
        *p = (chart_panel){.of = ORDER[i], .top = top, .height = height};
        // As many lines as names must stand beside it.
        double names = c->narrow ? 0 : count * CHART_LINE;
        p->height = names > height ? names : height;
        chart_scale(c, p);
        top += p->height;
    }
    c->bottom = top + 8;
}

static const char *subtitle(chart *c) {
    const scenario *s = c->log->scenario;
    text t = text_make(c->memory.memory);
    const aircraft *a = c->log->aircraft;
    text_all(&t, a->name, a->tail[0] ? " (" : "", a->tail, a->tail[0] ? ")" : "", ". Batteries at ",
             NULL);
    text_fixed(&t, 100 * s->health, 0);
    text_put(&t, " % of their capacity when new");
    if (s->charge >= 0) {
        text_put(&t, ", charged to ");
        text_fixed(&t, 100 * s->charge, 0);
        text_put(&t, " %");
    }
    text_put(&t, ". Computed: a battery in flight is not known so well.");
    return kept(c, &t);
}

static void open_svg(chart *c, double height) {
    text_put(c->out, "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\"");
    svg_attribute(c->out, "aria-label", c->log->scenario->title);
    if (c->options.theme == THEME_ID_PRINT && c->options.width == 0) {
        text_put(c->out, " width=\"277mm\"");  // A4 on its side, margins of 10 mm
    } else {
        svg_attribute_number(c->out, "width", c->width);
        svg_attribute_number(c->out, "height", height);
    }
    text_put(c->out, " viewBox=\"0 0 ");
    svg_number(c->out, c->width);
    text_char(c->out, ' ');
    svg_number(c->out, height);
    text_put(c->out, "\">\n<style>");
    theme_style(c->options.theme, c->out);
    text_put(c->out, ".grid{fill:none;stroke-width:.6}.trace{fill:none;stroke-width:2.4;stroke-"
                     "linejoin:round}</style>\n"
                     "<rect class=\"paper\" x=\"0\" y=\"0\" width=\"");
    svg_number(c->out, c->width);
    text_put(c->out, "\" height=\"");
    svg_number(c->out, height);
    text_put(c->out, "\"/>\n");
}

static void draw(chart *c) {
    double inner = c->width - 2 * MARGIN, size = c->narrow ? 19 : 25;
    const char *under = subtitle(c);
    double y =
        put_wrapped(c, MARGIN, MARGIN + size, inner, size, true, c->log->scenario->title, false);
    double top = put_wrapped(c, MARGIN, y, inner, CHART_TYPE, false, under, false) + 4;
    lay_panels(c, top);
    chart_find_marks(c);
    double list = c->bottom + 58, foot = put_list(c, list, false) + 16;
    double height =
        put_wrapped(c, MARGIN, foot, inner, CHART_TYPE, false, c->options.caution, false) + 4;
    open_svg(c, height);
    put_wrapped(c, MARGIN, MARGIN + size, inner, size, true, c->log->scenario->title, true);
    put_wrapped(c, MARGIN, y, inner, CHART_TYPE, false, under, true);
    for (int i = 0; i < c->panel_count; i++)
        put_panel(c, &c->panels[i]);
    put_marks(c, top);
    put_time(c);
    put_list(c, list, true);
    put_wrapped(c, MARGIN, foot, inner, CHART_TYPE, false, c->options.caution, true);
    text_put(c->out, "</svg>\n");
}

status run_chart_write(const scenario_log *log, run_chart_options o, text *out) {
    chart c = {.log = log, .options = o, .memory = arena_make(log->memory.memory), .out = out};
    c.width = o.width > 0 ? o.width : USUAL_WIDTH;
    c.narrow = c.width < NARROW;
    c.left = MARGIN + SCALE_WIDTH;
    c.right = c.width - MARGIN - (c.narrow ? 0 : names_width(&c));
    draw(&c);
    bool failed = c.memory.failed || out->failed;
    arena_free(&c.memory);
    return failed ? STATUS_NO_MEMORY : STATUS_OK;
}
