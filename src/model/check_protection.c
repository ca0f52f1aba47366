// Breakers and fuses against what hangs on them. Notes for the technician; nothing here is an
// approval.
#include <string.h>

#include "model/reader.h"

enum { LONGEST_CHAIN = 12 };

// The part whose terminal feeds this one, walking up through paths: the nearest breaker or fuse,
// else the point or source where the walk ends. -1: it can't be told (several feeds, unknown).
static int protector_of(const aircraft *a, int part) {
    for (int steps = 0; steps < LONGEST_CHAIN; steps++) {
        const reference_list *from = part_references(&a->parts[part], KEY_FROM);
        if (!from || from->count != 1 || from->items[0].part < 0)
            return -1;
        part = from->items[0].part;
        part_kind k = a->parts[part].kind;
        if (k == KIND_BREAKER || k == KIND_FUSE || k == KIND_LIMITER)
            return part;
        if (kind_class(a->parts[part].kind) != CLASS_PATH)
            return part;
    }
    return -1;
}

static bool is_protector(const part *p) {
    return p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
}

static bool is_load(const part *p) {
    return (kind_class(p->kind) == CLASS_ITEM || p->kind == KIND_CONVERTER) && p->electric;
}

static double amps_of(const aircraft *a, const part *p) {
    const figure *draw = part_draw(p);
    if (!draw)
        return 0;
    // Whatever its duty: a breaker opens within the time for which it is on.
    return draw->unit == UNIT_WATT ? draw->value / a->nominal : draw->value;
}

// AC 43.13-1B, table 11-3: the largest breaker and fuse for a copper wire of that gauge.
static const struct {
    int gauge;
    double breaker, fuse;  // 0: the table has none
} CHART[] = {{22, 5, 5},    {20, 7.5, 5}, {18, 10, 10}, {16, 15, 10}, {14, 20, 15},
             {12, 30, 20},  {10, 40, 30}, {8, 50, 50},  {6, 80, 70},  {4, 100, 70},
             {2, 125, 100}, {1, 0, 150},  {0, 0, 150}};

static double chart_rating(int gauge, part_kind kind) {
    for (size_t i = 0; i < sizeof CHART / sizeof CHART[0]; i++) {
        if (CHART[i].gauge == gauge)
            return kind == KIND_BREAKER ? CHART[i].breaker : CHART[i].fuse;
    }
    return 0;
}

static void check_wire(reader *r, int index) {
    const aircraft *a = r->a;
    const part *wire = &a->parts[index];
    const part_value *run =
        part_value_of(wire, wire->implied == IMPLIED_WIRE ? KEY_WIRE : KEY_VALUE);
    if (wire->kind != KIND_WIRE || !run || run->type != VALUE_WIRE)
        return;
    int above = is_protector(&a->parts[wire->host]) ? wire->host : protector_of(a, wire->host);
    if (above < 0 || !is_protector(&a->parts[above]))
        return;
    const part *p = &a->parts[above];
    double rating = part_number(p, KEY_VALUE, 0);
    double largest = chart_rating(run->as.wire.gauge, p->kind);
    if (largest <= 0 || rating <= largest)
        return;
    const char *text =
        join(r, (const char *const[]){"' of ", number_words(r, rating), " A is above the ",
                                      number_words(r, largest),
                                      " A that AC 43.13-1B table 11-3 has for ",
                                      number_words(r, run->as.wire.gauge), " AWG wire", NULL});
    say_note(r, run->span, "wire-rating",
             "for the technician; the approved maintenance data decides", "'", p->id, text, NULL);
}

static void check_supply(reader *r, int index) {
    const aircraft *a = r->a;
    const part *p = &a->parts[index];
    // Starters have no breaker by common practice; an outlet or converter stands for its own row.
    if (!is_load(p) || part_id(p, KEY_TURNS) >= 0)
        return;
    int above = protector_of(a, index);
    if (above < 0 || is_protector(&a->parts[above]) || a->parts[above].kind == KIND_OUTLET ||
        kind_class(a->parts[above].kind) == CLASS_UNIT ||
        kind_class(a->parts[above].kind) == CLASS_ITEM)
        return;
    say_warning(r, p->span, "no-breaker", "", "'", p->id,
                join(r, (const char *const[]){"' is fed from '", a->parts[above].id, NULL}),
                "' with no breaker or fuse between");
}

