// Everything that uses power: a wire of its own, then the law of its kind.
#include <math.h>
#include <string.h>

#include "reference/support/plain_elements.h"

static bool is_meter(part_kind k) {
    return k == KIND_AMMETER || k == KIND_LOADMETER || k == KIND_VOLTMETER;
}

static const figure *draw(const part *p) { return part_draw(p); }

static double figure_volts(const aircraft *a, const figure *f) {
    return f && f->at_unit == UNIT_VOLT && f->at > 0 ? f->at : a->nominal;
}

static int fed_by(const aircraft *a, int part, part_kind kind) {
    const reference_list *from = part_references(&a->parts[part], KEY_FROM);
    if (!from || from->count != 1 || from->items[0].part < 0)
        return -1;
    int feeder = from->items[0].part;
    return a->parts[feeder].kind == kind ? feeder : -1;
}

// ---- how much of its draw counts
// ------------------------------------------------------------------ A thing with places is under
// way when it isn't where its selector stands.
static bool under_way(const plain_context *x, int part, int selector) {
    const positions *places = part_positions(&x->a->parts[selector]);
    int at = (int)x->s->setting[selector];
    return places && at >= 0 && at < places->count &&
           fabs(places->figures[at] - x->s->setting[part]) > 1e-9;
}

static int place_selector(const aircraft *a, int part) {
    int by = part_id(&a->parts[part], KEY_FOLLOWS);
    if (by < 0)
        by = fed_by(a, part, KIND_SWITCH);
    const positions *places = by >= 0 ? part_positions(&a->parts[by]) : NULL;
    return places && places->sort == POSITIONS_PLACES ? by : -1;
}

// Something that it runs for is on its way.
static bool drives(const plain_context *x, int condition) {
    const struct condition *c = condition >= 0 ? &x->a->conditions[condition] : NULL;
    if (!c)
        return false;
    if (c->op == CONDITION_MOVING) {
        int selector = place_selector(x->a, c->ref.part);
        return selector >= 0 && under_way(x, c->ref.part, selector);
    }
    return (c->op == CONDITION_AND || c->op == CONDITION_OR) &&
           (drives(x, c->a) || drives(x, c->b));
}

static double duty_of(const plain_context *x, int part) {
    if (drives(x, part_condition(&x->a->parts[part], KEY_RUNS_WHEN)))
        return -1;
    double duty = x->a->phases[x->s->phase].duty[part];
    const figure *own = part_figure(&x->a->parts[part], KEY_DUTY);
    if (duty < 0 && own && own->basis != BASIS_ASSUMED)
        duty = own->value;
    return duty;
}

// Transmitting for a share of the time: the average of both draws.
static double radio_share(const plain_context *x, int part, double duty) {
    const struct part *p = &x->a->parts[part];
    const figure *t = part_figure(p, KEY_TRANSMIT), *f = draw(p);
    if (duty <= 0 || !t || !f || f->value <= 0)
        return 1;
    double receive = f->unit == UNIT_WATT ? f->value : f->value * figure_volts(x->a, f);
    double transmit = t->unit == UNIT_WATT ? t->value : t->value * x->a->nominal;
    return 1 - duty + duty * transmit / receive;
}

static double counted_share(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    bool absent = p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE);
    bool knob = part_text(p, KEY_OWN_SWITCH) != NULL;
    if (absent || (knob && x->s->setting[part] <= 0))
        return 0;
    double share = 1, duty = duty_of(x, part);
    const positions *places = part_positions(p);
    if (places && places->sort == POSITIONS_SETTINGS)
        share = places->figures[(int)x->s->setting[part]] / plain_item_amps(x->a, p);
    int selector = place_selector(x->a, part);
    if (p->kind == KIND_RADIO)
        share *= radio_share(x, part, duty);
    else if (selector >= 0)
        share *= under_way(x, part, selector) ? 1 : fmax(duty, 0);
    else if (duty >= 0)
        share *= duty;
    int dimmer = fed_by(x->a, part, KIND_DIMMER);
    bool dimmed = dimmer >= 0 && !plain_fault(x, dimmer, FAULT_STUCK_CLOSED);  // welded: full volts
    return dimmed ? share * x->s->setting[dimmer] : share;
}

static double faulty_share(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    double share = counted_share(x, part);
    if (plain_fault(x, part, FAULT_OPEN))
        return 0;
    if (plain_fault(x, part, FAULT_OVERLOAD) && p->kind != KIND_MOTOR)
        share *= 2.5;
    return share;
}

static bool may_draw(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    const part_key KEYS[] = {KEY_RUNS_WHEN, KEY_SOUNDS_WHEN, KEY_LIT_WHEN};
    bool asked = true;
    for (int i = 0; i < 3; i++) {
        int c = part_condition(p, KEYS[i]);
        if (c >= 0)
            asked = x->m->condition[c];
    }
    bool shows = p->kind == KIND_LIGHT || p->kind == KIND_SOUNDER;
    if (!shows && duty_of(x, part) > 0)
        return true;  // it runs now and then: its share of the time counts
    int flashes = part_condition(p, KEY_FLASHES_WHEN);
    bool gated = part_condition(p, KEY_RUNS_WHEN) >= 0 || part_condition(p, KEY_SOUNDS_WHEN) >= 0 ||
                 part_condition(p, KEY_LIT_WHEN) >= 0;
    return asked || (gated && flashes >= 0 && x->m->condition[flashes]);
}

