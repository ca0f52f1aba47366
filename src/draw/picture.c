#include "draw/picture.h"

#include <string.h>

#include "base/text.h"
#include "draw/text_width.h"

// Room for one more of `items`; false: no memory, and what was there stays.
#define ROOM(p, items, count, room)                                                                \
    room_for((p)->memory, (void **)&(items), &(room), (count) + 1, sizeof *(items))

static bool room_for(arena *a, void **items, int *room, int wanted, size_t size) {
    void *moved = a->failed ? NULL : arena_grow(a, *items, room, wanted, size);
    if (!moved) {
        a->failed = true;
        return false;
    }
    *items = moved;
    return true;
}

void picture_wire(picture *p, int x1, int y1, int x2, int y2, power w) {
    if ((x1 == x2 && y1 == y2) || !ROOM(p, p->wires, p->wire_count, p->wire_room))
        return;
    p->wires[p->wire_count++] = (wire_shape){x1, y1, x2, y2, w};
}

void picture_bar(picture *p, int x, int y, int width, int height, power w, int part) {
    if (!ROOM(p, p->bars, p->bar_count, p->bar_room))
        return;
    p->bars[p->bar_count++] = (bar_shape){x, y, width, height, w, part};
}

void picture_symbol(picture *p, symbol_shape s) {
    if (!ROOM(p, p->symbols, p->symbol_count, p->symbol_room))
        return;
    p->symbols[p->symbol_count++] = s;
}

void picture_dot(picture *p, int x, int y, power w) {
    if (!ROOM(p, p->dots, p->dot_count, p->dot_room))
        return;
    p->dots[p->dot_count++] = (dot_shape){x, y, w};
}

void picture_rule(picture *p, int x1, int y1, int x2, int y2, bool dotted, bool heavy) {
    if (!ROOM(p, p->rules, p->rule_count, p->rule_room))
        return;
    p->rules[p->rule_count++] = (rule_shape){x1, y1, x2, y2, dotted, heavy};
}

void picture_group(picture *p, group_shape g) {
    g.title = arena_text(p->memory, g.title, strlen(g.title));
    if (!g.title || !ROOM(p, p->groups, p->group_count, p->group_room))
        return;
    p->groups[p->group_count++] = g;
}

void picture_gauge(picture *p, gauge_shape g) {
    if (!ROOM(p, p->gauges, p->gauge_count, p->gauge_room))
        return;
    p->gauges[p->gauge_count++] = g;
}

void gauge_point(const gauge_shape *g, double place, double out, double *x, double *y) {
    // A fan of 96 degrees. Sine and cosine as power series: the same digits on every machine.
    double a = (place - 0.5) * 1.6755160819145563, q = a * a;
    double sine = a * (1 - q / 6 * (1 - q / 20 * (1 - q / 42 * (1 - q / 72))));
    double cosine = 1 - q / 2 * (1 - q / 12 * (1 - q / 30 * (1 - q / 56)));
    *x = g->x + sine * g->radius * out;
    *y = g->y - cosine * g->radius * out;
}

// The serif runs wider than the letters that are measured. (A sentence in it is set with bold
// figures: measured as if all bold.)
static double widened(label_style s) { return s.serif ? 1.03 : 1; }

static void put_label(picture *p, double x, double y, label_style s, const char *words,
                      size_t length) {
    text forward = text_make(p->memory->memory);
    text_put_forward(&forward, words, length);
    length = forward.length;
    char *copy = forward.failed ? NULL : arena_text(p->memory, text_get(&forward), length);
    p->memory->failed = p->memory->failed || forward.failed;
    text_free(&forward);
    if (!copy || !length || !ROOM(p, p->labels, p->label_count, p->label_room))
        return;
    double width = text_width_n(copy, length, s.size, s.bold || s.serif) * widened(s);
    if (p->fitted && !s.serif)
        width = text_width_exact(copy, s.size, s.bold);
    double left = s.anchor == ANCHOR_START ? x : s.anchor == ANCHOR_END ? x - width : x - width / 2;
    p->labels[p->label_count++] = (label_shape){.x = x,
                                                .y = y,
                                                .left = left,
                                                .right = left + width,
                                                .top = y - 0.74 * s.size,
                                                .bottom = y + 0.22 * s.size,
                                                .anchor = s.anchor,
                                                .size = s.size,
                                                .bold = s.bold,
                                                .serif = s.serif,
                                                .tone = s.tone,
                                                .text = copy};
}

void picture_label(picture *p, double x, double y, label_style s, const char *text) {
    put_label(p, x, y, s, text, strlen(text));
}

// A text may be longer than a drawing can bear; what is left out shows as an ellipsis.
enum { MOST_LINES = 30 };

int picture_lines_beside(picture *p, double x, double y, double first, double width, double leading,
                         label_style s, const char *text) {
    int lines = 0;
    while (*text && lines < MOST_LINES) {
        double room = (lines ? width : first) / widened(s);
        size_t next, length = text_line(text, room, s.size, s.bold || s.serif, &next);
        if (lines == MOST_LINES - 1 && text[next]) {
            text = "\xE2\x80\xA6";
            next = length = strlen(text);
        }
        if (p)
            put_label(p, x, y + lines * leading, s, text, length);
        lines++;
        text += next;
    }
    return lines;
}

int picture_lines(picture *p, double x, double y, double width, double leading, label_style s,
                  const char *text) {
    return picture_lines_beside(p, x, y, width, width, leading, s, text);
}

int picture_line_count(const char *text, double width, double size, bool bold) {
    return picture_lines(NULL, 0, 0, width, 0, (label_style){.size = size, .bold = bold}, text);
}
