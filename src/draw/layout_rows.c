// Rows: breaker, rating, switch, name, amps; several items on one breaker branch from a dot.
#include <string.h>

#include "draw/layout_parts.h"
#include "draw/text_width.h"

label_style style_name(const layout *l, tone c) {
    return (label_style){.size = l->m.name, .tone = c};
}
label_style style_value(const layout *l, tone c, bool bold) {
    return (label_style){.size = l->m.name, .tone = c, .bold = bold, .anchor = ANCHOR_END};
}
label_style style_note(const layout *l, tone c) {
    return (label_style){.size = l->m.note, .tone = c};
}
label_style style_label(const layout *l, tone c) {
    return (label_style){.size = l->m.label, .tone = c};
}
label_style style_head(const layout *l, tone c) {
    return (label_style){.size = l->m.head, .tone = c, .bold = true};
}
label_style style_section(const layout *l) {
    return (label_style){.size = l->m.section, .bold = true};
}
label_style style_at(label_style s, anchor a) {
    s.anchor = a;
    return s;
}

void layout_wire(layout *l, const place *s, int dx1, int y1, int dx2, int y2, power w) {
    picture_wire(l->p, place_x(s, dx1), y1, place_x(s, dx2), y2, w);
}

static label_style turned(const place *s, label_style style) {
    if (s->mirror && style.anchor != ANCHOR_MIDDLE)
        style.anchor = style.anchor == ANCHOR_START ? ANCHOR_END : ANCHOR_START;
    return style;
}

void layout_label(layout *l, const place *s, double dx, double y, label_style style,
                  const char *words) {
    double x = s->mirror ? s->x - dx : s->x + dx;
    picture_label(l->p, x, y, turned(s, style), words);
}

int layout_lines(layout *l, const place *s, double dx, double y, double width, label_style style,
                 const char *words) {
    double x = s->mirror ? s->x - dx : s->x + dx;
    return picture_lines(l->p, x, y, width, l->m.line, turned(s, style), words);
}

void layout_symbol(layout *l, symbol_shape s) {
    if (s.id != SYMBOL_JOINT) {
        picture_symbol(l->p, s);
        return;
    }
    int dx = s.turns % 2 ? 0 : 10, dy = 10 - dx;
    fault_kind wrong = s.part >= 0 ? board_fault(l->b, s.part) : FAULT_NONE;
    if (wrong == FAULT_OPEN) {
        s.id = SYMBOL_WIRE_OPEN;
        picture_symbol(l->p, s);
        return;
    }
    picture_wire(l->p, s.x - dx, s.y - dy, s.x + dx, s.y + dy, s.power);
}

// ---- measures ----------------------------------------
// Room for a mirrored row's figure, at the far end from its bar; more room over rows whose wire
// turns back.
enum { MIRROR_VALUE = 46, TURN_ROOM = 6 };

typedef struct row_measure {
    int name_x, note_x;  // from the bar
    int stub_x;          // where the branch under another row goes down
    int lane_x;          // where it goes on down after it has turned back, 0 without
    int symbol_x;        // of a symbol right before the name, 0 without
    bool value_below;    // no room for the value beside the name
    double name_width, note_width, value_width;
    double first_width;  // of the name's first line, which the value stands beside
    int name_lines, note_lines, height, text_bottom;  // from the row's wire
} row_measure;

// Width of the longest word, so that none is broken where there is another way.
static double longest_word(const char *s, double size) {
    double most = 0;
    while (*s) {
        size_t length = strcspn(s, " ");
        double one = text_width_n(s, length, size, false);
        most = one > most ? one : most;
        s += length + (s[length] == ' ');
    }
    return most;
}

static label_style style_of_value(const layout *l, const row_view *v) {
    label_style s = style_value(l, v->value_tone, v->value_bold);
    // Milliamps are no part of what one adds up.
    if (v->numeric && !v->tenths) {
        s.size = l->m.note;
        s.bold = false;
    }
    return s;
}

