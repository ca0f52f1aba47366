// Batteries, alternators, generators, external power.
#include <math.h>
#include <string.h>

#include "reference/support/plain_elements.h"

typedef struct cell_point {
    double charge, volts;
} cell_point;

// Open-circuit volts of a cell. Sealed: FAA-H-8083-31 ch. 9; flooded: TM 5-3805-262-20 p. 5-142 (0
// %: choice); nickel and lithium: choices.
static const cell_point CELLS[4][6] = {
    {{0, 1.933}, {0.25, 2.000}, {0.50, 2.067}, {0.75, 2.117}, {1, 2.150}, {1, 2.150}},
    {{0, 1.950}, {0.25, 2.000}, {0.50, 2.033}, {0.75, 2.067}, {1, 2.100}, {1, 2.100}},
    {{0, 1.00}, {0.05, 1.10}, {0.20, 1.22}, {0.50, 1.25}, {0.75, 1.28}, {1, 1.35}},
    {{0, 2.50}, {0.09, 3.00}, {0.20, 3.23}, {0.50, 3.28}, {0.90, 3.33}, {1, 3.40}},
};
static const double CELL_NOMINAL[4] = {2.0, 2.0, 1.2, 3.3};

enum { SEALED, FLOODED, NICKEL, LITHIUM };

static int chemistry_of(const part *p) {
    const char *word = part_text(p, KEY_CHEMISTRY);
    static const char *const WORDS[] = {"sealed-lead-acid", "flooded-lead-acid", "nickel-cadmium",
                                        "lithium-iron-phosphate"};
    for (int i = 0; word && i < 4; i++) {
        if (strcmp(word, WORDS[i]) == 0)
            return i;
    }
    return SEALED;
}

static double cell_volts_at(int chemistry, double charge) {
    const cell_point *p = CELLS[chemistry];
    int i = 1;
    while (i < 5 && charge > p[i].charge)
        i++;
    double span = p[i].charge - p[i - 1].charge;
    double share = span > 0 ? fmin((charge - p[i - 1].charge) / span, 1) : 1;
    return p[i - 1].volts + (p[i].volts - p[i - 1].volts) * share;
}

// Most amps that a rested battery takes: as many as it lacks ampere-hours (from memory), and half
// a percent of its one-hour figure to float on (choice).
static double acceptance(const part *p, int chemistry, double charge) {
    const figure *f = part_figure(p, KEY_CAPACITY);
    double given = f ? f->value / 3600 : 24;
    double hours = f && f->at_unit == UNIT_SECOND && f->at > 0 ? f->at / 3600 : 1;
    bool slow = hours > 5, lead = chemistry == SEALED || chemistry == FLOODED;
    double one_hour = slow && chemistry != LITHIUM ? given / 1.310 : given;
    double wells = one_hour;
    if (lead)
        wells = slow ? 1.0633 * given : 1.349 * one_hour;
    if (chemistry == NICKEL)
        wells = 1.0741 * one_hour;
    double missing = wells * (1 - charge);
    return missing + 0.005 * one_hour;
}

// Above 2.4 V a lead-acid cell (the least end-of-charge volts of NAVEDTRA 14113), 1.5 V a
// nickel-cadmium one, current flows again, through ten times the battery's resistance (choices).
static void overcharge(const plain_context *x, const plain_element *cells, double volts) {
    plain_element over = *cells;
    over.use = USE_OVERCHARGE;
    over.amps = cells->in;
    over.volts = fmax(volts, cells->volts + cells->in / cells->siemens);
    over.siemens = cells->siemens / 10;
    over.out = 0;
    over.in = INFINITY;
    plain_add(x->n, over);
}

