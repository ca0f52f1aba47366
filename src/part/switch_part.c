// Switch: two positions, a selector with a contact for each position, one that passes power in
// every position (places, settings), or one that no hand moves (closes-when).
#include "part/kind_rows.h"
#include "part/path_ends.h"

static bool passes_always(const part *p) {
    const positions *s = part_positions(p);
    return s != NULL && s->sort != POSITIONS_CONTACTS;
}

static int position_count(const part *p) {
    const positions *s = part_positions(p);
    return s != NULL ? s->count : 2;
}

static int on_position(const part *p) {
    const positions *s = part_positions(p);
    if (s == NULL)
        return 1;
    for (int i = 0; i < s->count; i++)
        if (text_equal(s->labels[i], "ON"))
            return i;
    return NOWHERE;
}

void switch_nodes(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    path_nodes(b, part);
    if (m->contacts == NULL)
        return;
    int on = on_position(p);
    for (int i = 0; i < position_count(p); i++)
        m->contacts[i] = i == on && m->own != NOWHERE ? m->own : builder_node(b, part);
}

// The end that is named is the common; with both named, ON joins them.
static int common_node(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    const part_map *m = builder_map(b, part);
    return part_references(p, KEY_FROM) != NULL ? m->from : m->to;
}

static void selector_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    path_ends(b, part);
    int common = common_node(b, part);
    bool ground_side = part_references(p, KEY_FROM) == NULL;
    int on = on_position(p);
    if (m->own == NOWHERE && on != NOWHERE)
        m->contacts[on] = m->to;
    for (int i = 0; i < position_count(p); i++) {
        m->at[i] = builder_input(b, INPUT_POSITION, part, i);
        int a = ground_side ? m->contacts[i] : common;
        int c = ground_side ? common : m->contacts[i];
        m->throws[i] = builder_conductance(b, part, ROLE_PATH, a, c, m->at[i]);
    }
    if (on != NOWHERE) {
        m->path = m->throws[on];
        m->closed = m->at[on];
    }
}

void switch_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    int closes = part_condition(p, KEY_CLOSES_WHEN);
    int opens = part_condition(p, KEY_OPENS_WHEN);
    if (closes >= 0 || opens >= 0) {
        int s = closes >= 0 ? builder_condition(b, closes, part)
                            : builder_not(b, builder_condition(b, opens, part));
        m->closed = builder_or(b, s, builder_input(b, INPUT_WELDED, part, 0));
        path_build(b, part, m->closed);
    } else if (passes_always(p)) {
        for (int i = 0; i < position_count(p); i++)
            m->at[i] = builder_input(b, INPUT_POSITION, part, i);
        path_build(b, part, SIGNAL_TRUE);
    } else {
        selector_build(b, part);
    }
}

void switch_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const part_map *m = binder_map(b, part);
    double ohms = part_number(p, KEY_RESISTANCE, 0.0);
    if (binder_fault(b, part, FAULT_RESISTIVE))
        ohms += 0.1 * binder_aircraft(b)->nominal / binder_load_below(b, part);
    if (cut_off(b, part))
        ohms = -1.0;
    bind_ohms(b, m->path, ohms);
    if (m->throws != NULL)
        for (int i = 0; i < position_count(p); i++)
            bind_ohms(b, m->throws[i], ohms);
    bind_ohms(b, m->wire, own_wire_ohms(b, p->wire, binder_load_below(b, part)));
}
