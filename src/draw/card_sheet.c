#include "draw/card_sheet.h"

#include <string.h>

#include "draw/card_parts.h"
#include "draw/text_width.h"

enum {
    LINES_MOST = 8,
    EDGE = 28,       // margin, in units of which type has 15 at least
    NAME_SIZE = 34,  // of the tail
    BASE_WIDTH_A4 = 1262,
    BASE_WIDTH_LETTER = 1188,  // at these 15 units are 10 pt
};

// ---- words --------------------------------------------------------------------------------------
label_style pen_plain(const card_pen *k) { return (label_style){.size = k->type}; }

label_style pen_bold(const card_pen *k) { return (label_style){.size = k->type, .bold = true}; }

static void put_cut_line(card_pen *k, int x, int y, label_style s, const char *words,
                         size_t length) {
    char *line = arena_new(k->p->memory, length + 4, 1);
    if (!line)
        return;
    memcpy(line, words, length);
    memcpy(line + length, "\xE2\x80\xA6", 4);
    picture_label(k->p, x, y, s, line);
    k->cut = true;
}

int pen_lines(card_pen *k, int x, int y, int width, label_style s, const char *words) {
    int lines = 0;
    double room = text_room(width);
    while (*words) {
        size_t next, length = text_line(words, room, s.size, s.bold, &next);
        bool last = lines + 1 == k->most && words[next];
        if (last) {
            length = text_line(words, room - text_room(s.size), s.size, s.bold, &next);
            put_cut_line(k, x, y + lines * k->line, s, words, length);
            return lines + 1;
        }
        char *line = arena_text(k->p->memory, words, length);
        if (!line)
            return lines;
        picture_label(k->p, x, y + lines * k->line, s, line);
        lines++;
        words += next;
    }
    return lines;
}

int pen_line_count(const card_pen *k, double width, bool bold, const char *words) {
    return picture_line_count(words, text_room(width), k->type, bold);
}

int pen_told(card_pen *k, int x, int y, int width, const char *bold, const char *words) {
    double taken = text_width_exact(bold, k->type, true) + k->type * 0.35;
    if (taken > width * 0.6) {
        y += k->line * pen_lines(k, x, y, width, pen_bold(k), bold);
        return y + k->line * pen_lines(k, x, y, width, pen_plain(k), words);
    }
    picture_label(k->p, x, y, pen_bold(k), bold);
    size_t next, length = text_line(words, text_room(width - taken), k->type, false, &next);
    char *first = arena_text(k->p->memory, words, length);
    if (!first)
        return y;
    picture_label(k->p, x + taken, y, pen_plain(k), first);
    y += k->line;
    return y + k->line * pen_lines(k, x, y, width, pen_plain(k), words + next);
}

int pen_paragraph(card_pen *k, int y, label_style s, const char *words) {
    return y + k->line * pen_lines(k, k->left, y, k->width, s, words);
}

int pen_heading(card_pen *k, int x, int y, const char *words) {
    picture_label(k->p, x, y, pen_bold(k), words);
    return y + k->line;
}

void pen_leave(card_pen *k, int count, const char *what) {
    text_put(&k->left_out, k->left_out.length ? ", " : "");
    if (count > 0) {
        text_int(&k->left_out, count);
        text_char(&k->left_out, ' ');
    }
    text_put(&k->left_out, what);
}

void pen_blank(card_pen *k, int x1, int x2, int y) {
    picture_rule(k->p, x1, y + 3, x2, y + 3, false, false);
}

// ---- what every side has ------------------------------------------------------------------------
static const char *tail_of(const card *c) { return *c->tail ? c->tail : c->name; }

// Tail and two lines beside it; a tail that is too long for that stands above them. Returns the y
// below.
static int put_head(card_pen *k, int y, const char *title, const char *under) {
    const char *tail = tail_of(k->c);
    double size = NAME_SIZE;
    while (size > 20 && text_width(tail, size, true) * 1.05 > k->width * 0.4)
        size -= 2;
    double taken = text_width(tail, size, true) * 1.05 + 16;
    if (taken > k->width * 0.45) {
        y += k->line * pen_lines(k, k->left, y + 14, k->width, pen_bold(k), tail);
        taken = 0;
    } else {
        picture_label(k->p, k->left, y + 30,
                      (label_style){.size = size, .bold = true, .serif = true}, tail);
    }
    int room = (int)(k->width - taken);
    y += 14;
    y += k->line * pen_lines(k, k->left + (int)taken, y, room, pen_bold(k), title);
    y += k->line * pen_lines(k, k->left + (int)taken, y, room, pen_plain(k), under);
    y += 14 - k->line;
    picture_rule(k->p, k->left, y, k->left + k->width, y, false, true);
    return y + 6 + k->line;
}

