// Which hands may be offered, by what each does.
#include <math.h>

#include "base/stable_sort.h"
#include "base/text.h"
#include "circuit/solver_state.h"
#include "model/settings.h"
#include "study/hands.h"
#include "study/shed_state.h"

#define LEAST_SAVING 0.05  // amps

// ---- what is never offered ---------------------------------------------------------------------
static bool is_breaker(part_kind k) {
    return k == KIND_BREAKER || k == KIND_FUSE || k == KIND_LIMITER;
}

static bool used_as_switch(const part *p) {
    const char *use = part_text(p, KEY_USED_AS);
    return use != NULL && text_equal(use, "switch");
}

// A hand at the seat, on now, with a place that is off.
static bool within_reach(const part *p, double setting, double *off) {
    if (!p->hand || p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE | FITTED_SPARE))
        return false;
    *off = 0.0;
    if (is_breaker(p->kind))
        return setting > 0 && p->kind == KIND_BREAKER && p->reach == REACH_SEAT &&
               !(p->fitted & (FITTED_NO_PULL | FITTED_COLLARED));
    if (p->kind == KIND_DIMMER)
        return setting > 0;
    if (!settings_is_on(p, setting))
        return false;
    int place = settings_switch_position(p, false);
    if (p->kind == KIND_SWITCH && place < 0)
        return false;
    *off = p->kind == KIND_SWITCH ? place : 0.0;
    return !settings_is_on(p, *off);
}

// ---- by what hangs together --------------------------------------------------------------------
static bool leads_to(const part *p, int part) {
    const reference_list *to = part_references(p, KEY_TO);
    for (int i = 0; to != NULL && i < to->count; i++)
        if (to->items[i].part == part)
            return true;
    return false;
}

static void mark_above(const aircraft *a, int part, bool *never);

static void mark(const aircraft *a, int part, bool *never) {
    if (part < 0 || never[part])
        return;
    never[part] = true;
    mark_above(a, part, never);
}

static void mark_above(const aircraft *a, int part, bool *never) {
    const reference_list *from = part_references(&a->parts[part], KEY_FROM);
    for (int i = 0; from != NULL && i < from->count; i++)
        mark(a, from->items[i].part, never);
    for (int i = 0; i < a->part_count; i++)
        if (leads_to(&a->parts[i], part))
            mark(a, i, never);
}

static void mark_makers(const aircraft *a, int condition, bool *never) {
    if (condition < 0)
        return;
    const struct condition *c = &a->conditions[condition];
    if (c->op == CONDITION_PRESENT)
        for (int i = 0; i < a->supplies[c->supply].count; i++)
            mark_above(a, a->supplies[c->supply].makers[i], never);
    bool joins = c->op == CONDITION_AND || c->op == CONDITION_OR || c->op == CONDITION_NOT;
    if (joins)
        mark_makers(a, c->a, never);
    if (joins && c->op != CONDITION_NOT)
        mark_makers(a, c->b, never);
}

// Masters, whose other half follows, and all ways to what the engine needs.
static void mark_never(const aircraft *a, bool *never) {
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        int other = part_id(p, KEY_ONLY_WITH), pole = part_id(p, KEY_MOVES_WITH);
        if (other >= 0)
            never[other] = true;
        if (pole >= 0)
            never[pole] = never[i] = true;
        if (p->kind == KIND_IGNITION)
            mark_above(a, i, never);
        const part_value *needs = p->kind == KIND_ENGINE ? part_value_of(p, KEY_NEEDS) : NULL;
        for (int k = 0; needs != NULL && k < needs->as.conditions.count; k++)
            mark_makers(a, needs->as.conditions.items[k], never);
    }
}

// ---- by what it does ---------------------------------------------------------------------------
// It takes warnings, or leaves something to a battery of its own.
static bool blinds(const outcome *before, const outcome *after) {
    const aircraft *a = before->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        part_kind k = a->parts[i].kind;
        if ((k == KIND_LIGHT || k == KIND_SOUNDER) && hands_put_off(before, after, i))
            return true;
        if (part_value_of(&a->parts[i], KEY_OWN_BATTERY) != NULL &&
            before->parts[i].amps > LEAST_SAVING && after->parts[i].amps < 0.2 * LEAST_SAVING)
            return true;
    }
    return false;
}

// With the sources as they were before their loss: does it stop one?
static bool stops_source(solver *s, const shed_question *q, int part, double off, arena *m,
                         bool *stops) {
    const aircraft *a = s->aircraft;
    state whole = {.setting = arena_new(m, (size_t)a->part_count + 1, sizeof(double))};
    outcome *before = NULL, *after = NULL;
    if (whole.setting == NULL)
        return false;
    state_copy(a, q->asked, &whole);
    whole.fault_count = 0;
    bool good = solver_outcome(s, &whole, (outcome_options){0}, &before) == STATUS_OK;
    whole.setting[part] = off;
    good = good && solver_outcome(s, &whole, (outcome_options){0}, &after) == STATUS_OK;
    *stops = false;
    for (int i = 0; good && i < before->source_count && i < after->source_count; i++) {
        const source_outcome *x = &before->sources[i], *y = &after->sources[i];
        if (!x->battery && x->mode >= SOURCE_IDLE && y->mode < SOURCE_IDLE)
            *stops = true;
        if (!x->battery && x->joins_bus && !y->joins_bus)
            *stops = true;
    }
    outcome_free(before);
    outcome_free(after);
    return good;
}

