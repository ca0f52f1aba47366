#include "part/item_draw.h"

#include "part/kind_rows.h"

static const figure *draw_figure(const part *p) {
    const figure *amps = part_figure(p, KEY_AMPS);
    if (amps != NULL && amps->basis != BASIS_ASSUMED)
        return amps;
    const figure *value = part_figure(p, KEY_VALUE);
    return value != NULL ? value : amps;
}

double item_figure_volts(const aircraft *a, const part *p) {
    const figure *f = draw_figure(p);
    return f != NULL && f->at_unit == UNIT_VOLT && f->at > 0 ? f->at : a->nominal;
}

double item_amps(const aircraft *a, const part *p) {
    const figure *f = draw_figure(p);
    if (p->kind == KIND_AMMETER || p->kind == KIND_LOADMETER || p->kind == KIND_VOLTMETER)
        return 10e-3;  // powered meters: design choice
    if (f == NULL)
        return 0.0;
    return f->unit == UNIT_WATT ? f->value / item_figure_volts(a, p) : f->value;
}

double item_watts(const aircraft *a, const part *p) {
    const figure *f = draw_figure(p);
    if (f == NULL)
        return item_amps(a, p) * a->nominal;
    return f->unit == UNIT_WATT ? f->value : f->value * item_figure_volts(a, p);
}

static double by_nominal(const aircraft *a, double at28, double at14) {
    return aircraft_is_28(a) ? at28 : at14;
}

double item_dropout_volts(const aircraft *a, const part *p) {
    const figure *below = part_figure(p, KEY_OFF_BELOW);
    if (below != NULL && below->basis != BASIS_ASSUMED)
        return below->value;
    double usual = by_nominal(a, 18.0, 9.0);
    double works = part_number(p, KEY_WORKS_ABOVE, usual);
    return works < usual ? works : usual;
}

double item_works_volts(const aircraft *a, const part *p) {
    return part_number(p, KEY_WORKS_ABOVE, by_nominal(a, 20.5, 10.25));
}

double item_whole_volts(const aircraft *a, const part *p) {
    double works = item_works_volts(a, p), sends = part_number(p, KEY_TRANSMITS_ABOVE, works);
    return sends > works ? sends : works;
}

double item_restart_volts(double dropout) { return dropout * 19.0 / 18.0; }

double item_off_volts(const aircraft *a, const part *p) {
    bool lamp = p->kind == KIND_LAMP || p->kind == KIND_LIGHT;
    double otherwise = lamp ? by_nominal(a, 7.0, 3.5) : by_nominal(a, 9.0, 4.5);
    return part_number(p, KEY_OFF_BELOW, otherwise);
}

int item_feeder(const aircraft *a, int part, part_kind kind) {
    const reference_list *r = part_references(&a->parts[part], KEY_FROM);
    if (r == NULL || r->count != 1 || r->items[0].part < 0)
        return -1;
    return a->parts[r->items[0].part].kind == kind ? r->items[0].part : -1;
}

int item_selector(const aircraft *a, int part) {
    const positions *own = part_positions(&a->parts[part]);
    if (own != NULL && own->sort == POSITIONS_SETTINGS)
        return part;
    const part_value *follows = part_value_of(&a->parts[part], KEY_FOLLOWS);
    if (follows != NULL && follows->as.ids.count > 0)
        return follows->as.ids.items[0];
    int fed = item_feeder(a, part, KIND_SWITCH);
    const positions *s = fed >= 0 ? part_positions(&a->parts[fed]) : NULL;
    return s != NULL && s->sort == POSITIONS_PLACES ? fed : -1;
}

// Does it run because something is under way just now?
static bool moves_something(const aircraft *a, const state *s, int condition) {
    const struct condition *c = condition >= 0 ? &a->conditions[condition] : NULL;
    if (c == NULL)
        return false;
    if (c->op == CONDITION_MOVING)
        return item_moving(a, s, c->ref.part, item_selector(a, c->ref.part));
    return (c->op == CONDITION_AND || c->op == CONDITION_OR) &&
           (moves_something(a, s, c->a) || moves_something(a, s, c->b));
}

double item_duty(const aircraft *a, const state *s, int part) {
    if (moves_something(a, s, part_condition(&a->parts[part], KEY_RUNS_WHEN)))
        return -1.0;  // all that it draws, for as long as that lasts
    double d = a->phases[s->phase].duty[part];
    if (d >= 0)
        return d;
    const figure *f = part_figure(&a->parts[part], KEY_DUTY);
    return f != NULL && f->basis != BASIS_ASSUMED ? f->value : -1.0;
}

