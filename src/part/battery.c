// Battery: an EMF behind its resistance, and the most that it takes when charged.
#include "part/cell.h"
#include "part/kind_rows.h"

#define DEAD_EMF        3.0   // a dead battery: design choice
#define WEAK_CHARGE     0.20  // a weak one: 20 % charge, four times the resistance: design choice
#define WEAK_RESISTANCE 4.0
#define CHARGER_OHMS    0.1     // of the path that charges a standby battery: design choice
#define NO_LIMIT        2000.0  // amps: what the battery itself accepts decides
#define DISCONNECT_OHMS 1e-3
#define OVERCHARGE      10.0  // overcharge current meets ten times the resistance: design choice

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

// An EMF behind its resistance up to what the battery accepts, then constant; above the volts that
// end a charge the current rises again, or a runaway regulator would leave the ammeter near zero.
static void cells_bind(binder *b, int element, double emf, double g, double most, double ends) {
    double full = g > 0 ? emf + most / g : emf;
    double over = ends > full ? ends : full;
    double slope = g / OVERCHARGE;
    double breaks[2] = {full, over};
    double slopes[3] = {g, 0.0, slope};
    double offsets[3] = {-emf * g, g > 0 ? most : 0.0, g > 0 ? most - slope * over : 0.0};
    bind_pieces(b, element, 3, breaks, slopes, offsets);
}

void battery_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const part_map *m = binder_map(b, part);
    const state *s = binder_state(b);
    chemistry c = cell_chemistry(p);
    double charge = s->charge >= 0 ? s->charge : part_number(p, KEY_CHARGE, 0.8);
    if (binder_fault(b, part, FAULT_WEAK) && charge > WEAK_CHARGE)
        charge = WEAK_CHARGE;
    int cells = cell_count(p);
    int whole = binder_fault(b, part, FAULT_SHORTED_CELL) ? cells - 1 : cells;
    double emf = whole * cell_volts(c, charge);
    if (binder_fault(b, part, FAULT_DEAD))
        emf = DEAD_EMF;
    double ohms =
        part_number(p, KEY_RESISTANCE, 0.025) * cell_resistance_factor(c, charge, s->temperature);
    if (binder_fault(b, part, FAULT_WEAK))
        ohms *= WEAK_RESISTANCE;
    if (ohms < 1e-4)
        ohms = 1e-4;
    double most = cell_acceptance_amps(p, charge);
    double g = binder_fault(b, part, FAULT_OPEN) ? 0.0 : 1.0 / ohms;
    cells_bind(b, m->piecewise, emf, g, most, whole * cell_volts_charged(c));
    bind_ohms(b, m->path, DISCONNECT_OHMS);
    if (m->charger != NOWHERE)
        charger_bind(b, part);
    if (g > 0)
        bind_top(b, emf);
}
