// Which deviations take an item away, and the sentence that says how. One deviation is the cause of
// all that differs; of several, those whose repair gives the item back.
#include "circuit/cause_walk.h"
#include "circuit/solver_state.h"
#include "model/part_words.h"
#include "part/item_draw.h"

enum { DEVIATIONS_MOST = 63, TRIALS_KEPT = 64, ALONE_MOST = 16 };

// Beside the deviations put right: a battery that has disconnected itself is on line again.
static const uint64_t REJOINED = (uint64_t)1 << DEVIATIONS_MOST;
static const double HELD = 0.99;  // of a charge: below what the battery opened at

typedef struct deviations {
    int parts[DEVIATIONS_MOST];
    int count;
} deviations;

typedef struct trial {
    uint64_t repaired;
    uint8_t *status;  // per part
} trial;

typedef struct explaining {
    solver *solver;
    outcome *outcome;
    const phase_base *base;
    deviations d;
    trial trials[TRIALS_KEPT];
    int trial_count;
    // Trials are settled from the base, where every battery is on line: one that has disconnected
    // itself since is held off by a charge just below its own.
    int gone;      // a battery that has, NOWHERE
    double *held;  // per part, with such a battery
    bool outside;  // the flight is asked about under other conditions than its phase's
    bool failed;
} explaining;

static uint64_t bit(int d) { return (uint64_t)1 << (d & 63); }

static void deviate(deviations *d, int part) {
    for (int i = 0; i < d->count; i++)
        if (d->parts[i] == part)
            return;
    if (d->count < DEVIATIONS_MOST)
        d->parts[d->count++] = part;
}

// Faults first, in the order in which they were asked for, then positions in the order of the file:
// two poles of one handle are one.
static void find_deviations(explaining *e) {
    const solver *s = e->solver;
    const aircraft *a = s->aircraft;
    const state *asked = &s->now.asked;
    for (int i = 0; i < a->part_count; i++)
        s->deviation[i] = NOWHERE;
    for (int i = 0; i < asked->fault_count; i++) {
        int part = asked->faults[i].part;
        deviate(&e->d, part);
        s->deviation[part] = part;
        const part_value *v = part_value_of(&a->parts[part], KEY_CARRIES);
        for (int k = 0; v != NULL && k < v->as.ids.count; k++) {
            int carried = v->as.ids.items[k];
            int wire = a->parts[carried].wire;
            if (kind_class(a->parts[part].kind) == CLASS_GROUP)
                s->deviation[wire >= 0 ? wire : carried] = part;
        }
    }
    for (int i = 0; i < a->part_count; i++) {
        const double *usual = e->base->view.asked.setting;
        int handle = part_id(&a->parts[i], KEY_MOVES_WITH);
        int half = part_id(&a->parts[i], KEY_ONLY_WITH);
        if (asked->setting[i] == usual[i])
            continue;
        if (half >= 0 && asked->setting[i] == 0 && asked->setting[half] == 0)
            handle = half;  // dragged off by the other half of a rocker
        if (handle < 0 || asked->setting[handle] == usual[handle])
            handle = i;
        deviate(&e->d, handle);
        s->deviation[i] = handle;
    }
}

static bool other_conditions(const state *x, const state *y) {
    return x->airborne != y->airborne || x->night != y->night || x->cloud != y->cloud ||
           x->icing != y->icing || x->stall_near != y->stall_near || x->throttle != y->throttle ||
           x->airspeed != y->airspeed || x->temperature != y->temperature || x->charge >= 0 ||
           x->charges != NULL;
}

static bool lost(item_status s) { return s == ITEM_OFF || s == ITEM_WEAK || s == ITEM_NO_DATA; }

