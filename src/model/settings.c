#include "model/settings.h"

#include <string.h>

static int named(const positions *places, const char *label) {
    for (int i = 0; i < places->count; i++) {
        if (strcmp(places->labels[i], label) == 0)
            return i;
    }
    return -1;
}

int settings_position(const positions *places, bool on) {
    int off = named(places, "OFF");
    if (!on)
        return off;
    int is_on = named(places, "ON");
    if (is_on >= 0)
        return is_on;
    // Two positions of which one is OFF: the other is on.
    return places->count == 2 && off >= 0 ? 1 - off : -1;
}

int settings_switch_position(const part *p, bool on) {
    const positions *places = part_positions(p);
    return places ? settings_position(places, on) : on;
}

static double first_or_off(const positions *places) {
    int off = named(places, "OFF");
    int at = off >= 0 ? off : 0;
    return places->sort == POSITIONS_PLACES ? places->figures[at] : at;
}

double settings_at_rest(const part *p) {
    const positions *places = part_positions(p);
    switch (p->kind) {
    case KIND_SWITCH:
        if (!places)
            return 0;
        return named(places, "OFF") >= 0 ? named(places, "OFF") : 0;
    case KIND_BREAKER: return !(p->fitted & FITTED_COLLARED) && !part_text(p, KEY_USED_AS);
    case KIND_FUSE:
    case KIND_LIMITER: return !(p->fitted & FITTED_COLLARED);
    default: return places ? first_or_off(places) : 0;
    }
}

bool settings_is_on(const part *p, double setting) {
    const positions *places = part_positions(p);
    if (p->kind == KIND_SWITCH && places) {
        int off = named(places, "OFF");
        return off < 0 || (int)setting != off;
    }
    return setting > 0;
}

// `yes`; `X to Y`; `to Y`, from all others.
const char *settings_springs_to(const part *p, double setting) {
    const char *spring = part_text(p, KEY_SPRINGS_BACK);
    const positions *places = part_positions(p);
    if (!spring)
        return NULL;
    if (strcmp(spring, "yes") == 0)
        return settings_is_on(p, setting) ? "" : NULL;
    const char *here = places ? places->labels[(int)setting] : setting > 0 ? "ON" : "OFF";
    if (strncmp(spring, "to ", 3) == 0)
        return strcmp(spring + 3, here) == 0 ? NULL : spring + 3;
    size_t length = strlen(here);
    bool from_here = strncmp(spring, here, length) == 0 && strncmp(spring + length, " to ", 4) == 0;
    return from_here ? spring + length + 4 : NULL;
}
