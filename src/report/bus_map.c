#include "report/bus_map.h"

// One mention of a part as where another's current comes from.
typedef struct mention {
    int taker;
    part_key key;
    const reference *from;
} mention;

typedef struct walk {
    bus_map *map;
    arena *memory;
    const mention *mentions;  // by the part mentioned, each part's in the order of the file
    const int *first;         // part_count + 1 places in them
    map_row row;              // what is known of the line so far
} walk;

const char *map_end_word(map_end e) {
    switch (e) {
    case MAP_ITEM: return "item";
    case MAP_UNIT: return "unit";
    case MAP_FEEDS: return "feeds";
    case MAP_COIL: return "coil";
    case MAP_FIELD: return "field";
    case MAP_SENSE: return "sense";
    case MAP_CHARGES: return "charges";
    case MAP_NOTHING: return "nothing";
    }
    return "";
}

static bool figure_amps(const aircraft *a, const figure *f, double *amps, basis *b) {
    if (!f || (f->unit != UNIT_AMP && f->unit != UNIT_WATT))
        return false;
    double volts = f->at_unit == UNIT_VOLT && f->at > 0 ? f->at : a->nominal;
    *amps = f->unit == UNIT_WATT ? f->value / volts : f->value;
    *b = f->basis;
    return true;
}

static bool row_amps(const aircraft *a, int which, double *amps, basis *b) {
    const part *p = &a->parts[which];
    if (!p->electric)
        return false;
    return figure_amps(a, part_draw(p), amps, b);
}

static void emit(walk *w, map_end end, int which) {
    bus_map *m = w->map;
    map_row *rows = arena_grow(w->memory, m->rows, &m->capacity, m->count + 1, sizeof *rows);
    if (!rows)
        return;
    m->rows = rows;
    map_row *row = &rows[m->count++];
    *row = w->row;
    row->end = end;
    row->part = which;
    const aircraft *a = m->aircraft;
    const part *p = which >= 0 ? &a->parts[which] : NULL;
    row->has_amps = false;
    if (p && end == MAP_ITEM)
        row->has_amps = row_amps(a, which, &row->amps, &row->basis);
    else if (p && (end == MAP_COIL || end == MAP_FIELD))
        row->has_amps = figure_amps(a, part_figure(p, end == MAP_COIL ? KEY_COIL : KEY_FIELD),
                                    &row->amps, &row->basis);
}

static bool in_line(const walk *w, int which) {
    if (which == w->row.root || which == w->row.protector)
        return true;
    for (int i = 0; i < w->row.through_count; i++)
        if (w->row.through[i].part == which)
            return true;
    return false;
}

static bool protects(const part *p) {
    return p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
}

// Adds a part to the line; false if it would pass it twice, or if the line is longer than any
// real one.
static bool pass(walk *w, int which, int position) {
    if (in_line(w, which) || w->row.through_count == MAP_THROUGH_MOST)
        return false;
    if (protects(&w->map->aircraft->parts[which]) && w->row.protector == PART_NONE)
        w->row.protector = which;
    else
        w->row.through[w->row.through_count++] = (map_step){which, position};
    return true;
}

static void follow(walk *w, int feeder);

static void pass_and_follow(walk *w, int which) {
    map_row before = w->row;
    if (!pass(w, which, -1))
        return;
    const reference_list *to = part_references(&w->map->aircraft->parts[which], KEY_TO);
    if (to && to->count > 0)
        emit(w, MAP_FEEDS, to->items[0].part);
    else
        follow(w, which);
    w->row = before;
}

static void take_from(walk *w, int which) {
    const part *p = &w->map->aircraft->parts[which];
    switch (kind_class(p->kind)) {
    case CLASS_PATH: pass_and_follow(w, which); break;
    case CLASS_POINT:
    case CLASS_SOURCE: emit(w, MAP_FEEDS, which); break;
    case CLASS_ITEM: emit(w, MAP_ITEM, which); break;
    case CLASS_UNIT: {
        emit(w, MAP_UNIT, which);
        map_row before = w->row;
        if (pass(w, which, -1))
            follow(w, which);
        w->row = before;
        break;
    }
    default: break;
    }
}

