#include "study/shed.h"

#include <string.h>

#include "base/stable_sort.h"
#include "circuit/solver_state.h"
#include "study/hands.h"
#include "study/shed_state.h"
#include "timeline/run.h"

#define TOLERANCE  0.005  // volts
#define RESOLUTION 0.5    // seconds
#define LOOKS_ON   14400.0

typedef struct weighed {
    unsigned choice;
    shed_cost cost;
    double amps;
    bool takes;  // what must stay
} weighed;

// ---- one choice --------------------------------------------------------------------------------
void shed_choose(state *s, const shed_candidate *list, unsigned choice) {
    for (int i = 0; i < SHED_STEPS_MOST; i++)
        if (choice >> i & 1u)
            s->setting[list[i].part] = list[i].setting;
}

int shed_count_spares(const shed_question *q, const int *before, const int *after, int count,
                      int *bared, int *which) {
    int spares = 0;
    for (int i = 0; i < count; i++) {
        if (!q->must_stay[i] || before[i] > 0 || after[i] == 0)
            continue;
        if (which != NULL)
            which[spares] = i;
        spares++;
        *bared += q->needs_spare != NULL && q->needs_spare[i];
    }
    return spares;
}

// `spares`: as spares_count gives them before anything is switched off.
static bool weigh(solver *s, const shed_question *q, const moment *before, const int *spares,
                  state *now, const shed_candidate *list, weighed *w) {
    moment after;
    bool takes;
    state_copy(s->aircraft, &before->outcome->state, now);
    shed_choose(now, list, w->choice);
    w->cost = (shed_cost){.lost = -1};
    if (!moment_make(s, now, &after))
        return false;
    shed_count_losses(q, before, &after, &w->cost, &takes);
    w->amps = after.amps;
    w->takes = takes;
    const int *left = takes ? spares : spares_count(s, &after, q->must_stay);
    if (left != NULL)
        w->cost.spares =
            shed_count_spares(q, spares, left, s->aircraft->function_count, &w->cost.bared, NULL);
    for (int i = 0; i < SHED_STEPS_MOST; i++) {
        w->cost.steps += (int)(w->choice >> i & 1u);
        w->cost.breakers += w->choice >> i & 1u && list[i].breaker;
    }
    moment_free(&after);
    return left != NULL;
}

// The moment after the loss, and what has a spare in it.
static const int *first_spares(solver *s, const shed_question *q, const state *now,
                               moment *before) {
    return moment_make(s, now, before) ? spares_count(s, before, q->must_stay) : NULL;
}

bool shed_weigh(solver *s, const shed_question *q, const shed_candidate *list, unsigned choice,
                shed_cost *cost, double *amps) {
    arena m = arena_make(s->allocator);
    state *now = moment_after_loss(s, q->asked, &m);
    moment before = {0};
    weighed w = {.choice = choice, .takes = true};
    const int *spares = now != NULL ? first_spares(s, q, now, &before) : NULL;
    bool good = spares != NULL && weigh(s, q, &before, spares, now, list, &w);
    *cost = w.cost;
    *amps = w.amps;
    moment_free(&before);
    arena_free(&m);
    return good && !w.takes;
}

static status endure(solver *s, const shed_question *q, const shed_candidate *list, unsigned choice,
                     arena *m, endurance *out) {
    const aircraft *a = s->aircraft;
    state after = {.setting = arena_new(m, (size_t)a->part_count + 1, sizeof(double))};
    if (after.setting == NULL)
        return STATUS_NO_MEMORY;
    state_copy(a, q->asked, &after);
    shed_choose(&after, list, choice);
    endurance_question e = {.asked = q->asked,
                            .after = choice ? &after : NULL,
                            .noticed = q->noticed,
                            .lasts = q->needed > LOOKS_ON ? q->needed : LOOKS_ON,
                            .must_stay = q->must_stay};
    return endurance_find(s, &e, m, out);
}

// What fails, what is switched off, and what is done with the reserve.
static const happening *all_happenings(const aircraft *a, const shed_question *q,
                                       const endurance_question *e, const shed_candidate *list,
                                       unsigned choice, arena *m, int *count) {
    const happening *first = endurance_happenings(a, e, m, count);
    if (first == NULL || q->reserve == NULL)
        return first;
    happening *all = arena_new(m, (size_t)*count + SHED_RESERVE_EVENTS, sizeof *all);
    if (all == NULL)
        return NULL;
    memcpy(all, first, (size_t)*count * sizeof *all);
    *count += shed_reserve_events(q, list, choice, all + *count);
    return all;
}

static bool goes(const shed_question *q, const endurance_times *t, int function) {
    double reduced = t->reduced[function];
    return t->functions[function] >= 0 || (reduced >= 0 && reduced < shed_reserve_moves_at(q));
}

