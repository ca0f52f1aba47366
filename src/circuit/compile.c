// Compiling: nodes, then elements and signals part by part, then the final numbers.
#include "circuit/builder_state.h"
#include "circuit/redraw.h"
#include "circuit/verdict.h"
#include "part/part_kind.h"

static bool hand_selector(const part *p) {
    return p->kind == KIND_SWITCH && part_condition(p, KEY_CLOSES_WHEN) < 0 &&
           part_condition(p, KEY_OPENS_WHEN) < 0;
}

static void map_clear(part_map *m) {
    int *contacts = m->contacts, *throws = m->throws, *at = m->at;
    int *fields = (int *)m;
    for (size_t i = 0; i < sizeof *m / sizeof(int); i++)
        fields[i] = NOWHERE;
    m->contacts = contacts;
    m->throws = throws;
    m->at = at;
    m->list_count = 0;
}

static int *nowhere(arena *a, int count) {
    int *list = arena_new(a, (size_t)count, sizeof(int));
    for (int i = 0; list != NULL && i < count; i++)
        list[i] = NOWHERE;
    return list;
}

static bool maps_make(compiled *c) {
    const aircraft *a = c->aircraft;
    c->maps = arena_new(&c->memory, (size_t)a->part_count, sizeof(part_map));
    if (c->maps == NULL)
        return false;
    for (int i = 0; i < a->part_count; i++) {
        part_map *m = &c->maps[i];
        const struct part *p = &a->parts[i];
        map_clear(m);
        m->contacts = m->throws = m->at = NULL;
        if (!hand_selector(p))
            continue;
        const positions *s = part_positions(p);
        int count = s != NULL ? s->count : 2;
        m->at = nowhere(&c->memory, count);
        if (s == NULL || s->sort == POSITIONS_CONTACTS) {
            m->contacts = nowhere(&c->memory, count);
            m->throws = nowhere(&c->memory, count);
        }
    }
    return !c->memory.failed;
}

static bool builder_begin(builder *b, compiled *c) {
    int parts = c->aircraft->part_count, conditions = c->aircraft->condition_count;
    arena *m = &c->memory;
    *b = (builder){.memory = m->memory, .made = c, .aircraft = c->aircraft, .current = NOWHERE};
    b->condition_signal = arena_new(m, (size_t)conditions + 1, sizeof(int));
    b->works_memory = nowhere(m, parts + 1);
    b->list_node = nowhere(m, parts + 1);
    b->input_of_part = nowhere(m, parts + 1);
    b->works_state = arena_new(m, (size_t)parts + 1, 1);
    b->built = arena_new(m, (size_t)parts + 1, 1);
    if (m->failed)
        return false;
    for (int i = 0; i < conditions; i++)
        b->condition_signal[i] = NO_SIGNAL;
    builder_node(b, NOWHERE);  // the airframe
    return !b->failed;
}

// Which part feeds a machine's field, up through single-fed paths: its regulator.
static int regulator_above(const aircraft *a, int part) {
    const reference_list *r = part_references(&a->parts[part], KEY_FIELD_FROM);
    for (int steps = 0; r != NULL && r->count > 0 && steps < 16; steps++) {
        int above = r->items[0].part;
        if (above < 0)
            return NOWHERE;
        if (a->parts[above].kind == KIND_REGULATOR)
            return above;
        if (kind_class(a->parts[above].kind) != CLASS_PATH)
            return NOWHERE;
        r = part_references(&a->parts[above], KEY_FROM);
    }
    return NOWHERE;
}

void builder_build(builder *b, int part) {
    if (b->built[part] != 0)
        return;
    b->built[part] = 1;
    int outer = b->current;
    b->current = part;
    const part_row *row = part_row_of(builder_part(b, part)->kind);
    if (row->build != NULL)
        row->build(b, part);
    b->current = outer;
    b->built[part] = 2;
}

