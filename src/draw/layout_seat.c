// What the pilot sees: meters drawn as gauges, lights and sounders as lamps with their words.
#include <string.h>

#include "draw/layout_parts.h"
#include "draw/meter_face.h"
#include "draw/text_width.h"
#include "model/part_words.h"

enum { RADIUS_MOST = 140, RADIUS_CLOSE = 96, FIGURE = 28 };

static bool is_lamp(const layout *l, const indication *in) {
    part_kind k = l->b->aircraft->parts[in->part].kind;
    return k == KIND_LIGHT || k == KIND_SOUNDER;
}

static bool is_meter(const layout *l, const indication *in) {
    part_kind k = l->b->aircraft->parts[in->part].kind;
    return k == KIND_VOLTMETER || k == KIND_AMMETER || k == KIND_LOADMETER;
}

// Those with a needle first.
static const indication *meter_at(const layout *l, int index) {
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < l->b->outcome->indication_count; i++) {
            const indication *in = &l->b->outcome->indications[i];
            bool needle = in->high > in->low;
            if (is_meter(l, in) && needle == (pass == 0) && index-- == 0)
                return in;
        }
    return NULL;
}

int seat_meter_count(const layout *l) {
    int count = 0;
    while (meter_at(l, count))
        count++;
    return count;
}

int seat_needle_count(const layout *l) {
    int count = 0;
    for (const indication *in; (in = meter_at(l, count)) && in->high > in->low;)
        count++;
    return count;
}

static void seat_group(const layout *l, const block_place *w, const char *kind,
                       const indication *in, int y, int height) {
    if (!w->p)
        return;
    const char *reading = in->reading ? in->reading : "", *says = in->says ? in->says : "";
    const char *words[5] = {words_label(l->b, in->part), ": ", reading, *says ? "; " : "", says};
    picture_group(w->p, (group_shape){.kind = kind,
                                      .part = l->b->aircraft->parts[in->part].id,
                                      .paths = "",
                                      .title = words_join(l->memory, words, 5),
                                      .x = w->x,
                                      .y = w->y + y,
                                      .width = w->width,
                                      .height = height});
}

// ---- where a meter stands ----------------------------------------
// What it is joined to as its selector stands.
static const reference *read_point(const layout *l, const part *p) {
    const part_value *v = part_value_of(p, KEY_READS);
    if (!v || v->type != VALUE_READS)
        return NULL;
    int by = part_id(p, KEY_SELECTED_BY);
    int at = by >= 0 ? (int)l->b->outcome->state.setting[by] : -1;
    for (int i = 0; i < v->as.reads.count; i++)
        if (v->as.reads.items[i].position == at || v->as.reads.items[i].position < 0)
            return &v->as.reads.items[i].ref;
    return NULL;
}

// A point as one says it within a sentence: "main bus", but "ESS FEED".
static const char *said(const layout *l, int which) {
    text t = text_make(l->memory->memory);
    part_sentence_name(l->b->aircraft, which, &t);
    if (!t.failed && t.length > 1 && t.data[1] >= 'a' && t.data[1] <= 'z' && t.data[0] >= 'A' &&
        t.data[0] <= 'Z')
        t.data[0] = (char)(t.data[0] - 'A' + 'a');
    return words_keep(l->memory, &t);
}

// "feed stud to main bus", "main bus".
static const char *point_words(const layout *l, const indication *in) {
    const reference *r = read_point(l, &l->b->aircraft->parts[in->part]);
    if (!r || r->part < 0)
        return "";
    const part *at = &l->b->aircraft->parts[r->part];
    const reference_list *from = part_references(at, KEY_FROM), *to = part_references(at, KEY_TO);
    bool between = kind_class(at->kind) == CLASS_PATH && from && from->count && to && to->count &&
                   from->items[0].part >= 0 && to->items[0].part >= 0;
    if (!between)
        return said(l, r->part);
    const char *words[3] = {said(l, from->items[0].part), " to ", said(l, to->items[0].part)};
    return words_join(l->memory, words, 3);
}

// ---- the face ----------------------------------------
// Returns the height.
static int put_face(const layout *l, const block_place *w, const indication *in, int y) {
    face_shape f = {.x = w->x,
                    .y = w->y + y,
                    .width = w->width,
                    .radius_most = l->o.close == 2 ? RADIUS_CLOSE : RADIUS_MOST,
                    .low = in->low,
                    .high = in->high,
                    .figure = in->figure,
                    .normal = in->normal,
                    .normal_valid = in->normal_valid,
                    .no_needle = !in->valid && in->reading && strcmp(in->reading, "blank") == 0};
    return picture_face(w->p, &f, style_note(l, TONE_INK));
}

// ---- one meter ----------------------------------------
// "normal here +5 A", where that can be told apart from what it shows.
static const char *normal_words(const layout *l, const indication *in) {
    const char *at = in->says ? strstr(in->says, "Normal here: ") : NULL;
    if (!at)
        return "";
    at += strlen("Normal here: ");
    size_t length = strlen(at);
    if (length && at[length - 1] == '.')
        length--;
    text t = text_make(l->memory->memory);
    text_put(&t, "normal here ");
    text_put_n(&t, at, length);
    return words_keep(l->memory, &t);
}

