#include "reference/support/plain_elements.h"

#include <math.h>
#include <string.h>

#define LEAST_OHMS      1e-4
#define LEAST_ITEM_AMPS 0.02   // a bad contact is sized for as much at least: choice
#define SHORT_OHMS      5e-3   // choice
#define CONTACT_OHMS    10e-3  // switch, dimmer, regulator, sense pin: choice
#define RELAY_OHMS      5e-3   // choice
#define CONTACTOR_OHMS  1e-3   // choice
#define STRAP_OHMS      1e-3   // choice
#define SILICON_KNEE    0.70   // choice
#define DIODE_RISE      0.2    // volts at its rating: choice

// ---- faults -------------------------------------------------------------------------------------
static bool carried_fault(const aircraft *a, const fault *f, int part) {
    if (kind_class(a->parts[f->part].kind) != CLASS_GROUP)
        return false;
    const part_value *v = part_value_of(&a->parts[f->part], KEY_CARRIES);
    for (int i = 0; v && i < v->as.ids.count; i++) {
        int carried = v->as.ids.items[i];
        int wire = a->parts[carried].wire;
        if (part == (wire >= 0 ? wire : carried))
            return true;
    }
    return false;
}

bool plain_faulted(const aircraft *a, const state *s, int part, fault_kind kind) {
    for (int i = 0; i < s->fault_count; i++) {
        const fault *f = &s->faults[i];
        if (f->kind == kind && (f->part == part || carried_fault(a, f, part)))
            return true;
    }
    return false;
}

bool plain_fault(const plain_context *x, int part, fault_kind f) {
    return part >= 0 && plain_faulted(x->a, x->s, part, f);
}

// ---- resistors ----------------------------------------------------------------------------------
void plain_resistor(const plain_context *x, element_use use, int part, int detail, int a, int b,
                    double ohms) {
    plain_add(x->n, (plain_element){.law = LAW_RESISTOR,
                                    .use = use,
                                    .part = part,
                                    .detail = detail,
                                    .a = a,
                                    .b = b,
                                    .ohms = fmax(ohms, LEAST_OHMS)});
}

// Ohms per 1000 ft at 20 C: FAA AC 43.13-1B Chg 1, table 11-9. AWG 8 from its voltage-drop example
// (50 ft, 20 A, 0.70 V). The tool takes the next smaller wire where the table has none.
static double gauge_ohms(const wire_run *w) {
    static const double TABLE[][2] = {{-3, 0.06}, {-2, 0.07}, {-1, 0.09}, {0, 0.12},  {1, 0.15},
                                      {2, 0.18},  {4, 0.28},  {6, 0.44},  {8, 0.70},  {10, 1.26},
                                      {12, 2.02}, {14, 3.06}, {16, 4.81}, {18, 6.23}, {20, 9.88},
                                      {22, 16.2}, {24, 28.4}};
    for (size_t i = 0; i < sizeof TABLE / sizeof TABLE[0]; i++) {
        if (TABLE[i][0] >= w->gauge)
            return TABLE[i][1] / 1000 * (w->meters / 0.3048);
    }
    return TABLE[16][1] / 1000 * (w->meters / 0.3048);
}

// By gauge and length, else by its figure in ohms.
static double wire_ohms(const part *p) {
    const part_key KEYS[] = {KEY_VALUE, KEY_WIRE};
    for (int i = 0; i < 2; i++) {
        const part_value *v = part_value_of(p, KEYS[i]);
        if (v && v->type == VALUE_WIRE)
            return gauge_ohms(&v->as.wire);
    }
    return part_number(p, KEY_RESISTANCE, STRAP_OHMS);
}

// Amps of all items fed through a path, by their figures, up to the next point or source.
static double amps_below(const aircraft *a, int path) {
    double amps = 0;
    for (int i = 0; i < a->part_count; i++) {
        if (kind_class(a->parts[i].kind) != CLASS_ITEM)
            continue;
        int at = i;
        for (int steps = 0; steps < 16; steps++) {
            const reference_list *r = part_references(&a->parts[at], KEY_FROM);
            at = r && r->count > 0 ? r->items[0].part : -1;
            if (at < 0 || kind_class(a->parts[at].kind) != CLASS_PATH)
                break;
            if (at == path)
                amps += plain_item_amps(a, &a->parts[i]);
        }
    }
    return amps;
}

// "Its current": the larger of that in the base and that of its items; else half of its rating or 1
// A.
static double usual_amps(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    double amps = fmax(fabs(x->base_amps[part]), amps_below(x->a, part));
    if (amps > 0.05)
        return amps;
    bool rated = p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
    return rated ? 0.5 * part_number(p, KEY_VALUE, 5) : 1.0;
}

static double bad_contact(const plain_context *x, int part) {
    double volts = x->a->parts[part].kind == KIND_CONTACTOR ? 0.2 : 0.1 * x->a->nominal;
    return plain_fault(x, part, FAULT_RESISTIVE) ? volts / usual_amps(x, part) : 0;
}

