// The builder's lists: nodes, elements, inputs, comparators, memories, gates.
#include "circuit/builder_state.h"

bool builder_room(builder *b, void **items, int *room, int count, size_t size) {
    if (b->failed)
        return false;
    void *grown = arena_grow(&b->made->memory, *items, room, count + 1, size);
    if (grown == NULL) {
        b->failed = true;
        return false;
    }
    *items = grown;
    return true;
}

const aircraft *builder_aircraft(const builder *b) { return b->aircraft; }
part_map *builder_map(builder *b, int part) { return &b->made->maps[part]; }
const part *builder_part(const builder *b, int part) { return &b->aircraft->parts[part]; }

double builder_volts(const builder *b, double at28, double at14) {
    return aircraft_is_28(b->aircraft) ? at28 : at14;
}

int builder_node(builder *b, int part) {
    if (!builder_room(b, (void **)&b->node_owner, &b->node_room, b->node_count, sizeof(int)))
        return AIRFRAME_NODE;
    b->node_owner[b->node_count] = part;
    return b->node_count++;
}

static int slots(builder *b, int count) {
    int first = b->param_count;
    b->param_count += count;
    return first;
}

int builder_conductance(builder *b, int part, element_role role, int a, int c, int gate) {
    int n = b->conductance_count;
    if (!builder_room(b, (void **)&b->conductances, &b->conductance_room, n, sizeof(conductance)) ||
        !builder_room(b, (void **)&b->conductance_owner, &b->conductance_owner_room, n,
                      sizeof(element_owner)))
        return 0;
    b->conductances[n] =
        (conductance){.a = a, .b = c, .slot = slots(b, 1), .gate = gate, .breaker = -1};
    b->conductance_owner[n] = (element_owner){part, role};
    return b->conductance_count++;
}

int builder_piecewise(builder *b, int part, element_role role, int a, int c, int pieces, int gate) {
    int n = b->piecewise_count;
    if (!builder_room(b, (void **)&b->piecewises, &b->piecewise_room, n, sizeof(piecewise)) ||
        !builder_room(b, (void **)&b->piecewise_owner, &b->piecewise_owner_room, n,
                      sizeof(element_owner)))
        return 0;
    b->piecewises[n] = (piecewise){
        .a = a, .b = c, .slot = slots(b, 3 * pieces - 1), .gate = gate, .pieces = pieces};
    b->piecewise_owner[n] = (element_owner){part, role};
    return b->piecewise_count++;
}

int builder_power(builder *b, int part, int a, int c, double dropout, double restart, int gate) {
    int n = b->power_count;
    if (!builder_room(b, (void **)&b->powers, &b->power_room, n, sizeof(power_load)) ||
        !builder_room(b, (void **)&b->power_owner, &b->power_owner_room, n, sizeof(int)))
        return 0;
    b->powers[n] = (power_load){
        .a = a, .b = c, .slot = slots(b, 1), .gate = gate, .dropout = dropout, .restart = restart};
    b->power_owner[n] = part;
    return b->power_count++;
}

int builder_lamp(builder *b, int part, int a, int c, double volts, int gate) {
    int n = b->lamp_count;
    if (!builder_room(b, (void **)&b->lamps, &b->lamp_room, n, sizeof(lamp_load)) ||
        !builder_room(b, (void **)&b->lamp_owner, &b->lamp_owner_room, n, sizeof(int)))
        return 0;
    b->lamps[n] = (lamp_load){.a = a, .b = c, .slot = slots(b, 1), .gate = gate, .volts = volts};
    b->lamp_owner[n] = part;
    return b->lamp_count++;
}

int builder_breaker(builder *b, int part, int element) {
    int n = b->breaker_count;
    if (!builder_room(b, (void **)&b->breakers, &b->breaker_room, n, sizeof(breaker)) ||
        !builder_room(b, (void **)&b->breaker_owner, &b->breaker_owner_room, n, sizeof(int)))
        return 0;
    b->breakers[n] = (breaker){.conductance = element, .slot = slots(b, 1), .contact = NOWHERE};
    b->breaker_owner[n] = part;
    b->conductances[element].breaker = n;
    return b->breaker_count++;
}