// What the reading means, without the normal one; where room is scarce its first words.
static const char *meaning(const layout *l, const indication *in) {
    const char *says = in->says ? in->says : "", *at = strstr(says, " Normal here: ");
    size_t length = at ? (size_t)(at - says) : strlen(says), first = strcspn(says, ":.");
    if (l->o.close && first < length)
        length = first;
    text t = text_make(l->memory->memory);
    text_put_n(&t, says, length);
    return words_keep(l->memory, &t);
}

static int put_figure(const layout *l, const block_place *w, const indication *in, int y,
                      double *taken) {
    const char *shown = in->reading ? in->reading : "";
    double size = FIGURE;
    // Words rather than a figure stand smaller.
    while (size > l->m.name && text_width(shown, size, true) > w->width * 0.46)
        size = size > l->m.name + 4 ? size - 4 : l->m.name;
    *taken = text_width(shown, size, true) + 12;
    if (*taken > w->width * 0.6)
        *taken = 0;
    label_style s = {.size = size, .bold = true, .anchor = ANCHOR_END};
    if (*taken > 0 && w->p)
        picture_label(w->p, w->x + w->width, w->y + y + 24, s, shown);
    return *taken > 0 ? 0
                      : block_lines(l, w, 0, y + 18, w->width, style_at(s, ANCHOR_START), shown);
}

int seat_meter(const layout *l, const block_place *w) {
    const indication *in = meter_at(l, w->index);
    if (!in)
        return 0;
    label_style name = style_label(l, TONE_INK);
    name.bold = true;
    int y = w->index ? 0 : block_heading(l, w, "What the seat shows");
    int top = y;
    double taken;
    int own = put_figure(l, w, in, y, &taken);
    y += own * l->m.line;
    int lines = block_lines(l, w, 0, y + 18, w->width - taken, name,
                            words_raised(l, words_label(l->b, in->part)));
    lines += block_lines(l, w, 0, y + 18 + lines * l->m.line, w->width - taken,
                         style_note(l, TONE_QUIET), point_words(l, in));
    y += (lines < 2 ? 2 : lines) * l->m.line + 4;
    const char *normal = normal_words(l, in);
    if (in->high > in->low)
        y += put_face(l, w, in, y) + (l->o.close ? 6 : 10);
    // What is as it always is needs no words on paper.
    label_style told = style_note(l, TONE_INK);
    const char *means = meaning(l, in);
    if (*normal && l->o.close) {
        const char *words[3] = {means, *means ? "; " : "", normal};
        y += l->m.line *
             block_lines(l, w, 0, y + 14, w->width, told, words_join(l->memory, words, 3));
    } else if (*normal || !l->o.print) {
        y += l->m.line * block_lines(l, w, 0, y + 14, w->width, told, means);
    }
    if (*normal && !l->o.close) {
        told.bold = true;
        y += l->m.line * block_lines(l, w, 0, y + 14, w->width, told, normal);
    }
    seat_group(l, w, "meter", in, top, y - top);
    return y;
}

int seat_figures(const layout *l, const block_place *w) {
    int low = 0, meters = seat_meter_count(l);
    for (int i = seat_needle_count(l); i < meters; i++) {
        block_place one = *w;
        one.y += low;
        one.index = i;
        low += seat_meter(l, &one) + (i + 1 < meters ? 8 : 0);
    }
    return low;
}

// ---- lamps ----------------------------------------
static bool lamp_shows(const layout *l, const indication *in) {
    return is_lamp(l, in) && in->figure > 0;
}

// Out for want of a supply: said in two words beside it, however many they are.
static bool lamp_unfed(const layout *l, const indication *in) {
    static const char unfed[] = "no supply";
    return is_lamp(l, in) && !in->valid && in->figure <= 0 && in->says &&
           strncmp(in->says, unfed, sizeof unfed - 1) == 0;
}

static const char *lamp_state(const layout *l, const indication *in) {
    return lamp_unfed(l, in) ? "no supply" : in->reading ? in->reading : "";
}

// What needs words beside its state: lit, or unable to light.
static bool lamp_tells(const layout *l, const indication *in) {
    // A plain lamp that is lit has nothing more to tell than that.
    bool plain = part_condition(&l->b->aircraft->parts[in->part], KEY_LIT_WHEN) < 0 &&
                 in->figure > 0 && in->valid && l->o.close;
    if (lamp_unfed(l, in) || (plain && is_lamp(l, in)))
        return false;
    return !is_lamp(l, in) || lamp_shows(l, in) || !in->valid ||
           (in->normal_valid && in->normal != in->figure);
}

// Why; how it usually is goes without saying where room is scarce.
static const char *lamp_words(const layout *l, const indication *in) {
    const char *at = strstr(in->says, " Normal here: ");
    size_t length = at ? (size_t)(at - in->says) : strlen(in->says);
    if (!l->o.close)
        return in->says;
    if (!is_lamp(l, in) && strcspn(in->says, ":.") < length)
        length = strcspn(in->says, ":.");
    text t = text_make(l->memory->memory);
    text_put_n(&t, in->says, length);
    return words_keep(l->memory, &t);
}

