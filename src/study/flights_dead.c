// What is lost where no source gives anything any more: a flight that has lost all of that has
// nothing to lose but what goes and comes, or runs out, later.
#include "circuit/solver_state.h"
#include "study/flights_state.h"
#include "timeline/run.h"

static bool add_fault(state *s, int part, fault_kind kind) {
    if (s->fault_count == STATE_FAULTS)
        return false;
    s->faults[s->fault_count++] = (fault){part, kind};
    return true;
}

// As in the end, all batteries open. False: more faults than a state holds.
static bool state_in_the_end(const flights *f, const happening *list, int count, state *s) {
    const aircraft *a = f->aircraft;
    s->fault_count = 0;
    for (int i = 0; i < count; i++) {
        if (list[i].kind == FAULT_NONE)
            s->setting[list[i].part] = list[i].setting;
        else if (!add_fault(s, list[i].part, list[i].kind))
            return false;
    }
    for (int i = 0; i < a->part_count; i++)
        if (a->parts[i].kind == KIND_BATTERY && !add_fault(s, i, FAULT_OPEN))
            return false;
    return true;
}

static bool is_lost(const outcome *o, const column *c) {
    switch (c->of) {
    case COLUMN_ITEM:
    case COLUMN_WEAK:
        return o->parts[c->index].status == ITEM_OFF || o->parts[c->index].status == ITEM_NO_DATA;
    case COLUMN_FUNCTION: return o->functions[c->index].status == FUNCTION_LOST;
    case COLUMN_REDUCED: return o->functions[c->index].status != FUNCTION_KEPT;
    case COLUMN_LETS_GO: return true;
    default: return false;
    }
}

status flights_find_dead(flights *f, arena *m) {
    const aircraft *a = f->aircraft;
    const endurance_question *q = &f->question->about;
    int count;
    const happening *list = endurance_happenings(a, q, m, &count);
    state s = {.setting = arena_new(m, (size_t)a->part_count + 1, sizeof(double))};
    bool *dead = arena_new(m, (size_t)f->column_count + 1, sizeof *dead);
    if (m->failed)
        return STATUS_NO_MEMORY;
    state_copy(a, q->asked, &s);
    if (!state_in_the_end(f, list, count, &s))
        return STATUS_OK;
    solver *settles = NULL;
    outcome *o = NULL;
    status made = solver_make(f->allocator, a, NULL, &settles);
    if (made == STATUS_OK)
        made = solver_outcome(settles, &s, (outcome_options){.explain = false}, &o);
    for (int i = 0; i < f->column_count && made == STATUS_OK; i++)
        dead[i] = is_lost(o, &f->columns[i]);
    if (made == STATUS_OK)
        f->dead = dead;
    outcome_free(o);
    solver_free(settles);
    return made;
}
