#include "support/random_circuit.h"

#include <stdlib.h>

enum { MODULE_NODES = 59, FIXED_NODES = 5, ITEM_NODES = 3, MODULE_INPUTS = 3 };

uint64_t random_bits(uint64_t *state) {
    *state += 0x9e3779b97f4a7c15u;
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

double random_unit(uint64_t *state) { return (double)(random_bits(state) >> 11) * 0x1p-53; }

static double between(uint64_t *state, double low, double high) {
    return low + (high - low) * random_unit(state);
}

// What one module adds: counts that must be known before its signals are numbered.
typedef struct maker {
    random_circuit *r;
    builder *b;
    uint64_t seed;
    signal_base base;
    int input;  // next free one
    int previous_bus;
    int loads;
} maker;

typedef struct module {
    int battery, bus, radio_bus, alternator, field;
    int low_volts;  // signal
} module;

static void note(int *list, int *count, int value) { list[(*count)++] = value; }

static void note_series(maker *m, int conductance) {
    note(m->r->series, &m->r->series_count, m->b->conductances[conductance].slot);
}

static int comparator_on(maker *m, int node, double set, double reset, int enable, int level) {
    comparator h = {QUANTITY_VOLTS, node, 0, 1, set, reset, enable, level, -1};
    return m->base.comparator + build_comparator(m->b, h);
}

static void make_battery(maker *m, module *d) {
    builder *b = m->b;
    double ohms = between(&m->seed, 0.01, 0.04);
    double emf = between(&m->seed, 24, 25.5);
    double most = between(&m->seed, 10, 20);  // amps of charge
    const double table[5] = {emf + most * ohms, 1 / ohms, 0, -emf / ohms, most};
    int k = build_piecewise(b, d->battery, 0, SIGNAL_ALWAYS, 2, table);
    note(m->r->batteries, &m->r->battery_count, b->piecewises[k].slot);
    int closed = comparator_on(m, d->battery, 17, 6, m->input++, 2);
    build_conductance(b, d->battery, d->bus, 1000, closed);
}

static void make_alternator(maker *m, module *d) {
    builder *b = m->b;
    int on = m->input++;
    int switched = build_conductance(b, d->bus, d->field, 20, on);
    note_series(m, switched);
    build_conductance(b, d->field, 0, 1 / 12.0, SIGNAL_ALWAYS);
    int excited = comparator_on(m, d->field, 12, 6, on, 2);
    int over = comparator_on(m, d->bus, 32, 31, SIGNAL_ALWAYS, 3);
    int latch = m->base.memory + build_memory(b, (memory){MEMORY_LATCH, over, -1, on});
    int alive = m->base.memory + build_memory(b, (memory){MEMORY_ALIVE, excited, -1, -1});
    int healthy = m->base.gate + build_gate(b, GATE_NOT, latch, 0);
    int lives = m->base.gate + build_gate(b, GATE_AND, excited, alive);
    int runs = m->base.gate + build_gate(b, GATE_AND, healthy, lives);
    double limit = between(&m->seed, 50, 80);
    int k = build_alternator(b, d->alternator, between(&m->seed, 28, 28.5), 0.004, limit, runs);
    note(m->r->regulators, &m->r->regulator_count, b->piecewises[k].slot);
    build_breaker(b, d->alternator, d->bus, limit * 1.1, 500, SIGNAL_ALWAYS);
}

// A second bus behind a relay that rests closed, and diodes from both neighbors.
static void make_radio_bus(maker *m, module *d) {
    builder *b = m->b;
    int pulled = comparator_on(m, d->bus, 18, 8, m->input, 2);
    int rests = m->base.gate + build_gate(b, GATE_NOT, pulled, 0);
    int out = m->base.gate + build_gate(b, GATE_OR, rests, m->input++);
    build_conductance(b, d->bus, d->radio_bus, 200, out);
    if (m->previous_bus != 0) {
        build_diode(b, m->previous_bus, d->radio_bus, 0.7, 0.01);
        build_breaker(b, m->previous_bus, d->bus, 60, 300, SIGNAL_ALWAYS);
    }
    comparator low = {QUANTITY_VOLTS, d->bus, 0, -1, -25, -25.4, SIGNAL_ALWAYS, 2, -1};
    d->low_volts = m->base.comparator + build_comparator(b, low);
    build_lamp(b, d->bus, 0, 0.08, 28, d->low_volts);
}

static void make_load(maker *m, int node, double amps) {
    builder *b = m->b;
    int kind = m->loads++ % 6;
    if (kind == 0)
        build_lamp(b, node, 0, amps, 28, SIGNAL_ALWAYS);
    else if (kind == 1 || kind == 4)
        build_conductance(b, node, 0, amps / 28, SIGNAL_ALWAYS);
    else
        build_power(b, node, 0, amps * 28, 18, 19, SIGNAL_ALWAYS);
}

static void make_item(maker *m, int bus, bool monitored) {
    builder *b = m->b;
    int protected = build_node(b);
    int switched = build_node(b);
    int item = build_node(b);
    double amps = between(&m->seed, 0.2, 3);
    double rating = 2 + 2 * amps;
    int k = build_breaker(b, bus, protected, rating, rating / 0.15, SIGNAL_ALWAYS);
    note_series(m, b->breakers[k].conductance);
    note(m->r->switches, &m->r->switch_count, m->input);
    int s = build_conductance(b, protected, switched, 100, m->input++);
    note_series(m, s);
    int wire = build_conductance(b, switched, item, amps / 0.25, SIGNAL_ALWAYS);
    note_series(m, wire);
    int fault = build_conductance(b, switched, 0, 0, SIGNAL_ALWAYS);
    note(m->r->shorts, &m->r->short_count, b->conductances[fault].slot);
    make_load(m, item, amps);
    if (monitored) {
        comparator idle = {
            QUANTITY_CONDUCTANCE_AMPS, wire, 0, -1, -0.2, -0.25, SIGNAL_ALWAYS, 2, -1};
        int lit = m->base.comparator + build_comparator(b, idle);
        build_lamp(b, bus, 0, 0.04, 28, lit);
    }
}

static void make_module(maker *m, int items) {
    builder *b = m->b;
    module d = {build_node(b), build_node(b), build_node(b), build_node(b), build_node(b), 0};
    make_battery(m, &d);
    make_alternator(m, &d);
    make_radio_bus(m, &d);
    for (int i = 0; i < items; i++)
        make_item(m, i % 3 == 0 ? d.radio_bus : d.bus, i == 4);
    m->previous_bus = d.bus;
}

static int *list_of(builder *b, int count) {
    int *list = arena_new(&b->memory, (size_t)count + 1, sizeof *list);
    if (!list)
        abort();
    return list;
}

random_circuit *random_circuit_make(int nodes, uint64_t seed) {
    random_circuit *r = calloc(1, sizeof *r);
    if (!r)
        abort();
    int modules = (nodes + MODULE_NODES / 2) / MODULE_NODES;
    modules = modules < 1 ? 1 : modules;
    int items = (nodes - 1 - modules * FIXED_NODES) / ITEM_NODES;
    r->b = builder_make(items + modules * MODULE_INPUTS, 28.5);
    builder *b = &r->b;
    r->switches = list_of(b, items + modules * MODULE_INPUTS);
    r->series = list_of(b, 3 * items + modules);
    r->shorts = list_of(b, items);
    r->batteries = list_of(b, modules);
    r->regulators = list_of(b, modules);
    maker m = {.r = r, .b = b, .seed = seed};
    int monitored = 0;
    for (int i = 0; i < modules; i++)
        monitored += (items * (i + 1) / modules - items * i / modules) > 4;
    m.base = builder_signals(b, modules * 5 + monitored, 2 * modules);
    for (int i = 0; i < modules; i++)
        make_module(&m, items * (i + 1) / modules - items * i / modules);
    r->c = builder_finish(b);
    return r;
}

void random_circuit_free(random_circuit *r) {
    builder_free(&r->b);
    free(r);
}

int random_patches_most(const random_circuit *r) { return r->b.input_count + 16; }

static int pick_from(uint64_t *s, const int *list, int count) {
    return list[random_bits(s) % (uint64_t)count];
}

// One fault: something opens, is shorted, or a source changes.
static int add_fault(const random_circuit *r, uint64_t *s, patch *out) {
    double kind = random_unit(s);
    const double *params = r->b.params;
    if (kind < 0.5) {
        *out = (patch){pick_from(s, r->series, r->series_count), 0};
    } else if (kind < 0.78) {
        *out = (patch){pick_from(s, r->shorts, r->short_count), 200};
    } else if (kind < 0.96) {
        int slot = pick_from(s, r->batteries, r->battery_count);  // weak: a fifth of its slope
        out[0] = (patch){slot + 1, params[slot + 1] / 5};
        out[1] = (patch){slot + 3, params[slot + 3] / 5 * between(s, 0.8, 1)};
        double most = params[slot + 4];
        out[2] = (patch){slot, (most - out[1].value) / out[0].value};
        return 3;
    } else {
        int slot = pick_from(s, r->regulators, r->regulator_count);  // set too high
        double volts = between(s, 30, 34);
        double limit = -params[slot + 5];
        out[0] = (patch){slot, volts - limit / params[slot + 3]};
        out[1] = (patch){slot + 1, volts};
        out[2] = (patch){slot + 6, -volts * params[slot + 3]};
        out[3] = (patch){r->b.slot_top, 34};
        return 4;
    }
    return 1;
}

int random_state(const random_circuit *r, uint64_t seed, int index, patch *out) {
    uint64_t s = seed ^ (0x632be59bd9b4e019u * (uint64_t)(index + 1));
    int count = 0;
    for (int i = 0; i < r->b.input_count; i++) {
        bool own = i % 8 == 0;
        if (random_unit(&s) < (own ? 0.4 : 0.12))
            out[count++] = (patch){i, 0};
    }
    int faults = (int)(random_bits(&s) % 4);
    for (int i = 0; i < faults; i++)
        count += add_fault(r, &s, out + count);
    return count;
}

int random_faults(const random_circuit *r, uint64_t seed, int index, int faults, patch *out) {
    uint64_t s = seed ^ (0x632be59bd9b4e019u * (uint64_t)(index + 1));
    int count = 0;
    for (int i = 0; i < faults; i++)
        count += add_fault(r, &s, out + count);
    return count;
}
