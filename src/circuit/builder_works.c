// What it takes for each part to do its work: supply, needs, whatever turns it. Loops of needs (an
// engine that needs the pump that it turns) are broken by a memory that is only ever taken away.
#include "circuit/builder_state.h"
#include "part/item_draw.h"

static int all_needs(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    const part_value *v = part_value_of(p, KEY_NEEDS);
    int all = SIGNAL_TRUE;
    for (int i = 0; v != NULL && i < v->as.conditions.count; i++)
        all = builder_and(b, all, builder_condition(b, v->as.conditions.items[i], part));
    const part_value *turned = part_value_of(p, KEY_TURNED_BY);
    for (int i = 0; turned != NULL && i < turned->as.ids.count; i++)
        all = builder_and(b, all, builder_turning(b, turned->as.ids.items[i]));
    int fails = part_condition(p, KEY_FAILS_WHEN);
    if (fails >= 0)
        all = builder_and(b, all, builder_not(b, builder_condition(b, fails, part)));
    if (part_number(p, KEY_RESTARTS_IN, 0.0) > 0)
        all = builder_and(b, all, builder_input(b, INPUT_STARTED, part, 0));
    int grounded = part_condition(p, KEY_GROUNDED_WHEN);
    if (grounded >= 0) {
        int off = builder_and(b, builder_condition(b, grounded, part),
                              builder_input(b, INPUT_GROUNDABLE, part, 0));
        all = builder_and(b, all, builder_not(b, off));
    }
    return all;
}

// A converter of which much more is asked than its limit gives too little.
int builder_converted(builder *b, int part) {
    part_map *m = builder_map(b, part);
    m->feeds = builder_works(b, m->converter);
    m->within = builder_input(b, INPUT_GIVEN, m->converter, 1);
    m->feeds = builder_and(b, m->feeds, builder_input(b, INPUT_GIVEN, m->converter, 0));
    return m->feeds;
}

static int supplied_from_outside(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    const part_map *m = builder_map(b, part);
    if (m->converter != NOWHERE)
        return builder_converted(b, part);
    if (m->inner == NOWHERE)
        return SIGNAL_TRUE;
    builder_build(b, part);
    double off = item_off_volts(b->aircraft, p), on = off;
    if (m->power != NOWHERE) {
        off = b->powers[m->power].dropout;
        on = b->powers[m->power].restart;
    }
    int s = builder_comparator(b, m->inner, m->to, on, off, SIGNAL_TRUE);
    if (b->failed)
        return s;
    late_comparator *last = &b->comparators[b->comparator_count - 1];
    last->supply_of = part;
    last->c.power = m->power;
    return s;
}

static int supplied(builder *b, int part) {
    if (part_value_of(builder_part(b, part), KEY_OWN_BATTERY) == NULL)
        return supplied_from_outside(b, part);
    int reserve = builder_map(b, part)->reserve = builder_input(b, INPUT_RESERVE, part, 0);
    if (part_references(builder_part(b, part), KEY_FROM) == NULL)
        return reserve;
    return builder_or(b, reserve, supplied_from_outside(b, part));
}

// Only what nothing else depends on is left out of the circuit's signals: judging reads the volts.
void builder_item_signals(builder *b, int part) {
    part_map *m = builder_map(b, part);
    m->whole = builder_input(b, INPUT_WHOLE, part, 0);
    if (part_text(builder_part(b, part), KEY_OWN_SWITCH) != NULL)
        m->switched = builder_input(b, INPUT_ON, part, 0);
    if (part_value_of(builder_part(b, part), KEY_OWN_BATTERY) != NULL)
        m->reserve = builder_input(b, INPUT_RESERVE, part, 0);
    m->needs = all_needs(b, part);
}

