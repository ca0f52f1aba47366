#include "draw/columns.h"

#include <string.h>

#include "draw/board_words.h"
#include "draw/svg.h"
#include "draw/text_width.h"

static const char *const power_class[] = {"live", "draining", "quiet"};
static const char *const tone_class[] = {"", "c-quiet", "c-live", "c-draining", "c-warn"};

static void number_pair(text *out, const char *before, double x, double y) {
    text_put(out, before);
    svg_number(out, x);
    text_put(out, ",");
    svg_number(out, y);
}

// ---- wires ----------------------------------------
// One path for all wires of a power: fewer bytes, and no seams where wires meet.
static void wire_path(const picture *p, power w, const char *classes, text *out) {
    bool any = false;
    for (int i = 0; i < p->wire_count; i++) {
        const wire_shape *s = &p->wires[i];
        if (s->power != w)
            continue;
        if (!any)
            text_all(out, "<path class=\"", classes, "\" d=\"", NULL);
        any = true;
        number_pair(out, "M", s->x1, s->y1);
        text_put(out, s->y1 == s->y2 ? "H" : "V");
        svg_number(out, s->y1 == s->y2 ? s->x2 : s->y2);
    }
    if (any)
        text_put(out, "\"/>\n");
}

static void write_wires(const picture *p, text *out) {
    wire_path(p, POWER_DEAD, "thin s-quiet", out);
    wire_path(p, POWER_LIVE, "w s-live", out);
    wire_path(p, POWER_DRAINING, "rail s-draining", out);
    wire_path(p, POWER_DRAINING, "gap s-paper", out);
}

// ---- bars ----------------------------------------
static void rectangle(text *out, const char *classes, double x, double y, double width,
                      double height) {
    text_all(out, "<rect class=\"", classes, "\"", NULL);
    svg_attribute_number(out, "x", x);
    svg_attribute_number(out, "y", y);
    svg_attribute_number(out, "width", width);
    svg_attribute_number(out, "height", height);
    text_put(out, "/>\n");
}

// Outlines first, then their insides: bars that meet become one shape.
static void write_bars(const picture *p, text *out) {
    for (int i = 0; i < p->bar_count; i++) {
        const bar_shape *b = &p->bars[i];
        if (b->power == POWER_DEAD)
            rectangle(out, "thin s-quiet", b->x + 0.8, b->y + 0.8, b->width - 1.6, b->height - 1.6);
        else
            rectangle(out, b->power == POWER_LIVE ? "c-live" : "c-draining", b->x, b->y, b->width,
                      b->height);
    }
    for (int i = 0; i < p->bar_count; i++) {
        const bar_shape *b = &p->bars[i];
        if (b->power != POWER_LIVE)
            rectangle(out, "paper", b->x + 2, b->y + 2, b->width - 4, b->height - 4);
    }
    for (int i = 0; i < p->bar_count; i++) {
        const bar_shape *b = &p->bars[i];
        if (b->power != POWER_DRAINING)
            continue;
        text_put(out, "<rect fill=\"url(#hatch)\"");
        svg_attribute_number(out, "x", b->x + 2);
        svg_attribute_number(out, "y", b->y + 2);
        svg_attribute_number(out, "width", b->width - 4);
        svg_attribute_number(out, "height", b->height - 4);
        text_put(out, "/>\n");
    }
}

// ---- symbols ----------------------------------------
static void symbol_path(text *out, const char *classes, const char *color, const char *slight,
                        const char *data) {
    if (data)
        text_all(out, "<path class=\"", classes, color, slight, "\" d=\"", data, "\"/>", NULL);
}

static void write_place(const symbol_shape *s, text *out) {
    number_pair(out, " transform=\"translate(", s->x, s->y);
    text_put(out, ")");
    if (s->mirror)
        text_put(out, " scale(-1,1)");
    if (s->turns) {
        text_put(out, " rotate(");
        svg_number(out, s->turns * 90);
        text_put(out, ")");
    }
    text_put(out, "\"");
}

