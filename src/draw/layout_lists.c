// What is lost, reduced and kept, what the seat shows, and what has no place in the columns: set
// into the room that the columns leave.
#include <string.h>

#include "draw/layout_parts.h"
#include "draw/text_width.h"
#include "model/part_words.h"

enum { BESIDE_LEAST = 400 };

int block_lines(const layout *l, const block_place *w, double dx, int y, double width,
                label_style s, const char *words) {
    return picture_lines(w->p, w->x + dx, w->y + y, width, l->m.line, s, words);
}

int block_heading(const layout *l, const block_place *w, const char *words) {
    return 10 + l->m.line * block_lines(l, w, 0, 18, w->width, style_section(l), words);
}

static void rule(const block_place *w, int y) {
    if (w->p)
        picture_rule(w->p, w->x, w->y + y, w->x + w->width, w->y + y, false, false);
}

static void symbol(const block_place *w, symbol_shape s, int dx, int y) {
    s.x = w->x + dx;
    s.y = w->y + y;
    s.part = -1;
    if (w->p)
        picture_symbol(w->p, s);
}

// With a capital in front.
const char *words_raised(const layout *l, const char *label) {
    char first[2] = {label[0], 0};
    if (first[0] < 'a' || first[0] > 'z')
        return label;
    first[0] = (char)(first[0] - 'a' + 'A');
    return words_join(l->memory, (const char *const[]){first, label + 1}, 2);
}

// ---- lost, reduced, kept ----------------------------------------
static const char *words_of_function(const layout *l, int f) {
    text t = text_make(l->memory->memory);
    words_of_id(l->b->aircraft->functions[f].name, &t);
    if (!t.failed && t.length && t.data[0] >= 'a' && t.data[0] <= 'z')
        t.data[0] = (char)(t.data[0] - 'a' + 'A');
    return words_keep(l->memory, &t);
}

// The first reason among the items that give a function.
static const char *reason_of_function(const layout *l, int f) {
    const function *fn = &l->b->aircraft->functions[f];
    for (int pass = 0; pass < 2; pass++) {
        const int *items = pass ? fn->gives_partly.items : fn->gives.items;
        int count = pass ? fn->gives_partly.count : fn->gives.count;
        for (int i = 0; i < count; i++) {
            const char *reason = l->b->outcome->parts[items[i]].reason;
            if (reason && *reason)
                return reason;
        }
    }
    return "";
}

// With room, the reason stands beside what it explains.
static int entry(const layout *l, const block_place *w, int y, const char *name,
                 const char *reason) {
    label_style bold = style_name(l, TONE_INK), plain = style_label(l, TONE_INK);
    bold.bold = true;
    rule(w, y);
    y += 4;
    double half = w->width / 2.0;
    int over = picture_line_count(name, w->width, bold.size, true) +
               picture_line_count(reason, w->width, plain.size, false);
    if (w->width >= BESIDE_LEAST && *reason &&
        picture_line_count(name, half - 12, bold.size, true) < over) {
        int left = block_lines(l, w, 0, y + 17, half - 12, bold, name);
        int right = block_lines(l, w, half + 4, y + 17, half - 4, plain, reason);
        return y + l->m.line * (left > right ? left : right) + 8;
    }
    y += l->m.line * block_lines(l, w, 0, y + 17, w->width, bold, name);
    if (*reason)
        y += l->m.line * block_lines(l, w, 0, y + 17, w->width, plain, reason);
    return y + 8;
}

static bool item_lost(const layout *l, int which) {
    const part_outcome *o = &l->b->outcome->parts[which];
    bool was = o->base_status == ITEM_ON || o->base_status == ITEM_WEAK;
    return was && (o->status == ITEM_OFF || o->status == ITEM_NO_DATA);
}

static bool gives_lost_function(const layout *l, int which) {
    const aircraft *a = l->b->aircraft;
    for (int f = 0; f < a->function_count; f++) {
        if (l->b->outcome->functions[f].status != FUNCTION_LOST)
            continue;
        for (int i = 0; i < a->functions[f].gives.count; i++)
            if (a->functions[f].gives.items[i] == which)
                return true;
    }
    return false;
}

static bool function_went(const layout *l, int f, function_status to) {
    const function_outcome *o = &l->b->outcome->functions[f];
    return o->status == to && o->base_status != to;
}

static int count_lost(const layout *l) {
    int count = 0;
    for (int f = 0; f < l->b->aircraft->function_count; f++)
        count += function_went(l, f, FUNCTION_LOST);
    for (int i = 0; i < l->b->aircraft->part_count; i++)
        count += item_lost(l, i);
    return count;
}

// What went, functions first, then the items that give none: what has the same reason stands
// together.
typedef struct loss {
    const char *name, *reason;
} loss;