static void take(walk *w, int which, part_key key) {
    switch (key) {
    case KEY_FROM:
    case KEY_RESTS_ON: take_from(w, which); break;
    case KEY_COIL_FROM: emit(w, MAP_COIL, which); break;
    case KEY_FIELD_FROM: emit(w, MAP_FIELD, which); break;
    case KEY_SENSE_FROM: emit(w, MAP_SENSE, which); break;
    case KEY_CHARGED_FROM: emit(w, MAP_CHARGES, which); break;
    default: break;
    }
}

// The contact through which a line leaves the switch it just passed.
static void leave_at(walk *w, int feeder, const reference *r) {
    if (r->terminal == TERMINAL_CONTACT && w->row.through_count > 0 &&
        w->row.through[w->row.through_count - 1].part == feeder)
        w->row.through[w->row.through_count - 1].position = r->position;
}

// Everything that names the feeder as where its current comes from.
static void follow(walk *w, int feeder) {
    int from = w->first[feeder], end = w->first[feeder + 1];
    for (int i = from; i < end; i++) {
        const mention *m = &w->mentions[i];
        map_row before = w->row;
        leave_at(w, feeder, m->from);
        take(w, m->taker, m->key);
        w->row = before;
    }
    if (from == end && feeder != w->row.root)
        emit(w, MAP_NOTHING, PART_NONE);
}

// Calls for each mention in the order of the file; without `list` they are only counted into
// first[part + 1], with it they go to where first[part] points, which moves on.
static void each_mention(const aircraft *a, int *first, mention *list) {
    static const part_key keys[] = {KEY_FROM,       KEY_RESTS_ON,   KEY_COIL_FROM,
                                    KEY_FIELD_FROM, KEY_SENSE_FROM, KEY_CHARGED_FROM};
    for (int i = 0; i < a->part_count; i++) {
        // The wire or strap of a line is that line's own, no line of the map.
        if (a->parts[i].implied == IMPLIED_WIRE || a->parts[i].implied == IMPLIED_STRAP)
            continue;
        for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
            const reference_list *from = part_references(&a->parts[i], keys[k]);
            for (int r = 0; from && r < from->count; r++) {
                int feeder = from->items[r].part;
                if (feeder < 0)
                    continue;
                if (list)
                    list[first[feeder]++] = (mention){i, keys[k], &from->items[r]};
                else
                    first[feeder + 1]++;
            }
        }
    }
}

// A walk that asked every part at every step would take minutes for the largest files.
static bool find_mentions(walk *w) {
    const aircraft *a = w->map->aircraft;
    size_t n = (size_t)a->part_count;
    int *first = arena_new(w->memory, n + 2, sizeof *first);
    if (!first)
        return false;
    each_mention(a, first + 1, NULL);  // one place further on: filling moves them back
    for (size_t i = 1; i < n + 2; i++)
        first[i] += first[i - 1];
    mention *list = arena_new(w->memory, (size_t)first[n + 1] + 1, sizeof *list);
    if (!list)
        return false;
    each_mention(a, first + 1, list);
    w->mentions = list;
    w->first = first;
    return true;
}

static bool is_root(const part *p) {
    part_class c = kind_class(p->kind);
    return (c == CLASS_POINT && p->kind != KIND_GROUND) || c == CLASS_SOURCE;
}

status bus_map_make(const aircraft *a, arena *memory, bus_map *m) {
    *m = (bus_map){.aircraft = a};
    walk w = {.map = m, .memory = memory};
    if (!find_mentions(&w))
        return STATUS_NO_MEMORY;
    for (int i = 0; i < a->part_count; i++) {
        if (!is_root(&a->parts[i]))
            continue;
        w.row = (map_row){.root = i, .protector = PART_NONE, .part = PART_NONE};
        const reference_list *to = part_references(&a->parts[i], KEY_TO);
        if (to && to->count > 0)
            emit(&w, MAP_FEEDS, to->items[0].part);
        follow(&w, i);
    }
    return memory->failed ? STATUS_NO_MEMORY : STATUS_OK;
}