static double value_width(const layout *l, const row_view *v) {
    label_style s = style_of_value(l, v);
    return text_width(v->value, s.size, s.bold);
}

// Whether the branch that a row under another hangs from goes on beside its note.
static bool sibling_below(const layout *l, int which) {
    const strip *at = &l->t->strips[l->t->rows[which].strip];
    for (int i = which + 1; i < at->first_row + at->row_count; i++)
        if (l->t->rows[i].joint == JOINT_UNDER && l->t->rows[i].from == l->t->rows[which].from)
            return true;
    return false;
}

// Rows with symbols under another: their wire turns back to the left of the symbols, so that
// symbols, names and notes stand where those of all other rows do. Not where a branch of the rows
// above still goes down there.
static bool turns_back(const layout *l, int which) {
    const row *r = &l->t->rows[which];
    if (r->joint != JOINT_UNDER || r->level != 1)
        return false;
    const strip *at = &l->t->strips[r->strip];
    bool symbols = false;
    for (int i = r->from + 1; i < at->first_row + at->row_count; i++) {
        const row *other = &l->t->rows[i];
        if (other->joint == JOINT_BAR)
            break;
        if (other->joint != JOINT_UNDER)
            return false;
        symbols = symbols || (other->from == r->from && other->second >= 0);
    }
    return symbols;
}

// Where a row under another stands; `name`: where names stand.
static void measure_under(const layout *l, const place *s, int which, int name, row_measure *m) {
    const row *r = &l->t->rows[which];
    int deep = r->level > 3 ? 3 : r->level, root = which;
    while (l->t->rows[root].level > 1)
        root = l->t->rows[root].from;
    bool back = turns_back(l, root);
    m->stub_x = name + (l->o.close ? 4 : 8) + (deep - 1 - (back && deep > 1)) * 20;
    if (back && root == which) {
        m->symbol_x = r->second >= 0 ? l->m.row.second_x - s->shift : 0;
        m->lane_x = l->m.row.second_x - s->shift - 20;
        m->name_x = name;
        return;
    }
    m->symbol_x = r->second >= 0 ? m->stub_x + 30 : 0;
    m->name_x = r->second >= 0 ? m->stub_x + 48 : m->stub_x + (l->o.close ? 14 : 20);
}

static row_measure measure(const layout *l, const place *s, int which) {
    const row *r = &l->t->rows[which];
    const row_view *v = &l->b->rows[which];
    row_measure m = {.name_x = l->m.row.name_x - s->shift};
    if (r->third >= 0) {
        m.symbol_x = m.name_x + 16;
        m.name_x += 34;
    }
    if (r->level > 0)
        measure_under(l, s, which, m.name_x, &m);
    m.value_width = *v->value ? value_width(l, v) + (l->o.close ? 8 : 12) : 0;
    if (s->mirror && *v->value && m.value_width < MIRROR_VALUE + 12)
        m.value_width = MIRROR_VALUE + 12;
    if (v->failed)
        m.value_width += 26;
    m.note_x = !r->level                             ? l->m.row.name_x - s->shift
               : m.lane_x || sibling_below(l, which) ? m.name_x
                                                     : m.stub_x - 4;
    m.note_width = s->width - m.note_x;
    m.name_width = s->width - m.name_x;
    m.first_width = m.name_width - m.value_width;
    size_t first = strcspn(v->name, " ");
    if (longest_word(v->name, l->m.name) > m.name_width ||
        text_width_n(v->name, first, l->m.name, false) > m.first_width) {
        m.value_below = *v->value != 0;
        m.first_width = m.name_width;
    }
    m.name_lines = picture_lines_beside(NULL, 0, 0, m.first_width, m.name_width, 0,
                                        style_name(l, TONE_INK), v->name);
    if (m.name_lines < 1)
        m.name_lines = 1;
    m.note_lines = *v->note ? picture_line_count(v->note, m.note_width, l->m.note, false) : 0;
    int lines = m.name_lines + m.note_lines + m.value_below;
    m.height = l->m.pitch + (lines - 1) * l->m.line;
    if (which + 1 < l->t->row_count && l->t->rows[which + 1].from == which &&
        turns_back(l, which + 1))
        m.height += TURN_ROOM;
    m.text_bottom = 10 + (lines - 1) * l->m.line;
    return m;
}

