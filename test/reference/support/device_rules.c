#include "reference/support/device_rules.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "reference/support/plain_elements.h"

#define SLACK 1e-5  // of volts and amps: both solvers' last digits, far below every dead band

static void rule(rule_report *r, const rule_context *x, bool kept, int part, const char *what,
                 double value) {
    r->checked++;
    if (kept)
        return;
    if (r->broken < BROKEN_MOST)
        r->list[r->broken] = r->now;
    if (r->broken++ > 0)
        return;
    snprintf(r->first, sizeof r->first, "%s: %s at %.9g",
             part >= 0 ? x->n->aircraft->parts[part].id : "-", what, value);
}

static double volts_at(const rule_context *x, int point) {
    return point > 0 ? x->answer->volts[plain_root(x->n, point)] : 0;
}

static double across(const rule_context *x, int part, point_name a, point_name b) {
    return volts_at(x, plain_point(x->n, part, a, 0)) - volts_at(x, plain_point(x->n, part, b, 0));
}

static double amps_of(const rule_context *x, int part, element_use use) {
    double amps = 0;
    for (int i = 0; i < x->n->element_count; i++) {
        const plain_element *e = &x->n->elements[i];
        if (e->part == part && (e->use == use || (use == USE_PATH && e->use == USE_THROW)))
            amps += x->answer->amps[i];
    }
    return amps;
}

// ---- conditions ---------------------------------------------------------------------------------
// Amps through a part, signed as the format says: sources out of the output.
static double part_current(const rule_context *x, int part) {
    switch (kind_class(x->n->aircraft->parts[part].kind)) {
    case CLASS_SOURCE:
        return -amps_of(x, part, USE_SOURCE) - amps_of(x, part, USE_OVERCHARGE) -
               amps_of(x, part, USE_BACK);
    case CLASS_ITEM: return amps_of(x, part, USE_WIRE);
    case CLASS_UNIT:
        return amps_of(x, part,
                       x->n->aircraft->parts[part].kind == KIND_REGULATOR ? USE_PATH : USE_WIRE);
    default:
        return amps_of(x, part,
                       x->n->aircraft->parts[part].kind == KIND_DIODE ? USE_DIODE : USE_PATH);
    }
}

static double reference_volts(const rule_context *x, const reference *r) {
    if (r->part >= 0 && r->terminal == TERMINAL_SELF) {
        part_kind k = x->n->aircraft->parts[r->part].kind;
        if (kind_class(k) == CLASS_ITEM)
            return across(x, r->part, POINT_INSIDE, POINT_FAR);
        bool opens = part_condition(&x->n->aircraft->parts[r->part], KEY_OPENS_WHEN) >= 0;
        if (k == KIND_BATTERY)
            return across(x, r->part, opens ? POINT_INSIDE : POINT_FAR, POINT_NEAR);
    }
    return volts_at(x, plain_reference(x->n, r));
}

static double compared(const rule_context *x, const condition *c) {
    if (c->op == CONDITION_AMPS)
        return part_current(x, c->ref.part);
    double v = reference_volts(x, &c->ref);
    return c->op == CONDITION_DIFFER ? v - volts_at(x, plain_reference(x->n, &c->other)) : v;
}

// Past its threshold a comparison holds; it ends when the value is back by more than the dead band
// (1 %, at least 0.1; none in a latch, whose two halves are one).
static void comparison(rule_report *r, const rule_context *x, int index, bool in_latch) {
    const condition *c = &x->n->aircraft->conditions[index];
    double sign = c->below ? -1 : 1, q = sign * compared(x, c);
    double set = c->op == CONDITION_DIFFER ? c->value : sign * c->value;  // a distance has no side
    double band = in_latch ? 0 : fmax(0.01 * fabs(c->value), 0.1);
    bool on = x->m->condition[index];
    rule(r, x, on ? q > set - band - SLACK : q < set + SLACK, c->ref.part,
         on ? "condition holds" : "condition doesn't hold", sign * q);
}

static void latch(rule_report *r, const rule_context *x, const condition *c, bool on, double supply,
                  bool supplied) {
    bool set = x->m->condition[c->a], reset = x->m->condition[c->b];
    if (reset || (supplied && supply < 1 - SLACK))
        rule(r, x, !on, -1, "latch is set though it is ended", supply);
    else if (set && !(supplied && supply < 1 + SLACK))
        rule(r, x, on, -1, "latch isn't set though its first half holds", supply);
}

