#include "study/spares.h"

#include "circuit/solver_state.h"

enum { NEEDS_DEEP = 6 };  // an item that needs one that needs one: files go two deep

// The moment without one part.
typedef struct lack {
    const solver *solver;
    const moment *moment;
    int part;
} lack;

static bool works(const lack *l, int part, int deep);

static bool is_there(const lack *l, const supply *made, int deep) {
    for (int i = 0; i < made->count; i++)
        if (works(l, made->makers[i], deep))
            return true;
    return made->count == 0;
}

// Only what a part's failing changes is looked into; all else is as it is.
static bool holds(const lack *l, int condition, int deep) {
    const aircraft *a = l->solver->aircraft;
    const struct condition *c = &a->conditions[condition];
    switch (c->op) {
    case CONDITION_AND: return holds(l, c->a, deep) && holds(l, c->b, deep);
    case CONDITION_OR: return holds(l, c->a, deep) || holds(l, c->b, deep);
    case CONDITION_WORKS: return works(l, c->ref.part, deep);
    case CONDITION_PRESENT: return is_there(l, &a->supplies[c->supply], deep);
    default: return true;
    }
}

static bool works_now(const lack *l, int part) {
    const part_outcome *p = &l->moment->outcome->parts[part];
    return p->status == ITEM_ON || p->status == ITEM_WEAK || (p->status == ITEM_NONE && p->works);
}

static bool works(const lack *l, int part, int deep) {
    if (part == l->part || !works_now(l, part))
        return false;
    const part_value *needs = part_value_of(&l->solver->aircraft->parts[part], KEY_NEEDS);
    for (int i = 0; needs != NULL && deep < NEEDS_DEEP && i < needs->as.conditions.count; i++)
        if (!holds(l, needs->as.conditions.items[i], deep + 1))
            return false;
    return true;
}

static void count_without(const lack *l, const bool *wanted, uint8_t *value, int *counts) {
    const verdict *v = l->solver->made->verdict;
    for (int i = 0; i < v->step_count; i++) {
        const route_step *k = &v->steps[i];
        int part = k->op == ROUTE_ITEM ? v->rules[k->a].part : k->op == ROUTE_PART ? k->b : -1;
        bool gone = part >= 0 && works_now(l, part) && !works(l, part, 0);
        value[i] = gone ? 0 : moment_step(l->solver, l->moment, value, k);
    }
    for (int i = 0; i < l->solver->aircraft->function_count; i++)
        counts[i] += wanted[i] && l->moment->functions[i] != FUNCTION_LOST &&
                     value[v->function_step[i]] == 0;
}

// ---- what a function hangs on ------------------------------------------------------------------
typedef struct marking {
    const solver *solver;
    bool *matters;  // part_count
} marking;

static void mark(const marking *m, int part);

static void mark_condition(const marking *m, int condition) {
    const aircraft *a = m->solver->aircraft;
    const struct condition *c = &a->conditions[condition];
    if (c->op == CONDITION_AND || c->op == CONDITION_OR) {
        mark_condition(m, c->a);
        mark_condition(m, c->b);
    }
    if (c->op == CONDITION_WORKS)
        mark(m, c->ref.part);
    for (int i = 0; c->op == CONDITION_PRESENT && i < a->supplies[c->supply].count; i++)
        mark(m, a->supplies[c->supply].makers[i]);
}

static void mark(const marking *m, int part) {
    if (part < 0 || m->matters[part])
        return;
    m->matters[part] = true;
    const part_value *needs = part_value_of(&m->solver->aircraft->parts[part], KEY_NEEDS);
    for (int i = 0; needs != NULL && i < needs->as.conditions.count; i++)
        mark_condition(m, needs->as.conditions.items[i]);
}

static void mark_route(const marking *m, int step) {
    const verdict *v = m->solver->made->verdict;
    const route_step *k = &v->steps[step];
    if (k->op == ROUTE_ITEM)
        mark(m, v->rules[k->a].part);
    if (k->op == ROUTE_PART)
        mark(m, k->b);
    if (k->op >= ROUTE_AND)
        mark_route(m, k->a);
    if (k->op == ROUTE_AND || k->op == ROUTE_OR)
        mark_route(m, k->b);
}

// An item, or what does its work without volts: a contact that opens isn't asked about here.
static bool is_one(const aircraft *a, const moment *m, int part) {
    part_kind k = a->parts[part].kind;
    return m->outcome->parts[part].status != ITEM_NONE || k == KIND_INSTRUMENT || k == KIND_PROBE ||
           k == KIND_PUMP || k == KIND_IGNITION;
}

const int *spares_count(const solver *s, const moment *m, const bool *wanted) {
    const aircraft *a = s->aircraft;
    arena *memory = &m->outcome->memory;
    uint8_t *value = arena_new(memory, (size_t)s->made->verdict->step_count + 1, 1);
    int *counts = arena_new(memory, (size_t)a->function_count + 1, sizeof *counts);
    marking all = {s, arena_new(memory, (size_t)a->part_count + 1, sizeof(bool))};
    if (memory->failed)
        return NULL;
    for (int i = 0; i < a->function_count; i++)
        if (wanted[i])
            mark_route(&all, s->made->verdict->function_step[i]);
    lack l = {.solver = s, .moment = m};
    for (l.part = 0; l.part < a->part_count; l.part++)
        if (all.matters[l.part] && is_one(a, m, l.part) && works_now(&l, l.part))
            count_without(&l, wanted, value, counts);
    return counts;
}