int layout_rows_height(layout *l, const place *s, int first, int count) {
    int sum = 0;
    for (int i = first; i < first + count; i++)
        sum += measure(l, s, i).height;
    return sum;
}

// ---- drawing ----------------------------------------
// The point of an edge that is nearer to the row's strip.
static int near_point(const layout *l, const row *r, int edge) {
    const power_graph *g = l->t->graph;
    if (edge == r->last && r->end != END_PATH)
        return graph_far(g, edge, r->point);
    int point = l->t->strips[r->strip].point;
    if (edge != r->first && r->first >= 0)
        point = graph_far(g, r->first, point);
    if (edge == r->third)
        point = graph_far(g, r->second, point);
    return point;
}

static void put_symbol(layout *l, const place *s, const row *r, int edge, int dx, int y, power w) {
    symbol_shape shape = board_path_symbol(l->b, edge);
    shape.x = place_x(s, dx);
    shape.y = y;
    if (shape.power == POWER_DEAD && w != POWER_DEAD && !shape.ink && shape.id != SYMBOL_DIODE)
        shape.power = w;
    // Drawn from its `a` end to its `b` end: a diode points to `b`, a battery's plus is there.
    shape.mirror = s->mirror != (l->t->graph->edges[edge].b == near_point(l, r, edge));
    // Terminals stand 10 from the middle in a row; the shunt's long ones don't fit there.
    if (shape.id == SYMBOL_SHUNT)
        shape.id = SYMBOL_RESISTOR;
    layout_symbol(l, shape);
}

// The wire goes on behind the rating, this far from its middle at least, and so far from its end.
enum { RATING_ROOM = 16, RATING_GAP = 6 };

static int put_first(layout *l, const place *s, const row *r, const row_view *v, int y) {
    int which = l->t->graph->edges[r->first].part;
    layout_wire(l, s, BAR_HALF, y, l->m.row.first_x - 10, y, v->at_bar);
    put_symbol(l, s, r, r->first, l->m.row.first_x, y, v->at_bar);
    label_style rating = {.size = l->m.label, .bold = true, .anchor = ANCHOR_MIDDLE};
    if (v->at_bar == POWER_DEAD)
        rating.tone = TONE_QUIET;
    const char *words = words_rating(l->b, which);
    layout_label(l, s, l->m.row.rating_x, y + 6, rating, words);
    int half = (int)(text_width(words, rating.size, true) / 2) + RATING_GAP;
    return l->m.row.rating_x + (half > RATING_ROOM ? half : RATING_ROOM);
}

static void end_wire(layout *l, const place *s, int from, int to, int y, const row_view *v,
                     power w) {
    if (!v->wire_open) {
        layout_wire(l, s, from, y, to, y, w);
        return;
    }
    int gap = to - 8;
    if (gap - 8 > from)
        layout_wire(l, s, from, y, gap - 8, y, w);
    symbol_shape cut = {
        .id = SYMBOL_WIRE_OPEN, .x = place_x(s, gap), .y = y, .warn = true, .part = -1};
    picture_symbol(l->p, cut);
}