// The trial view, with some deviations put right.
static void settle_with(explaining *e, uint64_t repaired) {
    solver *s = e->solver;
    state_copy(s->aircraft, &s->now.asked, &s->trial.asked);
    state *asked = &s->trial.asked;
    for (int d = 0; d < e->d.count; d++) {
        if (!(repaired & bit(d)))
            continue;
        int part = e->d.parts[d], kept = 0;
        for (int i = 0; i < s->aircraft->part_count; i++)
            if (i == part || s->deviation[i] == part)
                asked->setting[i] = e->base->view.asked.setting[i];
        for (int i = 0; i < asked->fault_count; i++)
            if (asked->faults[i].part != part)
                asked->faults[kept++] = asked->faults[i];
        asked->fault_count = kept;
    }
    if (repaired & REJOINED) {
        asked->charges = NULL;
        asked->charge = -1;
    } else if (e->gone != NOWHERE) {
        asked->charges = e->held;
    }
    view_settle(&s->trial, s->work, e->base->amps, &e->base->view.solution, false);
}

// The battery that has disconnected itself, and the charges with which to hold it off.
static void find_gone(explaining *e) {
    const solver *s = e->solver;
    const aircraft *a = s->aircraft;
    e->held = arena_new(&e->outcome->memory, (size_t)a->part_count, sizeof *e->held);
    e->failed = e->held == NULL;
    e->gone = NOWHERE;
    for (int i = 0; i < a->part_count && !e->failed; i++) {
        e->held[i] = HELD * state_charge(a, &s->now.asked, i);
        if (a->parts[i].kind == KIND_BATTERY &&
            !signal_at(&s->now.settled, s->made->maps[i].closed))  // NOWHERE: always
            e->gone = i;
    }
}

// Statuses with some deviations put right.
static const uint8_t *statuses_with(explaining *e, uint64_t repaired) {
    solver *s = e->solver;
    for (int i = 0; i < e->trial_count; i++)
        if (e->trials[i].repaired == repaired)
            return e->trials[i].status;
    if (e->trial_count == TRIALS_KEPT)
        e->trial_count = TRIALS_KEPT - 1;
    trial *t = &e->trials[e->trial_count];
    if (t->status == NULL)
        t->status = arena_new(&e->outcome->memory, (size_t)s->aircraft->part_count + 1, 1);
    if (t->status == NULL) {
        e->failed = true;
        return NULL;
    }
    e->trial_count++;
    t->repaired = repaired;
    settle_with(e, repaired);
    judge_parts(&s->trial.settled, s->trial_parts);
    judge_items(&s->trial.settled, s->block, s->trial_parts);
    for (int i = 0; i < s->aircraft->part_count; i++)
        t->status[i] = (uint8_t)s->trial_parts[i].status;
    return t->status;
}

static uint64_t all_of(const explaining *e) { return bit(e->d.count) - 1; }

// An item that is only switched off again isn't restored, unless all is as in the base.
static bool restored(explaining *e, uint64_t repaired, int part) {
    const uint8_t *status = statuses_with(e, repaired);
    if (status == NULL)
        return true;
    item_status now = (item_status)status[part];
    if (now == ITEM_UNUSED && repaired != all_of(e))
        return false;
    return !lost(now) || now == e->outcome->parts[part].base_status;
}

// A smallest (by leaving out one after the other) set of deviations whose repair restores the item.
static uint64_t guilty(explaining *e, int part, int found) {
    uint64_t all = all_of(e);
    if (e->d.count == 1)
        return all;
    for (int d = 0; d < e->d.count; d++)  // what the walk found is asked first
        if (e->d.parts[d] == found && restored(e, bit(d), part))
            return bit(d);
    for (int d = 0; d < e->d.count; d++)
        if (restored(e, bit(d), part))
            return bit(d);
    uint64_t set = all;
    for (int d = e->d.count - 1; d >= 0; d--) {
        if (e->d.parts[d] == found)
            continue;
        uint64_t without = set & ~bit(d);
        if (without != 0 && restored(e, without, part))
            set = without;
    }
    return set;
}

// Where one repair is enough, the others that would be enough as well: only all of them together
// took the item.
static uint64_t each_enough(explaining *e, int part, uint64_t set) {
    uint64_t enough = 0;
    if ((set & (set - 1)) != 0 || e->d.count > ALONE_MOST)
        return 0;
    for (int d = 0; d < e->d.count; d++)
        if (!(set & bit(d)) && restored(e, bit(d), part))
            enough |= bit(d);
    return enough;
}

