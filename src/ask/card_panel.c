// The breakers as the pilot finds them, what each carries beyond its label, and how power gets to
// the buses.
#include <string.h>

#include "ask/card_content.h"
#include "base/stable_sort.h"
#include "draw/board_words.h"
#include "model/part_words.h"
#include "report/outcome_parts.h"

static bool protects(const part *p) {
    return p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
}

// ---- breakers -----------------------------------------------------------------------------------
static bool has_place(const part *p) { return p->row > 0 || p->number > 0; }

static int by_place(const void *x, const void *y, const void *ctx) {
    const part *parts = ctx;
    const part *a = &parts[*(const int *)x];
    const part *b = &parts[*(const int *)y];
    if (has_place(a) != has_place(b))
        return has_place(a) ? -1 : 1;
    if (!has_place(a))
        return 0;
    int panel = strcmp(a->panel ? a->panel : "", b->panel ? b->panel : "");
    if (panel)
        return panel;
    return a->row != b->row ? a->row - b->row : a->number - b->number;
}

static const char *group_of(const card_source *from, const part *p) {
    if (!has_place(p))
        return "";
    text t = text_make(from->memory->memory);
    if (p->panel && *p->panel)
        text_all(&t, p->panel, p->row > 0 ? " " : "", NULL);
    if (p->row > 0) {
        text_put(&t, "row ");
        text_int(&t, p->row);
    }
    if (!t.length)
        text_put(&t, "panel");
    return card_keep(from->memory, &t);
}

static bool is_lamp(const part *p) { return p->kind == KIND_LIGHT; }

// A light's name as its placard: that it is one is said once, at the end.
static const char *row_words(const card_source *from, const map_row *row, bool first) {
    const part *p = &from->aircraft->parts[row->part];
    if (is_lamp(p))
        return p->label;
    const char *name = card_part(from, row->part, !first);
    const char *before = row->end == MAP_COIL    ? "coil of "
                         : row->end == MAP_FIELD ? "field of "
                         : row->end == MAP_SENSE ? "sense wire of "
                                                 : "";
    if (!*before)
        return name;
    text t = text_make(from->memory->memory);
    text_all(&t, before, card_part(from, row->part, true), NULL);
    if (first && !t.failed && t.length)
        t.data[0] = (char)(t.data[0] - 'a' + 'A');
    return card_keep(from->memory, &t);
}

static bool named_before(const bus_map *m, int which) {
    for (int i = which - 1; i >= 0 && m->rows[i].root == m->rows[which].root; i--)
        if (m->rows[i].part == m->rows[which].part && m->rows[i].end == m->rows[which].end)
            return true;
    return false;
}

// The bus that it feeds, and what hangs on that: it goes with the feeder. A source's own breaker
// and one that nobody reaches name the bus alone.
static const char *feeder_words(const card_source *from, const bus_map *m, int which,
                                const map_row *feeds) {
    const aircraft *a = from->aircraft;
    text t = text_make(from->memory->memory);
    text_put(&t, card_part(from, feeds->part, false));
    bool first = true;
    if (has_place(&a->parts[which]) && kind_class(a->parts[feeds->root].kind) != CLASS_SOURCE)
        for (int i = 0; i < m->count; i++) {
            const map_row *row = &m->rows[i];
            if (row->root != feeds->part || row->part < 0 || row->end == MAP_NOTHING ||
                named_before(m, i))
                continue;
            text_all(&t, first ? ": " : ", ", row_words(from, row, false), NULL);
            first = false;
        }
    return card_keep(from->memory, &t);
}

static const char *bus_of(const card_source *from, const bus_map *m, int which) {
    for (int i = 0; i < m->count; i++) {
        const map_row *row = &m->rows[i];
        if (row->protector == which && row->part >= 0 && row->end == MAP_FEEDS &&
            from->aircraft->parts[row->part].kind == KIND_BUS)
            return card_part(from, row->part, false);
    }
    return "";
}

// What hangs behind it, unless its label says that and nothing else does.
static const char *carries(const card_source *from, const bus_map *m, int which) {
    const part *p = &from->aircraft->parts[which];
    int count = 0, alike = 0;
    for (int i = 0; i < m->count; i++) {
        const map_row *row = &m->rows[i];
        if (row->protector != which || row->part < 0)
            continue;
        if (row->end == MAP_FEEDS && from->aircraft->parts[row->part].kind == KIND_BUS)
            return feeder_words(from, m, which, row);
        count++;
        const char *name = card_part(from, row->part, false);
        bool own = p->implied == IMPLIED_ROW_BREAKER && row->part == p->host;
        alike +=
            row->end != MAP_COIL && row->end != MAP_SENSE && (own || words_alike(p->label, name));
    }
    if (count <= 1 && alike == count)
        return "";
    text t = text_make(from->memory->memory);
    int lamps = 0;
    for (int i = 0; i < m->count; i++) {
        const map_row *row = &m->rows[i];
        if (row->protector != which || row->part < 0)
            continue;
        text_all(&t, t.length ? ", " : "", row_words(from, row, !t.length), NULL);
        lamps += is_lamp(&from->aircraft->parts[row->part]);
    }
    if (lamps == count)
        text_put(&t, count > 1 ? " lights" : " light");
    return card_keep(from->memory, &t);
}

