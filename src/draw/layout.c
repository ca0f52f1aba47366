#include "draw/layout.h"

#include "draw/layout_parts.h"
#include "draw/text_width.h"

int layout_columns(int width) {
    return width >= 1750 ? 5 : width >= 1400 ? 4 : width >= 1000 ? 3 : width >= 640 ? 2 : 1;
}

// Name, tail, phase, hairline, sentence. Returns the y below.
static int put_header(layout *l) {
    const aircraft *a = l->b->aircraft;
    const outcome *o = l->b->outcome;
    bool narrow = l->columns == 1;
    int left = l->x0 - BAR_HALF, right = l->o.width - (narrow ? 20 : 40);
    label_style name = {.size = 22, .bold = true, .serif = true};
    label_style tail = {.size = 16, .bold = true};
    const char *title = a->name && *a->name ? a->name : "Aircraft";
    picture_label(l->p, left, 40, name, title);
    double at = left + text_width(title, 22, true) * 1.03 + 14;
    if (a->tail && *a->tail)
        picture_label(l->p, at, 40, tail, a->tail);
    const char *words[2] = {"phase: ", a->phases[o->state.phase].name};
    label_style quiet = {.size = 16, .anchor = narrow ? ANCHOR_START : ANCHOR_END};
    picture_label(l->p, narrow ? left : right, narrow ? 66 : 40, quiet,
                  words_join(l->memory, words, 2));
    int y = narrow ? 80 : 56;
    picture_rule(l->p, left, y, right, y, false, l->o.print);
    label_style sentence = {.size = narrow ? 19 : 25, .serif = true};
    int leading = narrow ? 26 : 32;
    int lines = picture_lines(l->p, left, y + leading + 6, right - left, leading, sentence,
                              o->sentence ? o->sentence : "");
    return y + 6 + lines * leading + 20;
}

static int put_footer(layout *l, int y) {
    int left = l->x0 - BAR_HALF, right = l->o.width - (l->columns == 1 ? 20 : 40);
    picture_rule(l->p, left, y, right, y, false, false);
    label_style s = {.size = 15};
    y += 24;
    y += LINE * picture_lines(l->p, left, y, right - left, LINE, s, l->o.caution);
    y += LINE * picture_lines(l->p, left, y, right - left, LINE, s, l->o.base_note);
    return y;
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
        picture_group(l->p, words_join(l->memory, words, 3), s->x - 16, s->y - 14, 32, 28);
    }
    for (int i = 0; i < l->p->bar_count; i++) {
        const bar_shape *b = &l->p->bars[i];
        if (b->part < 0)
            continue;
        const char *words[2] = {"Bus: ", a->parts[b->part].label};
        picture_group(l->p, words_join(l->memory, words, 2), b->x, b->y, b->width, b->height);
    }
}

const picture *layout_make(const board *b, layout_options o) {
    layout l = {.memory = b->memory, .b = b, .t = b->topology, .o = o};
    l.columns = layout_columns(o.width);
    l.x0 = 40;
    int right = l.columns == 1 ? 20 : 40;
    l.pitch = (o.width - l.x0 - right + GUTTER) / l.columns / 10 * 10;
    l.usable = l.pitch - GUTTER;
    if (l.columns == 1)
        l.usable = o.width - l.x0 - right;
    if (!prepare(&l))
        return NULL;
    describe(&l);
    int y = put_header(&l), limits[2];
    landings from = {.count = 0};
    layout_split(&l, limits);
    y = layout_sources(&l, y, limits, &from);
    layout_buses(&l, y, &from);
    layout_lists(&l);
    int low = 0;
    for (int i = 0; i < l.columns; i++)
        if (l.bottom[i] > low)
            low = l.bottom[i];
    // A sheet of A4 on its side is 297 by 210 mm: a shorter drawing is given its height.
    int sheet = o.print ? o.width * 210 / 297 - 90 : 0;
    low = put_footer(&l, (low > sheet ? low : sheet) + 30);
    name_symbols(&l);
    l.p->width = o.width;
    l.p->height = low + 10;
    return b->memory->failed ? NULL : l.p;
}