static cause_walk start_walk(const explaining *e) {
    solver *s = e->solver;
    for (int i = 0; i < s->aircraft->part_count; i++)
        s->visited[i] = 0;
    return (cause_walk){.base = &e->base->view.settled,
                        .now = &s->now.settled,
                        .first = s->now.solution.trip_count > 0 ? &s->first.settled : NULL,
                        .deviation = s->deviation,
                        .visited = s->visited,
                        .way = s->way,
                        .said = text_make(s->allocator),
                        .cause = NOWHERE,
                        .last = NOWHERE};
}

// Through the trial view.
static cause_walk start_trial_walk(const explaining *e) {
    cause_walk w = start_walk(e);
    w.now = &e->solver->trial.settled;
    w.first = NULL;
    return w;
}

// Would it be there, whatever has been done, with the battery that has disconnected itself?
static bool gone_takes(explaining *e, int part) {
    const uint8_t *status = e->gone == NOWHERE ? NULL : statuses_with(e, REJOINED);
    return status != NULL && !lost((item_status)status[part]);
}

static void put_gone(const explaining *e, text *t) {
    const aircraft *a = e->solver->aircraft;
    int opens = part_condition(&a->parts[e->gone], KEY_OPENS_WHEN);
    const condition *c = &a->conditions[opens];
    text_put(t, ", and ");
    part_name(a, e->gone, t);
    text_put(t, " has disconnected itself (");
    condition_words(a, c->op == CONDITION_LATCH ? c->a : opens, t);
    text_char(t, ')');
}

// What else it takes to give the item back, or what else would have been enough.
static void put_others(explaining *e, int part, uint64_t enough, text *t) {
    const part_outcome *o = &e->outcome->parts[part];
    int together = 1;
    for (int c = 1; c < o->cause_count; c++) {
        text_put(t, c == 1 ? "; besides, " : ", and ");
        deviation_words(&e->solver->now.settled, o->causes[c], t);
    }
    for (int d = 0; d < e->d.count; d++) {
        if (!(enough & bit(d)))
            continue;
        text_put(t, ", and ");
        deviation_words(&e->solver->now.settled, e->d.parts[d], t);
        together++;
    }
    if (gone_takes(e, part) && !e->solver->visited[e->gone]) {
        put_gone(e, t);
        together++;
    }
    if (together == 2)
        text_put(t, ": only both together do it");
    if (together <= 2)
        return;
    text_put(t, ": only all ");
    text_int(t, together);
    text_put(t, " together do it");
}

static void put_blown(explaining *e, int part, cause_walk *w, text *t) {
    const aircraft *a = e->outcome->aircraft;
    int blown = blown_on_way(w, judged_node(w->now, part));
    if (blown == NOWHERE)
        return;
    text_put(t, " (");
    part_name(a, blown, t);
    text_put(t, a->parts[blown].kind == KIND_BREAKER ? " has opened by itself" : " has blown");
    text_char(t, ')');
}

// Volts for all but the transmitter.
static bool only_receives(const explaining *e, const part_outcome *o) {
    const part *p = &e->outcome->aircraft->parts[o - e->outcome->parts];
    return p->kind == KIND_RADIO && o->volts >= item_works_volts(e->outcome->aircraft, p);
}

// Begins the sentence of what the walk has said.
static text begin_sentence(const explaining *e, const part_outcome *o, const cause_walk *w) {
    static const char *const START[] = {
        [ITEM_WEAK] = "too few volts reach it: ", [ITEM_NO_DATA] = "it has power but no data: "};
    text t = text_make(e->solver->allocator);
    if (o->status == ITEM_WEAK && only_receives(e, o))
        text_put(&t, "it receives, but has too few volts to transmit: ");
    else if (o->status == ITEM_WEAK || (o->status == ITEM_NO_DATA && o->live))
        text_put(&t, START[o->status]);
    text_put(&t, text_get(&w->said));
    return t;
}

