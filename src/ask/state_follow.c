// Switches that move with others: rocker halves (`only-with`) and two-pole handles (`moves-with`).
#include "ask/state_asker.h"
#include "model/part_words.h"

static bool is_on(const asker *k, int which) {
    return setting_is_on(&k->aircraft->parts[which], k->state->setting[which]);
}

static const char *name_of(asker *k, int which, text *t) {
    t->length = 0;
    part_name(k->aircraft, which, t);
    return text_get(t);
}

// Two positions that the question gives and that can't be together: said once for the pair.
static void conflict(asker *k, int mover, int moved, const char *law) {
    text a = text_make(k->memory->memory), b = text_make(k->memory->memory);
    asker_complain(k, "positions-conflict", "Leave one of the two --set out", "'",
                   k->aircraft->parts[moved].id, "' can't be put there: ", name_of(k, moved, &a),
                   law, name_of(k, mover, &b), NULL);
    text_free(&a);
    text_free(&b);
}

// Puts `moved` on or off because `mover` was put there by the question.
static bool drag(asker *k, int mover, int moved, bool on, const char *law) {
    if (moved < 0 || is_on(k, moved) == on)
        return false;
    if (k->said[moved]) {
        conflict(k, mover, moved, law);
        return false;
    }
    k->state->setting[moved] = on;
    text a = text_make(k->memory->memory), b = text_make(k->memory->memory);
    const char *first = name_of(k, mover, &a), *second = name_of(k, moved, &b);
    if (!text_equal(first, second))  // two poles of one handle
        asker_note(k, first, on ? " on brings " : " off takes ", second,
                   on ? " on with it." : " off with it.", NULL);
    text_free(&a);
    text_free(&b);
    k->said[moved] = true;
    return true;
}

static bool follow_one(asker *k, int mover) {
    const aircraft *a = k->aircraft;
    bool on = is_on(k, mover), moved = false;
    int errors = k->out->errors;
    for (int i = 0; i < a->part_count && k->out->errors == errors; i++) {
        if (part_id(&a->parts[i], KEY_ONLY_WITH) == mover && !on)
            moved |= drag(k, mover, i, false, " can be on only with ");
        if (part_id(&a->parts[i], KEY_MOVES_WITH) == mover)
            moved |= drag(k, mover, i, on, " has one handle with ");
    }
    const part *p = &a->parts[mover];
    if (k->out->errors > errors)
        return false;
    if (on)
        moved |= drag(k, mover, part_id(p, KEY_ONLY_WITH), true, " must be on for ");
    moved |= drag(k, mover, part_id(p, KEY_MOVES_WITH), on, " has one handle with ");
    return moved;
}

void asker_follow(asker *k) {
    // Each round moves at least one more switch, and every switch moves at most once.
    int errors = k->out->errors;
    for (bool moved = true; moved;) {
        moved = false;
        for (int i = 0; i < k->aircraft->part_count && !moved; i++) {
            if (k->said[i])
                moved = follow_one(k, i);
            if (k->out->errors > errors)
                return;
        }
    }
}
