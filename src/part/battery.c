// Battery: an EMF behind its resistance, and the most that it takes when charged.
#include "part/battery_model.h"
#include "part/kind_rows.h"

#define CHARGER_OHMS    0.1     // of the path that charges a standby battery: design choice
#define NO_LIMIT        2000.0  // amps: what the battery itself accepts decides
#define DISCONNECT_OHMS 1e-3

void battery_nodes(builder *b, int part) {
    if (part_references(builder_part(b, part), KEY_TO) == NULL)
        builder_map(b, part)->own = builder_node(b, part);
}

void battery_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    m->from = builder_feed(b, part, KEY_FROM, AIRFRAME_NODE);
    m->to = builder_feed(b, part, KEY_TO, m->own);
    m->own = m->to;
    int plus = m->to;
    int opens = part_condition(p, KEY_OPENS_WHEN);
    if (opens >= 0) {
        plus = m->inner = builder_node(b, part);
        m->closed = builder_not(b, builder_condition(b, opens, part));
        m->path = builder_conductance(b, part, ROLE_PATH, m->inner, m->to, m->closed);
    }
    m->piecewise = builder_piecewise(b, part, ROLE_SOURCE, plus, m->from, 3, SIGNAL_TRUE);
    if (part_references(p, KEY_CHARGED_FROM) == NULL)
        return;
    int bus = builder_feed(b, part, KEY_CHARGED_FROM, NOWHERE);
    m->charger = builder_piecewise(b, part, ROLE_LOAD, bus, m->to, 3, SIGNAL_TRUE);
}

static void charger_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    double limit = part_number(p, KEY_CHARGE_LIMIT, NO_LIMIT);
    double g = 1.0 / CHARGER_OHMS;
    double breaks[2] = {0.0, limit / g};
    double slopes[3] = {0.0, g, 0.0};
    double offsets[3] = {0.0, 0.0, limit};
    bind_pieces(b, binder_map(b, part)->charger, 3, breaks, slopes, offsets);
}

void battery_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const part_map *m = binder_map(b, part);
    const state *s = binder_state(b);
    double charge = state_charge(binder_aircraft(b), s, part);
    battery_law law = battery_law_rested(p, charge, s->temperature, binder_faults(b, part));
    double params[BATTERY_PARAMS];
    battery_pieces(&law, params);
    bind_pieces(b, m->piecewise, BATTERY_PIECES, params, params + BATTERY_PIECES - 1,
                params + 2 * BATTERY_PIECES - 1);
    bind_ohms(b, m->path, DISCONNECT_OHMS);
    if (m->charger != NOWHERE)
        charger_bind(b, part);
    if (law.ohms > 0)
        bind_top(b, law.emf);
}
