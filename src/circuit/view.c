#include "circuit/view.h"

bool view_make(view *v, const compiled *c, arena *memory) {
    size_t parts = (size_t)c->aircraft->part_count;
    size_t nodes = (size_t)c->circuit.node_count;
    *v = (view){0};
    v->asked.setting = arena_new(memory, parts + 1, sizeof(double));
    v->params = arena_new(memory, (size_t)c->circuit.param_count, sizeof(double));
    v->faults = arena_new(memory, parts + 1, sizeof(uint32_t));
    void *block = arena_new(memory, 1, solution_size(&c->circuit));
    uint8_t *signals = arena_new(memory, (size_t)circuit_signal_count(&c->circuit) + 1, 1);
    uint8_t *live = arena_new(memory, nodes, 1);
    uint8_t *fed = arena_new(memory, nodes, 1);
    uint8_t *reached = arena_new(memory, nodes, 1);
    size_t elements = (size_t)c->circuit.conductance_count + (size_t)c->circuit.piecewise_count;
    passage_list *passages = arena_new(memory, 1, sizeof *passages);
    passage *list = arena_new(memory, elements + 1, sizeof *list);
    if (memory->failed)
        return false;
    v->solution = solution_carve(&c->circuit, block);
    *passages = (passage_list){.list = list};
    v->settled = (settled_state){.made = c,
                                 .signals = signals,
                                 .live = live,
                                 .fed = fed,
                                 .reached = reached,
                                 .passages = passages};
    return true;
}

void view_settle(view *v, work *w, const double *base_amps, const solution *start,
                 bool keep_breakers) {
    settled_state *s = &v->settled;
    bind_state(s->made, &v->asked, base_amps, v->faults, v->params);
    s->asked = &v->asked;
    s->faults = v->faults;
    s->job = (job){.params = v->params, .start = start, .keep_breakers = keep_breakers};
    solve_one(w, &s->job, &v->solution);
    s->solution = &v->solution;
    settled_read(s);
}