static int gather_losses(const layout *l, loss *list) {
    const aircraft *a = l->b->aircraft;
    int count = 0;
    for (int f = 0; f < a->function_count; f++)
        if (function_went(l, f, FUNCTION_LOST))
            list[count++] = (loss){words_of_function(l, f), reason_of_function(l, f)};
    for (int i = 0; i < a->part_count; i++)
        if (item_lost(l, i) && !gives_lost_function(l, i))
            list[count++] = (loss){words_part(l->b, i), l->b->outcome->parts[i].reason};
    return count;
}

static int lost_block(const layout *l, const block_place *w) {
    if (!count_lost(l))
        return 0;
    size_t room = (size_t)(l->b->aircraft->function_count + l->b->aircraft->part_count) + 1;
    loss *list = arena_new(l->memory, room, sizeof *list);
    if (!list)
        return 0;
    int y = block_heading(l, w, "Lost"), count = gather_losses(l, list);
    for (int i = 0; i < count; i++) {
        if (!list[i].name)
            continue;
        text t = text_make(l->memory->memory);
        text_put(&t, list[i].name);
        for (int k = i + 1; k < count; k++)
            if (list[k].name && strcmp(list[k].reason, list[i].reason) == 0) {
                text_all(&t, ", ", list[k].name, NULL);
                list[k].name = NULL;
            }
        y = entry(l, w, y, words_keep(l->memory, &t), list[i].reason);
    }
    return y;
}

static const char *by_words(const layout *l, int f) {
    const function_outcome *o = &l->b->outcome->functions[f];
    text t = text_make(l->memory->memory);
    for (int i = 0; i < o->by_count; i++) {
        const char *more = i + 1 < o->by_count ? ", " : " and ";
        text_all(&t, i ? more : "Only by ", words_label(l->b, o->by[i]), NULL);
    }
    return words_keep(l->memory, &t);
}

static int reduced_block(const layout *l, const block_place *w) {
    int y = 0;
    for (int f = 0; f < l->b->aircraft->function_count; f++) {
        if (!function_went(l, f, FUNCTION_REDUCED))
            continue;
        if (!y)
            y = block_heading(l, w, "Reduced");
        const char *by = by_words(l, f);
        const char *reason = reason_of_function(l, f);
        const char *words[3] = {by, *by && *reason ? ": " : "", reason};
        y = entry(l, w, y, words_of_function(l, f), words_join(l->memory, words, 3));
    }
    return y;
}

static int kept_list(const layout *l, const block_place *w, const char *title, bool dry) {
    text t = text_make(l->memory->memory);
    for (int f = 0; f < l->b->aircraft->function_count; f++)
        if (l->b->outcome->functions[f].status == FUNCTION_KEPT &&
            l->b->outcome->functions[f].without_volts == dry) {
            const char *name = words_of_function(l, f);
            char first =
                t.length && *name >= 'A' && *name <= 'Z' ? (char)(*name - 'A' + 'a') : *name;
            bool capitals = name[0] && name[1] >= 'A' && name[1] <= 'Z';
            // Without memory a name is empty.
            if (!*name)
                break;
            text_put(&t, t.length ? ", " : "");
            text_char(&t, capitals ? *name : first);
            text_put(&t, name + 1);
        }
    bool none = t.length == 0;
    const char *list = words_keep(l->memory, &t);
    if (none)
        return 0;
    int y = block_heading(l, w, title);
    return y + l->m.line * block_lines(l, w, 0, y + 14, w->width, style_label(l, TONE_INK), list) +
           6;
}

static int kept_block(const layout *l, const block_place *w) {
    // Only batteries give anything.
    bool draining = false, other = false;
    for (int i = 0; i < l->b->outcome->source_count; i++) {
        const source_outcome *s = &l->b->outcome->sources[i];
        draining =
            draining || (s->battery && l->b->outcome->parts[s->part].draining && s->amps > 0.5);
        other = other || (!s->battery && s->amps > 0.05);
    }
    draining = draining && !other;
    const char *title = draining        ? "Kept, while the battery lasts"
                        : count_lost(l) ? "Kept"
                                        : "Nothing lost. You have";
    return kept_list(l, w, title, false);
}

static int dry_block(const layout *l, const block_place *w) {
    return kept_list(l, w, "Without the aeroplane's volts", true);
}

