#include "support/circuit_builder.h"

#include <stdlib.h>
#include <string.h>

static void *need(void *p) {
    if (!p)
        abort();
    return p;
}

builder builder_make(int inputs, double top) {
    builder b = {.memory = arena_make(allocator_default()), .node_count = 1, .input_count = inputs};
    for (int i = 0; i < inputs; i++)
        build_param(&b, 1);
    b.slot_top = build_param(&b, top);
    return b;
}

void builder_free(builder *b) { arena_free(&b->memory); }

int build_node(builder *b) { return b->node_count++; }

int build_param(builder *b, double value) {
    b->params = need(
        arena_grow(&b->memory, b->params, &b->param_room, b->param_count + 1, sizeof *b->params));
    b->params[b->param_count] = value;
    return b->param_count++;
}

int build_conductance(builder *b, int from, int to, double siemens, int gate) {
    b->conductances = need(arena_grow(&b->memory, b->conductances, &b->conductance_room,
                                      b->conductance_count + 1, sizeof *b->conductances));
    b->conductances[b->conductance_count] =
        (conductance){from, to, build_param(b, siemens), gate, -1};
    return b->conductance_count++;
}

int build_breaker(builder *b, int from, int to, double rating, double siemens, int gate) {
    int g = build_conductance(b, from, to, siemens, gate);
    b->breakers = need(arena_grow(&b->memory, b->breakers, &b->breaker_room, b->breaker_count + 1,
                                  sizeof *b->breakers));
    b->conductances[g].breaker = b->breaker_count;
    b->breakers[b->breaker_count] = (breaker){g, build_param(b, rating), -1};
    return b->breaker_count++;
}

int build_piecewise(builder *b, int from, int to, int gate, int pieces, const double *table) {
    b->piecewises = need(arena_grow(&b->memory, b->piecewises, &b->piecewise_room,
                                    b->piecewise_count + 1, sizeof *b->piecewises));
    int slot = b->param_count;
    for (int i = 0; i < 3 * pieces - 1; i++)
        build_param(b, table[i]);
    b->piecewises[b->piecewise_count] = (piecewise){from, to, slot, gate, pieces};
    return b->piecewise_count++;
}

int build_power(builder *b, int from, int to, double watts, double dropout, double restart,
                int gate) {
    b->powers = need(
        arena_grow(&b->memory, b->powers, &b->power_room, b->power_count + 1, sizeof *b->powers));
    b->powers[b->power_count] =
        (power_load){from, to, build_param(b, watts), gate, dropout, restart};
    return b->power_count++;
}

int build_lamp(builder *b, int from, int to, double amps, double volts, int gate) {
    b->lamps =
        need(arena_grow(&b->memory, b->lamps, &b->lamp_room, b->lamp_count + 1, sizeof *b->lamps));
    b->lamps[b->lamp_count] = (lamp_load){from, to, build_param(b, amps), gate, volts};
    return b->lamp_count++;
}

int build_comparator(builder *b, comparator h) {
    b->comparators = need(arena_grow(&b->memory, b->comparators, &b->comparator_room,
                                     b->comparator_count + 1, sizeof *b->comparators));
    b->comparators[b->comparator_count] = h;
    return b->comparator_count++;
}

int build_memory(builder *b, memory m) {
    b->memories = need(arena_grow(&b->memory, b->memories, &b->memory_room, b->memory_count + 1,
                                  sizeof *b->memories));
    b->memories[b->memory_count] = m;
    return b->memory_count++;
}

int build_gate(builder *b, gate_op op, int x, int y) {
    b->gates =
        need(arena_grow(&b->memory, b->gates, &b->gate_room, b->gate_count + 1, sizeof *b->gates));
    b->gates[b->gate_count] = (gate){op, x, y};
    return b->gate_count++;
}

int build_source(builder *b, int node, double emf, double ohms, int gate) {
    const double table[2] = {1 / ohms, -emf / ohms};
    return build_piecewise(b, node, 0, gate, 1, table);
}

int build_diode(builder *b, int from, int to, double knee, double ohms) {
    const double table[5] = {knee, 0, 1 / ohms, 0, -knee / ohms};
    return build_piecewise(b, from, to, SIGNAL_ALWAYS, 2, table);
}

int build_alternator(builder *b, int node, double volts, double ohms, double limit, int gate) {
    const double table[8] = {volts - limit * ohms, volts, 0, 1 / ohms, 0, -limit, -volts / ohms, 0};
    return build_piecewise(b, node, 0, gate, 3, table);
}

signal_base builder_signals(const builder *b, int comparators, int memories) {
    return (signal_base){b->input_count, b->input_count + comparators,
                         b->input_count + comparators + memories};
}

circuit *builder_finish(builder *b) {
    circuit *c = need(arena_new(&b->memory, 1, sizeof *c));
    *c = (circuit){
        .memory = b->memory,
        .node_count = b->node_count,
        .param_count = b->param_count,
        .input_count = b->input_count,
        .slot_top = b->slot_top,
        .conductances = b->conductances,
        .conductance_count = b->conductance_count,
        .piecewises = b->piecewises,
        .piecewise_count = b->piecewise_count,
        .powers = b->powers,
        .power_count = b->power_count,
        .lamps = b->lamps,
        .lamp_count = b->lamp_count,
        .comparators = b->comparators,
        .comparator_count = b->comparator_count,
        .memories = b->memories,
        .memory_count = b->memory_count,
        .gates = b->gates,
        .gate_count = b->gate_count,
        .breakers = b->breakers,
        .breaker_count = b->breaker_count,
    };
    if (circuit_order(c) != STATUS_OK)
        abort();
    b->memory = c->memory;
    return c;
}

solution *builder_solution(builder *b, const circuit *c) {
    solution *s = need(arena_new(&b->memory, 1, sizeof *s));
    *s = solution_carve(c, need(arena_new(&b->memory, 1, solution_size(c))));
    solution_cold(c, s);
    return s;
}

void settle(const circuit *c, const job *j, solution *result) {
    work *w = need(work_new(allocator_default(), c));
    solve_one(w, j, result);
    work_free(w);
}