static symbol_id lamp_symbol(const layout *l, const indication *in, bool lit) {
    if (!is_lamp(l, in))
        return SYMBOL_FAILED;
    if (l->b->aircraft->parts[in->part].kind == KIND_SOUNDER)
        return lit ? SYMBOL_HORN_SOUNDS : SYMBOL_HORN;
    return lit ? SYMBOL_LAMP_LIT : SYMBOL_LAMP;
}

static int put_lamp(const layout *l, const block_place *cell, const indication *in, int y) {
    bool lit = lamp_shows(l, in);
    if (cell->p)
        picture_symbol(cell->p, (symbol_shape){.id = lamp_symbol(l, in, lit),
                                               .ink = !is_lamp(l, in),
                                               .x = cell->x + 14,
                                               .y = cell->y + y + 12,
                                               .power = lit ? POWER_DRAINING : POWER_DEAD,
                                               .part = -1});
    const char *shown = lamp_state(l, in);
    double room = text_width(shown, l->m.name, true) + 10;
    label_style name = style_name(l, TONE_INK);
    name.bold = lit;
    int lines = block_lines(l, cell, 34, y + 18, cell->width - 34 - room, name,
                            words_raised(l, words_label(l->b, in->part)));
    if (cell->p)
        picture_label(cell->p, cell->x + cell->width, cell->y + y + 18,
                      style_value(l, lit ? TONE_DRAINING : TONE_QUIET, lit), shown);
    if (lamp_tells(l, in) && in->says && *in->says)
        lines += block_lines(l, cell, 34, y + 18 + lines * l->m.line, cell->width - 34,
                             style_note(l, TONE_QUIET), lamp_words(l, in));
    int height = lines * l->m.line + (l->o.close ? 5 : 8);
    seat_group(l, cell, "lamp", in, y, height);
    return height;
}

// Widest lamp of those that only have a word to say.
static double widest(const layout *l) {
    double most = 0;
    for (int i = 0; i < l->b->outcome->indication_count; i++) {
        const indication *in = &l->b->outcome->indications[i];
        if (is_meter(l, in) || lamp_tells(l, in))
            continue;
        double one = 34 + 14 + text_width(words_label(l->b, in->part), l->m.name, false) +
                     text_width(lamp_state(l, in), l->m.name, true);
        most = one > most ? one : most;
    }
    return most;
}

// Those that tell something first, a column each; the others closer.
int seat_lamps(const layout *l, const block_place *w) {
    int y = 0, at = 0, tall = 0;
    if (!seat_meter_count(l) && l->b->outcome->indication_count)
        y = block_heading(l, w, "What the seat shows");
    else if (l->o.order != ORDER_READING && l->b->outcome->indication_count)
        y = block_heading(l, w, "Lights");
    int start = y;
    double each = widest(l);
    const int most[2] = {(w->width + l->m.gutter) / l->pitch,
                         each > 0 ? (int)((w->width + 24) / (each + 24)) : 1};
    for (int pass = 0; pass < 2; pass++) {
        int abreast = most[pass] < 1 ? 1 : most[pass];
        int step = pass ? (w->width + 24) / abreast : l->pitch;
        y += tall;
        at = tall = 0;
        for (int i = 0; i < l->b->outcome->indication_count; i++) {
            const indication *in = &l->b->outcome->indications[i];
            if (is_meter(l, in) || lamp_tells(l, in) != (pass == 0))
                continue;
            block_place cell = *w;
            cell.x += at * step;
            cell.width = pass ? step - 24 : w->width - (abreast - 1) * step;
            int height = put_lamp(l, &cell, in, y);
            tall = height > tall ? height : tall;
            at = at + 1 == abreast ? 0 : at + 1;
            if (at == 0) {
                y += tall;
                tall = 0;
            }
        }
    }
    y += tall;
    return y > start ? y : 0;
}

// All of it: meters side by side, then the lamps.
int seat_all(const layout *l, const block_place *w) {
    int meters = seat_meter_count(l), abreast = (w->width + l->m.gutter) / l->pitch, low = 0;
    abreast = abreast < 1 ? 1 : abreast;
    for (int i = 0; i < meters;) {
        int top = low;
        for (int k = 0; k < abreast && i < meters; k++, i++) {
            block_place one = *w;
            one.x += k * l->pitch;
            one.width = w->width - (abreast - 1) * l->pitch;
            // The first row's meters stand below the heading.
            one.y += top + (i && i < abreast
                                ? block_heading(l, &(block_place){.width = w->width}, "What")
                                : 0);
            one.index = i;
            int end = one.y - w->y + seat_meter(l, &one);
            low = end > low ? end : low;
        }
        low += 12;
    }
    block_place lamps = *w;
    lamps.y += low;
    return low + seat_lamps(l, &lamps);
}