static const char *remark_of(const part *p) {
    if (p->fitted & FITTED_INOPERATIVE)
        return "inoperative";
    if (p->fitted & FITTED_SPARE)
        return words_alike(p->label, "Spare") ? "" : "spare";
    if (p->fitted & FITTED_COLLARED)
        return "collared";
    if (p->reach == REACH_TOOLS)
        return part_value_of(p, KEY_REACH) ? "out of reach" : "no place given";
    return p->fitted & FITTED_NO_PULL ? "can't be pulled" : "";
}

static const char *label_of(const card_source *from, int which) {
    text t = text_make(from->memory->memory);
    part_short_name(from->aircraft, which, &t);
    return card_keep(from->memory, &t);
}

static const char *rating_of(const card_source *from, const part *p) {
    const figure *rating = part_figure(p, KEY_VALUE);
    text t = text_make(from->memory->memory);
    if (rating)
        text_number(&t, rating->value);
    return card_keep(from->memory, &t);
}

void card_make_breakers(const card_source *from, const bus_map *map, card *made) {
    const aircraft *a = from->aircraft;
    int *order = arena_new(from->memory, (size_t)a->part_count + 1, sizeof *order);
    card_breaker *list = arena_new(from->memory, (size_t)a->part_count + 1, sizeof *list);
    if (!order || !list)
        return;
    int count = 0;
    for (int i = 0; i < a->part_count; i++)
        if (protects(&a->parts[i]) && !(a->parts[i].fitted & FITTED_ABSENT))
            order[count++] = i;
    stable_sort(order, (size_t)count, sizeof *order, NULL, by_place, a->parts);
    for (int i = 0; i < count; i++) {
        const part *p = &a->parts[order[i]];
        list[i] = (card_breaker){.part = order[i],
                                 .group = group_of(from, p),
                                 .number = p->number,
                                 .label = label_of(from, order[i]),
                                 .rating = rating_of(from, p),
                                 .carries = carries(from, map, order[i]),
                                 .bus = bus_of(from, map, order[i]),
                                 .remark = remark_of(p)};
    }
    made->breakers = list;
    made->breaker_count = count;
}

// ---- how power gets there -----------------------------------------------------------------------
static card_step step_of(const card_source *from, int which) {
    const part *p = &from->aircraft->parts[which];
    text t = text_make(from->memory->memory);
    if (protects(p))
        text_all(&t, rating_of(from, p), " ", label_of(from, which), NULL);
    else
        text_put(&t, card_part(from, which, true));
    return (card_step){.part = which,
                       .kind = p->kind,
                       .closed = from->usual->parts[which].closed,
                       .name = card_keep(from->memory, &t)};
}

static bool comes_after(const aircraft *a, int which, int before) {
    const reference_list *from = part_references(&a->parts[which], KEY_FROM);
    for (int i = 0; from && i < from->count; i++)
        if (from->items[i].part == before)
            return true;
    return false;
}

static card_feed feed_of(const card_source *from, const map_row *row) {
    const aircraft *a = from->aircraft;
    card_feed f = {.from = card_part(from, row->root, false),
                   .to = card_part(from, row->part, false),
                   .bus = row->part,
                   .live = from->usual->parts[row->root].live};
    bool placed = row->protector < 0;
    if (!placed && comes_after(a, row->protector, row->root)) {
        f.steps[f.step_count++] = step_of(from, row->protector);
        placed = true;
    }
    for (int i = 0; i < row->through_count && f.step_count < CARD_STEPS_MOST; i++) {
        f.steps[f.step_count++] = step_of(from, row->through[i].part);
        if (!placed && f.step_count < CARD_STEPS_MOST &&
            comes_after(a, row->protector, row->through[i].part)) {
            f.steps[f.step_count++] = step_of(from, row->protector);
            placed = true;
        }
    }
    if (!placed && f.step_count < CARD_STEPS_MOST)
        f.steps[f.step_count++] = step_of(from, row->protector);
    return f;
}

// Sources first: the way current goes.
void card_make_feeds(const card_source *from, const bus_map *map, card *made) {
    card_feed *list = arena_new(from->memory, (size_t)map->count + 1, sizeof *list);
    for (int sources = 1; list && sources >= 0; sources--)
        for (int i = 0; i < map->count; i++) {
            const map_row *row = &map->rows[i];
            if (row->end != MAP_FEEDS || row->part < 0 ||
                from->aircraft->parts[row->part].kind != KIND_BUS)
                continue;
            bool source = kind_class(from->aircraft->parts[row->root].kind) == CLASS_SOURCE;
            if (source == (sources == 1))
                list[made->feed_count++] = feed_of(from, row);
        }
    made->feeds = list;
}