static void keep_sentence(explaining *e, part_outcome *o, text *t, const cause_walk *w) {
    bool told = t->length > 0 && !t->failed && !w->said.failed;
    char *copy = told ? arena_text(&e->outcome->memory, t->data, t->length) : NULL;
    if (copy == NULL)
        e->failed = true;
    else
        o->reason = copy;
    text_free(t);
}

static void put_sentence(explaining *e, int part, uint64_t enough, cause_walk *w) {
    part_outcome *o = &e->outcome->parts[part];
    text t = begin_sentence(e, o, w);
    if (w->cause != o->causes[0]) {  // the walk ended at another one
        text_put(&t, "; besides, ");
        deviation_words(&e->solver->now.settled, o->causes[0], &t);
    }
    put_others(e, part, enough, &t);
    put_blown(e, part, w, &t);
    keep_sentence(e, o, &t, w);
}

// The walk went to something that isn't to blame for this item, which another deviation takes as
// well. Where those to blame take it alone, the walk is repeated without the others.
static void walk_again(explaining *e, int part, uint64_t set, cause_walk *w) {
    solver *s = e->solver;
    uint64_t others = all_of(e) & ~set;
    const uint8_t *status = statuses_with(e, others);
    if (status == NULL || !lost((item_status)status[part]))
        return;
    settle_with(e, others);
    for (int i = 0; i < s->aircraft->part_count; i++)
        for (int d = 0; d < e->d.count; d++)
            if ((others & bit(d)) && s->deviation[i] == e->d.parts[d])
                s->deviation[i] = NOWHERE;
    text_free(&w->said);
    *w = start_trial_walk(e);
    cause_of_part(w, part);
    find_deviations(e);
}

// In a run: the one thing done is what the battery that the walk came to gives its current for.
static bool drained(explaining *e) {
    const solver *s = e->solver;
    if (e->gone == NOWHERE || !s->visited[e->gone] || e->d.count != 1 ||
        s->now.asked.charges == NULL)
        return false;
    settle_with(e, REJOINED);
    return e->base->amps[e->gone] < 0.5 * part_amps(&s->trial.settled, e->gone);
}

// A walk that may have led to no part to blame.
static void tell_walk(explaining *e, part_outcome *o, cause_walk *w, const char *otherwise) {
    if (w->clauses == 0)
        text_put(&w->said, otherwise);
    bool empty = w->cause == NOWHERE && w->last != NOWHERE && o->cause_count == 0 &&
                 e->outcome->aircraft->parts[w->last].kind == KIND_BATTERY;
    if (empty)  // what it started with is what takes it
        o->causes[o->cause_count++] = w->last;
    if (w->cause == NOWHERE && drained(e)) {
        text_put(&w->said, ", because ");
        deviation_words(&e->solver->now.settled, e->d.parts[0], &w->said);
        o->causes[o->cause_count++] = e->d.parts[0];
    }
    text t = begin_sentence(e, o, w);
    keep_sentence(e, o, &t, w);
    text_free(&w->said);
}

// Lost with all put right as well: under these conditions, and by no part to blame.
static bool lost_outside(explaining *e, int part) {
    if (!e->outside || e->d.count == 0)
        return e->outside;
    const uint8_t *status = statuses_with(e, all_of(e));
    return status != NULL && lost((item_status)status[part]);
}

static void explain_outside(explaining *e, int part) {
    solver *s = e->solver;
    part_outcome *o = &e->outcome->parts[part];
    if (e->d.count > 0)
        settle_with(e, all_of(e));
    for (int i = 0; i < s->aircraft->part_count; i++)
        s->deviation[i] = NOWHERE;
    cause_walk w = e->d.count > 0 ? start_trial_walk(e) : start_walk(e);
    cause_of_part(&w, part);
    tell_walk(e, o, &w, "these conditions take it");
    find_deviations(e);
}

