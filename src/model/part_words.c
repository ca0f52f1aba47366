#include "model/part_words.h"

#include <math.h>
#include <string.h>

#include "model/initials.h"

static bool initials(const char *word, size_t length) {
    for (size_t i = 0; i < sizeof INITIALS / sizeof *INITIALS; i++)
        if (strlen(INITIALS[i]) == length && memcmp(INITIALS[i], word, length) == 0)
            return true;
    return false;
}

void words_of_id(const char *id, text *t) {
    for (;;) {
        size_t length = strcspn(id, "-");
        bool capitals = initials(id, length);
        for (size_t i = 0; i < length; i++)
            text_char(t, capitals ? (char)(id[i] - 'a' + 'A') : id[i]);
        id += length;
        if (*id == 0)
            return;
        text_char(t, ' ');
        id++;
    }
}

// Whether the label is what a person would call the part. What a kind with a text of its own
// says there ("four cylinders", "magneto") tells what it is, not which one; then its id is the
// better name.
static bool printed(const part *p) {
    if (!p->label || !p->label[0] || text_equal(p->label, p->id))
        return false;
    switch (p->kind) {
    case KIND_ENGINE:
    case KIND_PUMP:
    case KIND_IGNITION:
    case KIND_PROBE:
    case KIND_MECHANISM:
    case KIND_RELAY:
    case KIND_CONTACTOR:
    case KIND_GROUND:
    case KIND_WIRE:
    case KIND_CONNECTOR:
    case KIND_BUNDLE: return part_text(p, KEY_LABEL) != NULL;
    default: return true;
    }
}

void part_short_name(const aircraft *a, int which, text *t) {
    if (which == PART_AIRFRAME) {
        text_put(t, "airframe");
        return;
    }
    if (which < 0 || which >= a->part_count)
        return;
    const part *p = &a->parts[which];
    if (p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP) {
        text_put(t, p->implied == IMPLIED_WIRE ? "wire of " : "strap of ");
        part_name(a, p->host, t);
        return;
    }
    if (printed(p))
        text_put(t, p->label);
    else
        words_of_id(p->id, t);
}

// What stands behind a printed label to say what it is; "" where the label says enough.
static const char *noun(const part *p) {
    if (!printed(p))
        return "";
    switch (p->kind) {
    case KIND_BREAKER: return " breaker";
    case KIND_FUSE: return " fuse";
    case KIND_LIMITER: return " limiter";
    case KIND_SWITCH: return strstr(p->label, "switch") || strstr(p->label, "key") ? "" : " switch";
    case KIND_DIMMER: return " dimmer";
    case KIND_LIGHT: return strstr(p->label, "light") ? "" : " light";
    case KIND_CONNECTOR: return " connector";
    case KIND_BUNDLE: return " bundle";
    default: return "";
    }
}

void part_name(const aircraft *a, int which, text *t) {
    part_short_name(a, which, t);
    if (which < 0 || which >= a->part_count)
        return;
    const part *p = &a->parts[which];
    if (p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP)
        return;
    text_put(t, noun(p));
}

static bool all_capitals(const char *s) {
    bool letter = false;
    for (; *s; s++) {
        if (*s >= 'a' && *s <= 'z')
            return false;
        letter = letter || (*s >= 'A' && *s <= 'Z');
    }
    return letter;
}

void part_sentence_name(const aircraft *a, int which, text *t) {
    size_t start = t->length;
    part_name(a, which, t);
    if (t->failed || t->length == start)
        return;
    char *s = t->data + start;
    // Only buses: their names are words; other labels in capitals are placards and stay as printed.
    bool lower = which >= 0 && a->parts[which].kind == KIND_BUS && all_capitals(s);
    for (size_t i = 1; lower && s[i]; i++)
        if (s[i] >= 'A' && s[i] <= 'Z')
            s[i] = (char)(s[i] - 'A' + 'a');
    if (s[0] >= 'a' && s[0] <= 'z')
        s[0] = (char)(s[0] - 'a' + 'A');
}

void words_figure(text *t, double value, int decimals, const char *sign) {
    double scale = 1;
    for (int i = 0; i < decimals; i++)
        scale *= 10;
    // What rounds to zero has no sign.
    if (value < 0 && -value * scale >= 0.5)
        text_put(t, "−");
    text_fixed(t, fabs(value), decimals);
    if (sign[0])
        text_all(t, " ", sign, NULL);
}

void words_signed(text *t, double value, int decimals, const char *sign) {
    double scale = 1;
    for (int i = 0; i < decimals; i++)
        scale *= 10;
    if (value > 0 && value * scale >= 0.5)
        text_char(t, '+');
    words_figure(t, value, decimals, sign);
}
