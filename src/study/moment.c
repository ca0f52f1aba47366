#include "study/moment.h"

#include "circuit/solver_state.h"

state *moment_after_loss(const solver *s, const state *asked, arena *m) {
    const aircraft *a = s->aircraft;
    state *made = arena_new(m, 1, sizeof *made);
    double *setting = arena_new(m, (size_t)a->part_count + 1, sizeof *setting);
    if (made == NULL || setting == NULL)
        return NULL;
    made->setting = setting;
    state_copy(a, asked, made);
    for (int i = 0; i < a->part_count && asked->fault_count == 0; i++) {
        part_kind k = a->parts[i].kind;
        bool plugged = k == KIND_EXTERNAL_POWER && asked->setting[i] > 0;
        if ((k == KIND_ALTERNATOR || k == KIND_GENERATOR || plugged) &&
            made->fault_count < STATE_FAULTS)
            made->faults[made->fault_count++] = (fault){i, FAULT_DEAD};
    }
    return made;
}

enum { GIVES_NO, GIVES_WEAK, GIVES_YES };

static int least(int a, int b) { return a < b ? a : b; }

static int step_gives(const solver *s, const outcome *o, const uint8_t *value,
                      const route_step *k) {
    const settled_state *now = &s->now.settled;
    switch (k->op) {
    case ROUTE_ITEM:
        switch (o->parts[s->made->verdict->rules[k->a].part].status) {
        case ITEM_ON: return GIVES_YES;
        case ITEM_WEAK: return GIVES_WEAK;
        default: return GIVES_NO;
        }
    case ROUTE_PART:
    case ROUTE_SUPPLY: return signal_at(now, k->a) ? GIVES_YES : GIVES_NO;
    case ROUTE_NEVER: return GIVES_NO;
    case ROUTE_ALWAYS: return GIVES_YES;
    case ROUTE_AND: return least(value[k->a], value[k->b]);
    case ROUTE_OR: return value[k->a] > value[k->b] ? value[k->a] : value[k->b];
    case ROUTE_NOT: return value[k->a] == GIVES_NO ? GIVES_YES : GIVES_NO;
    case ROUTE_CAP: return least(value[k->a], GIVES_WEAK);
    }
    return GIVES_NO;
}

uint8_t moment_step(const solver *s, const moment *m, const uint8_t *value, const route_step *k) {
    return (uint8_t)step_gives(s, m->outcome, value, k);
}

bool moment_make(solver *s, const state *now, moment *m) {
    static const uint8_t STATUS[] = {FUNCTION_LOST, FUNCTION_REDUCED, FUNCTION_KEPT};
    const verdict *v = s->made->verdict;
    *m = (moment){0};
    if (solver_outcome(s, now, (outcome_options){0}, &m->outcome) != STATUS_OK)
        return false;
    arena *memory = &m->outcome->memory;
    int functions = s->aircraft->function_count;
    uint8_t *value = arena_new(memory, (size_t)v->step_count + 1, 1);
    m->functions = arena_new(memory, (size_t)functions + 1, 1);
    if (memory->failed) {
        moment_free(m);
        return false;
    }
    for (int i = 0; i < v->step_count; i++)
        value[i] = (uint8_t)step_gives(s, m->outcome, value, &v->steps[i]);
    for (int i = 0; i < functions; i++)
        m->functions[i] = STATUS[value[v->function_step[i]]];
    for (int i = 0; i < m->outcome->source_count; i++)
        m->amps += m->outcome->sources[i].battery ? m->outcome->sources[i].amps : 0.0;
    return true;
}

void moment_free(moment *m) {
    outcome_free(m->outcome);
    *m = (moment){0};
}
