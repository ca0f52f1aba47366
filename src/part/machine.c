// Alternator and generator: a regulated source with a limit, and the field that excites it.
#include "part/kind_rows.h"

#define DROOP             0.25    // volts between no load and rating: design choice
#define WINDMILL_RPM      1500.0  // of an engine that windmills: design choice
#define LOW_SHARE         0.4     // of the limit, fault `low`: design choice
#define DIODE_OPEN_SHARE  0.6     // design choice
#define DIODE_SHORT_SHARE 0.5     // design choice
#define SLIPPING_SHARE    0.5     // design choice
// of the set point, fault `high`: below the usual trip: design choice
#define HIGH_SHARE     1.08
#define RESIDUAL_VOLTS 2.0  // of residual magnetism: design choice
#define ARMATURE_SHARE 0.1  // of nominal volts across the armature at its rating: design choice
#define DRAIN_OHMS     5.0  // a shorted diode drains the battery: design choice

// A self-excited generator needs almost nothing at its field; an alternator a good part of a
// battery.
static int excitation(builder *b, int part, int turning) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    bool generator = p->kind == KIND_GENERATOR;
    const char *without = part_text(p, KEY_WITHOUT_FIELD);
    double starts = generator ? 0.5 : builder_volts(b, 12.0, 6.0);
    double stays = generator ? 0.3 : builder_volts(b, 6.0, 3.0);
    if (without != NULL && text_equal(without, "goes on"))
        stays = -1e6;
    int enable = builder_and(b, turning, builder_input(b, INPUT_WHOLE, part, 0));
    return builder_comparator(b, m->field, m->field_return, starts, stays, enable);
}

void machine_nodes(builder *b, int part) {
    if (part_references(builder_part(b, part), KEY_TO) == NULL)
        builder_map(b, part)->own = builder_node(b, part);
}

static int turned_by(const struct part *p) {
    const part_value *v = part_value_of(p, KEY_TURNED_BY);
    return v != NULL && v->as.ids.count > 0 ? v->as.ids.items[0] : NOWHERE;
}

// Whether an engine can stop running by what the circuit does to it.
static bool can_be_starved(const struct part *engine) {
    static const part_key NEEDS[] = {KEY_NEEDS, KEY_TURNED_BY, KEY_FAILS_WHEN, KEY_GROUNDED_WHEN};
    for (int i = 0; i < 4; i++)
        if (part_value_of(engine, NEEDS[i]) != NULL)
            return engine->kind == KIND_ENGINE;
    return false;
}

// True while the machine's regulator senses volts; without its sense wire it gives full field.
static int sensed(builder *b, int part) {
    int regulator = builder_map(b, part)->regulator;
    if (regulator == NOWHERE || part_references(builder_part(b, regulator), KEY_SENSE_FROM) == NULL)
        return SIGNAL_TRUE;
    builder_build(b, regulator);
    double there = builder_volts(b, 7.0, 3.5);
    return builder_comparator(b, builder_map(b, regulator)->sense, AIRFRAME_NODE, there,
                              0.8 * there, builder_input(b, INPUT_WHOLE, regulator, 1));
}

// Set point and limit of an element don't depend on signals, so what does gets an element of its
// own: full field, and the speed of an engine that lost what it needs and windmills.
static void output_build(builder *b, int part) {
    part_map *m = builder_map(b, part);
    int engine = turned_by(builder_part(b, part));
    int by_sense = sensed(b, part), by_engine = SIGNAL_TRUE;
    if (engine != NOWHERE && can_be_starved(builder_part(b, engine)))
        by_engine = builder_works(b, engine);
    for (int i = 0; i < OUTPUTS_MOST; i++) {
        bool full = (i & OUTPUT_FULL_FIELD) != 0, windmills = (i & OUTPUT_WINDMILLING) != 0;
        if ((full && by_sense == SIGNAL_TRUE) || (windmills && by_engine == SIGNAL_TRUE))
            continue;
        int gate = builder_and(b, m->on_line, full ? builder_not(b, by_sense) : by_sense);
        gate = builder_and(b, gate, windmills ? builder_not(b, by_engine) : by_engine);
        m->outputs[i] = builder_piecewise(b, part, ROLE_SOURCE, m->to, m->from, 3, gate);
    }
    m->piecewise = m->outputs[0];
}

