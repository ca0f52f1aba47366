// External power: a regulated source with a limit, there only while it is plugged in.
#include "part/kind_rows.h"

#define SENSE_OHMS 10e-3  // the small pin, joined inside the plug: design choice
#define NO_LIMIT   2000.0

void external_power_nodes(builder *b, int part) {
    part_map *m = builder_map(b, part);
    if (part_references(builder_part(b, part), KEY_TO) == NULL)
        m->own = builder_node(b, part);
    m->sense = builder_node(b, part);
}

void external_power_build(builder *b, int part) {
    part_map *m = builder_map(b, part);
    m->from = builder_feed(b, part, KEY_FROM, AIRFRAME_NODE);
    m->to = builder_feed(b, part, KEY_TO, m->own);
    m->own = m->to;
    m->on_line = builder_input(b, INPUT_ON, part, 0);
    m->piecewise = builder_piecewise(b, part, ROLE_SOURCE, m->to, m->from, 3, m->on_line);
    m->path = builder_conductance(b, part, ROLE_SENSE, m->to, m->sense, m->on_line);
}

void external_power_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const part_map *m = binder_map(b, part);
    double volts = part_number(p, KEY_VALUE, binder_aircraft(b)->nominal);
    if (binder_fault(b, part, FAULT_LOW))
        volts *= 0.85;  // design choices
    if (binder_fault(b, part, FAULT_HIGH))
        volts *= 1.15;
    double limit = part_number(p, KEY_LIMIT, NO_LIMIT);
    double ohms = part_number(p, KEY_RESISTANCE, 5e-3);
    double g =
        binder_fault(b, part, FAULT_DEAD) || binder_fault(b, part, FAULT_OPEN) ? 0.0 : 1.0 / ohms;
    if (g == 0.0)
        limit = 0.0;
    double breaks[2] = {volts - limit * ohms, volts};
    double slopes[3] = {0.0, g, 0.0};
    double offsets[3] = {-limit, -volts * g, 0.0};
    bind_pieces(b, m->piecewise, 3, breaks, slopes, offsets);
    bind_ohms(b, m->path, SENSE_OHMS);
    if (binder_state(b)->setting[part] > 0)
        bind_top(b, volts);
}