// A bundle that is shorted takes paths without a wire of their own to the airframe too.
static void bundle_shorts(builder *b) {
    const aircraft *a = b->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part_value *v = part_value_of(&a->parts[i], KEY_CARRIES);
        for (int k = 0; a->parts[i].kind == KIND_BUNDLE && v != NULL && k < v->as.ids.count; k++) {
            int carried = v->as.ids.items[k];
            part_map *m = builder_map(b, carried);
            if (a->parts[carried].wire >= 0 || m->to == NOWHERE || m->fault_short != NOWHERE)
                continue;
            m->fault_short =
                builder_conductance(b, carried, ROLE_SHORT, m->to, AIRFRAME_NODE, SIGNAL_TRUE);
        }
    }
}

// What a route of a function compares or asks of a hand, the phase or an engine. All else is looked
// up as the verdict is made (verdict_functions.c).
static void build_route(builder *b, int index) {
    const condition *c = &b->aircraft->conditions[index];
    switch (c->op) {
    case CONDITION_AND:
    case CONDITION_OR:
        build_route(b, c->a);
        build_route(b, c->b);
        break;
    case CONDITION_NOT:
    case CONDITION_LATCH:
    case CONDITION_FOR: build_route(b, c->a); break;
    case CONDITION_ALWAYS:
    case CONDITION_NEVER:
    case CONDITION_PRESENT:
    case CONDITION_WORKS:
    case CONDITION_ON: break;
    default: builder_condition(b, index, c->ref.part >= 0 ? c->ref.part : NOWHERE);
    }
}

static void build_routes(builder *b, const function *f) {
    for (int i = 0; i < f->kept_by.count; i++)
        build_route(b, f->kept_by.items[i]);
    for (int i = 0; i < f->partly_by.count; i++)
        build_route(b, f->partly_by.items[i]);
}

static void build_all(builder *b) {
    const aircraft *a = b->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part_row *row = part_row_of(a->parts[i].kind);
        if (a->parts[i].kind == KIND_ALTERNATOR || a->parts[i].kind == KIND_GENERATOR)
            b->made->maps[i].regulator = regulator_above(a, i);
        if (row->nodes != NULL && a->parts[i].implied != IMPLIED_WIRE &&
            a->parts[i].implied != IMPLIED_STRAP)
            row->nodes(b, i);
    }
    for (int i = 0; i < a->part_count && !b->failed; i++)
        builder_build(b, i);
    bundle_shorts(b);
    for (int i = 0; i < a->supply_count && !b->failed; i++)
        for (int k = 0; k < a->supplies[i].count; k++)
            builder_works(b, a->supplies[i].makers[k]);
    for (int i = 0; i < a->part_count && !b->failed; i++) {
        if (verdict_has_rule(&a->parts[i])) {
            builder_item_signals(b, i);
            if (b->made->maps[i].converter != NOWHERE)
                builder_converted(b, i);
        } else {
            builder_works(b, i);
        }
        if (a->parts[i].kind == KIND_ENGINE)
            builder_turning(b, i);
    }
    for (int i = 0; i < a->function_count && !b->failed; i++)
        build_routes(b, &a->functions[i]);
}

// ---- final numbers ------------------------------------------------------------------------------
// Volts of a reference: to the airframe; across an item or battery.
static void volts_nodes(builder *b, const reference *r, int *plus, int *minus) {
    *minus = AIRFRAME_NODE;
    *plus = builder_terminal(b, r, NOWHERE);
    if (r->part < 0 || r->terminal != TERMINAL_SELF)
        return;
    const part_map *m = builder_map(b, r->part);
    const struct part *p = builder_part(b, r->part);
    if (kind_class(p->kind) == CLASS_ITEM && m->to != NOWHERE)
        *minus = m->to;
    if (p->kind == KIND_BATTERY) {
        *minus = m->from;
        if (m->inner != NOWHERE)
            *plus = m->inner;  // the cells, ahead of what disconnects them
    }
}