void plain_own_wire(const plain_context *x, int part, int a, int b, double amps) {
    int wire = x->a->parts[part].wire;
    if (wire < 0) {
        plain_resistor(x, USE_WIRE, part, 0, a, b, 0);
        return;
    }
    double ohms = wire_ohms(&x->a->parts[wire]);
    if (plain_fault(x, wire, FAULT_RESISTIVE))
        ohms += 0.1 * x->a->nominal / fmax(amps, LEAST_ITEM_AMPS);
    if (!plain_fault(x, wire, FAULT_OPEN))
        plain_resistor(x, USE_WIRE, part, 0, a, b, ohms);
    if (plain_fault(x, wire, FAULT_SHORT))
        plain_resistor(x, USE_SHORT, part, 0, b, 0, SHORT_OHMS);
}

void plain_list_diodes(const plain_context *x, int part, part_key key, point_name to) {
    const reference_list *list = part_references(&x->a->parts[part], key);
    for (int i = 0; list && list->diodes && i < list->count; i++) {
        int from = plain_reference(x->n, &list->items[i]);
        if (from >= 0)
            plain_add(x->n, (plain_element){.law = LAW_CLAMP,
                                            .use = USE_LIST,
                                            .part = part,
                                            .detail = i,
                                            .a = from,
                                            .b = plain_point(x->n, part, to, 0),
                                            .volts = SILICON_KNEE,
                                            .siemens = 3.0 / DIODE_RISE,
                                            .out = 0,
                                            .in = INFINITY});
    }
}

// ---- paths --------------------------------------------------------------------------------------
static bool holds(const plain_context *x, int part, part_key key, bool otherwise) {
    int c = part_condition(&x->a->parts[part], key);
    return c >= 0 ? x->m->condition[c] : otherwise;
}

static bool contact_closed(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    const device_mode *m = &x->m->of[part];
    if (plain_fault(x, part, FAULT_STUCK_OPEN) || plain_fault(x, part, FAULT_OPEN))
        return false;
    switch (p->kind) {
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER:
        return x->s->setting[part] > 0 && !m->tripped && !plain_fault(x, part, FAULT_TRIPPED) &&
               !plain_fault(x, part, FAULT_BLOWN) && !holds(x, part, KEY_TRIPS_WHEN, false);
    case KIND_SWITCH:
        if (part_condition(p, KEY_OPENS_WHEN) >= 0)
            return !holds(x, part, KEY_OPENS_WHEN, false) ||
                   plain_fault(x, part, FAULT_STUCK_CLOSED);
        return holds(x, part, KEY_CLOSES_WHEN, true) || plain_fault(x, part, FAULT_STUCK_CLOSED);
    case KIND_RELAY:
    case KIND_CONTACTOR: {
        if (plain_fault(x, part, FAULT_STUCK_CLOSED))
            return true;
        const char *rests = part_text(p, KEY_RESTS);
        bool closed =
            part_condition(p, KEY_OPENS_WHEN) >= 0 || (rests && strcmp(rests, "closed") == 0);
        return m->energized != closed;
    }
    case KIND_DIMMER: return x->s->setting[part] > 0 || plain_fault(x, part, FAULT_STUCK_CLOSED);
    default: return true;
    }
}

static double path_ohms(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    switch (p->kind) {
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER: return 0.15 / part_number(p, KEY_VALUE, 5);
    case KIND_SHUNT: return 0.05 / part_number(p, KEY_VALUE, 60);
    case KIND_RESISTOR: return plain_fault(x, part, FAULT_SHORT) ? 0 : part_number(p, KEY_VALUE, 1);
    case KIND_WIRE: return wire_ohms(p);
    case KIND_RELAY: return RELAY_OHMS;
    case KIND_CONTACTOR: return CONTACTOR_OHMS;
    default: return CONTACT_OHMS;
    }
}

// Which position a welded contact holds: where the handle springs back from, ON, or the first that
// isn't OFF (choice).
static int welded_position(const part *p) {
    const positions *places = part_positions(p);
    const char *springs = part_text(p, KEY_SPRINGS_BACK);
    int on = plain_on_position(p);
    for (int i = 0; places && springs && i < places->count; i++) {
        size_t length = strlen(places->labels[i]);
        if (strncmp(springs, places->labels[i], length) == 0 && springs[length] == ' ')
            return i;
    }
    for (int i = 0; places && on < 0 && i < places->count; i++) {
        if (strcmp(places->labels[i], "OFF") != 0)
            return i;
    }
    return on >= 0 ? on : 0;
}

static void selector(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    const positions *places = part_positions(p);
    bool feeds = part_references(p, KEY_FROM) != NULL;
    int common = plain_point(x->n, part, feeds ? POINT_NEAR : POINT_FAR, 0);
    for (int i = 0; i < (places ? places->count : 2); i++) {
        bool welded = plain_fault(x, part, FAULT_STUCK_CLOSED) && welded_position(p) == i;
        bool here = (int)x->s->setting[part] == i || welded;
        if (!here || plain_fault(x, part, FAULT_STUCK_OPEN) || plain_fault(x, part, FAULT_OPEN))
            continue;
        int contact = plain_point(x->n, part, POINT_CONTACT, i);
        plain_resistor(x, USE_THROW, part, i, feeds ? common : contact, feeds ? contact : common,
                       CONTACT_OHMS + bad_contact(x, part));
    }
}