bool shed_lasts(solver *s, const shed_question *q, const shed_candidate *list, unsigned choice,
                bool *lasts) {
    const aircraft *a = s->aircraft;
    arena m = arena_make(s->allocator);
    size_t parts = (size_t)a->part_count + 1;
    state after = {.setting = arena_new(&m, parts, sizeof(double))};
    state from = {.setting = arena_new(&m, parts, sizeof(double))};
    endurance_question e = {.asked = q->asked,
                            .after = choice ? &after : NULL,
                            .noticed = q->noticed,
                            .lasts = q->needed,
                            .must_stay = q->must_stay};
    endurance found;
    bool in_hand = true;
    bool good = !m.failed && endurance_make(a, &e, &m, &found) &&
                (q->reserve == NULL || shed_reserve_works(s, q, list, choice, &m, &in_hand));
    *lasts = false;
    if (good && in_hand) {
        state_copy(a, q->asked, &after);
        shed_choose(&after, list, choice);
        state_copy(a, q->asked, &from);
        from.fault_count = 0;
        int count;
        const happening *happenings = all_happenings(a, q, &e, list, choice, &m, &count);
        endurance_flight f = {.solver = s,
                              .from = &from,
                              .health = endurance_assumed[ENDURANCE_LOW].health,
                              .pessimistic = endurance_assumed[ENDURANCE_LOW].pessimistic,
                              .tolerance = TOLERANCE,
                              .resolution = RESOLUTION,
                              .cycles = true};
        good = happenings != NULL &&
               endurance_fly(&f, happenings, count, ENDURANCE_LOW, &found) == STATUS_OK;
    }
    *lasts = good && in_hand;
    for (int i = 0; i < a->function_count && *lasts; i++)
        if (q->must_stay[i] && found.function_counts[i])
            *lasts = !goes(q, &found.of[ENDURANCE_LOW], i);
    arena_free(&m);
    return good;
}

// ---- the best choice ---------------------------------------------------------------------------
static int by_cost(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const weighed *x = a, *y = b;
    int first[] = {x->cost.bared,  x->cost.lost,     x->cost.reduced,
                   x->cost.spares, x->cost.breakers, x->cost.steps};
    int second[] = {y->cost.bared,  y->cost.lost,     y->cost.reduced,
                    y->cost.spares, y->cost.breakers, y->cost.steps};
    for (int i = 0; i < 6; i++)
        if (first[i] != second[i])
            return first[i] - second[i];
    return x->amps < y->amps ? -1 : x->amps > y->amps;
}

// The first in order of cost that lasts. What draws as much as something that didn't last doesn't
// either, so few are run.
static bool search(solver *s, const shed_question *q, const shed_candidate *list, int count,
                   arena *m, unsigned *best, bool *found) {
    unsigned choices = 1u << count;
    int kept = 0;
    weighed *all = arena_new(m, choices, sizeof *all);
    weighed *scratch = arena_new(m, choices, sizeof *scratch);
    if (m->failed)
        return false;
    state *now = moment_after_loss(s, q->asked, m);
    moment before = {0};
    const int *spares = now != NULL ? first_spares(s, q, now, &before) : NULL;
    bool good = spares != NULL;
    for (unsigned c = 0; c < choices && good; c++) {
        weighed w = {.choice = c};
        good = weigh(s, q, &before, spares, now, list, &w);
        if (!w.takes)
            all[kept++] = w;
    }
    moment_free(&before);
    if (!good)
        return false;
    stable_sort(all, (size_t)kept, sizeof *all, scratch, by_cost, NULL);
    double too_much = 1e300, least = 1e300;
    *found = false;
    for (int i = 0; i < kept && !*found; i++) {
        if (all[i].amps >= too_much)
            continue;
        if (!shed_lasts(s, q, list, all[i].choice, found))
            return false;
        if (!*found)
            too_much = all[i].amps;
        // The nearest takes no spare that should stay: it doesn't last anyway.
        bool nearer = all[i].amps < least && all[i].cost.bared == all[0].cost.bared;
        if (*found || nearer) {
            least = all[i].amps;
            *best = all[i].choice;
        }
    }
    return true;
}

// ---- told step by step -------------------------------------------------------------------------
// Switches before breakers; what takes no function before what takes one; what saves most.
static int by_order(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const shed_candidate *x = a, *y = b;
    if (x->breaker != y->breaker)
        return x->breaker ? 1 : -1;
    if (x->lost != y->lost)
        return x->lost - y->lost;
    if (x->reduced != y->reduced)
        return x->reduced - y->reduced;
    return x->saves > y->saves ? -1 : x->saves < y->saves;
}

static bool list_changes(const moment *before, const moment *after, arena *m, shed_step *step) {
    const aircraft *a = before->outcome->aircraft;
    int *loses = arena_new(m, (size_t)a->function_count + 1, sizeof *loses);
    int *items = arena_new(m, (size_t)a->part_count + 1, sizeof *items);
    if (loses == NULL || items == NULL)
        return false;
    for (int i = 0; i < a->function_count; i++)
        if (after->functions[i] > before->functions[i])
            loses[step->lose_count++] = i;
    for (int i = 0; i < a->part_count; i++) {
        item_status x = before->outcome->parts[i].status, y = after->outcome->parts[i].status;
        if ((x == ITEM_ON || x == ITEM_WEAK) && (y == ITEM_OFF || y == ITEM_UNUSED))
            items[step->item_count++] = i;
    }
    step->loses = loses;
    step->items = items;
    return true;
}