static void write_symbol(const symbol_shape *s, text *out) {
    const symbol_form *f = symbol_form_of(s->id);
    const char *color = s->warn ? "warn" : s->ink ? "ink" : power_class[s->power];
    const char *slight = s->power == POWER_DEAD && !s->ink && !s->warn ? " slight" : "";
    bool round = s->id == SYMBOL_MACHINE_AC || s->id == SYMBOL_MACHINE_DC || s->id == SYMBOL_LAMP ||
                 s->id == SYMBOL_COIL || s->id == SYMBOL_GROUND_POWER;
    const char *shared = symbol_shared(s->id);
    if (shared) {
        text_all(out, "<use class=\"sym k-", color, slight, "\" href=\"#", shared, "\"", NULL);
        write_place(s, out);
        text_put(out, "/>\n");
        return;
    }
    text_put(out, "<g");
    write_place(s, out);
    text_put(out, ">");
    // What is round is filled with paper under its strokes, the rest over them.
    symbol_path(out, "hole paper s-", color, slight, round ? f->hollow : NULL);
    symbol_path(out, "sym s-", color, slight, f->stroke);
    symbol_path(out, "c-", color, "", f->fill);
    symbol_path(out, "hole paper s-", color, slight, round ? NULL : f->hollow);
    text_put(out, "</g>\n");
    if (!f->letter)
        return;
    bool small = f->above < 15;
    text_all(out, "<text class=\"b c-", s->id == SYMBOL_FAILED ? "paper" : color,
             "\" text-anchor=\"middle\"", NULL);
    svg_attribute_number(out, "font-size", small ? 12 : 16);
    svg_attribute_number(out, "x", s->x);
    svg_attribute_number(out, "y", s->y + (s->id == SYMBOL_FAILED ? 7 : small ? 4.5 : 1));
    text_all(out, ">", f->letter, "</text>\n", NULL);
}

// ---- words ----------------------------------------
static bool has_digit(const char *s, size_t length) {
    for (size_t i = 0; i < length; i++)
        if (s[i] >= '0' && s[i] <= '9')
            return true;
    return false;
}

// True for a word that belongs to the figure before it.
static bool is_unit(const char *s, size_t length) {
    static const char *const units[] = {"V",  "A",  "mA",    "%",    "V.",    "A.",  "V,",
                                        "A,", "%.", "items", "item", "lost.", "lost"};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strlen(units[i]) == length && memcmp(units[i], s, length) == 0)
            return true;
    return false;
}

// A sentence: its figures stand out.
static void write_sentence(const char *s, text *out) {
    bool bold = false;
    while (*s) {
        size_t length = strcspn(s, " ");
        const char *after = s + length + (s[length] == ' ');
        // "27.9 V", "5 items lost", but not the 2 of "Radio bus 2".
        bool figure_word = has_digit(s, length) && is_unit(after, strcspn(after, " "));
        bool wanted = figure_word || (bold && is_unit(s, length));
        if (wanted != bold) {
            text_put(out, wanted ? "<tspan class=\"b\">" : "</tspan>");
            bold = wanted;
        }
        char word[256];
        size_t part_length = length < sizeof word - 2 ? length : sizeof word - 2;
        memcpy(word, s, part_length);
        size_t full = part_length;
        if (part_length == length && s[length] == ' ')
            word[full++] = ' ';
        word[full] = 0;
        xml_text(out, word);
        s += part_length + (s[part_length] == ' ');
    }
    if (bold)
        text_put(out, "</tspan>");
}

// True where the width is known to the unit: of other letters it is a guess.
static bool is_plain(const char *s) {
    for (; *s; s++)
        if ((unsigned char)*s >= 0x80)
            return false;
    return true;
}

// The size of most labels: the drawing says it once for all of them.
static double usual_size(const picture *p) {
    double usual = 0;
    int most = 0;
    for (int i = 0; i < p->label_count; i++) {
        int count = 0;
        for (int k = i; k < p->label_count; k++)
            count += p->labels[k].size == p->labels[i].size;
        if (count > most) {
            most = count;
            usual = p->labels[i].size;
        }
    }
    return usual;
}

// Most labels are in ink and begin where they stand: those have no class.
static void write_label_classes(const label_shape *s, text *out) {
    static const char *const anchor_class[] = {
        [ANCHOR_START] = "", [ANCHOR_MIDDLE] = "m", [ANCHOR_END] = "e"};
    const char *const classes[] = {tone_class[s->tone], s->bold ? "b" : "", s->serif ? "serif" : "",
                                   anchor_class[s->anchor]};
    bool any = false;
    for (size_t i = 0; i < sizeof classes / sizeof *classes; i++) {
        if (!*classes[i])
            continue;
        text_all(out, any ? " " : " class=\"", classes[i], NULL);
        any = true;
    }
    if (any)
        text_char(out, '"');
}