void shed_count_losses(const shed_question *q, const moment *before, const moment *after,
                       shed_cost *cost, bool *takes) {
    cost->lost = cost->reduced = 0;
    *takes = false;
    for (int i = 0; i < before->outcome->aircraft->function_count; i++) {
        uint8_t x = before->functions[i], y = after->functions[i];
        if (y <= x)
            continue;
        cost->lost += y == FUNCTION_LOST;
        cost->reduced += y == FUNCTION_REDUCED;
        *takes = *takes || q->must_stay[i];
    }
}

// A source's switch may go off once the source is lost (its field draws on); its breakers may not.
static bool may_offer(solver *s, const shed_question *q, const shed_candidate *c,
                      const outcome *before, const outcome *after, arena *m, bool *may) {
    bool stops = false;
    *may = false;
    if (hands_isolate(before, after) || hands_starve(before, after) || blinds(before, after))
        return true;
    if (q->asked->cloud && hands_silence(before, after))
        return true;
    if (!stops_source(s, q, c->part, c->setting, m, &stops))
        return false;
    const part *p = &s->aircraft->parts[c->part];
    *may = !stops || (p->kind == KIND_SWITCH && q->asked->fault_count == 0);
    return true;
}

// ---- the list ----------------------------------------------------------------------------------
static int by_merit(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const shed_candidate *x = a, *y = b;
    int first = 2 * x->lost + x->reduced, second = 2 * y->lost + y->reduced;
    if ((first > 0) != (second > 0))
        return first > 0 ? 1 : -1;
    if (x->breaker != y->breaker)
        return x->breaker ? 1 : -1;
    return x->saves > y->saves ? -1 : x->saves < y->saves;
}

// A breaker whose item has a switch that does the same isn't offered beside it.
static bool repeats(const shed_candidate *list, int count, const shed_candidate *c) {
    for (int i = 0; i < count && c->breaker; i++)
        if (!list[i].breaker && fabs(list[i].saves - c->saves) < 1e-3 && list[i].lost == c->lost &&
            list[i].reduced == c->reduced)
            return true;
    return false;
}

static bool takes_light(const aircraft *a, const moment *before, const moment *after) {
    for (int i = 0; i < a->function_count; i++)
        if (text_equal(a->functions[i].name, "landing-light"))
            return after->functions[i] > before->functions[i];
    return false;
}

static bool look_at(solver *s, const shed_question *q, const moment *before, const state *now,
                    arena *m, shed_candidate *c, bool *may) {
    moment after;
    shed_cost cost;
    bool takes;
    if (!moment_make(s, now, &after))
        return false;
    const part *p = &s->aircraft->parts[c->part];
    c->saves = before->amps - after.amps;
    c->breaker = p->kind == KIND_BREAKER && !used_as_switch(p);
    shed_count_losses(q, before, &after, &cost, &takes);
    c->lost = cost.lost;
    c->reduced = cost.reduced;
    c->takes_light = takes_light(s->aircraft, before, &after);
    *may = false;
    bool good = takes || c->saves < LEAST_SAVING ||
                may_offer(s, q, c, before->outcome, after.outcome, m, may);
    moment_free(&after);
    return good;
}

static bool gather(solver *s, const shed_question *q, state *now, const moment *before, arena *m,
                   shed_candidate *all, int *count, int *kept_back) {
    bool *never = arena_new(m, (size_t)s->aircraft->part_count + 1, sizeof *never);
    if (never == NULL)
        return false;
    mark_never(s->aircraft, never);
    for (int i = 0; i < s->aircraft->part_count; i++) {
        shed_candidate c = {.part = i};
        double was = now->setting[i];
        bool may;
        if (!within_reach(&s->aircraft->parts[i], was, &c.setting))
            continue;
        if (never[i]) {
            ++*kept_back;
            continue;
        }
        now->setting[i] = c.setting;
        if (!look_at(s, q, before, now, m, &c, &may))
            return false;
        now->setting[i] = was;
        if (may)
            all[(*count)++] = c;
        else
            *kept_back += c.saves >= LEAST_SAVING;
    }
    return true;
}

int shed_candidates(solver *s, const shed_question *q, arena *memory,
                    shed_candidate list[SHED_STEPS_MOST], int *kept_back) {
    shed_candidate *all = arena_new(memory, (size_t)s->aircraft->part_count + 1, sizeof *all);
    state *now = moment_after_loss(s, q->asked, memory);
    moment before = {0};
    int count = 0, offered = 0;
    *kept_back = 0;
    bool good = all != NULL && now != NULL && moment_make(s, now, &before) &&
                gather(s, q, now, &before, memory, all, &count, kept_back);
    moment_free(&before);
    if (!good)
        return -1;
    stable_sort(all, (size_t)count, sizeof *all, NULL, by_merit, NULL);
    for (int i = 0; i < count && offered < SHED_STEPS_MOST; i++)
        if (!repeats(list, offered, &all[i]))
            list[offered++] = all[i];
    return offered;
}