// ---- what has no place ----------------------------------------
static void fed_words(const layout *l, int which, text *t) {
    const part *p = &l->b->aircraft->parts[which];
    if (part_value_of(p, KEY_OWN_BATTERY)) {
        text_put(t, "on its own battery");
        return;
    }
    const reference_list *from = part_references(p, KEY_FROM);
    bool any = false;
    for (int i = 0; from && i < from->count; i++) {
        const reference *r = &from->items[i];
        text_put(t, any ? ", " : "from ");
        any = true;
        text_put(t, r->part >= 0               ? words_label(l->b, r->part)
                    : r->part == PART_AIRFRAME ? "the airframe"
                                               : "a point not known yet");
    }
    if (any)
        return;
    if (p->kind == KIND_GROUND)
        text_put(t, "ground");
    else
        text_put(t, p->kind == KIND_SWITCH ? "carries no supply" : kind_word(p->kind));
}

// What has the same explanation stands together.
static const char *also_words(const layout *l) {
    const char **fed = arena_new(l->memory, (size_t)l->t->also_count, sizeof *fed);
    if (!fed)
        return "";
    for (int i = 0; i < l->t->also_count; i++) {
        text one = text_make(l->memory->memory);
        fed_words(l, l->t->also[i], &one);
        fed[i] = words_keep(l->memory, &one);
    }
    text t = text_make(l->memory->memory);
    for (int i = 0; i < l->t->also_count; i++) {
        bool told = false;
        for (int k = 0; k < i; k++)
            told = told || strcmp(fed[k], fed[i]) == 0;
        if (told)
            continue;
        text_all(&t, t.length ? "; " : "", words_full(l->b, l->t->also[i]), NULL);
        for (int k = i + 1; k < l->t->also_count; k++)
            if (strcmp(fed[k], fed[i]) == 0)
                text_all(&t, ", ", words_full(l->b, l->t->also[k]), NULL);
        text_all(&t, " (", fed[i], ")", NULL);
    }
    return words_keep(l->memory, &t);
}

static int also_block(const layout *l, const block_place *w) {
    if (!l->t->also_count)
        return 0;
    int y = block_heading(l, w, "Also on board");
    const char *all = also_words(l);
    int low =
        y + l->m.line * block_lines(l, w, 0, y + 14, w->width, style_label(l, TONE_INK), all) + 6;
    if (w->p)
        picture_group(w->p, (group_shape){.kind = "list",
                                          .part = "",
                                          .paths = "",
                                          .title = all,
                                          .x = w->x,
                                          .y = w->y,
                                          .width = w->width,
                                          .height = low});
    return low;
}

// ---- key ----------------------------------------
static int key_words(const layout *l, const block_place *w, int y, const char *words) {
    int lines = block_lines(l, w, 62, y + 6, w->width - 62, style_label(l, TONE_INK), words);
    return y + lines * l->m.line + (l->o.close ? 3 : 6);
}

static int key_line(const layout *l, const block_place *w, int y, power c, const char *words) {
    if (w->p)
        picture_wire(w->p, w->x + 4, w->y + y, w->x + 46, w->y + y, c);
    return key_words(l, w, y, words);
}

static int key_block(const layout *l, const block_place *w) {
    int y = key_line(l, w, 12, POWER_LIVE, "fed by a running source");
    y = key_line(l, w, y, POWER_DRAINING, "draining a battery");
    y = key_line(l, w, y, POWER_DEAD, "dead") + 4;
    symbol(w, (symbol_shape){.id = SYMBOL_BREAKER_OUT, .ink = true}, 14, y + 2);
    symbol(w, (symbol_shape){.id = SYMBOL_SWITCH_OPEN, .ink = true}, 42, y + 2);
    return key_words(l, w, y, "breaker out, switch off") - 12;
}

// ---- into the room ----------------------------------------
typedef struct block {
    int (*write)(const layout *l, const block_place *w);
    int index;
    int span;        // columns that it may take at most
    bool rightmost;  // of equal places the right one: the seat stands right of why it is so
    int height;      // in one column, where they are sorted by it
    int narrow;      // no wider than this, 0: as wide as there is room
} block;

typedef struct spot {
    int x, width, span, y, end, low;  // end: below it; low: below all
    int spare;                        // room below it, over its width
    int price;                        // of the columns it takes, or of standing between two
} spot;

static block_place place_of_spot(const block *b, const spot *s) {
    return (block_place){.x = s->x, .y = s->y, .width = s->width, .index = b->index};
}

static bool better(const spot *a, const spot *b, bool rightmost) {
    if (a->low != b->low)
        return a->low < b->low;
    // High, but not at the price of columns that others may need; a few lines look the same.
    int higher = b->end + b->price - a->end - a->price;
    if (higher > 40 || higher < -40)
        return higher > 0;
    return rightmost && a->x > b->x;
}

// Where least room is left over that nothing else fits into.
static bool tighter(const spot *a, const spot *b) {
    return a->low != b->low ? a->low < b->low : a->spare < b->spare;
}