static void write_label(const label_shape *s, double usual, bool fitted, text *out) {
    svg_open(out, "text");
    if (s->serif)
        text_put(out, " xml:space=\"preserve\"");
    write_label_classes(s, out);
    if (s->size != usual)
        svg_attribute_number(out, "font-size", s->size);
    svg_attribute_number(out, "x", s->x);
    svg_attribute_number(out, "y", s->y);
    if (fitted && !s->serif && is_plain(s->text)) {
        svg_attribute_number(out, "textLength", text_width_exact(s->text, s->size, s->bold));
        svg_attribute(out, "lengthAdjust", "spacingAndGlyphs");
    }
    text_put(out, ">");
    if (s->serif && !s->bold)
        write_sentence(s->text, out);
    else
        xml_text(out, s->text);
    text_put(out, "</text>\n");
}

static void write_rule(const rule_shape *s, text *out) {
    text_all(out, "<path class=\"",
             s->dotted  ? "dot s-ink"
             : s->heavy ? "rule heavy s-ink"
                        : "rule s-hair",
             "\" d=\"", NULL);
    number_pair(out, "M", s->x1, s->y1);
    number_pair(out, "L", s->x2, s->y2);
    text_put(out, "\"/>\n");
}

static void write_dot(const dot_shape *s, text *out) {
    text_all(out, "<circle class=\"c-", power_class[s->power], "\"", NULL);
    svg_attribute_number(out, "cx", s->x);
    svg_attribute_number(out, "cy", s->y);
    svg_attribute_number(out, "r", s->power == POWER_DEAD ? 3 : 4.6);
    text_put(out, "/>\n");
}

static void write_group(const group_shape *g, text *out) {
    text_put(out, "<rect class=\"spot\" fill=\"none\" pointer-events=\"all\"");
    svg_attribute(out, "data-kind", g->kind);
    if (*g->part)
        svg_attribute(out, "data-part", g->part);
    if (*g->paths)
        svg_attribute(out, "data-paths", g->paths);
    if (g->mirror)
        svg_attribute(out, "data-bar", "right");
    svg_attribute_number(out, "x", g->x);
    svg_attribute_number(out, "y", g->y);
    svg_attribute_number(out, "width", g->width);
    svg_attribute_number(out, "height", g->height);
    text_put(out, ">");
    svg_element_text(out, "title", g->title);
    text_put(out, "</rect>\n");
}

// ---- gauges ----------------------------------------
static void gauge_pair(text *out, const char *before, const gauge_shape *g, double place,
                       double away) {
    double x, y;
    gauge_point(g, place, away, &x, &y);
    number_pair(out, before, x, y);
}

static void gauge_arc(text *out, const gauge_shape *g, double from, double to, double away) {
    gauge_pair(out, "M", g, from, away);
    number_pair(out, "A", g->radius * away, g->radius * away);
    text_put(out, " 0 0 1");
    gauge_pair(out, " ", g, to, away);
}

// A point beside the line from the pivot to a place of the scale.
static void needle_corner(text *out, const char *before, const gauge_shape *g, double away,
                          double aside) {
    double x, y, dx = g->x, dy = g->y;
    gauge_point(g, g->needle, away, &x, &y);
    gauge_point(g, g->needle, 1, &dx, &dy);
    dx = (dx - g->x) / g->radius;
    dy = (dy - g->y) / g->radius;
    number_pair(out, before, x - dy * aside, y + dx * aside);
}

