// Watches of a scenario on one end of a step.
#include "timeline/scenario_player.h"

static bool status_holds(const scenario_watch *w, const run_probe *at, int rule) {
    int status = rule >= 0 ? at->items[rule].status : ITEM_NONE;
    if (w->status == ITEM_WEAK)
        return status == ITEM_WEAK || status == ITEM_OFF;
    if (w->status == ITEM_ON)  // as in the conditions of an aircraft file
        return status == ITEM_ON || status == ITEM_WEAK;
    return status == w->status;
}

static bool compare(const scenario_watch *w, double x) {
    return w->below ? x < w->value : x > w->value;
}

bool player_contact_closed(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    if (m->path >= 0 && element_siemens(s, m->path) > 0)
        return true;
    const positions *list = part_positions(&s->made->aircraft->parts[part]);
    for (int i = 0; m->throws != NULL && i < (list != NULL ? list->count : 2); i++)
        if (m->throws[i] >= 0 && element_siemens(s, m->throws[i]) > 0)
            return true;
    return false;
}

static bool holds(const scenario_watch *w, const run_probe *at) {
    const settled_state *s = at->settled;
    const struct verdict *v = s->made->verdict;
    int rule = w->part >= 0 ? v->rule_of[w->part] : NOWHERE;
    switch (w->op) {
    case WATCH_LIT: return rule >= 0 && at->lit[rule];
    case WATCH_DARK: return rule >= 0 && !at->lit[rule];
    case WATCH_STATUS: return status_holds(w, at, rule);
    case WATCH_FUNCTION:
        return w->status == FUNCTION_REDUCED ? at->functions[w->function] >= FUNCTION_REDUCED
                                             : at->functions[w->function] == w->status;
    case WATCH_TRIPPED: {
        int breaker = s->made->maps[w->part].breaker;
        return breaker >= 0 && at->tripped[breaker];
    }
    case WATCH_OPEN: return !player_contact_closed(s, w->part);
    case WATCH_CLOSED: return player_contact_closed(s, w->part);
    case WATCH_VOLTS: return compare(w, part_volts(s, w->part));
    case WATCH_AMPS: return compare(w, part_amps(s, w->part));
    case WATCH_CHARGE:
    case WATCH_EXHAUSTED: break;
    }
    for (int i = 0; i < at->battery_count; i++) {
        if (at->batteries[i].part != w->part)
            continue;
        const battery_model *m = &at->batteries[i].model;
        return w->op == WATCH_EXHAUSTED ? battery_exhausted(m, at->charges[i])
                                        : compare(w, battery_fraction(m, at->charges[i]));
    }
    return false;
}

void player_watch(void *ctx, const run_probe *at, uint8_t *watches) {
    const player *p = ctx;
    for (int i = 0; i < p->scenario->watch_count; i++)
        watches[i] = holds(&p->scenario->watches[i], at);
}
