// Words of a position, by the kind of part.
#include "model/position_words.h"

#include <string.h>

#include "base/number.h"

static char lower(char c) { return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c; }

static bool same_word(const char *a, const char *b) {
    while (*a && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

// Index of a label, as printed or, if no label is so spelled, whatever its capitals; -1.
static int label_index(const positions *p, const char *word) {
    for (int i = 0; i < p->count; i++)
        if (text_equal(p->labels[i], word))
            return i;
    for (int i = 0; i < p->count; i++)
        if (same_word(p->labels[i], word))
            return i;
    return -1;
}

// "60%", "60 %": a share from 0 to 1.
static bool share(const char *word, double *value) {
    size_t length = strlen(word);
    int used = number_read(word, length, value);
    if (used <= 0)
        return false;
    const char *rest = word + used;
    while (*rest == ' ')
        rest++;
    *value /= 100;
    return text_equal(rest, "%") && *value >= 0 && *value <= 1;
}

static bool two_words(const char *word, const char *on, const char *off, double *value) {
    if (same_word(word, on) || same_word(word, off)) {
        *value = same_word(word, on);
        return true;
    }
    return false;
}

// The speed an engine runs at when only "running" is asked: the phase's, else the fastest of
// the file.
static double running_speed(const aircraft *a, int which, const state *s) {
    double speed = a->phases[s->phase].setting[which];
    for (int i = 0; speed <= 0 && i < a->phase_count; i++)
        if (a->phases[i].airborne && a->phases[i].setting[which] > speed)
            speed = a->phases[i].setting[which];
    return speed > 0 ? speed : 2400;
}

static bool engine_value(const aircraft *a, int which, const char *word, const state *s,
                         double *value) {
    if (same_word(word, "stopped"))
        *value = 0;
    else if (same_word(word, "windmilling"))
        *value = -1;
    else if (same_word(word, "running"))
        *value = running_speed(a, which, s);
    else {
        int used = number_read(word, strlen(word), value);
        if (used <= 0 || *value < 0 || *value > 10000)
            return false;
        const char *rest = word + used;
        while (*rest == ' ')
            rest++;
        return *rest == 0 || text_equal(rest, "rpm");
    }
    return true;
}

// A thing that moves: a share of its travel, or a label of its own or of the selector it follows.
static bool place_value(const aircraft *a, int which, const char *word, double *value) {
    const part *p = &a->parts[which];
    const positions *list = part_positions(p);
    int follows = part_id(p, KEY_FOLLOWS);
    if (!list && follows >= 0)
        list = part_positions(&a->parts[follows]);
    const reference_list *from = part_references(p, KEY_FROM);
    if (!list && from && from->count > 0 && from->items[0].part >= 0)
        list = part_positions(&a->parts[from->items[0].part]);
    int at = list && list->sort == POSITIONS_PLACES ? label_index(list, word) : -1;
    if (at >= 0) {
        *value = list->figures[at];
        return true;
    }
    return share(word, value);
}

static bool moves(const part *p) {
    const positions *list = part_positions(p);
    return p->kind == KIND_MECHANISM || part_value_of(p, KEY_TRAVEL) ||
           (p->kind != KIND_SWITCH && list && list->sort == POSITIONS_PLACES);
}

static bool plugged_value(const char *word, double *value) {
    return two_words(word, "on", "off", value) || two_words(word, "in", "out", value) ||
           two_words(word, "plugged in", "unplugged", value);
}

static bool switch_value(const part *p, const char *word, double *value) {
    const positions *list = part_positions(p);
    if (!list)
        return two_words(word, "on", "off", value);
    int at = label_index(list, word);
    *value = at;
    return at >= 0;
}

static bool breaker_value(const part *p, const char *word, double *value) {
    return two_words(word, "in", "out", value) ||
           (p->kind == KIND_BREAKER && part_text(p, KEY_USED_AS) &&
            two_words(word, "on", "off", value));
}

static bool own_switch_value(const part *p, const char *word, double *value) {
    const positions *list = part_positions(p);
    if (list && list->sort == POSITIONS_SETTINGS) {
        int at = label_index(list, word);
        *value = at;
        return at >= 0;
    }
    return part_text(p, KEY_OWN_SWITCH) && plugged_value(word, value);
}

bool position_value(const aircraft *a, int which, const char *word, const state *s, double *value) {
    const part *p = &a->parts[which];
    switch (p->kind) {
    case KIND_SWITCH: return p->hand && switch_value(p, word, value);
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER: return breaker_value(p, word, value);
    case KIND_DIMMER: return two_words(word, "on", "off", value) || share(word, value);
    case KIND_EXTERNAL_POWER: return plugged_value(word, value);
    case KIND_ENGINE: return engine_value(a, which, word, s, value);
    default:
        if (moves(p) && place_value(a, which, word, value))
            return true;
        return own_switch_value(p, word, value);
    }
}

static void labels(const positions *list, text *t) {
    for (int i = 0; i < list->count; i++)
        text_all(t, i ? ", " : "", list->labels[i], NULL);
}

void position_words(const aircraft *a, int which, text *t) {
    const part *p = &a->parts[which];
    const positions *list = part_positions(p);
    switch (p->kind) {
    case KIND_SWITCH:
        if (p->hand && list)
            labels(list, t);
        else if (p->hand)
            text_put(t, "on, off");
        return;
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER:
        text_put(t, part_text(p, KEY_USED_AS) ? "in, out, on, off" : "in, out");
        return;
    case KIND_DIMMER: text_put(t, "0% to 100%"); return;
    case KIND_EXTERNAL_POWER: text_put(t, "on, off"); return;
    case KIND_ENGINE:
        text_put(t, "running, windmilling, stopped, a speed such as 2400 rpm");
        return;
    default: break;
    }
    if (moves(p))
        text_put(t, "0% to 100%, or a place of its selector");
    else if (list && list->sort == POSITIONS_SETTINGS)
        labels(list, t);
    else if (part_text(p, KEY_OWN_SWITCH))
        text_put(t, "on, off");
}

bool setting_is_on(const part *p, double setting) {
    const positions *list = part_positions(p);
    int at = (int)setting;
    if (list && p->kind == KIND_SWITCH && at >= 0 && at < list->count)
        return !same_word(list->labels[at], "OFF");
    return setting != 0;
}