// ---- draws
// ----------------------------------------------------------------------------------------
double plain_item_amps(const aircraft *a, const part *p) {
    if (is_meter(p->kind))
        return 10e-3;  // choice
    const figure *f = draw(p);
    if (!f || p->kind == KIND_CONVERTER)
        return 0;
    return f->unit == UNIT_WATT ? f->value / figure_volts(a, f) : f->value;
}

double plain_dropout(const aircraft *a, int part) {
    const struct part *p = &a->parts[part];
    const figure *own = part_figure(p, KEY_OFF_BELOW);
    if (own && own->basis != BASIS_ASSUMED)
        return own->value;
    double usual = aircraft_is_28(a) ? 18 : 9;
    return fmin(usual, part_number(p, KEY_WORKS_ABOVE, usual));
}

// A converter draws what it feeds through its efficiency, its limit at most; where the file gives
// none, what overloads of all that hangs on it would take (choices).
static double converter_watts(const plain_context *x, int part) {
    const aircraft *a = x->a;
    const struct part *p = &a->parts[part];
    double volts = part_number(p, KEY_VALUE, 5), sum = 0, usual = 0;
    for (int i = 0; i < a->part_count; i++) {
        if (kind_class(a->parts[i].kind) != CLASS_ITEM || fed_by(a, i, KIND_CONVERTER) != part)
            continue;
        const figure *f = draw(&a->parts[i]);
        if (!f)
            continue;
        double watts = f->unit == UNIT_WATT ? f->value : f->value * volts;
        usual += watts;
        if (plain_fault(x, i, FAULT_SHORT) && !plain_fault(x, i, FAULT_OPEN))
            sum += volts * volts / 5e-3;
        else
            sum += watts * faulty_share(x, i);
    }
    const figure *limit = part_figure(p, KEY_LIMIT);
    sum = fmin(sum, limit ? limit->value * volts : 2.5 * usual);
    double own = plain_fault(x, part, FAULT_OPEN)       ? 0
                 : plain_fault(x, part, FAULT_OVERLOAD) ? 2.5
                                                        : 1;
    return own * sum / part_number(p, KEY_EFFICIENCY, 0.85);
}

// A torque that doesn't change takes a current that doesn't change, down to the volts at which that
// current through the armature leaves nothing to turn it; from there on the armature is all there
// is.
static void motor_law(const plain_context *x, int part, plain_element *e) {
    const struct part *p = &x->a->parts[part];
    const figure *stall = part_figure(p, KEY_STALL);
    double at = stall && stall->at_unit == UNIT_VOLT && stall->at > 0 ? stall->at : x->a->nominal;
    double locked = !stall                     ? 4 * plain_item_amps(x->a, p)
                    : stall->unit == UNIT_WATT ? stall->value / at
                                               : stall->value;
    double torque = plain_fault(x, part, FAULT_OVERLOAD) ? 2.5 : 1;
    double turns_from = torque * plain_item_amps(x->a, p) * at / locked;
    if (plain_fault(x, part, FAULT_STUCK) || turns_from > 2 * x->a->nominal)
        turns_from = 2 * x->a->nominal;
    e->siemens = faulty_share(x, part) * locked / at;
    e->in = turns_from * e->siemens;
}

static plain_element law_of(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    const figure *f = draw(p);
    double amps = plain_item_amps(x->a, p) * faulty_share(x, part);
    double volts = is_meter(p->kind) ? x->a->nominal : figure_volts(x->a, f);
    plain_element e = {.use = USE_LOAD, .part = part, .volts = volts, .amps = amps};
    switch (p->kind) {
    case KIND_LAMP:
    case KIND_LIGHT: e.law = LAW_FILAMENT; break;
    case KIND_HEATER:
    case KIND_SOLENOID:
    case KIND_AMMETER:
    case KIND_LOADMETER:
    case KIND_VOLTMETER:
        e.law = LAW_RESISTOR;
        e.ohms = volts / amps;
        break;
    case KIND_MOTOR:
    case KIND_SOUNDER:
        e.law = LAW_CLAMP;
        e.volts = 0;
        e.siemens = amps / (0.25 * x->a->nominal);
        e.out = INFINITY;
        e.in = amps;
        if (p->kind == KIND_MOTOR)
            motor_law(x, part, &e);
        break;
    default:
        e.law = LAW_WATTS;
        e.watts = p->kind == KIND_CONVERTER ? converter_watts(x, part) : amps * volts;
        e.knee = plain_dropout(x->a, part);
        e.amps = e.watts;
    }
    return e;
}

void plain_items_of(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    bool electric = part_references(p, KEY_FROM) && fed_by(x->a, part, KIND_CONVERTER) < 0;
    if (!electric)
        return;
    int in = plain_point(x->n, part, POINT_NEAR, 0),
        inside = plain_point(x->n, part, POINT_INSIDE, 0);
    int out = plain_point(x->n, part, POINT_FAR, 0);
    plain_list_diodes(x, part, KEY_FROM, POINT_NEAR);
    plain_own_wire(x, part, in, inside, plain_item_amps(x->a, p));
    if (plain_fault(x, part, FAULT_SHORT))
        plain_resistor(x, USE_SHORT, part, 1, inside, out, 5e-3);
    plain_element e = law_of(x, part);
    bool on = may_draw(x, part) && !x->m->of[part].dropped && e.amps > 1e-6;
    if (!on)
        return;
    e.a = inside;
    e.b = out;
    plain_add(x->n, e);
}