static void put_line(layout *l, const place *s, const row *r, const row_view *v,
                     const row_measure *m, int y) {
    int pen = BAR_HALF, end = l->m.row.name_x - s->shift - 6;
    int second = l->m.row.second_x - s->shift, branch = l->m.row.second_branch - s->shift;
    power w = v->at_bar;
    if (r->joint == JOINT_FIRST || r->joint == JOINT_SECOND) {
        pen = r->joint == JOINT_FIRST ? l->m.row.first_branch : branch;
        w = r->joint == JOINT_FIRST ? v->after_first : v->after_second;
        layout_wire(l, s, pen, l->row_y[r->from], pen, y, w);
        picture_dot(l->p, place_x(s, pen), l->row_y[r->from], w);
    } else if (r->first >= 0) {
        pen = put_first(l, s, r, v, y);
        w = v->after_first;
    }
    if (r->second >= 0 && r->joint != JOINT_SECOND) {
        layout_wire(l, s, pen, y, second - 10, y, w);
        put_symbol(l, s, r, r->second, second, y, w);
        pen = second + 10;
        w = v->after_second;
    }
    if (r->end == END_NOTHING) {
        if (pen < l->m.row.first_branch - s->shift + 6)
            layout_wire(l, s, pen, y, l->m.row.first_branch - s->shift + 8, y, w);
        return;
    }
    if (r->third >= 0) {
        layout_wire(l, s, pen, y, m->symbol_x - 10, y, w);
        put_symbol(l, s, r, r->third, m->symbol_x, y, w);
        pen = m->symbol_x + 10;
        end = m->name_x - 4;
        w = v->at_end;
    }
    end_wire(l, s, pen, end, y, v, w);
}

static void put_line_under(layout *l, const place *s, const row *r, const row_view *v,
                           const row_measure *m, int y) {
    int from = l->row_bottom[r->from] + 2, x = m->stub_x;
    if (m->lane_x) {
        x = m->lane_x;
        layout_wire(l, s, m->stub_x, from, m->stub_x, from + TURN_ROOM, v->at_bar);
        layout_wire(l, s, m->stub_x, from + TURN_ROOM, x, from + TURN_ROOM, v->at_bar);
        from += TURN_ROOM;
    }
    layout_wire(l, s, x, from, x, y, v->at_bar);
    if (!m->symbol_x) {
        end_wire(l, s, x, m->name_x - 6, y, v, v->at_bar);
        return;
    }
    layout_wire(l, s, x, y, m->symbol_x - 10, y, v->at_bar);
    put_symbol(l, s, r, r->second, m->symbol_x, y, v->at_bar);
    layout_wire(l, s, m->symbol_x + 10, y, m->name_x - (m->lane_x ? 6 : 4), y, v->after_first);
}

static void put_words(layout *l, const place *s, const row_view *v, const row_measure *m, int y) {
    label_style name = turned(s, style_name(l, v->name_tone));
    picture_lines_beside(l->p, place_x(s, m->name_x), y + 6, m->first_width, m->name_width,
                         l->m.line, name, v->name);
    int value_y = m->value_below ? y + 6 + m->name_lines * l->m.line : y + 6;
    int note_lines = m->name_lines + m->value_below;
    if (*v->note)
        layout_lines(l, s, m->note_x, y + 6 + note_lines * l->m.line, m->note_width,
                     style_note(l, v->note_warn ? TONE_WARN : TONE_QUIET), v->note);
    label_style value = style_of_value(l, v);
    // Figures end at one line, mirrored or not.
    if (s->mirror && value_width(l, v) <= MIRROR_VALUE && !m->value_below)
        picture_label(l->p, s->x - s->width + MIRROR_VALUE, value_y, value, v->value);
    else
        layout_label(l, s, s->width, value_y, value, v->value);
    if (v->failed) {
        symbol_shape mark = {.id = SYMBOL_FAILED,
                             .x = place_x(s, (int)(s->width - m->value_width + 20)),
                             .y = value_y - 6,
                             .warn = true,
                             .part = -1};
        picture_symbol(l->p, mark);
    }
}

