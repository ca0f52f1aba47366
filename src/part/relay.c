// Relay and contactor: a contact, and a coil or a condition that moves it.
#include "part/kind_rows.h"
#include "part/path_ends.h"

static int coil_signal(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    if (part_references(p, KEY_COIL_FROM) == NULL)
        return SIGNAL_TRUE;
    m->coil = builder_feed(b, part, KEY_COIL_FROM, NOWHERE);
    m->coil_return = builder_feed(b, part, KEY_COIL_TO, AIRFRAME_NODE);
    m->coil_load = builder_conductance(b, part, ROLE_COIL, m->coil, m->coil_return, SIGNAL_TRUE);
    double pulls_in = part_number(p, KEY_PULLS_IN, builder_volts(b, 17.0, 8.5));
    double drops_out = part_number(p, KEY_DROPS_OUT, builder_volts(b, 6.0, 3.0));
    int whole = builder_input(b, INPUT_WHOLE, part, 0);
    return builder_comparator(b, m->coil, m->coil_return, pulls_in, drops_out, whole);
}

void relay_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    int opens = part_condition(p, KEY_OPENS_WHEN);
    int closes = part_condition(p, KEY_CLOSES_WHEN);
    int condition = opens >= 0 ? opens : closes;
    int coil = coil_signal(b, part);
    int asked = condition >= 0 ? builder_condition(b, condition, part) : SIGNAL_TRUE;
    m->energized = builder_and(b, coil, asked);
    const char *rests = part_text(p, KEY_RESTS);
    bool rests_closed = opens >= 0 || (rests != NULL && text_equal(rests, "closed"));
    int closed = rests_closed ? builder_not(b, m->energized) : m->energized;
    m->closed = builder_or(b, closed, builder_input(b, INPUT_WELDED, part, 0));
    path_build(b, part, m->closed);
    if (part_references(p, KEY_RESTS_ON) == NULL)
        return;
    int other = builder_feed(b, part, KEY_RESTS_ON, NOWHERE);
    m->rest = builder_conductance(b, part, ROLE_PATH, other, m->to, builder_not(b, m->energized));
}

void relay_bind(binder *b, int part) {
    const aircraft *a = binder_aircraft(b);
    const struct part *p = &a->parts[part];
    const part_map *m = binder_map(b, part);
    bool contactor = p->kind == KIND_CONTACTOR;
    double ohms = part_number(p, KEY_RESISTANCE, 0.0);
    if (binder_fault(b, part, FAULT_RESISTIVE))
        ohms += (contactor ? 0.2 : 0.1 * a->nominal) / binder_load_below(b, part);
    bool open = cut_off(b, part);
    bind_ohms(b, m->path, open ? -1.0 : ohms);
    bind_ohms(b, m->rest, binder_fault(b, part, FAULT_STUCK_CLOSED) ? -1.0 : ohms);
    double coil = part_number(p, KEY_COIL, contactor ? 1.0 : 0.2);
    bool coil_open = binder_fault(b, part, FAULT_COIL_OPEN);
    bind_ohms(b, m->coil_load, coil_open ? -1.0 : a->nominal / coil);
    bind_ohms(b, m->wire, own_wire_ohms(b, p->wire, binder_load_below(b, part)));
    list_diodes_bind(b, part);
}
