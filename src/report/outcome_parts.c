#include "report/outcome_parts.h"

#include <string.h>

#include "model/part_words.h"

const char caution_reset[] =
    "A breaker that opened stays out, and a fuse isn't replaced in flight, "
    "unless the approved handbook says otherwise.";
const char caution_heat[] =
    "Wire heating: bolted shorts and overloads only. Arcing isn't modelled, and "
    "a breaker may not see it.";
const char caution_smoke[] =
    "Smoke, a smell, heat or noise ends every diagnosis: the handbook's fire "
    "procedure, then land.";

static void say_share(double share, text *t) { words_figure(t, share * 100, 0, "%"); }

static void say_setting(const outcome *o, int which, text *t) {
    const part *p = &o->aircraft->parts[which];
    double value = o->state.setting[which];
    const positions *list = part_positions(p);
    bool indexed = list && (p->kind == KIND_SWITCH || list->sort == POSITIONS_SETTINGS);
    int at = (int)value;
    if (indexed && at >= 0 && at < list->count) {
        text_all(t, " at ", list->labels[at], NULL);
    } else if (p->kind == KIND_ENGINE) {
        if (value > 0) {
            text_put(t, " at ");
            words_figure(t, value, 0, "rpm");
        } else {
            text_put(t, value < 0 ? " windmilling" : " stopped");
        }
    } else if (p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER) {
        text_put(t, value != 0 ? " in" : " out");
    } else if (p->kind == KIND_DIMMER || (value > 0 && value < 1) || p->kind == KIND_MECHANISM) {
        text_put(t, " at ");
        say_share(value, t);
    } else {
        text_put(t, value != 0 ? " on" : " off");
    }
}

static void say_flag(bool now, bool normal, const char *yes, const char *no, const char **join,
                     text *t) {
    if (now == normal)
        return;
    text_all(t, *join, now ? yes : no, NULL);
    *join = "; ";
}

static void say_conditions(const outcome *o, const char **join, text *t) {
    const phase *p = &o->aircraft->phases[o->state.phase];
    const state *s = &o->state;
    say_flag(s->airborne, p->airborne, "airborne", "on the ground", join, t);
    say_flag(s->night, p->night, "night", "day", join, t);
    say_flag(s->cloud, p->cloud, "in cloud", "out of cloud", join, t);
    say_flag(s->icing, p->icing, "icing", "no icing", join, t);
    say_flag(s->stall_near, p->stall_near, "near the stall", "not near the stall", join, t);
    if (s->throttle != p->throttle) {
        text_all(t, *join, "throttle ", NULL);
        say_share(s->throttle, t);
        *join = "; ";
    }
    if (s->airspeed != p->airspeed) {
        text_all(t, *join, "airspeed ", NULL);
        words_figure(t, s->airspeed, 0, "kt");
        *join = "; ";
    }
    if (s->temperature != p->temperature) {
        text_put(t, *join);
        words_figure(t, s->temperature, 0, "°C");
        *join = "; ";
    }
    if (s->charge >= 0) {
        text_all(t, *join, "batteries charged to ", NULL);
        say_share(s->charge, t);
        *join = "; ";
    }
}

static void fault_words(fault_kind k, text *t) {
    for (const char *s = fault_word(k); *s; s++)
        text_char(t, *s == '-' ? ' ' : *s);
}

void outcome_deviations(const outcome *o, text *t) {
    const char *join = "";
    for (int i = 0; i < o->state.fault_count; i++) {
        text_put(t, join);
        part_name(o->aircraft, o->state.faults[i].part, t);
        text_char(t, ' ');
        fault_words(o->state.faults[i].kind, t);
        join = "; ";
    }
    const phase *p = &o->aircraft->phases[o->state.phase];
    for (int i = 0; i < o->aircraft->part_count; i++) {
        bool second_pole = part_id(&o->aircraft->parts[i], KEY_MOVES_WITH) >= 0;
        if (o->state.setting[i] == p->setting[i] || second_pole)
            continue;
        text_put(t, join);
        part_name(o->aircraft, i, t);
        say_setting(o, i, t);
        join = "; ";
    }
    say_conditions(o, &join, t);
}

void assumed_words(const int counts[BASIS_MEASURED + 1], text *t) {
    int total = 0;
    for (int i = 0; i <= BASIS_MEASURED; i++)
        total += counts[i];
    text_put(t, "Of the ");
    text_int(t, total);
    text_put(t, total == 1 ? " figure behind this " : " figures behind this ");
    text_int(t, counts[BASIS_ASSUMED]);
    text_put(t, counts[BASIS_ASSUMED] == 1 ? " is assumed, " : " are assumed, ");
    text_int(t, counts[BASIS_GUESS]);
    text_put(t, " guessed.");
}

void handbook_page(const part *p, text *t) {
    const char *page = part_text(p, KEY_HANDBOOK);
    if (page)
        text_put_n(t, page, strcspn(page, " ,"));
}

void place_words(const part *p, text *t) {
    if (p->panel && p->panel[0])
        text_put(t, p->panel);
    if (p->row > 0) {
        text_put(t, p->panel && p->panel[0] ? " row " : "row ");
        text_int(t, p->row);
    }
    if (p->number > 0) {
        text_put(t, p->row > 0 || (p->panel && p->panel[0]) ? " no " : "no ");
        text_int(t, p->number);
    }
}

bool outcome_heats_wires(const outcome *o) {
    if (o->trip_count > 0)
        return true;
    for (int i = 0; i < o->aircraft->part_count; i++)
        if (o->parts[i].may_trip)
            return true;
    for (int i = 0; i < o->state.fault_count; i++) {
        fault_kind k = o->state.faults[i].kind;
        if (k == FAULT_SHORT || k == FAULT_OVERLOAD || k == FAULT_STUCK)
            return true;
    }
    return false;
}

bool outcome_any_trouble(const outcome *o) {
    if (o->state.fault_count > 0 || o->trip_count > 0 || o->settled != OUTCOME_SETTLED)
        return true;
    for (int i = 0; i < o->aircraft->part_count; i++) {
        const part_outcome *p = &o->parts[i];
        if (p->may_trip || (p->status != p->base_status && p->status != ITEM_ON))
            return true;
    }
    return false;
}

int outcome_basis_total(const outcome *o) {
    int total = 0;
    for (int i = 0; i <= BASIS_MEASURED; i++)
        total += o->basis[i];
    return total;
}