static void coil(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    if (!part_references(p, KEY_COIL_FROM))
        return;
    double amps = part_number(p, KEY_COIL, 1);
    plain_list_diodes(x, part, KEY_COIL_FROM, POINT_COIL);
    if (!plain_fault(x, part, FAULT_COIL_OPEN))
        plain_resistor(x, USE_COIL, part, 0, plain_point(x->n, part, POINT_COIL, 0),
                       plain_point(x->n, part, POINT_COIL_END, 0), x->a->nominal / amps);
}

static void diode(const plain_context *x, int part) {
    double rating = part_number(&x->a->parts[part], KEY_VALUE, 3);
    int a = plain_point(x->n, part, POINT_NEAR, 0), b = plain_point(x->n, part, POINT_FAR, 0);
    if (plain_fault(x, part, FAULT_SHORTED))
        plain_resistor(x, USE_DIODE, part, 0, a, b, CONTACT_OHMS);
    else if (!plain_fault(x, part, FAULT_OPEN))
        plain_add(x->n, (plain_element){.law = LAW_CLAMP,
                                        .use = USE_DIODE,
                                        .part = part,
                                        .a = a,
                                        .b = b,
                                        .volts = SILICON_KNEE,
                                        .siemens = rating / DIODE_RISE,
                                        .out = 0,
                                        .in = INFINITY});
}

static double wire_amps(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    bool rated = p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
    return rated ? part_number(p, KEY_VALUE, 5) : usual_amps(x, part);
}

static void path(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    if (p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP)
        return;  // with the part that it belongs to
    if (p->kind == KIND_DIODE) {
        diode(x, part);
        return;
    }
    if (plain_is_selector(p)) {
        selector(x, part);
        return;
    }
    int near = plain_point(x->n, part, POINT_NEAR, 0), far = plain_point(x->n, part, POINT_FAR, 0);
    if (p->wire >= 0) {
        int inside = plain_point(x->n, part, POINT_INSIDE, 0);
        plain_own_wire(x, part, near, inside, wire_amps(x, part));
        near = inside;
    }
    double ohms = path_ohms(x, part) + bad_contact(x, part);
    if (contact_closed(x, part))
        plain_resistor(x, USE_PATH, part, 0, near, far, ohms);
    if (p->kind == KIND_WIRE && plain_fault(x, part, FAULT_SHORT))
        plain_resistor(x, USE_SHORT, part, 0, far, 0, SHORT_OHMS);
    bool other = part_references(p, KEY_RESTS_ON) && !x->m->of[part].energized;
    if (other && !plain_fault(x, part, FAULT_STUCK_CLOSED))
        plain_resistor(x, USE_REST, part, 0, plain_point(x->n, part, POINT_OTHER, 0), far, ohms);
    coil(x, part);
}

// ---- points -------------------------------------------------------------------------------------
static void point(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    int here = plain_point(x->n, part, POINT_NEAR, 0);
    if (p->kind == KIND_GROUND) {
        double ohms = part_number(p, KEY_RESISTANCE, STRAP_OHMS) + bad_contact(x, part);
        if (!plain_fault(x, part, FAULT_OPEN))
            plain_resistor(x, USE_PATH, part, 0, here, 0, ohms);
        return;
    }
    if (plain_fault(x, part, FAULT_SHORT) || plain_fault(x, p->wire, FAULT_SHORT))
        plain_resistor(x, USE_SHORT, part, 0, here, 0, SHORT_OHMS);
    const reference_list *from = part_references(p, KEY_FROM);
    if (!from || from->count == 0 || plain_fault(x, p->wire, FAULT_OPEN))
        return;
    double bad =
        plain_fault(x, p->wire, FAULT_RESISTIVE) ? 0.1 * x->a->nominal / usual_amps(x, part) : 0;
    plain_resistor(x, USE_PATH, part, 0, plain_reference(x->n, &from->items[0]), here,
                   STRAP_OHMS + bad);
}

void plain_elements_of(const plain_context *x, int part) {
    const struct part *p = &x->a->parts[part];
    switch (kind_class(p->kind)) {
    case CLASS_POINT: point(x, part); break;
    case CLASS_PATH: path(x, part); break;
    case CLASS_SOURCE: plain_sources_of(x, part); break;
    case CLASS_UNIT:
        if (p->kind != KIND_REGULATOR) {
            plain_items_of(x, part);
        } else if (!plain_fault(x, part, FAULT_DEAD) && !holds(x, part, KEY_TRIPS_WHEN, false)) {
            plain_resistor(x, USE_PATH, part, 0, plain_point(x->n, part, POINT_NEAR, 0),
                           plain_point(x->n, part, POINT_FAR, 0), CONTACT_OHMS);
        }
        break;
    case CLASS_ITEM: plain_items_of(x, part); break;
    default: break;
    }
}