void machine_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    part_map *m = builder_map(b, part);
    m->from = builder_feed(b, part, KEY_FROM, AIRFRAME_NODE);
    m->to = builder_feed(b, part, KEY_TO, m->own);
    m->own = m->to;
    m->field = builder_feed(b, part, KEY_FIELD_FROM, m->to);
    m->field_return = builder_feed(b, part, KEY_FIELD_TO, AIRFRAME_NODE);
    int turning = builder_turning(b, part);
    m->on_line = excitation(b, part, turning);
    output_build(b, part);
    m->field_load =
        builder_conductance(b, part, ROLE_FIELD, m->field, m->field_return, SIGNAL_TRUE);
    m->fault_inside = builder_conductance(b, part, ROLE_SHORT, m->to, m->from, SIGNAL_TRUE);
    if (p->kind != KIND_GENERATOR)
        return;
    // No diode keeps current out of an armature: asleep it gives its residual volts or takes what
    // comes; stopped it is a mere winding.
    int asleep = builder_and(b, turning, builder_not(b, m->on_line));
    m->residual = builder_piecewise(b, part, ROLE_LOAD, m->to, m->from, 2, asleep);
    m->load = builder_conductance(b, part, ROLE_LOAD, m->to, m->from, builder_not(b, turning));
}

// Its speed over that of its `idle` figure, and the amps of that figure.
static double over_idle(const binder *b, int part, bool windmills, double *idle_amps) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const figure *idle = part_figure(p, KEY_IDLE);
    *idle_amps = idle != NULL ? idle->value : 0.4 * part_number(p, KEY_VALUE, 60.0);
    double idle_rpm = idle != NULL && idle->at > 0 ? idle->at : 700.0;
    int engine = turned_by(p);
    double rpm = WINDMILL_RPM;
    if (engine != NOWHERE && !windmills) {
        double set = binder_state(b)->setting[engine];
        bool dry = binder_aircraft(b)->parts[engine].kind == KIND_ENGINE;
        bool stopped =
            binder_fault(b, engine, FAULT_FAILED) || binder_fault(b, engine, FAULT_WINDMILLING);
        if (dry && set > 0 && !stopped)
            rpm = set;
    }
    return rpm / idle_rpm;
}

// Straight line from `idle` to the full figure at 2.5 x that rpm; below idle in proportion to
// speed.
static double limit_at(const binder *b, int part, bool windmills) {
    double full = part_number(&binder_aircraft(b)->parts[part], KEY_VALUE, 60.0), idle_amps;
    double speed = over_idle(b, part, windmills, &idle_amps);
    if (speed <= 1.0)
        return idle_amps * speed;
    double share = (speed - 1.0) / 1.5;
    return share >= 1.0 ? full : idle_amps + (full - idle_amps) * share;
}

static double armature_siemens(const binder *b, int part) {
    const aircraft *a = binder_aircraft(b);
    return part_number(&a->parts[part], KEY_VALUE, 60.0) / (ARMATURE_SHARE * a->nominal);
}

static double limit_with_faults(const binder *b, int part, bool windmills) {
    double limit = limit_at(b, part, windmills);
    if (binder_fault(b, part, FAULT_LOW))
        limit *= LOW_SHARE;
    if (binder_fault(b, part, FAULT_DIODE_OPEN))
        limit *= DIODE_OPEN_SHARE;
    if (binder_fault(b, part, FAULT_DIODE_SHORTED))
        limit *= DIODE_SHORT_SHARE;
    if (binder_fault(b, part, FAULT_SLIPPING))
        limit *= SLIPPING_SHARE;
    return limit;
}

static bool full_field(const binder *b, int part, int regulator) {
    return binder_fault(b, part, FAULT_FULL_FIELD) ||
           (regulator != NOWHERE && binder_fault(b, regulator, FAULT_FULL_FIELD));
}

// The other of two paralleled regulators: either of them says so.
static int shares_with(const aircraft *a, int regulator) {
    int other = part_id(&a->parts[regulator], KEY_SHARES_WITH);
    for (int i = 0; i < a->part_count && other < 0; i++)
        if (part_id(&a->parts[i], KEY_SHARES_WITH) == regulator)
            other = i;
    return other;
}