// A phase in which it works, or would: what is different there is what it lacks here.
static const phase_base *phase_with(const explaining *e, int part) {
    const solver *s = e->solver;
    for (int i = 0; i < s->aircraft->phase_count; i++)
        if (s->bases[i].parts[part].available)
            return &s->bases[i];
    return e->base;
}

// What has failed or been switched off, as bits. What has only been switched on takes nothing.
static uint64_t takers(const explaining *e) {
    const state *asked = &e->solver->now.asked, *usual = &e->base->view.asked;
    uint64_t taken = 0;
    for (int d = 0; d < e->d.count; d++) {
        int who = e->d.parts[d];
        if (e->solver->now.settled.faults[who] != 0 || asked->setting[who] < usual->setting[who])
            taken |= bit(d);
    }
    return taken;
}

// Switched on now, not in use in this phase, and it wouldn't work with nothing taken either.
static bool asked_in_vain(explaining *e, int part) {
    uint64_t taken = takers(e);
    if (e->outcome->parts[part].base_status != ITEM_UNUSED || taken == all_of(e) ||
        !outcome_asked_for(e->solver, e->outcome, part))
        return false;
    const uint8_t *status = statuses_with(e, taken);
    return status != NULL && status[part] != ITEM_ON && status[part] != ITEM_WEAK;
}

// A generator that stands still in this phase is nobody's doing.
static void pass_over_machines(const explaining *e, const phase_base *usual) {
    const solver *s = e->solver;
    for (int i = 0; i < s->aircraft->part_count; i++) {
        part_kind kind = s->aircraft->parts[i].kind;
        if (kind == KIND_ALTERNATOR || kind == KIND_GENERATOR)
            s->visited[i] = !signal_at(&usual->view.settled, s->made->maps[i].on_line);
    }
}

// With nothing taken, against a phase in which it works: what stands otherwise there is missing.
static void explain_asked(explaining *e, int part) {
    solver *s = e->solver;
    part_outcome *o = &e->outcome->parts[part];
    const phase_base *other = phase_with(e, part);
    settle_with(e, takers(e));
    for (int i = 0; i < s->aircraft->part_count; i++) {
        double at = s->trial.asked.setting[i];
        bool asked = at != e->base->view.asked.setting[i];  // that is there
        s->deviation[i] = at != other->view.asked.setting[i] && !asked ? i : NOWHERE;
    }
    cause_walk w = start_trial_walk(e);
    w.base = &other->view.settled;
    pass_over_machines(e, e->base);
    cause_of_part(&w, part);
    o->traced = w.cause;
    if (w.last != NOWHERE)
        o->causes[o->cause_count++] = w.last;
    tell_walk(e, o, &w, "nothing feeds it here");
    find_deviations(e);
}

// Nothing done takes it: a breaker opens in the phase itself.
static bool opened_anyway(explaining *e, int part) {
    if (e->solver->now.solution.trip_count == 0)
        return false;
    if (e->d.count == 0)
        return !e->outside;
    if (e->base->view.solution.trip_count == 0)
        return false;
    const uint8_t *status = statuses_with(e, all_of(e));
    return status != NULL && lost((item_status)status[part]);
}

// Against the first instant, in which no breaker had opened yet. The walk ends at the one that
// opened, and that is w.cause.
static cause_walk walk_to_opened(explaining *e, int part) {
    solver *s = e->solver;
    for (int i = 0; i < s->aircraft->part_count; i++)
        s->deviation[i] = NOWHERE;
    for (int i = 0; i < s->now.solution.trip_count; i++) {  // the walk ends there
        int opened = s->made->breaker_owner[s->now.solution.trips[i]];
        s->deviation[opened] = opened;
    }
    cause_walk w = start_walk(e);
    w.base = &s->first.settled;
    w.first = NULL;
    cause_of_part(&w, part);
    find_deviations(e);
    return w;
}

static void tell_opened(explaining *e, int part, cause_walk *w) {
    part_outcome *o = &e->outcome->parts[part];
    if (w->cause != NOWHERE)
        o->causes[o->cause_count++] = w->cause;
    tell_walk(e, o, w, "nothing feeds it here");
}