static int item_works(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    m->whole = builder_input(b, INPUT_WHOLE, part, 0);
    int s = builder_and(b, supplied(b, part), m->whole);
    if (part_text(p, KEY_OWN_SWITCH) != NULL)
        s = builder_and(b, s, builder_input(b, INPUT_ON, part, 0));
    m->needs = all_needs(b, part);
    return builder_and(b, s, m->needs);
}

static int point_works(builder *b, int part) {
    double live = builder_volts(b, 9.0, 4.5);
    int node = builder_map(b, part)->own;
    return builder_comparator(b, node, AIRFRAME_NODE, live, live, SIGNAL_TRUE);
}

static int path_works(builder *b, int part) {
    builder_build(b, part);
    const part_map *m = builder_map(b, part);
    int whole = builder_input(b, INPUT_WHOLE, part, 0);
    return m->closed != NOWHERE ? builder_and(b, whole, builder_closed(b, part)) : whole;
}

static int make_works(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    switch (kind_class(p->kind)) {
    case CLASS_POINT: return point_works(b, part);
    case CLASS_PATH: return path_works(b, part);
    case CLASS_SOURCE:
        builder_build(b, part);
        return p->kind == KIND_BATTERY ? builder_input(b, INPUT_WHOLE, part, 0)
                                       : builder_map(b, part)->on_line;
    case CLASS_UNIT:
        if (p->kind != KIND_REGULATOR)
            return item_works(b, part);
        builder_build(b, part);
        return builder_and(
            b, builder_and(b, builder_input(b, INPUT_WHOLE, part, 0), builder_map(b, part)->closed),
            builder_comparator(b, builder_map(b, part)->from, AIRFRAME_NODE, 1.0, 1.0,
                               SIGNAL_TRUE));
    case CLASS_DRY: {
        int s = builder_input(b, INPUT_WHOLE, part, 0);
        if (p->kind == KIND_ENGINE)
            s = builder_and(b, s, builder_input(b, INPUT_RUNS, part, 0));
        int needs = builder_map(b, part)->needs = all_needs(b, part);
        return builder_and(b, s, needs);
    }
    case CLASS_ITEM: return item_works(b, part);
    default: return builder_input(b, INPUT_WHOLE, part, 0);
    }
}

int builder_works(builder *b, int part) {
    part_map *m = builder_map(b, part);
    if (b->works_state[part] == 2)
        return m->works;
    if (b->works_state[part] == 1) {  // a loop: stand in with what can only be taken away
        if (b->works_memory[part] == NOWHERE)
            b->works_memory[part] = builder_alive(b);
        return b->works_memory[part];
    }
    b->works_state[part] = 1;
    int s = make_works(b, part);
    int stand_in = b->works_memory[part];
    if (stand_in != NOWHERE && !b->failed) {
        b->memories[stand_in & ((1 << TAG_SHIFT) - 1)].set = s;
        s = builder_and(b, stand_in, s);
    }
    m->works = s;
    b->works_state[part] = 2;
    return s;
}

int builder_turning(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    if (p->kind != KIND_ENGINE) {
        if (kind_class(p->kind) != CLASS_SOURCE)
            return builder_works(b, part);
        const part_value *turned = part_value_of(p, KEY_TURNED_BY);  // a machine: what turns it
        if (turned != NULL && turned->as.ids.count > 0)
            return builder_turning(b, turned->as.ids.items[0]);
        for (int i = 0; i < b->aircraft->part_count; i++)  // the only engine
            if (b->aircraft->parts[i].kind == KIND_ENGINE)
                return builder_turning(b, i);
        return SIGNAL_TRUE;
    }
    // In the air an engine that fails goes on turning; on the ground it stops.
    int held = builder_or(b, builder_works(b, part), builder_input(b, INPUT_AIRBORNE, NOWHERE, 0));
    int turns = builder_and(b, builder_input(b, INPUT_TURNS, part, 0), held);
    m->turning = builder_or(b, turns, builder_input(b, INPUT_WINDMILLS, part, 0));
    return m->turning;
}
