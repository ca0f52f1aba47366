// Regulator (control unit): passes its supply on to the field until its over-voltage latch trips.
#include "part/kind_rows.h"

#define REGULATOR_OHMS 10e-3  // design choice

void regulator_nodes(builder *b, int part) { builder_map(b, part)->own = builder_node(b, part); }

// Without `trips-when`: above 32 / 16 V until its supply is below 1 V (design choice).
static int default_latch(builder *b, int part) {
    const part_map *m = builder_map(b, part);
    double volts = builder_volts(b, 32.0, 16.0);
    int over = builder_comparator(b, m->sense, AIRFRAME_NODE, volts, volts, SIGNAL_TRUE);
    int fed = builder_comparator(b, m->from, AIRFRAME_NODE, 1.0, 1.0, SIGNAL_TRUE);
    return builder_latch(b, over, builder_not(b, fed), SIGNAL_TRUE);
}

void regulator_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    m->from = builder_feed(b, part, KEY_FROM, NOWHERE);
    m->to = m->own;
    m->sense = builder_feed(b, part, KEY_SENSE_FROM, m->from);
    int trips = part_condition(p, KEY_TRIPS_WHEN);
    m->tripped = trips >= 0 ? builder_condition(b, trips, part) : default_latch(b, part);
    m->closed = builder_not(b, m->tripped);
    m->path = builder_conductance(b, part, ROLE_PATH, m->from, m->own, m->closed);
}

void regulator_bind(binder *b, int part) {
    bool dead = binder_fault(b, part, FAULT_DEAD) || binder_fault(b, part, FAULT_OPEN);
    bind_ohms(b, binder_map(b, part)->path, dead ? -1.0 : REGULATOR_OHMS);
}
