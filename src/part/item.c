// Everything that uses power: its own wire, then one primitive by its kind. Converters too.
#include "part/item_draw.h"
#include "part/kind_rows.h"
#include "part/path_ends.h"

#define KNEE_SHARE 0.25  // constant current is linear below this share of nominal
#define LOCKED     2.0   // a locked rotor is a resistance up to so many times nominal
#define LEAST_AMPS 1e-6  // a load of no figure still has a size

typedef enum law { LAW_POWER, LAW_LAMP, LAW_OHM, LAW_CURRENT } law;

static law law_of(part_kind k) {
    switch (k) {
    case KIND_LAMP:
    case KIND_LIGHT: return LAW_LAMP;
    case KIND_HEATER:
    case KIND_SOLENOID:
    case KIND_AMMETER:
    case KIND_LOADMETER:
    case KIND_VOLTMETER: return LAW_OHM;
    case KIND_MOTOR:
    case KIND_SOUNDER: return LAW_CURRENT;
    default: return LAW_POWER;
    }
}

void item_nodes(builder *b, int part) {
    const aircraft *a = builder_aircraft(b);
    const struct part *p = &a->parts[part];
    part_map *m = builder_map(b, part);
    m->selector = item_selector(a, part);
    m->dimmer = item_feeder(a, part, KIND_DIMMER);
    m->converter = item_feeder(a, part, KIND_CONVERTER);
    if (part_references(p, KEY_FROM) == NULL || m->converter != NOWHERE)
        return;
    m->inner = m->own = builder_node(b, part);
}

static int draw_condition(const struct part *p) {
    static const part_key KEYS[] = {KEY_RUNS_WHEN, KEY_SOUNDS_WHEN, KEY_LIT_WHEN};
    for (int i = 0; i < 3; i++) {
        int c = part_condition(p, KEYS[i]);
        if (c >= 0)
            return c;
    }
    return NOWHERE;
}

static void signals_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    int condition = draw_condition(p);
    int flashes = part_condition(p, KEY_FLASHES_WHEN);
    if (condition >= 0)
        m->runs = builder_condition(b, condition, part);
    if (flashes >= 0)
        m->flashes = builder_condition(b, flashes, part);
    bool shows = p->kind == KIND_LIGHT || p->kind == KIND_SOUNDER;
    if (condition >= 0 && !shows)  // what runs now and then draws its share of the time
        m->runs = builder_or(b, m->runs, builder_input(b, INPUT_SHARE, part, 0));
    if (condition >= 0 && flashes >= 0)
        m->runs = builder_or(b, m->runs, m->flashes);
}

static void wire_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    int owner = p->wire >= 0 ? p->wire : part;
    m->wire = builder_conductance(b, owner, ROLE_PATH, m->from, m->inner, SIGNAL_TRUE);
    m->fault_short =
        builder_conductance(b, owner, ROLE_SHORT, m->inner, AIRFRAME_NODE, SIGNAL_TRUE);
    if (m->to != AIRFRAME_NODE)
        m->fault_inside = builder_conductance(b, part, ROLE_SHORT, m->inner, m->to, SIGNAL_TRUE);
    if (p->wire < 0)
        return;
    part_map *w = builder_map(b, p->wire);
    w->path = m->wire;
    w->from = m->from;
    w->to = m->inner;
}

void item_build(builder *b, int part) {
    const aircraft *a = builder_aircraft(b);
    const struct part *p = &a->parts[part];
    part_map *m = builder_map(b, part);
    if (m->inner == NOWHERE) {
        signals_build(b, part);
        return;
    }
    int airframe = p->ground >= 0 ? builder_map(b, p->ground)->own : AIRFRAME_NODE;
    m->from = builder_feed(b, part, KEY_FROM, NOWHERE);
    m->to = builder_feed(b, part, KEY_TO, airframe);
    wire_build(b, part);
    signals_build(b, part);
    switch (law_of(p->kind)) {
    case LAW_LAMP:
        m->lamp = builder_lamp(b, part, m->inner, m->to, item_figure_volts(a, p), m->runs);
        break;
    case LAW_OHM:
        m->load = builder_conductance(b, part, ROLE_LOAD, m->inner, m->to, m->runs);
        break;
    case LAW_CURRENT:
        m->piecewise = builder_piecewise(b, part, ROLE_LOAD, m->inner, m->to, 2, m->runs);
        break;
    case LAW_POWER: {
        double off = item_dropout_volts(a, p);
        m->power = builder_power(b, part, m->inner, m->to, off, item_restart_volts(off), m->runs);
        break;
    }
    }
}