static const char *foot_words(const card_pen *k) {
    text t = text_make(k->p->memory->memory);
    const card *c = k->c;
    // A long tail stands at the head; here it would push out the file's revision.
    bool tail = text_width(tail_of(c), k->type, false) < k->width / 4.0;
    text_all(&t, tail ? tail_of(c) : "", tail ? ", " : "",
             *c->equipment_date ? "equipment list " : "no equipment list date", c->equipment_date,
             ", file ", c->hash, NULL);
    char *kept = t.failed ? NULL : arena_text(k->p->memory, text_get(&t), t.length);
    k->p->memory->failed |= !kept;
    text_free(&t);
    return kept ? kept : "";
}

// From the bottom edge upwards. Returns its upper edge.
static int put_foot(card_pen *k, int bottom, const char *side) {
    int caution = pen_line_count(k, k->width, false, card_first);
    int top = bottom - (caution + 1) * k->line - 10;
    picture_rule(k->p, k->left, top, k->left + k->width, top, false, false);
    int y = top + 4 + k->type;
    y = pen_paragraph(k, y, pen_plain(k), card_first);
    int most = k->most;
    k->most = 1;
    pen_lines(k, k->left, y, k->width - 60, pen_plain(k), foot_words(k));
    k->most = most;
    label_style right = pen_plain(k);
    right.anchor = ANCHOR_END;
    picture_label(k->p, k->left + k->width, y, right, side);
    return top;
}

// "Checked by ____ on ____" over the foot. Returns its upper edge.
static int put_signature(card_pen *k, int foot) {
    int y = foot - 12, by = k->left + (int)text_width("Checked by", k->type, false) + 10;
    int on = k->left + k->width * 2 / 3;
    picture_label(k->p, k->left, y, pen_plain(k), "Checked by");
    pen_blank(k, by, on - 10, y);
    picture_label(k->p, on, y, pen_plain(k), "on");
    pen_blank(k, on + 30, k->left + k->width, y);
    return y - k->type - 10;
}

// What was left out stands at the end. Returns the y below.
static int put_left_out(card_pen *k, int y) {
    if (k->cut)
        pen_leave(k, 0, "the ends of long texts");
    if (!k->left_out.length)
        return y;
    k->most = 3;
    y = pen_told(k, k->left, y, k->width, "Left out for want of room:", text_get(&k->left_out));
    return y + 4;
}

// ---- fitting ------------------------------------------------------------------------------------
typedef struct density {
    int type, line, columns;
    bool run_in;
} density;

// 11.3 to 10 pt; more columns of breakers take less height.
static const density densities[] = {{17, 22, 2, false}, {16, 20, 2, false}, {16, 20, 3, false},
                                    {15, 19, 2, false}, {15, 19, 3, false}, {15, 18, 2, false},
                                    {15, 18, 3, false}, {15, 17, 3, false}, {15, 18, 2, true},
                                    {15, 18, 3, true},  {15, 17, 2, true},  {15, 17, 3, true}};
enum { DENSITIES = sizeof densities / sizeof *densities };

typedef struct sheet_size {
    int width, height;
} sheet_size;

// How a side is set.
typedef struct side_plan {
    sheet_size size;
    bool front, lists_behind;
    density density;
    int level;
} side_plan;

