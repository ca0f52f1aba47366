// Needs and functions: conditions, routes and givers as a list of steps.
#include "circuit/verdict.h"

typedef struct router {
    const compiled *made;
    const verdict *verdict;
    route_step *steps;  // NULL: only counting
    int count;
} router;

static int step(router *r, route_op op, int a, int b) {
    if (r->steps != NULL)
        r->steps[r->count] = (route_step){op, a, b};
    return r->count++;
}

static int part_step(router *r, int part) {
    int rule = r->verdict->rule_of[part];
    if (rule >= 0)
        return step(r, ROUTE_ITEM, rule, 0);
    return step(r, ROUTE_PART, r->made->maps[part].works, part);
}

static int either(router *r, int a, int b) { return a == NOWHERE ? b : step(r, ROUTE_OR, a, b); }

static int or_never(router *r, int a) { return a == NOWHERE ? step(r, ROUTE_NEVER, 0, 0) : a; }

static int supply_step(router *r, int supply) {
    const struct supply *s = &r->made->aircraft->supplies[supply];
    int any = NOWHERE;
    for (int i = 0; i < s->count; i++) {
        int maker = step(r, ROUTE_SUPPLY, r->made->maps[s->makers[i]].works, 0);
        any = either(r, any, maker);
    }
    return or_never(r, any);
}

static int condition_step(router *r, int index) {
    const condition *c = &r->made->aircraft->conditions[index];
    switch (c->op) {
    case CONDITION_ALWAYS: return step(r, ROUTE_ALWAYS, 0, 0);
    case CONDITION_AND:
    case CONDITION_OR: {
        int a = condition_step(r, c->a);
        int b = condition_step(r, c->b);
        return step(r, c->op == CONDITION_AND ? ROUTE_AND : ROUTE_OR, a, b);
    }
    case CONDITION_NOT: {
        int a = condition_step(r, c->a);
        return step(r, ROUTE_NOT, a, 0);
    }
    case CONDITION_LATCH:
    case CONDITION_FOR: return condition_step(r, c->a);
    case CONDITION_PRESENT: return supply_step(r, c->supply);
    case CONDITION_WORKS:
    case CONDITION_ON: return part_step(r, c->ref.part);
    default: {
        int s = r->made->condition_signal[index];
        return s >= 0 ? step(r, ROUTE_PART, s, NOWHERE) : step(r, ROUTE_NEVER, 0, 0);
    }
    }
}

// The best of several, NOWHERE of none.
static int best_of(router *r, const int *items, int count, bool conditions) {
    int best = NOWHERE;
    for (int i = 0; i < count; i++) {
        int one = conditions ? condition_step(r, items[i]) : part_step(r, items[i]);
        best = either(r, best, one);
    }
    return best;
}

// Kept while a full route or giver works; what is only partial counts as weak.
static int function_steps(router *r, const function *f) {
    int full = f->routed ? best_of(r, f->kept_by.items, f->kept_by.count, true)
                         : best_of(r, f->gives.items, f->gives.count, false);
    int partly = f->routed ? best_of(r, f->partly_by.items, f->partly_by.count, true)
                           : best_of(r, f->gives_partly.items, f->gives_partly.count, false);
    if (partly != NOWHERE)
        full = either(r, full, step(r, ROUTE_CAP, partly, 0));
    return or_never(r, full);
}

static void needs_steps_make(router *r, item_rule *rules) {
    for (int i = 0; i < r->verdict->rule_count; i++) {
        const part *p = &r->made->aircraft->parts[r->verdict->rules[i].part];
        const part_value *needs = part_value_of(p, KEY_NEEDS);
        int all = NOWHERE;
        for (int k = 0; needs != NULL && k < needs->as.conditions.count; k++) {
            int one = condition_step(r, needs->as.conditions.items[k]);
            all = all == NOWHERE ? one : step(r, ROUTE_AND, all, one);
        }
        if (rules != NULL)
            rules[i].needs_step = all;
    }
}

bool verdict_routes_make(arena *memory, const compiled *c, item_rule *rules, verdict *v) {
    const aircraft *a = c->aircraft;
    int *of = arena_new(memory, (size_t)a->function_count + 1, sizeof(int));
    router r = {.made = c, .verdict = v};
    needs_steps_make(&r, NULL);
    for (int i = 0; i < a->function_count; i++)
        function_steps(&r, &a->functions[i]);
    r.steps = arena_new(memory, (size_t)r.count + 1, sizeof(route_step));
    if (memory->failed)
        return false;
    r.count = 0;
    needs_steps_make(&r, rules);
    v->needs_steps = r.count;
    for (int i = 0; i < a->function_count; i++)
        of[i] = function_steps(&r, &a->functions[i]);
    v->steps = r.steps;
    v->step_count = r.count;
    v->function_step = of;
    return true;
}