typedef struct walk {
    rule_report *r;
    const rule_context *x;
    int part;
    bool in_latch;
} walk;

// The latch of a part with a supply of its own ends with that supply.
static void walk_latch(walk *w, const condition *c, bool on) {
    const part *p = &w->x->n->aircraft->parts[w->part];
    part_class class = kind_class(p->kind);
    bool supplied = (class == CLASS_ITEM || class == CLASS_UNIT) && part_references(p, KEY_FROM);
    double supply = volts_at(w->x, plain_point(w->x->n, w->part, POINT_NEAR, 0));
    latch(w->r, w->x, c, on, supply, supplied);
}

static void walk_condition(walk *w, int index) {
    const condition *c = &w->x->n->aircraft->conditions[index];
    const uint8_t *truth = w->x->m->condition;
    bool compares =
        c->op == CONDITION_VOLTS || c->op == CONDITION_AMPS || c->op == CONDITION_DIFFER;
    w->r->now = (broken_rule){compares ? 2 : c->op == CONDITION_LATCH ? 3 : 0, w->part, index};
    bool on = truth[index], was = w->in_latch;
    switch (c->op) {
    case CONDITION_VOLTS:
    case CONDITION_AMPS:
    case CONDITION_DIFFER: comparison(w->r, w->x, index, w->in_latch); return;
    case CONDITION_AND:
    case CONDITION_OR: {
        bool both = c->op == CONDITION_AND;
        bool want = both ? truth[c->a] && truth[c->b] : truth[c->a] || truth[c->b];
        rule(w->r, w->x, on == want, w->part, "and / or", on);
        break;
    }
    case CONDITION_NOT: rule(w->r, w->x, on != truth[c->a], w->part, "not", on); break;
    case CONDITION_FOR: rule(w->r, w->x, on == truth[c->a], w->part, "for", on); break;
    case CONDITION_LATCH:
        walk_latch(w, c, on);
        w->in_latch = true;
        break;
    case CONDITION_AIRBORNE:
        rule(w->r, w->x, on == w->x->s->airborne, w->part, "airborne", on);
        return;
    case CONDITION_STALL_NEAR:
        rule(w->r, w->x, on == w->x->s->stall_near, w->part, "stall-near", on);
        return;
    case CONDITION_ICING: rule(w->r, w->x, on == w->x->s->icing, w->part, "icing", on); return;
    default: return;
    }
    if (c->a >= 0)
        walk_condition(w, c->a);
    if (c->b >= 0)
        walk_condition(w, c->b);
    w->in_latch = was;
}

// ---- devices ------------------------------------------------------------------------------------
static double usual_volts(const rule_context *x, double at28, double at14) {
    return aircraft_is_28(x->n->aircraft) ? at28 : at14;
}

static void relay(rule_report *r, const rule_context *x, int part) {
    const struct part *p = &x->n->aircraft->parts[part];
    bool on = x->m->of[part].energized;
    int opens = part_condition(p, KEY_OPENS_WHEN);
    int c = opens >= 0 ? opens : part_condition(p, KEY_CLOSES_WHEN);
    bool asked = c < 0 || x->m->condition[c];
    if (!part_references(p, KEY_COIL_FROM)) {
        rule(r, x, on == asked, part, "relay by its condition", on);
        return;
    }
    const aircraft *a = x->n->aircraft;
    double v = across(x, part, POINT_COIL, POINT_COIL_END);
    bool broken = plain_faulted(a, x->s, part, FAULT_COIL_OPEN) ||
                  plain_faulted(a, x->s, part, FAULT_STUCK_OPEN);
    if (on) {
        rule(r, x, asked && !broken, part, "relay is energized", v);
        rule(r, x, v > part_number(p, KEY_DROPS_OUT, usual_volts(x, 6, 3)) - SLACK, part,
             "coil holds", v);
    } else if (asked && !broken) {
        rule(r, x, v < part_number(p, KEY_PULLS_IN, usual_volts(x, 17, 8.5)) + SLACK, part,
             "coil rests", v);
    }
}