// Where a row answers to a hand: its item, and its breaker and switch from the bar outwards.
static void put_spot(layout *l, const place *s, const row *r, const row_view *v, int y,
                     int height) {
    const int edges[3] = {r->first, r->second, r->third};
    text paths = text_make(l->memory->memory);
    for (int i = 0; i < 3; i++) {
        if (edges[i] < 0)
            continue;
        const part *p = &l->b->aircraft->parts[l->t->graph->edges[edges[i]].part];
        text_all(&paths, paths.length ? " " : "", p->id, NULL);
    }
    // What stands at the end of a row that leads to a bus is the bus.
    int which = r->end == END_STRIP ? l->t->strips[r->part].part : r->part;
    picture_group(l->p, (group_shape){.kind = "row",
                                      .part = which >= 0 ? l->b->aircraft->parts[which].id : "",
                                      .paths = words_keep(l->memory, &paths),
                                      .title = v->title,
                                      .x = s->mirror ? s->x - s->width : s->x,
                                      .y = y,
                                      .width = s->width,
                                      .height = height,
                                      .mirror = s->mirror});
}

int layout_rows(layout *l, const place *s, int first, int count, int y) {
    for (int i = first; i < first + count; i++) {
        const row *r = &l->t->rows[i];
        const row_view *v = &l->b->rows[i];
        row_measure m = measure(l, s, i);
        l->row_y[i] = y;
        l->row_bottom[i] = y + m.text_bottom;
        if (r->joint == JOINT_UNDER)
            put_line_under(l, s, r, v, &m, y);
        else
            put_line(l, s, r, v, &m, y);
        put_words(l, s, v, &m, y);
        put_spot(l, s, r, v, y - l->m.pitch / 2, m.height);
        y += m.height;
    }
    return y;
}

// ---- strips ----------------------------------------
static const char *also_fed(const layout *l, int which) {
    text t = text_make(l->memory->memory);
    for (int i = 0; i < l->t->cross_count; i++) {
        const cross_feed *c = &l->t->crosses[i];
        if (c->strip != which)
            continue;
        const row *r = &l->t->rows[c->row];
        text_all(&t, t.length ? "; " : "Also joined to ", l->b->strips[c->from].name, NULL);
        if (r->last >= 0)
            text_all(&t, " by ", words_label(l->b, l->t->graph->edges[r->last].part), NULL);
    }
    return words_keep(l->memory, &t);
}

// The sum of a main bus; returns its lines. On a page those of its longest form, so that nothing
// below it jumps when a term comes or goes.
static int main_sum_lines(layout *l, const place *s, int which, int y, bool shown) {
    double width = s->width - 18;
    for (int i = 0; i < l->t->main_count; i++) {
        if (l->t->mains[i] != which)
            continue;
        const char *sum, *longest;
        layout_main_sum(l, i, &sum, &longest);
        int lines = 0;
        if (*sum && shown && l->b->strips[which].power != POWER_DEAD)
            lines = layout_lines(l, s, 18, y, width, style_note(l, TONE_INK), sum);
        int most = l->o.bare && *longest ? picture_line_count(longest, width, l->m.note, false) : 0;
        return lines > most ? lines : most;
    }
    return 0;
}

int layout_strip_head(layout *l, const place *s, int which, int y) {
    const strip_view *v = &l->b->strips[which];
    double volts = *v->volts ? text_width(v->volts, l->m.head, true) + 14 : 0;
    label_style name = style_head(l, v->power == POWER_DEAD ? TONE_QUIET : TONE_INK);
    int lines = layout_lines(l, s, 18, y + 32, s->width - 18 - volts, name, v->name);
    layout_label(l, s, s->width, y + 32, style_at(style_head(l, v->volts_tone), ANCHOR_END),
                 v->volts);
    y += 32 + (lines - 1) * l->m.line;
    const strip *at = &l->t->strips[which];
    fault_kind wrong = at->part >= 0 ? board_fault(l->b, at->part) : FAULT_NONE;
    if (wrong != FAULT_NONE && l->b->aircraft->parts[at->part].kind == KIND_BUS)
        y += l->m.line *
             layout_lines(l, s, 18, y + l->m.line, s->width - 18, style_note(l, TONE_WARN),
                          wrong == FAULT_SHORT ? "shorted to the airframe" : fault_word(wrong));
    y += l->m.line * main_sum_lines(l, s, which, y + l->m.line, wrong == FAULT_NONE);
    const char *also = also_fed(l, which);
    if (*also)
        y += l->m.line *
             layout_lines(l, s, 18, y + l->m.line, s->width - 18, style_note(l, TONE_QUIET), also);
    return y + 8;
}