// One step told: what changes by it, and what has a spare no longer.
static bool tell_step(const shed_question *q, const shed_candidate *c, const moment *before,
                      const moment *after, const int *spares, const int *left, arena *m,
                      shed *out) {
    int functions = before->outcome->aircraft->function_count, bared = 0;
    shed_step *step = &out->steps[out->step_count++];
    int *bares = arena_new(m, (size_t)functions + 1, sizeof *bares);
    *step = (shed_step){.part = c->part,
                        .setting = c->setting,
                        .saves = before->amps - after->amps,
                        .bares = bares};
    if (bares == NULL)
        return false;
    step->bare_count = shed_count_spares(q, spares, left, functions, &bared, bares);
    out->amps_after = after->amps;
    return list_changes(before, after, m, step);
}

// The next step: the first in order that takes no spare, else the first. False: no memory.
static bool next_step(solver *s, const shed_question *q, const int *spares, state *now,
                      const shed_candidate *chosen, int count, int *next) {
    *next = 0;
    int least = 0;
    for (int i = 0; i < count; i++) {
        moment after;
        int bared = 0, taken = 1;
        double was = now->setting[chosen[i].part];
        now->setting[chosen[i].part] = chosen[i].setting;
        if (!moment_make(s, now, &after))
            return false;
        now->setting[chosen[i].part] = was;
        const int *left = spares_count(s, &after, q->must_stay);
        if (left != NULL)
            taken = shed_count_spares(q, spares, left, s->aircraft->function_count, &bared, NULL);
        moment_free(&after);
        if (left == NULL)
            return false;
        if (i == 0 || taken < least) {
            least = taken;
            *next = i;
        }
        if (taken == 0)
            return true;
    }
    return true;
}

static bool tell_in_order(solver *s, const shed_question *q, shed_candidate *chosen, int count,
                          state *now, arena *m, shed *out) {
    moment before = {0};
    const int *spares = first_spares(s, q, now, &before);
    bool good = spares != NULL;
    out->amps = out->amps_after = before.amps;
    while (count > 0 && good) {
        int next;
        moment after = {0};
        good = next_step(s, q, spares, now, chosen, count, &next);
        if (!good)
            break;
        now->setting[chosen[next].part] = chosen[next].setting;
        const int *left = first_spares(s, q, now, &after);
        good = left != NULL && tell_step(q, &chosen[next], &before, &after, spares, left, m, out);
        moment_free(&before);
        before = after;
        spares = left;
        count--;
        memmove(&chosen[next], &chosen[next + 1], (size_t)(count - next) * sizeof *chosen);
    }
    moment_free(&before);
    return good;
}

static bool tell_steps(solver *s, const shed_question *q, const shed_candidate *list,
                       unsigned choice, arena *m, shed *out) {
    shed_candidate chosen[SHED_STEPS_MOST];
    int count = 0;
    for (int i = 0; i < SHED_STEPS_MOST; i++)
        if (choice >> i & 1u)
            chosen[count++] = list[i];
    stable_sort(chosen, (size_t)count, sizeof *chosen, NULL, by_order, NULL);
    state *now = moment_after_loss(s, q->asked, m);
    return now != NULL && tell_in_order(s, q, chosen, count, now, m, out);
}

// With the reserve in hand; where nothing lasts so, without it.
static bool search_twice(solver *s, const shed_question *q, const shed_candidate *list, arena *m,
                         unsigned *best, shed *out) {
    const shed_reserve *r = &out->reserve;
    shed_question with = *q, without = *q;
    unsigned other = 0;
    with.reserve = r->light || r->cycle_count > 0 ? r : NULL;
    without.reserve = NULL;
    if (!search(s, &with, list, out->candidates, m, best, &out->possible))
        return false;
    if (out->possible || with.reserve == NULL)
        return true;
    if (!search(s, &without, list, out->candidates, m, &other, &out->bare))
        return false;
    if (out->bare)
        *best = other;
    return true;
}

status shed_find(solver *s, const shed_question *q, arena *memory, shed *out) {
    shed_candidate list[SHED_STEPS_MOST];
    unsigned best = 0;
    memset(list, 0, sizeof list);
    *out = (shed){.needed = q->needed, .noticed = q->noticed};
    if (shed_reserve_find(s, q, memory, &out->reserve) != STATUS_OK)
        return STATUS_NO_MEMORY;
    out->candidates = shed_candidates(s, q, memory, list, &out->kept_back);
    if (out->candidates < 0 || !search_twice(s, q, list, memory, &best, out) ||
        !tell_steps(s, q, list, best, memory, out))
        return STATUS_NO_MEMORY;
    status found = endure(s, q, list, 0, memory, &out->plain);
    if (found == STATUS_OK)
        found = endure(s, q, list, best, memory, &out->after);
    endurance_question plain = {.asked = q->asked};
    return found == STATUS_OK ? hands_look(s, &plain, memory, &out->plain) : found;
}
