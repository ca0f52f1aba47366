// What is lost, reduced and kept, what the seat shows, and what has no place in the columns: set
// into the room that the columns leave.
#include <string.h>

#include "draw/layout_parts.h"
#include "draw/text_width.h"
#include "model/part_words.h"

// A block writes itself at (x, y) into `p`, or only measures itself where `p` is NULL. Returns
// its height.
typedef struct block_place {
    picture *p;
    int x, y, width;
} block_place;

static int lines_at(const block_place *w, double dx, int y, double width, label_style s,
                    const char *words) {
    return picture_lines(w->p, w->x + dx, w->y + y, width, LINE, s, words);
}

static int heading(const block_place *w, const char *words) {
    return 10 + LINE * lines_at(w, 0, 18, w->width, style_section(), words);
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

// ---- what the seat shows ----------------------------------------
// The label with a capital in front.
static const char *words_raised(const layout *l, int which) {
    const char *label = words_label(l->b, which);
    char first[2] = {label[0], 0};
    if (first[0] < 'a' || first[0] > 'z')
        return label;
    first[0] = (char)(first[0] - 'a' + 'A');
    return words_join(l->memory, (const char *const[]){first, label + 1}, 2);
}

static int indication_line(const layout *l, const block_place *w, const indication *in, int y) {
    const part *p = &l->b->aircraft->parts[in->part];
    bool light = p->kind == KIND_LIGHT || p->kind == KIND_SOUNDER;
    symbol_shape s = {.id = light ? (in->figure > 0 && in->valid ? SYMBOL_LAMP_LIT : SYMBOL_LAMP)
                            : p->kind == KIND_VOLTMETER                            ? SYMBOL_METER_V
                            : p->kind == KIND_AMMETER || p->kind == KIND_LOADMETER ? SYMBOL_METER_A
                                                                                   : SYMBOL_FAILED};
    bool lit = light && in->valid && in->figure > 0;
    s.power = lit ? POWER_DRAINING : POWER_DEAD;
    s.ink = !light;
    symbol(w, s, 12, y + 12);
    const char *shown = in->reading ? in->reading : "";
    double room = text_width(shown, 17, true) + 10;
    if (room > w->width * 0.55)
        room = 0;
    label_style value = style_value(lit     ? TONE_DRAINING
                                    : light ? TONE_QUIET
                                            : TONE_INK,
                                    lit || !light);
    int lines = lines_at(w, 34, y + 18, w->width - 34 - room, style_name(TONE_INK),
                         words_raised(l, in->part));
    if (room > 0 && w->p)
        picture_label(w->p, w->x + w->width, w->y + y + 18, value, shown);
    else
        lines += lines_at(w, 34, y + 18 + lines * LINE, w->width - 34,
                          style_at(value, ANCHOR_START), shown);
    // On paper a light that is out needs no explaining.
    bool told = !(l->o.print && light && !lit);
    if (told && in->says && *in->says && strcmp(in->says, shown) != 0)
        lines +=
            lines_at(w, 34, y + 18 + lines * LINE, w->width - 34, style_note(TONE_QUIET), in->says);
    return y + lines * LINE + 8;
}

static int seat_block(const layout *l, const block_place *w) {
    const outcome *o = l->b->outcome;
    if (!o->indication_count)
        return 0;
    int y = heading(w, "What the seat shows");
    for (int i = 0; i < o->indication_count; i++)
        y = indication_line(l, w, &o->indications[i], y);
    return y;
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

static int entry(const block_place *w, int y, const char *name, const char *reason) {
    label_style bold = style_name(TONE_INK);
    bold.bold = true;
    rule(w, y);
    y += 4;
    y += LINE * lines_at(w, 0, y + 17, w->width, bold, name);
    if (*reason)
        y += LINE * lines_at(w, 0, y + 17, w->width, (label_style){.size = 16}, reason);
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
    int y = heading(w, "Lost"), count = gather_losses(l, list);
    for (int i = 0; i < count; i++) {
        if (!list[i].name)
            continue;
        text t = text_make(l->memory->memory);
        text_put(&t, list[i].name);
        for (int k = i + 1; k < count; k++)
            if (list[k].name && *list[i].reason && strcmp(list[k].reason, list[i].reason) == 0) {
                text_all(&t, ", ", list[k].name, NULL);
                list[k].name = NULL;
            }
        y = entry(w, y, words_keep(l->memory, &t), list[i].reason);
    }
    return y;
}

static const char *by_words(const layout *l, int f) {
    const function_outcome *o = &l->b->outcome->functions[f];
    text t = text_make(l->memory->memory);
    for (int i = 0; i < o->by_count; i++)
        text_all(&t, i ? " and " : "Only by ", words_label(l->b, o->by[i]), NULL);
    return words_keep(l->memory, &t);
}

static int reduced_block(const layout *l, const block_place *w) {
    int y = 0;
    for (int f = 0; f < l->b->aircraft->function_count; f++) {
        if (!function_went(l, f, FUNCTION_REDUCED))
            continue;
        if (!y)
            y = heading(w, "Reduced");
        const char *by = by_words(l, f);
        const char *reason = reason_of_function(l, f);
        const char *words[3] = {by, *by && *reason ? ": " : "", reason};
        y = entry(w, y, words_of_function(l, f), words_join(l->memory, words, 3));
    }
    return y;
}

static bool needs_no_volts(const layout *l, int f) {
    const function_outcome *o = &l->b->outcome->functions[f];
    for (int i = 0; i < o->by_count; i++)
        if (!l->b->aircraft->parts[o->by[i]].electric)
            return true;
    return false;
}

static int kept_list(const layout *l, const block_place *w, const char *title, bool electric) {
    text t = text_make(l->memory->memory);
    for (int f = 0; f < l->b->aircraft->function_count; f++)
        if (l->b->outcome->functions[f].status == FUNCTION_KEPT &&
            needs_no_volts(l, f) != electric) {
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
    int y = heading(w, title);
    return y + LINE * lines_at(w, 0, y + 14, w->width, (label_style){.size = 16}, list) + 6;
}

static int kept_block(const layout *l, const block_place *w) {
    bool draining = false;
    for (int i = 0; i < l->b->outcome->source_count; i++)
        draining = draining || (l->b->outcome->sources[i].battery &&
                                l->b->outcome->parts[l->b->outcome->sources[i].part].draining &&
                                l->b->outcome->sources[i].amps > 0.5);
    const char *title = draining        ? "Kept, while the battery lasts"
                        : count_lost(l) ? "Kept"
                                        : "Nothing lost. You have";
    return kept_list(l, w, title, true);
}

static int dry_block(const layout *l, const block_place *w) {
    return kept_list(l, w, "Needs no volts", false);
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

static int also_block(const layout *l, const block_place *w) {
    if (!l->t->also_count)
        return 0;
    int y = heading(w, "Also on board");
    text t = text_make(l->memory->memory);
    for (int i = 0; i < l->t->also_count; i++) {
        text_all(&t, i ? "; " : "", words_full(l->b, l->t->also[i]), " (", NULL);
        fed_words(l, l->t->also[i], &t);
        text_put(&t, ")");
    }
    const char *all = words_keep(l->memory, &t);
    int low = y + LINE * lines_at(w, 0, y + 14, w->width, (label_style){.size = 16}, all) + 6;
    if (w->p)
        picture_group(w->p, all, w->x, w->y, w->width, low);
    return low;
}

// ---- key ----------------------------------------
static void key_line(const block_place *w, int y, power c, const char *words) {
    if (w->p)
        picture_wire(w->p, w->x + 4, w->y + y, w->x + 46, w->y + y, c);
    lines_at(w, 62, y + 6, w->width - 62, (label_style){.size = 16}, words);
}

static int key_block(const layout *l, const block_place *w) {
    (void)l;
    int y = 12;
    key_line(w, y, POWER_LIVE, "fed by a running source");
    key_line(w, y + 26, POWER_DRAINING, "draining a battery");
    key_line(w, y + 52, POWER_DEAD, "dead");
    symbol(w, (symbol_shape){.id = SYMBOL_BREAKER_OUT, .ink = true}, 14, y + 84);
    symbol(w, (symbol_shape){.id = SYMBOL_SWITCH_OPEN, .ink = true}, 42, y + 84);
    lines_at(w, 62, y + 88, w->width - 62, (label_style){.size = 16}, "breaker out, switch off");
    return y + 100;
}

typedef int (*block)(const layout *l, const block_place *w);

void layout_lists(layout *l) {
    static const block blocks[] = {seat_block, lost_block, reduced_block, kept_block,
                                   dry_block,  also_block, key_block};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        block_place w = {.width = l->usable};
        int height = blocks[i](l, &w);
        if (!height)
            continue;
        int column = 0;
        for (int c = 1; c < l->columns; c++)
            if (l->bottom[c] < l->bottom[column])
                column = c;
        // A column's lists start where its names do not: flush with the bar's left edge.
        w.x = l->x0 - BAR_HALF + column * l->pitch;
        w.y = l->bottom[column] + 14;
        w.p = l->p;
        height = blocks[i](l, &w);
        l->bottom[column] = w.y + height;
    }
}