int builder_input(builder *b, input_kind kind, int part, int detail) {
    int *first = &b->input_of_part[part == NOWHERE ? b->aircraft->part_count : part];
    for (int i = *first; i != NOWHERE; i = b->input_next[i])
        if (b->inputs[i].kind == kind && b->inputs[i].detail == detail)
            return i;
    int n = b->input_count;
    if (!builder_room(b, (void **)&b->inputs, &b->input_room, n, sizeof(input)) ||
        !builder_room(b, (void **)&b->input_next, &b->input_next_room, n, sizeof(int)))
        return 0;
    b->inputs[n] = (input){kind, part, detail};
    b->input_next[n] = *first;
    *first = n;
    return b->input_count++;
}

int builder_false(builder *b) { return builder_input(b, INPUT_FALSE, NOWHERE, 0); }

int builder_comparator(builder *b, int a, int c, double set, double reset, int enable) {
    int n = b->comparator_count;
    if (!builder_room(b, (void **)&b->comparators, &b->comparator_room, n, sizeof(late_comparator)))
        return 0;
    comparator k = {.of = QUANTITY_VOLTS,
                    .a = a,
                    .b = c,
                    .sign = 1.0,
                    .set = set,
                    .reset = reset,
                    .enable = enable,
                    .level = 2,
                    .power = NOWHERE};
    b->comparators[n] =
        (late_comparator){.c = k, .of = NULL, .owner = b->current, .supply_of = NOWHERE};
    b->comparator_count++;
    return TAG_COMPARATOR << TAG_SHIFT | n;
}

static int new_memory(builder *b, memory m) {
    int n = b->memory_count;
    if (!builder_room(b, (void **)&b->memories, &b->memory_room, n, sizeof(memory)))
        return 0;
    b->memories[n] = m;
    b->memory_count++;
    return TAG_MEMORY << TAG_SHIFT | n;
}

int builder_latch(builder *b, int set, int reset, int hold) {
    if (set == SIGNAL_TRUE)
        set = builder_input(b, INPUT_TRUE, NOWHERE, 0);
    if (reset == SIGNAL_TRUE)
        reset = builder_input(b, INPUT_TRUE, NOWHERE, 0);
    return new_memory(b, (memory){.kind = MEMORY_LATCH, .set = set, .reset = reset, .hold = hold});
}

int builder_alive(builder *b) {
    return new_memory(b, (memory){.kind = MEMORY_ALIVE,
                                  .set = SIGNAL_TRUE,
                                  .reset = SIGNAL_TRUE,
                                  .hold = SIGNAL_TRUE});
}

enum { SAME_GATES = 64 };  // how many of the latest are looked through for an equal one

static int new_gate(builder *b, gate_op op, int x, int y) {
    int from = b->gate_count > SAME_GATES ? b->gate_count - SAME_GATES : 0;
    for (int i = from; i < b->gate_count; i++)
        if (b->gates[i].op == op && b->gates[i].a == x && b->gates[i].b == y)
            return TAG_GATE << TAG_SHIFT | i;
    int n = b->gate_count;
    if (!builder_room(b, (void **)&b->gates, &b->gate_room, n, sizeof(gate)))
        return 0;
    b->gates[n] = (gate){op, x, y};
    b->gate_count++;
    return TAG_GATE << TAG_SHIFT | n;
}

int builder_and(builder *b, int x, int y) {
    if (x == SIGNAL_TRUE || x == y)
        return y;
    if (y == SIGNAL_TRUE)
        return x;
    int no = builder_false(b);
    return x == no || y == no ? no : new_gate(b, GATE_AND, x, y);
}

int builder_or(builder *b, int x, int y) {
    if (x == SIGNAL_TRUE || y == SIGNAL_TRUE)
        return SIGNAL_TRUE;
    int no = builder_false(b);
    if (x == no || x == y)
        return y;
    return y == no ? x : new_gate(b, GATE_OR, x, y);
}

int builder_not(builder *b, int x) {
    if (x == SIGNAL_TRUE)
        return builder_false(b);
    if (x == builder_false(b))
        return SIGNAL_TRUE;
    return new_gate(b, GATE_NOT, x, x);
}

int builder_number(const builder *b, int tagged) {
    if (tagged < 0)
        return SIGNAL_ALWAYS;
    int index = tagged & ((1 << TAG_SHIFT) - 1);
    switch (tagged >> TAG_SHIFT) {
    case TAG_INPUT: return index;
    case TAG_COMPARATOR: return b->input_count + index;
    case TAG_MEMORY: return b->input_count + b->comparator_count + index;
    default: return b->input_count + b->comparator_count + b->memory_count + index;
    }
}
