#include "circuit/snapshot.h"

#include "circuit/solver_state.h"

static void fill(solver *s, const settled_state *now, outcome *o) {
    const phase_base *base = &s->bases[o->state.phase];
    static const outcome_settled SETTLED[] = {OUTCOME_SETTLED, OUTCOME_CHATTERS, OUTCOME_COLLAPSED};
    o->settled = SETTLED[now->solution->settled];
    judge_parts(now, o->parts);
    judge_items(now, s->block, o->parts);
    judge_functions(now, s->block, o->functions);
    judge_supplies(now, o->supplies);
    for (int i = 0; i < s->aircraft->part_count; i++) {
        part_outcome *p = &o->parts[i];
        p->base_status = base->parts[i].status;
        // Dead, and not in use in this phase.
        if (p->status == ITEM_OFF && p->base_status == ITEM_UNUSED && !outcome_asked_for(s, o, i))
            p->status = ITEM_UNUSED;
    }
    for (int i = 0; i < s->aircraft->function_count; i++)
        o->functions[i].base_status = base->functions[i].status;
    o->source_count = judge_sources(now, o->parts, o->sources);
}

static void list_tripped(const solver *s, const uint8_t *tripped, outcome *o) {
    for (int i = 0; i < s->made->circuit.breaker_count && o->trip_count < TRIPS_MOST; i++) {
        if (!tripped[i])
            continue;
        int part = s->made->breaker_owner[i];
        o->parts[part].tripped = true;
        o->trips[o->trip_count++] = part;
    }
}

// As if the solver had settled it.
static bool explain_moment(solver *s, const settled_state *now, const double *charges, outcome *o) {
    view own = s->now;
    s->now.settled = *now;
    s->now.asked = *now->asked;
    s->now.asked.charges = charges;
    s->now.settled.asked = &s->now.asked;
    s->now.solution = *now->solution;
    s->now.solution.trip_count = 0;  // breakers opened one by one, some time before
    bool explained = explain_losses(s, o);
    s->now = own;
    return explained;
}

static const char *run_down(outcome *o, const char *reason) {
    text t = text_make(o->memory.memory);
    text_all(&t, "its own battery has run down", reason && *reason ? ": " : "", reason, NULL);
    const char *kept = t.failed ? NULL : arena_text(&o->memory, text_get(&t), t.length);
    o->memory.failed = o->memory.failed || t.failed;
    text_free(&t);
    return kept ? kept : reason;
}

// What no position and no fault has taken, but time: an item that hasn't had its supply for long
// enough, or that has gone on with a battery of its own for as long as that lasts.
static void tell_times(const settled_state *now, outcome *o) {
    const compiled *made = now->made;
    for (int i = 0; i < made->circuit.input_count; i++) {
        const input *in = &made->inputs[i];
        if (now->job.params[i] != 0 || in->part < 0)
            continue;
        part_outcome *p = &o->parts[in->part];
        if (in->kind == INPUT_STARTED && p->status == ITEM_NO_DATA && p->cause_count == 0)
            p->reason = "it has its supply again and is still starting";
        if (in->kind == INPUT_RESERVE && p->status == ITEM_OFF)
            p->reason = run_down(o, p->reason);
    }
}

static status make(solver *s, const settled_state *now, const uint8_t *tripped,
                   const double *charges, outcome **made) {
    *made = NULL;
    outcome *o = memory_new(s->allocator, sizeof *o);
    if (o == NULL)
        return STATUS_NO_MEMORY;
    o->memory = arena_make(s->allocator);
    bool good = outcome_begin(s, now->asked, o);
    if (good) {
        fill(s, now, o);
        if (tripped != NULL) {
            list_tripped(s, tripped, o);
            good = explain_moment(s, now, charges, o);
            tell_times(now, o);
        }
        good = good && outcome_tell(s, o, &s->bases[o->state.phase]);
    }
    if (!good) {
        outcome_free(o);
        return STATUS_NO_MEMORY;
    }
    *made = o;
    return STATUS_OK;
}

status snapshot_make(solver *s, const settled_state *now, outcome **made) {
    return make(s, now, NULL, NULL, made);
}

status snapshot_explained(solver *s, const settled_state *now, const uint8_t *tripped,
                          const double *charges, outcome **made) {
    return make(s, now, tripped, charges, made);
}

int snapshot_sources(const settled_state *now, part_outcome *parts, source_outcome *sources) {
    judge_parts(now, parts);
    return judge_sources(now, parts, sources);
}
