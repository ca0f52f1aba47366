// What each word allows and no aeroplane has: figures that contradict each other, parts that feed
// or carry themselves, things that move without places to move between.
#include <string.h>

#include "model/reader.h"

enum { STEPS_UP = 16 };

static span place_of(const reader *r, int index, part_key key) {
    const node *n = written_node(&r->drafts[index], key);
    return n ? n->span : r->a->parts[index].span;
}

static bool is_written(const reader *r, int index, part_key key) {
    return written_node(&r->drafts[index], key) != NULL;
}

// ---- figures ------------------------------------------------------------------------------------
static void check_amps(reader *r, int index, part_key key, bool may_be_more, const char *what) {
    const figure *full = part_figure(&r->a->parts[index], KEY_VALUE);
    const figure *other = part_figure(&r->a->parts[index], key);
    if (!full || !other || !is_written(r, index, key) || full->unit != UNIT_AMP ||
        other->unit != UNIT_AMP)
        return;
    if (may_be_more ? other->value < full->value : other->value > full->value)
        say_error(r, place_of(r, index, key), "figures", "look whether the two are exchanged",
                  join(r, (const char *const[]){"`", key_word(key), "` of '", NULL}),
                  r->a->parts[index].id, "' is ", what);
}

static void check_regulator(reader *r, int index) {
    const reference_list *field = part_references(&r->a->parts[index], KEY_FIELD_FROM);
    for (int i = 0; field && i < field->count && is_written(r, index, KEY_REGULATED_AT); i++) {
        int part = field->items[i].part;
        if (part >= 0 && r->a->parts[part].kind == KIND_REGULATOR)
            say_error(r, place_of(r, index, KEY_REGULATED_AT), "together",
                      "leave `regulated-at` out: the regulator's first value says it", "'",
                      r->a->parts[index].id, "' has a regulator already: ", r->a->parts[part].id);
    }
}

// ---- what moves ---------------------------------------------------------------------------------
static bool has_places(const aircraft *a, int part) {
    const positions *p = part >= 0 ? part_positions(&a->parts[part]) : NULL;
    return p && p->sort == POSITIONS_PLACES;
}

static bool moves_between_places(const reader *r, int index) {
    const aircraft *a = r->a;
    int follows = part_id(&a->parts[index], KEY_FOLLOWS);
    if (has_places(a, index) || has_places(a, follows))
        return true;
    for (int steps = 0; steps < STEPS_UP && follows < 0; steps++) {
        const reference_list *from = part_references(&a->parts[index], KEY_FROM);
        if (!from || from->count == 0)
            return is_written(r, index, KEY_FROM);  // it couldn't be read, and that is said
        if (from->items[0].part < 0)
            return false;
        index = from->items[0].part;
        if (has_places(a, index))
            return true;
    }
    return false;
}

static void check_places(reader *r, int index) {
    if ((is_written(r, index, KEY_TRAVEL) || is_written(r, index, KEY_FOLLOWS)) &&
        !moves_between_places(r, index))
        say_error(r,
                  place_of(r, index, is_written(r, index, KEY_TRAVEL) ? KEY_TRAVEL : KEY_FOLLOWS),
                  "no-places",
                  "give its selector places: `positions: {UP: 0 %, FULL: 100 %}`; one that "
                  "doesn't feed it itself: `follows: ID`",
                  "'", r->a->parts[index].id, "' moves, but between no places", NULL);
    const positions *p = part_positions(&r->a->parts[index]);
    const char *springs = part_text(&r->a->parts[index], KEY_SPRINGS_BACK);
    if (p && p->count > 2 && springs && strcmp(springs, "yes") == 0)
        say_error(r, place_of(r, index, KEY_SPRINGS_BACK), "springs-back",
                  "write `X to Y`, or `to Y` for all", "'", r->a->parts[index].id,
                  "' has more than two positions: it isn't said where it springs back to", NULL);
}

// ---- what feeds or carries itself ---------------------------------------------------------------
static void check_circle(reader *r, int index) {
    const aircraft *a = r->a;
    if (a->parts[index].kind != KIND_BATTERY)
        return;
    if (is_written(r, index, KEY_CHARGED_FROM)) {
        const reference_list *by = part_references(&a->parts[index], KEY_CHARGED_FROM);
        if (by && by->count > 0 && by->items[0].part == index)
            say_error(r, place_of(r, index, KEY_CHARGED_FROM), "itself", "name what charges it",
                      "'", a->parts[index].id, "' is charged from itself", NULL);
    }
    int at = index;
    for (int steps = 0; steps < STEPS_UP; steps++) {
        const reference_list *from = part_references(&a->parts[at], KEY_FROM);
        at = from && from->count > 0 ? from->items[0].part : -1;
        if (at < 0 || a->parts[at].kind != KIND_BATTERY)
            return;
        if (at == index) {
            say_error(r, place_of(r, index, KEY_FROM), "itself",
                      "`from` is its return: ground, or the battery below it", "'",
                      a->parts[index].id, "' returns to itself", NULL);
            return;
        }
    }
}

static void check_carries(reader *r, int index) {
    const aircraft *a = r->a;
    part_kind k = a->parts[index].kind;
    const part_value *v = part_value_of(&a->parts[index], KEY_CARRIES);
    if ((k != KIND_BUNDLE && k != KIND_CONNECTOR) || !v || v->type != VALUE_IDS)
        return;
    for (int i = 0; i < v->as.ids.count; i++) {
        int part = v->as.ids.items[i];
        if (part == index)
            say_error(r, place_of(r, index, KEY_CARRIES), "itself", "leave it out", "'",
                      a->parts[index].id, "' carries itself", NULL);
        else if (part >= 0 && a->parts[part].kind == KIND_GROUND)
            say_error(r, place_of(r, index, KEY_CARRIES), "carries-ground",
                      "name the items whose wires it carries", "'", a->parts[part].id,
                      "' is a ground, not a wire", NULL);
    }
}

void check_odd(reader *r) {
    for (int i = 0; i < r->a->part_count && !reader_failed(r); i++) {
        if (r->a->parts[i].implied != IMPLIED_NO)
            continue;
        check_amps(r, i, KEY_STALL, true, "less than its running current");
        check_amps(r, i, KEY_IDLE, false, "more than its full figure");
        check_regulator(r, i);
        check_places(r, i);
        check_circle(r, i);
        check_carries(r, i);
    }
}