static void battery(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    plain_network *n = x->n;
    int chemistry = chemistry_of(p);
    bool weak = plain_fault(x, part, FAULT_WEAK);
    double charge = x->s->charge >= 0 ? x->s->charge : part_number(p, KEY_CHARGE, 0.8);
    if (weak && charge > 0.2)
        charge = 0.2;
    double cells = fmax(1, round(part_number(p, KEY_VALUE, 24) / CELL_NOMINAL[chemistry]));
    cells -= plain_fault(x, part, FAULT_SHORTED_CELL) ? 1 : 0;
    double emf = plain_fault(x, part, FAULT_DEAD) ? 3.0 : cells * cell_volts_at(chemistry, charge);
    double worn = chemistry == LITHIUM ? 1 : 1 - 0.4 * log(fmax(charge, 0.02));
    double ohms =
        part_number(p, KEY_RESISTANCE, 0.025) * worn * exp(0.012 * (25 - x->s->temperature));
    ohms = fmax(ohms * (weak ? 4 : 1), 1e-4);
    int minus = plain_point(n, part, POINT_NEAR, 0), plus = plain_point(n, part, POINT_FAR, 0);
    int opens = part_condition(p, KEY_OPENS_WHEN), inside = plus;
    if (opens >= 0) {
        inside = plain_point(n, part, POINT_INSIDE, 0);
        if (!x->m->condition[opens])
            plain_resistor(x, USE_PATH, part, 0, inside, plus, 1e-3);
    }
    plain_element own = {.law = LAW_CLAMP,
                         .use = USE_SOURCE,
                         .part = part,
                         .a = inside,
                         .b = minus,
                         .volts = emf,
                         .siemens = 1 / ohms,
                         .out = INFINITY,
                         .in = acceptance(p, chemistry, charge)};
    if (!plain_fault(x, part, FAULT_OPEN)) {
        plain_add(n, own);
        if (chemistry != LITHIUM)
            overcharge(x, &own, cells * (chemistry == NICKEL ? 1.5 : 2.4));
    }
    const reference_list *charged = part_references(p, KEY_CHARGED_FROM);
    if (!charged || charged->count == 0)
        return;
    plain_add(n, (plain_element){.law = LAW_CLAMP,
                                 .use = USE_CHARGE,
                                 .part = part,
                                 .a = plain_reference(n, &charged->items[0]),
                                 .b = plus,
                                 .volts = 0,
                                 .siemens = 10,
                                 .out = 0,
                                 .in = part_number(p, KEY_CHARGE_LIMIT, 5)});
}

static double machine_rpm(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    int by = part_id(p, KEY_TURNED_BY);
    double rpm = by >= 0 ? x->s->setting[by] : 0;
    bool engine = by >= 0 && x->a->parts[by].kind == KIND_ENGINE;
    bool failed =
        engine && (plain_fault(x, by, FAULT_FAILED) || plain_fault(x, by, FAULT_WINDMILLING));
    if (!engine || rpm <= 0 || failed || !x->m->of[by].running)
        rpm = 1500;  // windmilling, or a motor: choice
    return rpm;
}

static double idle_speed(const part *p) {
    const figure *idle = part_figure(p, KEY_IDLE);
    return idle && idle->at > 0 ? idle->at : 700;
}

// A straight line from `idle` at its rpm to the full figure at 2.5 times that; below in proportion.
static double limit_amps(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    double full = part_number(p, KEY_VALUE, 60), rpm = machine_rpm(x, part);
    double idle_amps = part_number(p, KEY_IDLE, 0.4 * full), idle_rpm = idle_speed(p);
    double limit = rpm < idle_rpm
                       ? idle_amps * rpm / idle_rpm
                       : fmin(full, idle_amps + (full - idle_amps) * (rpm / idle_rpm - 1) / 1.5);
    if (plain_fault(x, part, FAULT_LOW))
        limit *= 0.4;
    if (plain_fault(x, part, FAULT_DIODE_OPEN))
        limit *= 0.6;  // choices from here on
    if (plain_fault(x, part, FAULT_DIODE_SHORTED))
        limit *= 0.5;
    return plain_fault(x, part, FAULT_SLIPPING) ? limit * 0.5 : limit;
}

// The regulator that feeds its field, through any paths in between.
static int regulator_of(const aircraft *a, int part) {
    const reference_list *r = part_references(&a->parts[part], KEY_FIELD_FROM);
    for (int steps = 0; r && r->count > 0 && steps < 16; steps++) {
        int above = r->items[0].part;
        if (above < 0 || above == part)
            return -1;
        if (a->parts[above].kind == KIND_REGULATOR)
            return above;
        r = part_references(&a->parts[above], KEY_FROM);
    }
    return -1;
}

static double set_volts(const plain_context *x, int part, double runaway) {
    double usual = aircraft_is_28(x->a) ? 28 : 14;
    int r = regulator_of(x->a, part);
    if (plain_fault(x, part, FAULT_FULL_FIELD) || plain_fault(x, r, FAULT_FULL_FIELD) ||
        x->m->of[part].blind)
        return runaway;
    double volts = r >= 0 ? part_number(&x->a->parts[r], KEY_VALUE, usual)
                          : part_number(&x->a->parts[part], KEY_REGULATED_AT, usual);
    if (plain_fault(x, part, FAULT_HIGH) || plain_fault(x, r, FAULT_HIGH))
        volts *= 1.08;  // choice
    return plain_fault(x, r, FAULT_LOW) ? volts * 0.9 : volts;
}

