// Placards and places: two names for one, one place for two, a label that belongs to something
// else.
#include <string.h>

#include "model/reader.h"

enum { MOST_LOOKED_AT = 2000 };

typedef enum group { GROUP_NONE, GROUP_PROTECTOR, GROUP_SWITCH, GROUP_LIGHT } group;

static group group_of(const part *p) {
    switch (p->kind) {
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER: return GROUP_PROTECTOR;
    case KIND_SWITCH: return p->hand ? GROUP_SWITCH : GROUP_NONE;
    case KIND_LIGHT: return GROUP_LIGHT;
    default: return GROUP_NONE;
    }
}

// What is printed, not what stands in for it.
static bool is_printed(const part *p) {
    return p->label != p->id && !(p->fitted & (FITTED_SPARE | FITTED_ABSENT));
}

static const char *in_words(reader *r, const part *p) {
    group g = group_of(p);
    return join(r, (const char *const[]){g == GROUP_PROTECTOR ? "P "
                                         : g == GROUP_SWITCH  ? "S "
                                                              : "L ",
                                         p->label, NULL});
}

static void check_placards(reader *r) {
    name_table seen = {0};
    for (int i = 0; i < r->a->part_count; i++) {
        const part *p = &r->a->parts[i];
        if (group_of(p) == GROUP_NONE || !is_printed(p))
            continue;
        const char *key = in_words(r, p);
        int other = name_add(&seen, r->scratch, key, strlen(key), i);
        if (other < 0 || other == i)
            continue;
        // Two poles of one handle have one placard.
        if (part_id(p, KEY_MOVES_WITH) == other ||
            part_id(&r->a->parts[other], KEY_MOVES_WITH) == i)
            continue;
        say_warning(r, p->span, "placard-twice", "one part, or two placards?", "'", p->id,
                    join(r, (const char *const[]){"' and '", r->a->parts[other].id,
                                                  "' are two names for one placard, ", NULL}),
                    p->label);
    }
}

static void check_places(reader *r) {
    name_table seen = {0};
    for (int i = 0; i < r->a->part_count; i++) {
        const part *p = &r->a->parts[i];
        if (!p->row || !p->number)
            continue;
        const char *key = join(r, (const char *const[]){p->panel, " row ", number_words(r, p->row),
                                                        " no ", number_words(r, p->number), NULL});
        int other = name_add(&seen, r->scratch, key, strlen(key), i);
        if (other >= 0 && other != i)
            say_warning(r, p->span, "place-twice", "", "'", p->id,
                        join(r, (const char *const[]){"' and '", r->a->parts[other].id,
                                                      "' have one place: ", NULL}),
                        *p->panel ? key : key + 1);
    }
}

// ---- labels that differ from what they feed -----------------------------------------------------

// The id that a placard would have: COM 1 is com-1. -1: no part is called so.
static int part_called(reader *r, const char *label) {
    size_t length = strlen(label);
    char *id = arena_new(r->scratch, length + 1, 1);
    if (!id)
        return -1;
    for (size_t i = 0; i < length; i++) {
        bool capital = label[i] >= 'A' && label[i] <= 'Z';
        id[i] = capital ? (char)(label[i] - 'A' + 'a') : label[i] == ' ' ? '-' : label[i];
    }
    return find_id(r, id, length);
}

// `budget`: how many parts may be looked at; lists of feeds could multiply.
static bool is_below(const aircraft *a, int part, int above, int steps, int *budget) {
    if (part == above)
        return true;
    if (part < 0 || steps == 0 || --*budget < 0)
        return false;
    static const part_key FEEDS[] = {KEY_FROM, KEY_COIL_FROM, KEY_FIELD_FROM, KEY_TO};
    for (int k = 0; k < 4; k++) {
        const reference_list *list = part_references(&a->parts[part], FEEDS[k]);
        for (int i = 0; list && i < list->count; i++) {
            int feed = list->items[i].part;
            if (feed >= 0 && feed != part && is_below(a, feed, above, steps - 1, budget))
                return true;
        }
    }
    return false;
}

static bool feeds_on(const aircraft *a, int breaker, int item) {
    int budget = MOST_LOOKED_AT;
    if (is_below(a, item, breaker, 6, &budget))
        return true;
    const reference_list *to = part_references(&a->parts[breaker], KEY_TO);
    return to && to->items[0].part >= 0 && is_below(a, item, to->items[0].part, 6, &budget);
}

static void check_label(reader *r, int index) {
    const aircraft *a = r->a;
    const part *p = &a->parts[index];
    if (part_text(p, KEY_LABEL_IS)) {
        const node *n = written_node(&r->drafts[index], KEY_LABEL_IS);
        say_note(r, n ? n->key->span : p->span, "label-differs", "", "the placard ", p->label,
                 " names something else than it feeds", NULL);
        return;
    }
    if (group_of(p) != GROUP_PROTECTOR || !is_printed(p) || !p->electric)
        return;
    int named = part_called(r, p->label);
    const part *item = named >= 0 ? &a->parts[named] : NULL;
    if (!item || kind_class(item->kind) != CLASS_ITEM || !item->electric ||
        feeds_on(a, index, named))
        return;
    say_note(r, p->span, "label-differs", "if it is printed so, add `label-is: wrong`",
             join(r, (const char *const[]){"the placard ", p->label, " of '", p->id, NULL}),
             "' names '", item->id, "', which it doesn't feed");
}

void check_panel(reader *r) {
    if (r->out->errors > 0 || r->tree.broken)
        return;
    check_placards(r);
    check_places(r);
    for (int i = 0; i < r->a->part_count && !reader_failed(r); i++)
        check_label(r, i);
}