bool item_moving(const aircraft *a, const state *s, int part, int selector) {
    if (selector < 0 || selector == part)
        return false;
    const positions *p = part_positions(&a->parts[selector]);
    if (p == NULL || p->sort != POSITIONS_PLACES)
        return false;
    int at = (int)s->setting[selector];
    if (at < 0 || at >= p->count)
        return false;
    double way = p->figures[at] - s->setting[part];
    return way > 1e-9 || way < -1e-9;
}

#define STALL 4.0  // locked rotor over running current: design choice

double item_stall_ohms(const aircraft *a, const part *p) {
    const figure *f = part_figure(p, KEY_STALL);
    if (f == NULL || f->value <= 0)
        return item_figure_volts(a, p) / (STALL * item_amps(a, p));
    double volts = f->at_unit == UNIT_VOLT && f->at > 0 ? f->at : a->nominal;
    return f->unit == UNIT_WATT ? volts * volts / f->value : volts / f->value;
}

double item_transmit_watts(const aircraft *a, const part *p) {
    const figure *t = part_figure(p, KEY_TRANSMIT);
    if (t == NULL)
        return 0.0;
    return t->unit == UNIT_WATT ? t->value : t->value * a->nominal;
}

// A radio's duty is the share of time it transmits; its figure then is the average of both
// currents.
static double transmit_share(const aircraft *a, const part *p, double duty) {
    double receive = item_watts(a, p), transmit = item_transmit_watts(a, p);
    if (part_figure(p, KEY_TRANSMIT) == NULL || duty <= 0 || receive <= 0)
        return 1.0;
    return 1.0 + duty * (transmit / receive - 1.0);
}

static double setting_share(const aircraft *a, const state *s, int part) {
    const struct part *p = &a->parts[part];
    const positions *at = part_positions(p);
    if (at == NULL || at->sort != POSITIONS_SETTINGS)
        return 1.0;
    int i = (int)s->setting[part];
    double amps = item_amps(a, p);
    return i >= 0 && i < at->count && amps > 0 ? at->figures[i] / amps : 0.0;
}

static bool switched_on(const aircraft *a, const state *s, int part) {
    return part_text(&a->parts[part], KEY_OWN_SWITCH) == NULL || s->setting[part] > 0;
}

double item_share(const aircraft *a, const state *s, int part, int selector, int dimmer) {
    const struct part *p = &a->parts[part];
    if (p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE))
        return 0.0;
    if (!switched_on(a, s, part))
        return 0.0;
    double duty = item_duty(a, s, part);
    double share = setting_share(a, s, part);
    if (p->kind == KIND_RADIO) {
        share *= transmit_share(a, p, duty);
    } else if (selector >= 0 && selector != part) {
        if (!item_moving(a, s, part, selector))
            share *= duty >= 0 ? duty : 0.0;
    } else if (duty >= 0) {
        share *= duty;
    }
    return dimmer >= 0 ? share * s->setting[dimmer] : share;
}

// By its figure, at the volts of its converter.
static double converted_figure(const aircraft *a, int item, int converter) {
    const figure *f = part_figure(&a->parts[item], KEY_VALUE);
    double volts = part_number(&a->parts[converter], KEY_VALUE, 5.0);
    return f != NULL && f->unit == UNIT_WATT ? f->value / volts : item_amps(a, &a->parts[item]);
}

double converted_amps(const aircraft *a, const state *s, const uint32_t *faults, int item) {
    int converter = item_feeder(a, item, KIND_CONVERTER);
    double share = item_share(a, s, item, -1, -1);
    if (faults[item] >> FAULT_OPEN & 1u)
        return 0.0;
    if (faults[item] >> FAULT_SHORT & 1u)
        return part_number(&a->parts[converter], KEY_VALUE, 5.0) / SHORT_OHMS;
    if (faults[item] >> FAULT_OVERLOAD & 1u)
        share *= OVERLOAD;
    return converted_figure(a, item, converter) * share;
}

converter_load converter_loaded(const aircraft *a, const state *s, const uint32_t *faults,
                                int part) {
    double asked = 0.0, usual = 0.0;
    for (int i = 0; i < a->part_count; i++) {
        if (item_feeder(a, i, KIND_CONVERTER) != part)
            continue;
        asked += converted_amps(a, s, faults, i);
        usual += converted_figure(a, i, part);
    }
    double limit = part_number(&a->parts[part], KEY_LIMIT, OVERLOAD * usual);
    return asked > limit ? (converter_load){limit, limit / asked} : (converter_load){asked, 1.0};
}
