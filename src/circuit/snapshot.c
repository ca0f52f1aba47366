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

status snapshot_make(solver *s, const settled_state *now, outcome **made) {
    *made = NULL;
    outcome *o = memory_new(s->allocator, sizeof *o);
    if (o == NULL)
        return STATUS_NO_MEMORY;
    o->memory = arena_make(s->allocator);
    bool good = outcome_begin(s, now->asked, o);
    if (good) {
        fill(s, now, o);
        good = outcome_tell(s, o, &s->bases[o->state.phase]);
    }
    if (!good) {
        outcome_free(o);
        return STATUS_NO_MEMORY;
    }
    *made = o;
    return STATUS_OK;
}

int snapshot_sources(const settled_state *now, part_outcome *parts, source_outcome *sources) {
    judge_parts(now, parts);
    return judge_sources(now, parts, sources);
}
