#include "draw/layout.h"

#include "draw/layout_parts.h"
#include "draw/text_width.h"

enum { FOOT_ROOM = 20 };  // over the foot

int layout_columns(int width) {
    return width >= 1750 ? 5 : width >= 1400 ? 4 : width >= 1000 ? 3 : width >= 640 ? 2 : 1;
}

// Name, tail, phase, hairline, sentence. Returns the y below.
static int put_header(layout *l) {
    if (l->o.bare)
        return 10;
    const aircraft *a = l->b->aircraft;
    const outcome *o = l->b->outcome;
    bool narrow = l->columns == 1;
    int left = l->x0 - BAR_HALF, right = l->o.width - l->right;
    label_style name = {.size = 22, .bold = true, .serif = true};
    label_style tail = {.size = l->m.label, .bold = true};
    const char *title = a->name && *a->name ? a->name : "Aircraft";
    int base = l->o.print ? l->right * 2 / 3 + 20 : 40;
    picture_label(l->p, left, base, name, title);
    double at = left + text_width(title, 22, true) * 1.03 + 14;
    if (a->tail && *a->tail)
        picture_label(l->p, at, base, tail, a->tail);
    const char *words[2] = {"phase: ", a->phases[o->state.phase].name};
    label_style quiet = {.size = l->m.label, .anchor = narrow ? ANCHOR_START : ANCHOR_END};
    picture_label(l->p, narrow ? left : right, narrow ? base + 26 : base, quiet,
                  words_join(l->memory, words, 2));
    int y = base + (narrow ? 40 : l->o.close ? 12 : 16);
    picture_rule(l->p, left, y, right, y, false, l->o.print);
    label_style sentence = {.size = narrow ? 19 : l->o.close ? 21 : 25, .serif = true};
    int leading = narrow || l->o.close ? 26 : 32;
    int lines = picture_lines(l->p, left, y + leading + 6, right - left, leading, sentence,
                              o->sentence ? o->sentence : "");
    return y + 6 + lines * leading + (l->o.close ? 10 : 20);
}

// On a sheet, where height is scarce, one paragraph.
static const char *footer_words(const layout *l) {
    const char *words[3] = {l->o.caution, " ", l->o.base_note};
    return words_join(l->memory, words, l->o.print ? 3 : 1);
}

static int put_footer(layout *l, picture *p, int y) {
    if (l->o.bare)
        return 0;
    int left = l->x0 - BAR_HALF, right = l->o.width - l->right, start = y;
    label_style s = style_note(l, TONE_INK);
    if (p)
        picture_rule(p, left, y, right, y, false, false);
    y += 4 + l->m.line;
    y += l->m.line * picture_lines(p, left, y, right - left, l->m.line, s, footer_words(l));
    if (!l->o.print)
        y += l->m.line * picture_lines(p, left, y, right - left, l->m.line, s, l->o.base_note);
    return y - start - l->m.line + (l->o.print ? l->right * 2 / 3 + 6 : 22);
}

static bool prepare(layout *l) {
    size_t rows = (size_t)l->t->row_count + 1;
    l->row_y = arena_new(l->memory, rows, sizeof *l->row_y);
    l->row_bottom = arena_new(l->memory, rows, sizeof *l->row_bottom);
    l->p = arena_new(l->memory, 1, sizeof *l->p);
    if (!l->row_y || !l->row_bottom || !l->p)
        return false;
    l->p->memory = l->memory;
    return true;
}

static void describe(layout *l) {
    const aircraft *a = l->b->aircraft;
    const char *title[4] = {a->name ? a->name : "", a->tail && *a->tail ? ", " : "",
                            a->tail ? a->tail : "", ": electrical diagram"};
    l->p->title = words_join(l->memory, title, 4);
    const char *said[4] = {l->b->outcome->sentence ? l->b->outcome->sentence : "",
                           " Phase: ", a->phases[l->b->outcome->state.phase].name, "."};
    l->p->description = words_join(l->memory, said, 4);
}