// Watts at a converter's input: what it feeds, through its efficiency. Above its limit it holds
// that current and its volts sag; what they lack heats it.
static double converter_watts(binder *b, int part) {
    const aircraft *a = binder_aircraft(b);
    const struct part *p = &a->parts[part];
    converter_load load = converter_loaded(a, binder_state(b), binder_all_faults(b), part);
    return load.amps * part_number(p, KEY_VALUE, 5.0) / part_number(p, KEY_EFFICIENCY, 0.85);
}

static void knee_bind(binder *b, int part, double knee, double amps) {
    double breaks[1] = {knee};
    double slopes[2] = {amps / knee, 0.0};
    double offsets[2] = {0.0, amps};
    bind_pieces(b, binder_map(b, part)->piecewise, 2, breaks, slopes, offsets);
}

// Its load asks for a torque, and so for a current, whatever its speed; below the volts that this
// current needs in its armature it stands still and is a resistance, as a locked one is.
static void motor_bind(binder *b, int part, double share) {
    const aircraft *a = binder_aircraft(b);
    double ohms = item_stall_ohms(a, &a->parts[part]), most = LOCKED * a->nominal;
    double amps = item_amps(a, &a->parts[part]);
    if (binder_fault(b, part, FAULT_OVERLOAD))
        amps *= OVERLOAD;
    double knee = amps * ohms;
    if (binder_fault(b, part, FAULT_STUCK) || knee > most)
        knee = most;
    if (amps < LEAST_AMPS || share <= 0)
        knee_bind(b, part, KNEE_SHARE * a->nominal, 0.0);
    else
        knee_bind(b, part, knee, share * knee / ohms);
}

static double drawn_share(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const part_map *m = binder_map(b, part);
    // A welded dimmer passes everything.
    bool welded = m->dimmer >= 0 && binder_fault(b, m->dimmer, FAULT_STUCK_CLOSED);
    double share = item_share(binder_aircraft(b), binder_state(b), part, m->selector,
                              welded ? NOWHERE : m->dimmer);
    if (binder_fault(b, part, FAULT_OPEN))
        return 0.0;
    if (binder_fault(b, part, FAULT_OVERLOAD) && p->kind != KIND_MOTOR)
        share *= OVERLOAD;
    return share;
}

void item_bind(binder *b, int part) {
    const aircraft *a = binder_aircraft(b);
    const struct part *p = &a->parts[part];
    const part_map *m = binder_map(b, part);
    if (m->inner == NOWHERE)
        return;
    double amps = item_amps(a, p);
    double share = drawn_share(b, part);
    bind_ohms(b, m->wire, own_wire_ohms(b, p->wire, amps));
    bool inside = binder_fault(b, part, FAULT_SHORT);
    bool chafed = p->wire >= 0 && binder_fault(b, p->wire, FAULT_SHORT);
    bool to_airframe = chafed || (inside && m->fault_inside == NOWHERE);
    bind_ohms(b, m->fault_short, to_airframe ? SHORT_OHMS : -1.0);
    bind_ohms(b, m->fault_inside, inside ? SHORT_OHMS : -1.0);
    double drawn = amps * share;
    if (drawn < LEAST_AMPS)
        drawn = 0.0;
    bind_lamp(b, m->lamp, drawn);
    double volts = item_figure_volts(a, p);
    bind_conductance(b, m->load, drawn / volts);
    if (m->piecewise != NOWHERE && p->kind == KIND_MOTOR)
        motor_bind(b, part, share);
    else if (m->piecewise != NOWHERE)
        knee_bind(b, part, KNEE_SHARE * a->nominal, drawn);
    if (m->power != NOWHERE)
        bind_power(b, m->power,
                   (p->kind == KIND_CONVERTER ? converter_watts(b, part) : item_watts(a, p)) *
                       share);
    list_diodes_bind(b, part);
}
