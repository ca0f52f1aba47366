// A condition of the file, said in words.
#include "model/part_words.h"

static const char *supply_name(const aircraft *a, int which) {
    return which >= 0 && which < a->supply_count ? a->supplies[which].name : "";
}

// A figure with as many places as it needs, at most three.
static void plain(text *t, double value, const char *sign) {
    double rounded = (double)(int64_t)(value * 1000 + (value < 0 ? -0.5 : 0.5)) / 1000;
    text_number(t, rounded);
    text_all(t, " ", sign, NULL);
}

static void compared(const aircraft *a, const condition *c, const char *what, double factor,
                     const char *sign, text *t) {
    if (c->ref.part >= 0)
        part_name(a, c->ref.part, t);
    text_all(t, what, c->below ? " below " : " above ", NULL);
    plain(t, c->value * factor, sign);
}

static void two(const aircraft *a, const condition *c, const char *word, text *t) {
    condition_words(a, c->a, t);
    text_put(t, word);
    condition_words(a, c->b, t);
}

static void about(const aircraft *a, const condition *c, const char *word, text *t) {
    part_name(a, c->ref.part, t);
    text_put(t, word);
}

// Of the part, or of the selector that a moving thing obeys.
static const positions *labels_of(const aircraft *a, int which) {
    const positions *own = part_positions(&a->parts[which]);
    int selector = part_id(&a->parts[which], KEY_FOLLOWS);
    return own || selector < 0 ? own : part_positions(&a->parts[selector]);
}

static void at_position(const aircraft *a, const condition *c, text *t) {
    part_name(a, c->ref.part, t);
    text_put(t, " at ");
    const positions *p = c->ref.part >= 0 ? labels_of(a, c->ref.part) : NULL;
    if (p && c->position >= 0 && c->position < p->count)
        text_put(t, p->labels[c->position]);
    else
        plain(t, c->place * 100, "%");
}

static void measured(const aircraft *a, const condition *c, text *t) {
    switch (c->op) {
    case CONDITION_VOLTS: compared(a, c, "", 1, "V", t); return;
    case CONDITION_AMPS: compared(a, c, "", 1, "A", t); return;
    case CONDITION_CHARGE: compared(a, c, " charge", 100, "%", t); return;
    case CONDITION_TRAVEL: compared(a, c, "", 100, "%", t); return;
    case CONDITION_RPM: compared(a, c, "", 1, "rpm", t); return;
    case CONDITION_THROTTLE: compared(a, c, "throttle", 100, "%", t); return;
    case CONDITION_AIRSPEED: compared(a, c, "airspeed", 1, "kt", t); return;
    case CONDITION_TEMPERATURE: compared(a, c, "temperature", 1, "°C", t); return;
    case CONDITION_DIFFER:
        part_name(a, c->ref.part, t);
        text_put(t, c->below ? " below " : " above ");
        part_name(a, c->other.part, t);
        if (c->value > 0) {
            text_put(t, " by ");
            plain(t, c->value, "V");
        }
        return;
    default: return;
    }
}

static void observed(const aircraft *a, const condition *c, text *t) {
    switch (c->op) {
    case CONDITION_ON: about(a, c, " on", t); return;
    case CONDITION_IN: about(a, c, " in", t); return;
    case CONDITION_CLOSED: about(a, c, " closed", t); return;
    case CONDITION_RUNNING: about(a, c, " running", t); return;
    case CONDITION_WINDMILLING: about(a, c, " windmilling", t); return;
    case CONDITION_STOPPED: about(a, c, " stopped", t); return;
    case CONDITION_MOVING: about(a, c, " moving", t); return;
    case CONDITION_WORKS: about(a, c, " works", t); return;
    case CONDITION_AT: at_position(a, c, t); return;
    case CONDITION_PRESENT:
        words_of_id(supply_name(a, c->supply), t);
        text_put(t, " present");
        return;
    case CONDITION_AIRBORNE: text_put(t, "airborne"); return;
    case CONDITION_NIGHT: text_put(t, "night"); return;
    case CONDITION_CLOUD: text_put(t, "in cloud"); return;
    case CONDITION_ICING: text_put(t, "icing"); return;
    case CONDITION_STALL_NEAR: text_put(t, "near the stall"); return;
    default: return;
    }
}

// "not X" reads better as the opposite where the trade has a word for it.
static void negated(const aircraft *a, const condition *c, text *t) {
    const condition *n = c->a >= 0 ? &a->conditions[c->a] : NULL;
    if (!n)
        return;
    switch (n->op) {
    case CONDITION_ON: about(a, n, " off", t); return;
    case CONDITION_IN: about(a, n, " out", t); return;
    case CONDITION_CLOSED: about(a, n, " open", t); return;
    case CONDITION_NIGHT: text_put(t, "day"); return;
    case CONDITION_PRESENT:
        words_of_id(supply_name(a, n->supply), t);
        text_put(t, " low");
        return;
    default:
        text_put(t, "not ");
        condition_words(a, c->a, t);
        return;
    }
}

void condition_words(const aircraft *a, int condition_index, text *t) {
    if (condition_index < 0 || condition_index >= a->condition_count)
        return;
    const condition *c = &a->conditions[condition_index];
    switch (c->op) {
    case CONDITION_ALWAYS: text_put(t, "always"); return;
    case CONDITION_NEVER: text_put(t, "never"); return;
    case CONDITION_AND: two(a, c, " and ", t); return;
    case CONDITION_OR: two(a, c, " or ", t); return;
    case CONDITION_LATCH: two(a, c, " until ", t); return;
    case CONDITION_NOT: negated(a, c, t); return;
    case CONDITION_FOR:
        condition_words(a, c->a, t);
        text_put(t, " for ");
        plain(t, c->value, "s");
        return;
    default:
        measured(a, c, t);
        observed(a, c, t);
        return;
    }
}