// The element that carries a part's current, with the sign of the format (sources: out of the
// output).
static void amps_element(const builder *b, int part, comparator *c) {
    const part_map *m = &b->made->maps[part];
    const struct part *p = builder_part(b, part);
    c->of = QUANTITY_CONDUCTANCE_AMPS;
    c->b = 0;
    if (kind_class(p->kind) == CLASS_SOURCE) {
        c->of = QUANTITY_PIECEWISE_AMPS;
        c->a = m->piecewise;
        c->sign = -c->sign;
    } else if (p->kind == KIND_DIODE) {
        c->of = QUANTITY_PIECEWISE_AMPS;
        c->a = m->piecewise;
    } else {
        c->a = kind_class(p->kind) == CLASS_ITEM || m->path == NOWHERE ? m->wire : m->path;
    }
    if (c->a == NOWHERE)
        c->a = 0;  // no current of its own: the reader has said so
}

static void comparators_finish(builder *b, comparator *out) {
    for (int i = 0; i < b->comparator_count; i++) {
        late_comparator *k = &b->comparators[i];
        if (k->of != NULL && k->of->op == CONDITION_AMPS) {
            amps_element(b, k->of->ref.part, &k->c);
            if (k->output > 0)
                k->c.a = b->made->maps[k->of->ref.part].outputs[k->output];
        } else if (k->of != NULL && k->of->op == CONDITION_DIFFER) {
            int ignored;
            volts_nodes(b, &k->of->ref, &k->c.a, &ignored);
            volts_nodes(b, &k->of->other, &k->c.b, &ignored);
        } else if (k->of != NULL) {
            volts_nodes(b, &k->of->ref, &k->c.a, &k->c.b);
        }
        k->c.enable = builder_number(b, k->c.enable);
        out[i] = k->c;
    }
}

static void maps_finish(builder *b) {
    for (int i = 0; i < b->aircraft->part_count; i++) {
        part_map *m = &b->made->maps[i];
        int *signals[] = {&m->closed,   &m->energized, &m->on_line, &m->tripped, &m->runs,
                          &m->flashes,  &m->works,     &m->turning, &m->needs,   &m->whole,
                          &m->switched, &m->reserve,   &m->within,  &m->feeds};
        for (size_t k = 0; k < sizeof signals / sizeof signals[0]; k++)
            *signals[k] = builder_number(b, *signals[k]);
        const positions *s = part_positions(builder_part(b, i));
        int count = s != NULL ? s->count : 2;
        for (int k = 0; m->at != NULL && k < count; k++)
            m->at[k] = builder_number(b, m->at[k]);
    }
}

static void renumber(builder *b) {
    int shift = b->input_count;
    for (int i = 0; i < b->conductance_count; i++) {
        b->conductances[i].slot += shift;
        b->conductances[i].gate = builder_number(b, b->conductances[i].gate);
    }
    for (int i = 0; i < b->piecewise_count; i++) {
        b->piecewises[i].slot += shift;
        b->piecewises[i].gate = builder_number(b, b->piecewises[i].gate);
    }
    for (int i = 0; i < b->power_count; i++) {
        b->powers[i].slot += shift;
        b->powers[i].gate = builder_number(b, b->powers[i].gate);
    }
    for (int i = 0; i < b->lamp_count; i++) {
        b->lamps[i].slot += shift;
        b->lamps[i].gate = builder_number(b, b->lamps[i].gate);
    }
    for (int i = 0; i < b->breaker_count; i++)
        b->breakers[i].slot += shift;
    for (int i = 0; i < b->input_count; i++)
        if (b->inputs[i].kind == INPUT_IN)
            b->breakers[builder_map(b, b->inputs[i].part)->breaker].contact = i;
    for (int i = 0; i < b->memory_count; i++) {
        memory *m = &b->memories[i];
        m->set = builder_number(b, m->set);
        m->reset = builder_number(b, m->reset);
        m->hold = builder_number(b, m->hold);
    }
    for (int i = 0; i < b->gate_count; i++) {
        b->gates[i].a = builder_number(b, b->gates[i].a);
        b->gates[i].b = builder_number(b, b->gates[i].b);
    }
}