static void machine(rule_report *r, const rule_context *x, int part) {
    const struct part *p = &x->n->aircraft->parts[part];
    bool generator = p->kind == KIND_GENERATOR, on = x->m->of[part].excited;
    const char *without = part_text(p, KEY_WITHOUT_FIELD);
    bool goes_on = without && strcmp(without, "goes on") == 0;
    double v = across(x, part, POINT_FIELD, POINT_FIELD_END);
    double starts = generator ? 0.5 : usual_volts(x, 12, 6),
           stays = generator ? 0.3 : usual_volts(x, 6, 3);
    int by = part_id(p, KEY_TURNED_BY);
    bool turning = by < 0 || x->n->aircraft->parts[by].kind != KIND_ENGINE || x->m->of[by].turning;
    bool dead = plain_faulted(x->n->aircraft, x->s, part, FAULT_DEAD) ||
                plain_faulted(x->n->aircraft, x->s, part, FAULT_OPEN);
    if (on) {
        rule(r, x, turning && !dead, part, "excited", v);
        rule(r, x, goes_on || v > stays - SLACK, part, "field holds", v);
    } else if (turning && !dead) {
        rule(r, x, v < starts + SLACK, part, "field rests", v);
    }
}

static void breaker(rule_report *r, const rule_context *x, int part) {
    const aircraft *a = x->n->aircraft;
    double rating = part_number(&a->parts[part], KEY_VALUE, 5);
    if (plain_faulted(a, x->s, part, FAULT_TRIPS_EARLY))
        rating *= 0.5;  // choice
    if (plain_faulted(a, x->s, part, FAULT_STUCK))
        return;
    double amps = fabs(amps_of(x, part, USE_PATH));
    rule(r, x, amps <= 1.38 * rating + SLACK, part, "breaker carries", amps);
}

// A constant-power load that runs has the volts for it; one that dropped out can't start again.
static void watts(rule_report *r, const rule_context *x, int part) {
    const aircraft *a = x->n->aircraft;
    double off = plain_dropout(a, part), v = fabs(across(x, part, POINT_INSIDE, POINT_FAR));
    if (x->m->of[part].dropped) {
        rule(r, x, x->collapsed || v < off * 19 / 18 + SLACK, part, "dropped out", v);
        return;
    }
    for (int i = 0; i < x->n->element_count; i++) {
        const plain_element *e = &x->n->elements[i];
        if (e->part == part && e->law == LAW_WATTS)
            rule(r, x, v > off - SLACK, part, "runs", v);
    }
}

// A piecewise part is on the piece that its volts ask for: its amps are what its own law says.
static void pieces(rule_report *r, const rule_context *x) {
    for (int i = 0; i < x->n->element_count; i++) {
        const plain_element *e = &x->n->elements[i];
        if (e->law != LAW_CLAMP)
            continue;
        double v = x->answer->volts[e->a] - x->answer->volts[e->b];
        double want = fmin(fmax((v - e->volts) * e->siemens, -e->out), e->in);
        double got = x->answer->amps[i];
        rule(r, x, fabs(got - want) <= 1e-6 + 1e-5 * fabs(want), e->part, "piece carries", got);
    }
}

rule_report device_rules(const rule_context *x) {
    rule_report r = {0};
    const aircraft *a = x->n->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        int level = kind_class(p->kind) == CLASS_ITEM || p->kind == KIND_CONVERTER ? 1
                    : p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER
                        ? 4
                        : 2;
        r.now = (broken_rule){level, i, -1};
        switch (p->kind) {
        case KIND_RELAY:
        case KIND_CONTACTOR: relay(&r, x, i); break;
        case KIND_ALTERNATOR:
        case KIND_GENERATOR: machine(&r, x, i); break;
        case KIND_BREAKER:
        case KIND_FUSE:
        case KIND_LIMITER: breaker(&r, x, i); break;
        default:
            if (kind_class(p->kind) == CLASS_ITEM || p->kind == KIND_CONVERTER)
                watts(&r, x, i);
        }
        const part_key KEYS[] = {KEY_CLOSES_WHEN, KEY_OPENS_WHEN,   KEY_TRIPS_WHEN, KEY_RUNS_WHEN,
                                 KEY_LIT_WHEN,    KEY_FLASHES_WHEN, KEY_SOUNDS_WHEN};
        for (int k = 0; k < 7; k++) {
            walk w = {.r = &r, .x = x, .part = i};
            int c = part_condition(p, KEYS[k]);
            if (c >= 0)
                walk_condition(&w, c);
        }
    }
    r.now = (broken_rule){0, -1, -1};
    pieces(&r, x);
    return r;
}