// A generator's volts at full field go with its speed, and at that of `idle` they hold what its
// regulator asks for at that current. Nothing keeps current from flowing back above them.
static double makes_volts(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    double usual = aircraft_is_28(x->a) ? 28 : 14, full = part_number(p, KEY_VALUE, 35);
    int r = regulator_of(x->a, part);
    double set = r >= 0 ? part_number(&x->a->parts[r], KEY_VALUE, usual)
                        : part_number(p, KEY_REGULATED_AT, usual);
    double inside = part_number(p, KEY_IDLE, 0.4 * full) * 0.1 * x->a->nominal / full;
    return (set + inside) * machine_rpm(x, part) / idle_speed(p);
}

// No diode keeps current out of a generator that isn't excited: it is a winding of a tenth of
// nominal volts at its rating; turning, with the 2 V of residual magnetism (choices).
static void armature(const plain_context *x, int part, int plus, int minus) {
    const struct part *p = &x->a->parts[part];
    int by = part_id(p, KEY_TURNED_BY);
    double siemens = part_number(p, KEY_VALUE, 35) / (0.1 * x->a->nominal);
    if (by >= 0 && x->m->of[by].turning)
        plain_add(x->n, (plain_element){.law = LAW_CLAMP,
                                        .use = USE_RESIDUAL,
                                        .part = part,
                                        .a = plus,
                                        .b = minus,
                                        .volts = 2,
                                        .siemens = siemens,
                                        .out = INFINITY,
                                        .in = INFINITY});
    else
        plain_resistor(x, USE_LOAD, part, 0, plus, minus, 1 / siemens);
}

static void machine(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    const device_mode *m = &x->m->of[part];
    plain_network *n = x->n;
    int minus = plain_point(n, part, POINT_NEAR, 0), plus = plain_point(n, part, POINT_FAR, 0);
    double volts = set_volts(x, part, aircraft_is_28(x->a) ? 34 : 17);
    bool generator = p->kind == KIND_GENERATOR;
    if (generator)
        volts = fmin(volts, makes_volts(x, part));
    if (m->excited && generator)
        plain_add(n,
                  (plain_element){.law = LAW_CLAMP,
                                  .use = USE_BACK,
                                  .part = part,
                                  .a = plus,
                                  .b = minus,
                                  .volts = volts,
                                  .siemens = part_number(p, KEY_VALUE, 35) / (0.1 * x->a->nominal),
                                  .out = 0,
                                  .in = INFINITY});
    if (m->excited)
        plain_add(n, (plain_element){.law = LAW_CLAMP,
                                     .use = USE_SOURCE,
                                     .part = part,
                                     .a = plus,
                                     .b = minus,
                                     .volts = volts,
                                     .siemens = part_number(p, KEY_VALUE, 60) / 0.25,
                                     .out = limit_amps(x, part),
                                     .in = 0});
    plain_list_diodes(x, part, KEY_FIELD_FROM, POINT_FIELD);
    if (!plain_fault(x, part, FAULT_OPEN))
        plain_resistor(x, USE_FIELD, part, 0, plain_point(n, part, POINT_FIELD, 0),
                       plain_point(n, part, POINT_FIELD_END, 0),
                       x->a->nominal / part_number(p, KEY_FIELD, 2.5));
    if (plain_fault(x, part, FAULT_DIODE_SHORTED))
        plain_resistor(x, USE_DRAIN, part, 0, plus, minus, 5);
    if (generator && !m->excited)
        armature(x, part, plus, minus);
}

static void cart(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    plain_network *n = x->n;
    if (x->s->setting[part] <= 0)
        return;
    int minus = plain_point(n, part, POINT_NEAR, 0), plus = plain_point(n, part, POINT_FAR, 0);
    double volts = part_number(p, KEY_VALUE, x->a->nominal);
    volts *= plain_fault(x, part, FAULT_LOW) ? 0.85 : 1;
    volts *= plain_fault(x, part, FAULT_HIGH) ? 1.15 : 1;
    bool dead = plain_fault(x, part, FAULT_DEAD) || plain_fault(x, part, FAULT_OPEN);
    if (!dead)
        plain_add(n, (plain_element){.law = LAW_CLAMP,
                                     .use = USE_SOURCE,
                                     .part = part,
                                     .a = plus,
                                     .b = minus,
                                     .volts = volts,
                                     .siemens = 200,
                                     .out = part_number(p, KEY_LIMIT, 2000),
                                     .in = 0});
    plain_resistor(x, USE_SENSE, part, 0, plus, plain_point(n, part, POINT_SENSE, 0), 10e-3);
}

void plain_sources_of(const plain_context *x, int part) {
    switch (x->a->parts[part].kind) {
    case KIND_BATTERY: battery(x, part); break;
    case KIND_EXTERNAL_POWER: cart(x, part); break;
    default: machine(x, part); break;
    }
}