static status circuit_finish(builder *b) {
    compiled *c = b->made;
    comparator *comparators =
        arena_new(&c->memory, (size_t)b->comparator_count + 1, sizeof(comparator));
    int *owners = arena_new(&c->memory, (size_t)b->comparator_count + 1, sizeof(int));
    int *supply_of = arena_new(&c->memory, (size_t)b->comparator_count + 1, sizeof(int));
    if (comparators == NULL || owners == NULL || supply_of == NULL)
        return STATUS_NO_MEMORY;
    comparators_finish(b, comparators);
    for (int i = 0; i < b->comparator_count; i++) {
        owners[i] = b->comparators[i].owner;
        supply_of[i] = b->comparators[i].supply_of;
    }
    c->drawn->powers = b->powers;
    c->drawn->comparators = comparators;
    c->drawn->supply_of = supply_of;
    if (b->failed)
        return STATUS_NO_MEMORY;
    renumber(b);
    maps_finish(b);
    c->circuit = (circuit){
        .memory = arena_make(b->memory),
        .node_count = b->node_count,
        .input_count = b->input_count,
        .slot_top = b->input_count + b->param_count,
        .param_count = b->input_count + b->param_count + 1,
        .conductances = b->conductances,
        .conductance_count = b->conductance_count,
        .piecewises = b->piecewises,
        .piecewise_count = b->piecewise_count,
        .powers = b->powers,
        .power_count = b->power_count,
        .lamps = b->lamps,
        .lamp_count = b->lamp_count,
        .comparators = comparators,
        .comparator_count = b->comparator_count,
        .memories = b->memories,
        .memory_count = b->memory_count,
        .gates = b->gates,
        .gate_count = b->gate_count,
        .breakers = b->breakers,
        .breaker_count = b->breaker_count,
    };
    for (int i = 0; i < b->aircraft->condition_count; i++)
        if (b->condition_signal[i] != NO_SIGNAL)
            b->condition_signal[i] = builder_number(b, b->condition_signal[i]);
    c->condition_signal = b->condition_signal;
    c->inputs = b->inputs;
    c->conductance_owner = b->conductance_owner;
    c->piecewise_owner = b->piecewise_owner;
    c->power_owner = b->power_owner;
    c->lamp_owner = b->lamp_owner;
    c->breaker_owner = b->breaker_owner;
    c->comparator_owner = owners;
    c->node_owner = b->node_owner;
    return circuit_order(&c->circuit);
}

static bool loads_make(compiled *c) {
    c->drawn = arena_new(&c->memory, 1, sizeof *c->drawn);
    double *amps = arena_new(&c->memory, (size_t)c->aircraft->part_count, sizeof(double));
    if (c->drawn == NULL || amps == NULL)
        return false;
    loads_below(c->aircraft, amps);
    c->load_below = c->drawn->load_below = amps;
    return true;
}

status compile_aircraft(allocator memory, const aircraft *a, compiled **made) {
    *made = NULL;
    compiled *c = memory_new(memory, sizeof *c);
    if (c == NULL)
        return STATUS_NO_MEMORY;
    c->memory = arena_make(memory);
    c->aircraft = a;
    builder b;
    status s = STATUS_NO_MEMORY;
    if (maps_make(c) && builder_begin(&b, c) && loads_make(c)) {
        build_all(&b);
        if (!b.failed)
            s = circuit_finish(&b);
    }
    if (s == STATUS_OK) {
        verdict *v = arena_new(&c->memory, 1, sizeof *v);
        bool grouped = part_groups_make(&c->memory, a, c->maps, &c->groups);
        s = grouped && v != NULL ? verdict_make(&c->memory, c, v) : STATUS_NO_MEMORY;
        c->verdict = v;
    }
    if (s != STATUS_OK) {
        compiled_free(c);
        return s;
    }
    *made = c;
    return STATUS_OK;
}

void compiled_free(compiled *c) {
    if (c == NULL)
        return;
    allocator memory = c->memory.memory;
    if (c->circuit.memory.memory.resize != NULL)
        arena_free(&c->circuit.memory);
    arena_free(&c->memory);
    memory_free(memory, c, sizeof *c);
}
