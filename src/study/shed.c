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
static void choose(state *s, const shed_candidate *list, unsigned choice) {
    for (int i = 0; i < SHED_STEPS_MOST; i++)
        if (choice >> i & 1u)
            s->setting[list[i].part] = list[i].setting;
}

static bool weigh(solver *s, const shed_question *q, const moment *before, state *now,
                  const shed_candidate *list, weighed *w) {
    moment after;
    bool takes;
    state_copy(s->aircraft, &before->outcome->state, now);
    choose(now, list, w->choice);
    w->cost = (shed_cost){.lost = -1};
    if (!moment_make(s, now, &after))
        return false;
    shed_count_losses(q, before, &after, &w->cost, &takes);
    w->amps = after.amps;
    w->takes = takes;
    for (int i = 0; i < SHED_STEPS_MOST; i++) {
        w->cost.steps += (int)(w->choice >> i & 1u);
        w->cost.breakers += w->choice >> i & 1u && list[i].breaker;
    }
    moment_free(&after);
    return true;
}

bool shed_weigh(solver *s, const shed_question *q, const shed_candidate *list, unsigned choice,
                shed_cost *cost, double *amps) {
    arena m = arena_make(s->allocator);
    state *now = moment_after_loss(s, q->asked, &m);
    moment before = {0};
    weighed w = {.choice = choice, .takes = true};
    bool good = now != NULL && moment_make(s, now, &before) && weigh(s, q, &before, now, list, &w);
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
    choose(&after, list, choice);
    endurance_question e = {.asked = q->asked,
                            .after = choice ? &after : NULL,
                            .noticed = q->noticed,
                            .lasts = q->needed > LOOKS_ON ? q->needed : LOOKS_ON,
                            .must_stay = q->must_stay};
    return endurance_find(s, &e, m, out);
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
    bool good = !m.failed && endurance_make(a, &e, &m, &found);
    if (good) {
        state_copy(a, q->asked, &after);
        choose(&after, list, choice);
        state_copy(a, q->asked, &from);
        from.fault_count = 0;
        int count;
        const happening *happenings = endurance_happenings(a, &e, &m, &count);
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
    *lasts = good;
    for (int i = 0; i < a->function_count && good; i++)
        if (q->must_stay[i] && found.function_counts[i] &&
            (found.of[ENDURANCE_LOW].reduced[i] >= 0 || found.of[ENDURANCE_LOW].functions[i] >= 0))
            *lasts = false;
    arena_free(&m);
    return good;
}

// ---- the best choice ---------------------------------------------------------------------------
static int by_cost(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const weighed *x = a, *y = b;
    int first[] = {x->cost.lost, x->cost.reduced, x->cost.breakers, x->cost.steps};
    int second[] = {y->cost.lost, y->cost.reduced, y->cost.breakers, y->cost.steps};
    for (int i = 0; i < 4; i++)
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
    bool good = now != NULL && moment_make(s, now, &before);
    for (unsigned c = 0; c < choices && good; c++) {
        weighed w = {.choice = c};
        good = weigh(s, q, &before, now, list, &w);
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
        if (*found || all[i].amps < least) {
            least = all[i].amps;
            *best = all[i].choice;
        }
    }
    return true;
}

// ---- told step by step -------------------------------------------------------------------------
static int by_order(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const shed_candidate *x = a, *y = b;
    if (x->breaker != y->breaker)
        return x->breaker ? 1 : -1;
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

static bool tell_steps(solver *s, const shed_question *q, const shed_candidate *list,
                       unsigned choice, arena *m, shed *out) {
    shed_candidate chosen[SHED_STEPS_MOST];
    int count = 0;
    for (int i = 0; i < SHED_STEPS_MOST; i++)
        if (choice >> i & 1u)
            chosen[count++] = list[i];
    stable_sort(chosen, (size_t)count, sizeof *chosen, NULL, by_order, NULL);
    state *now = moment_after_loss(s, q->asked, m);
    moment before = {0};
    bool good = now != NULL && moment_make(s, now, &before);
    out->amps = out->amps_after = before.amps;
    for (int i = 0; i < count && good; i++) {
        moment after;
        now->setting[chosen[i].part] = chosen[i].setting;
        good = moment_make(s, now, &after);
        if (!good)
            break;
        shed_step *step = &out->steps[out->step_count++];
        *step = (shed_step){.part = chosen[i].part,
                            .setting = chosen[i].setting,
                            .saves = before.amps - after.amps};
        good = list_changes(&before, &after, m, step);
        out->amps_after = after.amps;
        moment_free(&before);
        before = after;
    }
    moment_free(&before);
    return good;
}

status shed_find(solver *s, const shed_question *q, arena *memory, shed *out) {
    shed_candidate list[SHED_STEPS_MOST];
    unsigned best = 0;
    memset(list, 0, sizeof list);
    *out = (shed){.needed = q->needed, .noticed = q->noticed};
    out->candidates = shed_candidates(s, q, memory, list, &out->kept_back);
    if (out->candidates < 0 ||
        !search(s, q, list, out->candidates, memory, &best, &out->possible) ||
        !tell_steps(s, q, list, best, memory, out))
        return STATUS_NO_MEMORY;
    status found = endure(s, q, list, 0, memory, &out->plain);
    if (found == STATUS_OK)
        found = endure(s, q, list, best, memory, &out->after);
    endurance_question plain = {.asked = q->asked};
    return found == STATUS_OK ? hands_look(s, &plain, memory, &out->plain) : found;
}