// Paralleled regulators bring their sources to one set point: with a droop that goes by the rating
// these then share the load by their ratings.
static double sound_set_point(const binder *b, int part) {
    const aircraft *a = binder_aircraft(b);
    int r = binder_map(b, part)->regulator;
    double otherwise = aircraft_is_28(a) ? 28.0 : 14.0;
    if (r == NOWHERE)
        return part_number(&a->parts[part], KEY_REGULATED_AT, otherwise);
    double own = part_number(&a->parts[r], KEY_VALUE, otherwise);
    int other = shares_with(a, r);
    return other < 0 ? own : 0.5 * (own + part_number(&a->parts[other], KEY_VALUE, otherwise));
}

static double set_point(const binder *b, int part, double runaway) {
    int r = binder_map(b, part)->regulator;
    double volts = sound_set_point(b, part);
    if (binder_fault(b, part, FAULT_HIGH) || (r != NOWHERE && binder_fault(b, r, FAULT_HIGH)))
        volts *= HIGH_SHARE;
    if (r != NOWHERE && binder_fault(b, r, FAULT_LOW))
        volts *= 0.9;
    return full_field(b, part, r) ? runaway : volts;
}

// What a generator can make at full field goes with its speed; at its `idle` figure it just holds
// its set point.
static double made_at(const binder *b, int part, bool windmills) {
    double idle_amps, speed = over_idle(b, part, windmills, &idle_amps);
    return (sound_set_point(b, part) + idle_amps / armature_siemens(b, part)) * speed;
}

// Above `volts` what its diodes or its armature let back, a droop below, constant current at the
// limit.
typedef struct output {
    double volts, limit, rating, back;
} output;

static void output_bind(binder *b, int element, output o) {
    double g = o.rating / DROOP;
    double breaks[2] = {o.volts - o.limit / g, o.volts};
    double slopes[3] = {0.0, g, o.back};
    double offsets[3] = {-o.limit, -o.volts * g, o.back > 0 ? -o.volts * o.back : 0.0};
    bind_pieces(b, element, 3, breaks, slopes, offsets);
}

void machine_bind(binder *b, int part) {
    const aircraft *a = binder_aircraft(b);
    const struct part *p = &a->parts[part];
    const part_map *m = binder_map(b, part);
    double rating = part_number(p, KEY_VALUE, 60.0);
    double runaway = aircraft_is_28(a) ? 34.0 : 17.0;
    double set = set_point(b, part, runaway);
    bool generator = p->kind == KIND_GENERATOR;
    for (int i = 0; i < OUTPUTS_MOST; i++) {
        if (m->outputs[i] == NOWHERE)
            continue;
        bool windmills = (i & OUTPUT_WINDMILLING) != 0;
        double volts = i & OUTPUT_FULL_FIELD ? runaway : set;
        double made = generator ? made_at(b, part, windmills) : volts;
        output o = {.volts = made < volts ? made : volts,
                    .limit = limit_with_faults(b, part, windmills),
                    .rating = rating,
                    .back = generator ? armature_siemens(b, part) : 0.0};
        output_bind(b, m->outputs[i], o);
        bind_top(b, o.volts);
    }
    if (m->residual != NOWHERE) {
        double g = armature_siemens(b, part);
        double breaks[1] = {RESIDUAL_VOLTS};
        double slopes[2] = {g, g};
        double offsets[2] = {-RESIDUAL_VOLTS * g, -RESIDUAL_VOLTS * g};
        bind_pieces(b, m->residual, 2, breaks, slopes, offsets);
        bind_conductance(b, m->load, g);
    }
    double field = part_number(p, KEY_FIELD, 2.5);
    bind_ohms(b, m->field_load, binder_fault(b, part, FAULT_OPEN) ? -1.0 : a->nominal / field);
    bool drains = binder_fault(b, part, FAULT_DIODE_SHORTED);
    bind_ohms(b, m->fault_inside, drains ? DRAIN_OHMS : -1.0);
    list_diodes_bind(b, part);
}