// True if it has room. `left_out` is added to; NULL: it isn't asked for.
static bool put_side(picture *p, const card *c, const side_plan *s, text *left_out) {
    card_pen k = {.p = p,
                  .c = c,
                  .left = EDGE + (s->front ? 0 : s->size.width / 2),
                  .width = s->size.width / 2 - 2 * EDGE,
                  .type = s->density.type,
                  .line = s->density.line,
                  .gap = s->density.line > 17 ? 8 : 5,
                  .columns = s->density.columns,
                  .run_in = s->density.run_in,
                  .level = s->level,
                  .lists_behind = s->lists_behind,
                  .most =
                      s->level < (s->front ? (int)FRONT_SHORT : (int)BACK_SHORT) ? LINES_MOST : 2,
                  .left_out = text_make(p->memory->memory)};
    k.low = put_foot(&k, s->size.height - EDGE + 8, s->front ? "1 of 2" : "2 of 2");
    if (s->front)
        k.low = put_signature(&k, k.low);
    int low = k.low;
    // What fills its side leaves room for the line that says what has none.
    k.low -= 2 * k.line;
    int y = put_head(&k, EDGE - 8, s->front ? card_title : "Breakers by place",
                     s->front ? card_void : card_back_title(&k));
    y = s->front ? card_front(&k, y) : card_back(&k, y);
    y = put_left_out(&k, y);
    bool fits = y - k.line <= low;
    if (left_out && k.left_out.length)
        text_all(left_out, left_out->length ? ", " : "", text_get(&k.left_out), NULL);
    p->memory->failed = p->memory->failed || k.left_out.failed;
    text_free(&k.left_out);
    return fits;
}

static bool side_fits(arena *memory, const card *c, const side_plan *s) {
    arena scratch = arena_make(memory->memory);
    picture p = {.memory = &scratch, .fitted = true};
    bool fits = put_side(&p, c, s, NULL);
    memory->failed = memory->failed || scratch.failed;
    arena_free(&scratch);
    return fits;
}

// The largest type with which everything has room; else the smallest, and how much goes.
static void fit_side(arena *memory, const card *c, side_plan *s) {
    s->level = 0;
    for (int i = 0; i < DENSITIES; i++) {
        s->density = densities[i];
        if (side_fits(memory, c, s) || memory->failed)
            return;
    }
    int last = s->front ? FRONT_FEW : BACK_FEW;
    for (s->level = 1; s->level < last; s->level++)
        if (side_fits(memory, c, s) || memory->failed)
            return;
}

// Where the lists have no room on side 1 they stand on side 2, at the cost of its map, which the
// wall diagram shows better.
static void fit_both(arena *memory, const card *c, side_plan sides[2]) {
    for (int i = 0; i < 2; i++)
        fit_side(memory, c, &sides[i]);
    if (sides[0].level < FRONT_NO_FACE)
        return;
    side_plan moved[2] = {sides[0], sides[1]};
    for (int i = 0; i < 2; i++) {
        moved[i].lists_behind = true;
        fit_side(memory, c, &moved[i]);
    }
    bool better = moved[0].level < sides[0].level && moved[0].level <= FRONT_NO_FACE;
    if (better && moved[1].level <= BACK_NO_NOTES)
        memcpy(sides, moved, sizeof moved);
}

static void put_cut_mark(picture *p, sheet_size size) {
    for (int y = 0; y < size.height; y += 12)
        picture_rule(p, size.width / 2, y, size.width / 2, y + 6, false, false);
}

const picture *card_sheet(arena *memory, const card *c, paper_id paper, const char **left_out) {
    sheet_size size = {.width = paper_metric(paper) ? BASE_WIDTH_A4 : BASE_WIDTH_LETTER};
    size.height = (int)(size.width * paper_height(paper) / paper_width(paper));
    picture *p = arena_new(memory, 1, sizeof *p);
    *left_out = "";
    if (!p)
        return NULL;
    *p = (picture){.memory = memory,
                   .width = size.width,
                   .height = size.height,
                   .needed = size.height,
                   .sheet = paper_width(paper),
                   .sheet_height = paper_height(paper),
                   .fitted = true,
                   .title = tail_of(c),
                   .description = card_title};
    text out = text_make(memory->memory);
    side_plan sides[2] = {{.size = size, .front = true}, {.size = size}};
    fit_both(memory, c, sides);
    for (int i = 0; i < 2; i++)
        put_side(p, c, &sides[i], &out);
    put_cut_mark(p, size);
    if (out.length)
        *left_out = arena_text(memory, text_get(&out), out.length);
    memory->failed = memory->failed || out.failed;
    text_free(&out);
    return memory->failed ? NULL : p;
}