static void check_dimmed(reader *r, int index) {
    const aircraft *a = r->a;
    const reference_list *from = part_references(&a->parts[index], KEY_FROM);
    part_kind k = a->parts[index].kind;
    if (!is_load(&a->parts[index]) || !from || from->count != 1 || from->items[0].part < 0 ||
        k == KIND_LAMP || k == KIND_LED || k == KIND_LIGHT)
        return;
    const part *feed = &a->parts[from->items[0].part];
    if (feed->kind == KIND_DIMMER)
        say_warning(r, a->parts[index].span, "dimmed", "", "'", a->parts[index].id,
                    "' is no light, yet a dimmer feeds it", NULL);
}

// Amps as a person reads them.
static double two_places(double amps) { return (double)(int64_t)(amps * 100 + 0.5) / 100; }

static void check_loads(reader *r) {
    const aircraft *a = r->a;
    double *amps = arena_new(r->scratch, (size_t)a->part_count + 1, sizeof *amps);
    bool *assumed = arena_new(r->scratch, (size_t)a->part_count + 1, sizeof *assumed);
    if (!amps || !assumed)
        return;
    for (int i = 0; i < a->part_count; i++) {
        int above = is_load(&a->parts[i]) ? protector_of(a, i) : -1;
        if (above < 0)
            continue;
        const figure *draw = part_draw(&a->parts[i]);
        amps[above] += amps_of(a, &a->parts[i]);
        assumed[above] = assumed[above] || (draw && draw->basis == BASIS_ASSUMED);
    }
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        double rating = part_number(p, KEY_VALUE, 0);
        bool outlet = p->kind == KIND_OUTLET;
        double most = outlet ? rating : 0.8 * rating;
        if ((!is_protector(p) && !outlet) || rating <= 0 || amps[i] <= most * (1 + 1e-9))
            continue;
        const char *text =
            join(r, (const char *const[]){"' carries ", number_words(r, two_places(amps[i])),
                                          assumed[i] ? " A (partly assumed), " : " A, ",
                                          outlet ? "more than its " : "above 80 % of its ",
                                          number_words(r, rating), " A", NULL});
        say_warning(r, p->span, "load",
                    assumed[i] ? "write what its items draw; if it stays, it is for the technician"
                               : "for the technician",
                    "'", p->id, text, NULL);
    }
}

// What hangs on a converter, against its limit.
static void check_converter(reader *r, int index) {
    const aircraft *a = r->a;
    const part *p = &a->parts[index];
    double limit = part_number(p, KEY_LIMIT, 0), amps = 0;
    if (p->kind != KIND_CONVERTER || limit <= 0)
        return;
    for (int i = 0; i < a->part_count; i++) {
        const reference_list *from = part_references(&a->parts[i], KEY_FROM);
        const figure *draw = part_draw(&a->parts[i]);
        if (from && from->count == 1 && from->items[0].part == index && draw)
            amps +=
                draw->unit == UNIT_WATT ? draw->value / part_number(p, KEY_VALUE, 5) : draw->value;
    }
    if (amps <= limit * (1 + 1e-9))
        return;
    const char *text =
        join(r, (const char *const[]){"' is asked for ", number_words(r, two_places(amps)),
                                      " A, more than its limit of ", number_words(r, limit), " A",
                                      NULL});
    say_warning(r, p->span, "load", "its volts sag", "'", p->id, text, NULL);
}

void check_protection(reader *r) {
    if (r->out->errors > 0 || r->tree.broken)
        return;
    for (int i = 0; i < r->a->part_count && !reader_failed(r); i++) {
        check_wire(r, i);
        check_supply(r, i);
        check_dimmed(r, i);
        check_converter(r, i);
    }
    check_loads(r);
}