static void write_gauge(const gauge_shape *g, text *out) {
    text_put(out, "<path class=\"sym s-ink\" d=\"");
    gauge_arc(out, g, 0, 1, 1);
    for (int i = 0; i <= g->ticks; i++) {
        double place = (double)i / g->ticks;
        gauge_pair(out, "M", g, place, 1);
        gauge_pair(out, "L", g, place, 1 - (i % g->longer ? 5 : 10) / g->radius);
    }
    text_put(out, "\"/>");
    if (g->band_high > g->band_low) {
        text_put(out, "<path class=\"band s-live\" d=\"");
        gauge_arc(out, g, g->band_low, g->band_high, 1 - 15 / g->radius);
        text_put(out, "\"/>");
    }
    if (!g->dead) {
        text_put(out, "<path class=\"c-ink\" d=\"");
        needle_corner(out, "M", g, 0.985, -1.2);
        needle_corner(out, "L", g, 0.985, 1.2);
        // Its foot stays above the words below, however far it leans.
        double x, y;
        gauge_point(g, g->needle, 1, &x, &y);
        double foot = 0.5 * g->radius / (g->y - y);
        needle_corner(out, "L", g, foot, 5);
        needle_corner(out, "L", g, foot, -5);
        text_put(out, "z\"/>");
    }
    text_put(out, "\n");
}

static void write_head(const picture *p, double usual, theme_id colors, text *out) {
    text_put(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" "
                  "aria-labelledby=\"diagram-title diagram-text\"");
    // A sheet has its size on paper.
    bool sheet = p->sheet > 0;
    double unit = sheet ? p->sheet / p->width : 1;
    text_put(out, " width=\"");
    svg_number(out, p->width * unit);
    text_put(out, sheet ? "mm\" height=\"" : "\" height=\"");
    svg_number(out, p->sheet_height > 0 ? p->sheet_height : p->height * unit);
    text_put(out, sheet ? "mm\"" : "\"");
    text_put(out, " viewBox=\"0 0 ");
    svg_number(out, p->width);
    text_put(out, " ");
    svg_number(out, p->height);
    text_put(out, "\"");
    svg_attribute_number(out, "font-size", usual);
    text_put(out, " text-rendering=\"geometricPrecision\">\n<title id=\"diagram-title\">");
    xml_text(out, p->title);
    text_put(out, "</title>\n<desc id=\"diagram-text\">");
    xml_text(out, p->description);
    text_put(out, "</desc>\n");
    if (colors != THEME_ID_PAGE) {
        text_put(out, "<style>");
        theme_style(colors, out);
        text_put(out, "</style>\n");
    }
    text_put(out, "<defs><pattern id=\"hatch\" width=\"6\" height=\"6\" "
                  "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">"
                  "<rect class=\"c-draining\" width=\"2.6\" height=\"6\"/></pattern>");
    symbols_define(out);
    text_put(out, "</defs>\n");
    rectangle(out, "paper", 0, 0, p->width, p->height);
}

void picture_write(const picture *p, theme_id colors, text *out) {
    double usual = usual_size(p);
    write_head(p, usual, colors, out);
    for (int i = 0; i < p->rule_count; i++)
        write_rule(&p->rules[i], out);
    write_wires(p, out);
    write_bars(p, out);
    for (int i = 0; i < p->dot_count; i++)
        write_dot(&p->dots[i], out);
    for (int i = 0; i < p->symbol_count; i++)
        write_symbol(&p->symbols[i], out);
    for (int i = 0; i < p->gauge_count; i++)
        write_gauge(&p->gauges[i], out);
    for (int i = 0; i < p->label_count; i++)
        write_label(&p->labels[i], usual, p->fitted, out);
    for (int i = 0; i < p->group_count; i++)
        write_group(&p->groups[i], out);
    text_put(out, "</svg>\n");
}

// ---- from an outcome ----------------------------------------
static const char *equipment_date(const aircraft *a) {
    for (int i = 0; i < a->paper_count; i++)
        if (strcmp(a->papers[i].key, "equipment-list") == 0)
            return a->papers[i].value;
    return NULL;
}

// "Equipment list 2026-02-11, file 7c41 09ee. Void after any equipment change."
static const char *foot_note(arena *memory, const aircraft *a) {
    char shown[REVISION_SIZE];
    aircraft_revision(a, shown);
    const char *date = equipment_date(a);
    text t = text_make(memory->memory);
    text_all(
        &t, date ? "Equipment list " : "No equipment list date", date ? date : "", ", file ", shown,
        ". Void after any equipment change. Amps are rounded so that each column adds up.", NULL);
    char *copy = t.failed ? NULL : arena_text(memory, text_get(&t), t.length);
    if (!copy)
        memory->failed = true;
    text_free(&t);
    return copy ? copy : "";
}

