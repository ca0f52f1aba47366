// Conditions as comparators, inputs and gates.
#include "circuit/builder_state.h"

// Dead band where no `until` ends a condition: 1 %, at least 0.1 V or A (design choice).
static double dead_band(const builder *b, double threshold) {
    if (b->in_latch)
        return 0.0;
    double band = 0.01 * (threshold < 0 ? -threshold : threshold);
    return band > 0.1 ? band : 0.1;
}

// A comparison with a figure. Its nodes or its element are looked up once everything is built.
static int comparison(builder *b, const condition *c, quantity of, int part) {
    double band = dead_band(b, c->value);
    double sign = c->below ? -1.0 : 1.0;
    // "below 25 V" turns the figure round with its sign; "below main-bus by 5 V" is a distance.
    double set = c->below && c->op != CONDITION_DIFFER ? -c->value : c->value;
    int s = builder_comparator(b, NOWHERE, NOWHERE, set, set - band, SIGNAL_TRUE);
    if (b->failed)
        return 0;
    late_comparator *k = &b->comparators[b->comparator_count - 1];
    k->c.of = of;
    k->c.sign = sign;
    k->of = c;
    k->owner = part;
    return s;
}

// A machine may have several elements of which one at a time carries its current.
static int amps_comparison(builder *b, const condition *c, int part) {
    int s = comparison(b, c, QUANTITY_CONDUCTANCE_AMPS, part);
    part_kind kind = builder_part(b, c->ref.part)->kind;
    if (kind != KIND_ALTERNATOR && kind != KIND_GENERATOR)
        return s;
    builder_build(b, c->ref.part);
    for (int i = 1; i < OUTPUTS_MOST; i++) {
        if (builder_map(b, c->ref.part)->outputs[i] == NOWHERE)
            continue;
        int other = comparison(b, c, QUANTITY_CONDUCTANCE_AMPS, part);
        if (b->failed)
            return 0;
        b->comparators[b->comparator_count - 1].output = i;
        s = c->below ? builder_and(b, s, other) : builder_or(b, s, other);
    }
    return s;
}

static int switch_on(builder *b, int part) {
    const part_map *m = builder_map(b, part);
    const struct part *p = builder_part(b, part);
    if (m->at == NULL) {
        builder_build(b, part);
        return m->closed != NOWHERE ? m->closed : builder_input(b, INPUT_ON, part, 0);
    }
    const positions *s = part_positions(p);
    for (int i = 0; s != NULL && i < s->count; i++)
        if (text_equal(s->labels[i], "OFF"))
            return builder_not(b, builder_input(b, INPUT_POSITION, part, i));
    return s == NULL ? builder_input(b, INPUT_POSITION, part, 1)
                     : builder_not(b, builder_input(b, INPUT_POSITION, part, 0));
}

static int part_on(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    switch (p->kind) {
    case KIND_SWITCH: return switch_on(b, part);
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER:
    case KIND_DIMMER: return builder_input(b, INPUT_ON, part, 0);
    case KIND_ALTERNATOR:
    case KIND_GENERATOR:
    case KIND_BATTERY: return builder_and(b, builder_works(b, part), builder_joined(b, part));
    default: return builder_works(b, part);
    }
}

int builder_closed(builder *b, int part) {
    builder_build(b, part);
    const part_map *m = builder_map(b, part);
    if (b->built[part] != 2)
        return builder_false(b);  // a loop of conditions: a finding of the reader
    if (m->breaker != NOWHERE)
        return builder_and(b, m->closed, builder_input(b, INPUT_IN, part, 0));
    return m->closed != NOWHERE ? m->closed : part_on(b, part);
}

static int engine_state(builder *b, const condition *c, int part) {
    int who = c->ref.part;
    int runs = builder_works(b, who);
    int turns = builder_turning(b, who);
    if (c->op == CONDITION_RUNNING)
        return runs;
    if (c->op == CONDITION_STOPPED)
        return builder_not(b, turns);
    (void)part;
    return builder_and(b, turns, builder_not(b, runs));
}

static int supply_present(builder *b, int supply) {
    const struct supply *s = &b->aircraft->supplies[supply];
    int any = builder_false(b);
    for (int i = 0; i < s->count; i++)
        any = builder_or(b, any, builder_works(b, s->makers[i]));
    return any;
}

// The latch is lost with the supply of a part that has one of its own.
static int latch_hold(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_class class = kind_class(p->kind);
    if ((class != CLASS_ITEM && class != CLASS_UNIT) || part_references(p, KEY_FROM) == NULL)
        return SIGNAL_TRUE;
    int node = builder_feed(b, part, KEY_FROM, NOWHERE);
    return builder_comparator(b, node, AIRFRAME_NODE, 1.0, 1.0, SIGNAL_TRUE);
}

static int latch(builder *b, const condition *c, int part) {
    bool outer = b->in_latch;
    b->in_latch = true;
    int set = builder_condition(b, c->a, part);
    int reset = builder_condition(b, c->b, part);
    b->in_latch = outer;
    return builder_latch(b, set, reset, latch_hold(b, part));
}

static int atom(builder *b, const condition *c, int index, int part) {
    int who = c->ref.part;
    switch (c->op) {
    case CONDITION_VOLTS:
    case CONDITION_DIFFER: return comparison(b, c, QUANTITY_VOLTS, part);
    case CONDITION_AMPS: return amps_comparison(b, c, part);
    case CONDITION_ON: return part_on(b, who);
    case CONDITION_IN:
    case CONDITION_CLOSED: return builder_closed(b, who);
    case CONDITION_RUNNING:
    case CONDITION_WINDMILLING:
    case CONDITION_STOPPED: return engine_state(b, c, part);
    case CONDITION_PRESENT: return supply_present(b, c->supply);
    case CONDITION_WORKS: return builder_works(b, who);
    case CONDITION_AT:
        if (builder_part(b, who)->kind == KIND_SWITCH)
            return builder_input(b, INPUT_POSITION, who, c->position);
        return builder_input(b, INPUT_CONDITION, NOWHERE, index);
    default: return builder_input(b, INPUT_CONDITION, NOWHERE, index);
    }
}

static int make_condition(builder *b, int index, int part) {
    const condition *c = &b->aircraft->conditions[index];
    switch (c->op) {
    case CONDITION_ALWAYS: return SIGNAL_TRUE;
    case CONDITION_NEVER: return builder_false(b);
    case CONDITION_AND:
    case CONDITION_OR: {
        int x = builder_condition(b, c->a, part);
        int y = builder_condition(b, c->b, part);
        return c->op == CONDITION_AND ? builder_and(b, x, y) : builder_or(b, x, y);
    }
    case CONDITION_NOT: return builder_not(b, builder_condition(b, c->a, part));
    case CONDITION_FOR: {
        int held = builder_condition(b, c->a, part);
        return builder_and(b, held, builder_input(b, INPUT_ELAPSED, NOWHERE, index));
    }
    case CONDITION_LATCH: return latch(b, c, part);
    default: return atom(b, c, index, part);
    }
}

int builder_condition(builder *b, int index, int part) {
    if (b->condition_signal[index] == NO_SIGNAL) {
        int s = make_condition(b, index, part);
        b->condition_signal[index] = s;
    }
    return b->condition_signal[index];
}
