// Walking a condition: which of its leaves has changed since the base, and why.
#include "circuit/cause_walk.h"
#include "model/part_words.h"

static bool leaf_changed(const cause_walk *w, int index) {
    int s = w->now->made->condition_signal[index];
    return s >= 0 && signal_at(w->now, s) != signal_at(w->base, s);
}

static void walk_supply(cause_walk *w, int supply) {
    const struct supply *s = &w->now->made->aircraft->supplies[supply];
    bool any = false;
    for (int i = 0; i < s->count; i++)
        if (signal_at(w->now, w->now->made->maps[s->makers[i]].works))
            any = true;
    if (!any) {
        walk_say(w, NOWHERE, "there is no ");
        for (const char *c = s->name; *c != 0; c++)
            text_char(&w->said, *c == '-' ? ' ' : *c);
    }
    for (int i = 0; i < s->count && w->cause == NOWHERE; i++) {
        int works = w->now->made->maps[s->makers[i]].works;
        if (signal_at(w->base, works) && !signal_at(w->now, works))
            walk_part(w, s->makers[i]);
    }
}

// No part's doing: what the phase or whoever asks says of the flight.
static void say_outside(cause_walk *w, int index, bool held) {
    bool first = w->clauses == 0;
    text_put(&w->said, first ? "" : " (");
    text_put(&w->said, held ? "" : "not ");
    condition_words(w->now->made->aircraft, index, &w->said);
    text_put(&w->said, first ? "" : ")");
    w->clauses += first;
}

// `held`: the leaf is true now, or it was when it set a latch that still holds.
static void walk_leaf(cause_walk *w, int index, bool held) {
    const circuit *k = &w->now->made->circuit;
    const condition *c = &w->now->made->aircraft->conditions[index];
    switch (c->op) {
    case CONDITION_AIRBORNE:
    case CONDITION_NIGHT:
    case CONDITION_CLOUD:
    case CONDITION_ICING:
    case CONDITION_STALL_NEAR:
    case CONDITION_CHARGE:
    case CONDITION_THROTTLE:
    case CONDITION_AIRSPEED:
    case CONDITION_TEMPERATURE: say_outside(w, index, held); return;
    case CONDITION_PRESENT: walk_supply(w, c->supply); return;
    case CONDITION_VOLTS:
    case CONDITION_DIFFER: {
        if (c->ref.part < 0)
            return;
        const part_map *m = &w->now->made->maps[c->ref.part];
        int node = m->own >= 0 ? m->own : m->inner;
        if (node < 0 || node >= k->node_count)
            return;
        if (c->below == held) {
            walk_low_node(w, node);
        } else if (!w->base->live[node]) {
            walk_risen_node(w, node);
        } else {
            walk_high_source(w);
        }
        return;
    }
    default:
        if (c->ref.part < 0)
            return;
        if (kind_class(w->now->made->aircraft->parts[c->ref.part].kind) == CLASS_SOURCE)
            walk_outflow(w, w->now->made->maps[c->ref.part].to);  // cut off
        walk_part(w, c->ref.part);
        return;
    }
}

static void walk_either(cause_walk *w, int index, bool latched) {
    if (w->cause != NOWHERE || index < 0)
        return;
    const condition *c = &w->now->made->aircraft->conditions[index];
    int signal = w->now->made->condition_signal[index];
    switch (c->op) {
    case CONDITION_LATCH:
        walk_either(w, c->a, true);
        if (w->cause == NOWHERE && leaf_changed(w, c->b))
            walk_either(w, c->b, false);
        return;
    case CONDITION_AND:
    case CONDITION_OR:
        if (leaf_changed(w, c->a) || latched)
            walk_either(w, c->a, latched);
        if (w->cause == NOWHERE && (leaf_changed(w, c->b) || latched))
            walk_either(w, c->b, latched);
        return;
    case CONDITION_NOT:
    case CONDITION_FOR: walk_either(w, c->a, latched); return;
    default: walk_leaf(w, index, latched || (signal >= 0 && signal_at(w->now, signal))); return;
    }
}

void walk_condition(cause_walk *w, int index) { walk_either(w, index, false); }