// A sheet on its side, as its width in units of which type has 15 at least: 7 pt on the widest that
// a paper may take, 10.5 pt on the narrowest.
#define POINTS_LEAST 7.0
static const struct sheet {
    int width, columns, close;
} sheets[] = {{1280, 4, 0}, {1280, 4, 1}, {1400, 4, 0}, {1400, 4, 1}, {1400, 5, 1}, {1520, 4, 0},
              {1520, 5, 0}, {1520, 5, 1}, {1640, 5, 0}, {1640, 5, 1}, {1640, 6, 1}, {1690, 5, 0},
              {1690, 5, 1}, {1690, 6, 1}, {1690, 5, 2}, {1690, 6, 2}, {1690, 7, 2}, {1800, 5, 0},
              {1800, 5, 1}, {1800, 6, 1}, {1800, 5, 2}, {1760, 6, 2}, {1770, 6, 2}, {1780, 6, 2},
              {1790, 6, 2}, {1800, 6, 2}, {1800, 7, 2}};

// How much of the sheet's height the drawing takes, negative: no memory.
static double sheet_share(arena *memory, const board *b, layout_options o) {
    arena scratch = arena_make(memory->memory);
    board on_scratch = *b;
    on_scratch.memory = &scratch;
    const picture *p = layout_make(&on_scratch, o);
    double share = p ? p->needed / (o.width * paper_height(o.paper) / paper_width(o.paper)) : -1;
    if (!p)
        memory->failed = true;
    arena_free(&scratch);
    return share;
}

// Said where a drawing is printed that needs more than one sheet.
static const char *larger_note(arena *memory, layout_options o, double share) {
    double points = paper_points(o.paper, 15, o.width) / share;
    const char *words[4] = {o.base_note, " More than one sheet holds: fitted to one, its type is ",
                            words_fixed(memory, points, 1, "\xC2\xA0pt"),
                            "; twice the sheet holds it in 7 pt or more."};
    return share <= 1.41 ? words_join(memory, words, 4) : words_join(memory, words, 3);
}

// The sheet with the largest type on which all of it has room; else the one that is exceeded least.
static layout_options best_sheet(arena *memory, const board *b, layout_options o) {
    layout_options best = o;
    double least = 0;
    for (size_t i = 0; i < sizeof sheets / sizeof *sheets; i++) {
        if (paper_points(o.paper, 15, sheets[i].width) < POINTS_LEAST)
            continue;
        o.width = sheets[i].width;
        o.columns = sheets[i].columns;
        o.close = sheets[i].close;
        for (o.order = 0; o.order < ORDERS; o.order++) {
            double share = sheet_share(memory, b, o);
            if (share < 0 || (share > 0 && share <= 1))
                return o;
            if ((i == 0 && o.order == 0) || share < least) {
                least = share;
                best = o;
            }
            // Another order helps only where a little is missing.
            if (share > 1.2)
                break;
        }
    }
    best.base_note = larger_note(memory, best, least);
    return best;
}

const picture *columns_picture(arena *memory, const outcome *o, columns_options options) {
    bool print = options.theme == THEME_ID_PRINT, sheet = print && !options.width;
    int width = options.width ? options.width : 1120;
    const topology *t = topology_make(memory, o->aircraft, sheet ? 4 : layout_columns(width));
    const board *b = t ? board_make(memory, t, o) : NULL;
    if (!b)
        return NULL;
    layout_options how = {.width = width,
                          .bare = options.theme == THEME_ID_PAGE,
                          .close = options.touch ? CLOSE_TOUCH : 0,
                          .print = print,
                          .paper = options.paper,
                          .caution = options.caution,
                          .base_note = foot_note(memory, o->aircraft)};
    if (sheet)
        how = best_sheet(memory, b, how);
    return memory->failed ? NULL : layout_make(b, how);
}

status columns_write(const outcome *o, columns_options options, text *out) {
    arena memory = arena_make(out->memory);
    const picture *p = columns_picture(&memory, o, options);
    if (p) {
        picture shown = *p;
        shown.group_count = options.still ? 0 : p->group_count;
        picture_write(&shown, options.theme, out);
    }
    arena_free(&memory);
    return p && !out->failed ? STATUS_OK : STATUS_NO_MEMORY;
}