static void explain_opened(explaining *e, int part) {
    cause_walk w = walk_to_opened(e, part);
    tell_opened(e, part, &w);
}

// Switched on now, and it worked until a breaker opened.
static bool tripped_away(explaining *e, int part) {
    solver *s = e->solver;
    if (s->now.solution.trip_count == 0)
        return false;
    judge_parts(&s->first.settled, s->trial_parts);
    judge_items(&s->first.settled, s->block, s->trial_parts);
    return s->trial_parts[part].status == ITEM_ON || s->trial_parts[part].status == ITEM_WEAK;
}

// The breaker, and then what made it open.
static void explain_tripped(explaining *e, int part) {
    cause_walk w = walk_to_opened(e, part);
    int opened = w.cause;
    w.cause = NOWHERE;
    w.base = &e->base->view.settled;
    w.first = &e->solver->first.settled;
    if (opened != NOWHERE)
        walk_loads_below(&w, opened);
    if (w.cause == NOWHERE)
        w.cause = opened;
    tell_opened(e, part, &w);
}

// Too few volts in the phase itself: whatever on the way loses most of them, or the source.
static void explain_weak(explaining *e, int part) {
    const struct verdict *v = e->solver->made->verdict;
    part_outcome *o = &e->outcome->parts[part];
    int rule = v->rule_of[part];
    if (rule == NOWHERE || v->rules[rule].inner < 0)
        return;
    cause_walk w = start_walk(e);
    walk_weak_node(&w, v->rules[rule].inner);
    if (w.last != NOWHERE)
        o->causes[o->cause_count++] = w.last;
    tell_walk(e, o, &w, "nothing feeds it here");
}

static void explain_part(explaining *e, int part) {
    part_outcome *o = &e->outcome->parts[part];
    if (opened_anyway(e, part)) {
        explain_opened(e, part);
        return;
    }
    if (asked_in_vain(e, part)) {
        if (tripped_away(e, part))
            explain_tripped(e, part);
        else
            explain_asked(e, part);
        return;
    }
    if (lost_outside(e, part)) {
        explain_outside(e, part);
        return;
    }
    cause_walk w = start_walk(e);
    cause_of_part(&w, part);
    o->traced = w.cause;
    uint64_t set = guilty(e, part, w.cause);
    bool found = false;
    for (int d = 0; d < e->d.count; d++)
        found = found || ((set & bit(d)) && e->d.parts[d] == w.cause);
    if (!found)
        walk_again(e, part, set, &w);
    for (int d = 0; d < e->d.count; d++)
        if ((set & bit(d)) && e->d.parts[d] == w.cause)
            o->causes[o->cause_count++] = w.cause;
    for (int d = 0; d < e->d.count && o->cause_count < CAUSES_MOST; d++)
        if ((set & bit(d)) && e->d.parts[d] != w.cause)
            o->causes[o->cause_count++] = e->d.parts[d];
    if (w.cause == NOWHERE)  // it didn't arrive: what its repair shows is named all the same
        walk_blame(&w, o->causes[0]);
    put_sentence(e, part, each_enough(e, part, set), &w);
    text_free(&w.said);
}

bool explain_losses(solver *s, outcome *o) {
    explaining e = {.solver = s, .outcome = o, .base = &s->bases[o->state.phase]};
    find_deviations(&e);
    find_gone(&e);
    e.outside = other_conditions(&s->now.asked, &e.base->view.asked);
    for (int i = 0; i < s->aircraft->part_count && !e.failed; i++) {
        const part_outcome *p = &o->parts[i];
        bool taken = e.d.count > 0 || e.outside || s->now.solution.trip_count > 0;
        if (lost(p->status) && p->status != p->base_status && taken)
            explain_part(&e, i);
        else if (p->status == ITEM_NO_DATA && phase_with(&e, i) != e.base)
            explain_asked(&e, i);  // in the phase itself
        else if (p->status == ITEM_WEAK && p->base_status == ITEM_WEAK)
            explain_weak(&e, i);
    }
    return !e.failed;
}