int layout_strip_total(layout *l, const place *s, int which, int y) {
    const strip_view *v = &l->b->strips[which];
    bool all_rows = l->t->strips[which].role == STRIP_MAIN && s->width >= 290;
    int left = place_x(s, all_rows ? l->m.row.first_branch : l->m.row.name_x - s->shift),
        right = place_x(s, s->width);
    picture_rule(l->p, left, y, right, y, false, false);
    const char *words[2] = {words_tenths(l->memory, v->total), "\xC2\xA0"
                                                               "A"};
    tone c = v->power == POWER_DEAD ? TONE_QUIET : TONE_INK;
    layout_label(l, s, s->width, y + 24, style_value(l, c, true),
                 v->power == POWER_DEAD ? "0\xC2\xA0"
                                          "A"
                                        : words_join(l->memory, words, 2));
    layout_label(l, s, all_rows ? l->m.row.first_branch : l->m.row.name_x - s->shift, y + 24,
                 style_name(l, TONE_QUIET), all_rows ? "Sum of all rows" : "Sum");
    return y + 34;
}

// Without any first symbol its room is left out.
static bool has_first(const layout *l, int which) {
    const strip *at = &l->t->strips[which];
    for (int i = at->first_row; i < at->first_row + at->row_count; i++)
        if (l->t->rows[i].first >= 0)
            return true;
    return false;
}

// With type that is close, the room of switches is left out where there are none.
static bool has_second(const layout *l, int which) {
    const strip *at = &l->t->strips[which];
    for (int i = at->first_row; i < at->first_row + at->row_count; i++)
        if (l->t->rows[i].second >= 0)
            return true;
    return false;
}

int layout_strip(layout *l, const place *given, int which, int first, int count, int y, bool head,
                 bool total) {
    place moved = *given;
    const place *s = &moved;
    if (l->t->strips[which].row_count && !has_first(l, which))
        moved.shift = NO_FIRST_SHIFT;
    else if (l->o.close && !has_second(l, which))
        moved.shift = NO_SECOND_SHIFT;
    const strip *at = &l->t->strips[which];
    bool bus = at->role == STRIP_MAIN ||
               (at->part >= 0 && l->b->aircraft->parts[at->part].kind == KIND_BUS);
    power w = l->b->strips[which].power;
    int top = y, last = y + 16;
    y = head ? layout_strip_head(l, s, which, y) : y + 40;
    if (count > 0) {
        y += l->m.pitch / 2 + 4;
        y = (y + 9) / 10 * 10;
        int end = layout_rows(l, s, first, count, y);
        last = y;
        for (int i = first; i < first + count; i++)
            if (l->t->rows[i].joint == JOINT_BAR)
                last = l->row_y[i];
        y = end - l->m.pitch / 2;
    }
    // In the chain its wire meets the bar's end at half its width.
    if (bus && at->role == STRIP_CHAIN)
        top -= BAR_HALF;
    if (bus)
        picture_bar(l->p, s->x - BAR_HALF, top, 2 * BAR_HALF, last + 10 - top, w, at->part);
    else if (count > 0)
        picture_wire(l->p, s->x, top, s->x, last, w);
    if (total && count == 0) {
        layout_label(l, s, 18, y + 14, style_note(l, TONE_QUIET), "Nothing on it");
        y += 20;
    }
    if (total && count > 1)
        y = layout_strip_total(l, s, which, y + 6);
    return y > last + 12 ? y : last + 12;
}