// What stands outside of rows is named where it stands, for people who can't see it.
static void name_symbols(layout *l) {
    const aircraft *a = l->b->aircraft;
    for (int i = 0; i < l->p->symbol_count; i++) {
        const symbol_shape *s = &l->p->symbols[i];
        if (s->part < 0)
            continue;
        const char *words[3] = {words_full(l->b, s->part), ": ", symbol_word(s->id)};
        picture_group(l->p, (group_shape){.kind = "symbol",
                                          .part = a->parts[s->part].id,
                                          .paths = "",
                                          .title = words_join(l->memory, words, 3),
                                          .x = s->x - 16,
                                          .y = s->y - 14,
                                          .width = 32,
                                          .height = 28});
    }
    for (int i = 0; i < l->p->bar_count; i++) {
        const bar_shape *b = &l->p->bars[i];
        if (b->part < 0)
            continue;
        const char *words[2] = {"Bus: ", a->parts[b->part].label};
        picture_group(l->p, (group_shape){.kind = "bus",
                                          .part = a->parts[b->part].id,
                                          .paths = "",
                                          .title = words_join(l->memory, words, 2),
                                          .x = b->x,
                                          .y = b->y,
                                          .width = b->width,
                                          .height = b->height});
    }
}

// By `close`. Type is nowhere below 15, in units of the drawing.
// clang-format off
static const measures densities[] = {
    {.pitch = 30, .line = 20, .gutter = 40, .name = 17, .label = 16, .note = 15, .head = 19,
     .section = 18, .row = {40, 70, 90, 110, 130, 142}},
    {.pitch = 24, .line = 18, .gutter = 34, .name = 16, .label = 15, .note = 15, .head = 18,
     .section = 17, .row = {26, 52, 68, 88, 104, 114}},
    {.pitch = 21, .line = 17, .gutter = 34, .name = 15, .label = 15, .note = 15, .head = 17,
     .section = 16, .row = {26, 50, 66, 84, 100, 110}},
    [CLOSE_TOUCH] =
    {.pitch = 46, .line = 20, .gutter = 40, .name = 17, .label = 16, .note = 15, .head = 19,
     .section = 18, .row = {40, 70, 90, 110, 130, 142}},
};
// clang-format on

enum { NARROW = 360 };

static measures measures_for(layout_options o) {
    measures m = densities[o.close];
    // Where every word counts its letters, rows start as near to their bar as on paper.
    if (o.width < NARROW)
        m.row = densities[1].row;
    return m;
}

const picture *layout_make(const board *b, layout_options o) {
    layout l = {.memory = b->memory, .b = b, .t = b->topology, .o = o};
    l.m = measures_for(o);
    l.columns = o.columns ? o.columns : layout_columns(o.width);
    // Paper: 9 mm of 297 at each edge.
    l.right = l.columns == 1 ? 20 : o.print ? o.width * 9 / 297 : 40;
    l.x0 = (o.print ? (l.right + 9) / 10 * 10 : 40);
    l.pitch = (o.width - l.x0 - l.right + l.m.gutter) / l.columns / 10 * 10;
    l.usable = l.pitch - l.m.gutter;
    if (l.columns == 1)
        l.usable = o.width - l.x0 - l.right;
    if (!prepare(&l))
        return NULL;
    describe(&l);
    int top = put_header(&l), limits[2];
    landings from = {.count = 0};
    layout_split(&l, limits);
    l.bar_y = layout_sources(&l, top, limits, &from);
    layout_buses(&l, l.bar_y, &from);
    // The foot stands at the end of the sheet, or lower if the drawing is too long for it.
    double ratio = paper_height(o.paper) / paper_width(o.paper);
    int foot = put_footer(&l, NULL, 0), sheet = o.print ? (int)(o.width * ratio) - foot : 0;
    if (!o.bare)
        layout_lists(&l, top, sheet - FOOT_ROOM);
    int low = layout_low(&l) + FOOT_ROOM;
    l.p->needed = low + foot;
    low = low < sheet ? sheet : low;
    put_footer(&l, l.p, low);
    name_symbols(&l);
    l.p->width = o.width;
    l.p->sheet = o.columns > 0 ? paper_width(o.paper) : 0;
    l.p->height = low + foot;
    return b->memory->failed ? NULL : l.p;
}