// The places of a block this wide: at the bars' left edges, and over the main bars, where there
// are no columns, also between.
static void try_places(const layout *l, const block *b, int top, int low, spot s, int height,
                       spot *best) {
    int first = l->x0 - BAR_HALF, step = l->columns > 1 ? l->pitch / 6 : l->pitch;
    for (int i = 0; i < 6 * l->columns; i++) {
        s.x = first + i / 6 * l->pitch + i % 6 * step;
        if (s.x + s.width > l->o.width - l->right + BAR_HALF)
            break;
        if (i % 6 && top + height + 20 >= l->bar_y)
            continue;
        s.y = layout_free_from(l, s.x, s.x + s.width, top, height);
        s.end = s.y + height;
        s.low = s.end > low ? s.end : low;
        s.price = (l->o.order == ORDER_WIDE ? 0 : 50 * s.span) + (i % 6 ? 60 : 0);
        bool on_grid = i % 6 == 0 || s.end + 20 < l->bar_y;
        bool tight = l->o.order == ORDER_TIGHT;
        if (tight)
            s.spare = (layout_clear_to(l, s.x, s.x + s.width, s.end, low) - s.end) / 10 * s.width;
        if (on_grid &&
            (best->low < 0 || (tight ? tighter(&s, best) : better(&s, best, b->rightmost))))
            *best = s;
        if (l->columns == 1)
            break;
    }
}

// Where the sheet grows least; then the highest place. False: nothing to say.
static bool find_spot(const layout *l, const block *b, int top, int low, spot *best) {
    *best = (spot){.low = -1};
    for (int span = 1; span <= b->span && span <= l->columns; span++) {
        spot s = {.span = span, .width = l->usable + (span - 1) * l->pitch};
        if (b->narrow && s.width > b->narrow)
            s.width = b->narrow;
        block_place w = place_of_spot(b, &s);
        int height = b->write(l, &w);
        if (!height)
            return false;
        try_places(l, b, top, low, s, height, best);
    }
    return true;
}

static int put_block(layout *l, const block *b, int top, int low) {
    spot best;
    if (!find_spot(l, b, top, low, &best))
        return low;
    block_place w = place_of_spot(b, &best);
    w.p = l->p;
    b->write(l, &w);
    return best.low;
}

static void sort_by_height(const layout *l, block *all, int count) {
    for (int i = 0; i < count; i++) {
        block_place w = {.width = l->usable, .index = all[i].index};
        all[i].height = all[i].write(l, &w);
    }
    for (int placed = 0; placed < count; placed++) {
        int most = placed;
        for (int i = placed; i < count; i++)
            if (all[i].height > all[most].height)
                most = i;
        block next = all[most];
        all[most] = all[placed];
        all[placed] = next;
    }
}

// For a sheet that is nearly full: the largest first, wherever it fits.
static void put_by_size(layout *l, const block *rest, int count, int top, int low) {
    int meters = seat_needle_count(l), total = 0;
    block *all = arena_new(l->memory, (size_t)(meters + count) + 2, sizeof *all);
    if (!all)
        return;
    for (int i = 0; i < meters; i++)
        all[total++] = (block){seat_meter, i, 1, false, 0, 0};
    all[total++] = (block){seat_figures, 0, 1, false, 0, 0};
    all[total++] = (block){seat_lamps, 0, 3, false, 0, 0};
    for (int i = 0; i < count; i++)
        all[total++] = rest[i];
    sort_by_height(l, all, total);
    // Another one first: what is placed early decides what is left for the rest.
    int first = l->o.order > ORDER_TIGHT ? l->o.order - ORDER_TIGHT : 0;
    if (first < total)
        low = put_block(l, &all[first], top, low);
    for (int i = 0; i < total; i++)
        if (i != first)
            low = put_block(l, &all[i], top, low);
}

void layout_lists(layout *l, int top, int foot) {
    static const block rest[] = {
        {lost_block, 0, 3, false, 0, 0}, {reduced_block, 0, 3, false, 0, 0},
        {kept_block, 0, 3, false, 0, 0}, {dry_block, 0, 2, false, 0, 0},
        {key_block, 0, 1, true, 0, 262}, {also_block, 0, 3, false, 0, 0}};
    const int count = sizeof rest / sizeof *rest;
    // On a sheet nothing is gained by ending above its foot.
    int low = layout_low(l);
    low = low < foot ? foot : low;
    if (l->o.order != ORDER_READING) {
        put_by_size(l, rest, count, top, low);
        return;
    }
    // To the right of why it is so, if there is room; in one column what is lost comes first.
    int first = l->columns == 1 ? 2 : 0;
    for (int i = 0; i < first; i++)
        low = put_block(l, &rest[i], top, low);
    low = put_block(l, &(block){seat_all, 0, 4, true, 0, 0}, top, low);
    for (int i = first; i < count; i++)
        low = put_block(l, &rest[i], top, low);
}
