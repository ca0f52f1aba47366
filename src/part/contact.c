// Breaker, fuse, limiter, dimmer; wire, shunt and resistor as parts of their own.
#include "part/kind_rows.h"
#include "part/path_ends.h"
#include "part/wire_ohms.h"

#define NEVER_TRIPS 1e12
#define EARLY       0.5  // a breaker that trips early does so at half of its rating: choice

void contact_nodes(builder *b, int part) { path_nodes(b, part); }

void breaker_build(builder *b, int part) {
    part_map *m = builder_map(b, part);
    int gate = builder_input(b, INPUT_ON, part, 0);
    int trips = part_condition(builder_part(b, part), KEY_TRIPS_WHEN);
    if (trips >= 0)
        gate = builder_and(b, gate, builder_not(b, builder_condition(b, trips, part)));
    path_build(b, part, gate);
    m->closed = gate;
    m->breaker = builder_breaker(b, part, m->path);
}

static double bad_contact_ohms(const binder *b, int part) {
    return 0.1 * binder_aircraft(b)->nominal / binder_load_below(b, part);
}

void breaker_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    const part_map *m = binder_map(b, part);
    double rating = part_number(p, KEY_VALUE, 5.0);
    double ohms = part_number(p, KEY_RESISTANCE, 0.0);
    if (binder_fault(b, part, FAULT_RESISTIVE))
        ohms += bad_contact_ohms(b, part);
    bool out = binder_fault(b, part, FAULT_TRIPPED) || binder_fault(b, part, FAULT_BLOWN) ||
               binder_fault(b, part, FAULT_OPEN);
    bind_ohms(b, m->path, out ? -1.0 : ohms);
    if (binder_fault(b, part, FAULT_STUCK))
        rating = NEVER_TRIPS;
    if (binder_fault(b, part, FAULT_TRIPS_EARLY))
        rating *= EARLY;
    bind_rating(b, m->breaker, rating);
    bind_ohms(b, m->wire, own_wire_ohms(b, p->wire, part_number(p, KEY_VALUE, 5.0)));
}

void plain_path_build(builder *b, int part) {
    const struct part *p = builder_part(b, part);
    if (p->implied != IMPLIED_NO)
        return;  // id.wire, id.strap: built with their host
    path_build(b, part, SIGNAL_TRUE);
    if (p->kind == KIND_WIRE)
        builder_map(b, part)->fault_short = builder_conductance(
            b, part, ROLE_SHORT, builder_map(b, part)->to, AIRFRAME_NODE, SIGNAL_TRUE);
}

static double plain_path_ohms(const struct part *p) {
    const part_value *v = part_value_of(p, KEY_VALUE);
    if (p->kind == KIND_RESISTOR)
        return part_number(p, KEY_VALUE, 1.0);
    if (v != NULL && v->type == VALUE_WIRE)
        return wire_run_ohms(&v->as.wire);
    const part_value *w = part_value_of(p, KEY_WIRE);
    if (w != NULL && w->type == VALUE_WIRE)
        return wire_run_ohms(&w->as.wire);
    return part_number(p, KEY_RESISTANCE, 0.0);
}

void plain_path_bind(binder *b, int part) {
    const struct part *p = &binder_aircraft(b)->parts[part];
    if (p->implied != IMPLIED_NO)
        return;
    const part_map *m = binder_map(b, part);
    double ohms = plain_path_ohms(p);
    if (binder_fault(b, part, FAULT_RESISTIVE))
        ohms += bad_contact_ohms(b, part);
    if (p->kind == KIND_RESISTOR && binder_fault(b, part, FAULT_SHORT))
        ohms = 0.0;
    bind_ohms(b, m->path, binder_fault(b, part, FAULT_OPEN) ? -1.0 : ohms);
    if (p->kind == KIND_WIRE)
        bind_ohms(b, m->fault_short, binder_fault(b, part, FAULT_SHORT) ? SHORT_OHMS : -1.0);
}

double own_wire_ohms(const binder *b, int wire, double item_amps) {
    if (wire < 0)
        return 0.0;
    const aircraft *a = binder_aircraft(b);
    const struct part *w = &a->parts[wire];
    const part_value *v = part_value_of(w, KEY_WIRE);
    if (v == NULL)
        v = part_value_of(w, KEY_VALUE);
    double ohms = v != NULL && v->type == VALUE_WIRE ? wire_run_ohms(&v->as.wire)
                                                     : part_number(w, KEY_RESISTANCE, 0.0);
    if (binder_fault(b, wire, FAULT_RESISTIVE))
        ohms += 0.1 * a->nominal / (item_amps > 0.02 ? item_amps : 0.02);
    return binder_fault(b, wire, FAULT_OPEN) ? -1.0 : ohms;
}

bool cut_off(const binder *b, int part) {
    return binder_fault(b, part, FAULT_STUCK_OPEN) || binder_fault(b, part, FAULT_OPEN);
}

void dimmer_build(builder *b, int part) {
    int gate =
        builder_or(b, builder_input(b, INPUT_ON, part, 0), builder_input(b, INPUT_WELDED, part, 0));
    path_build(b, part, gate);
    builder_map(b, part)->closed = gate;
}

void dimmer_bind(binder *b, int part) {
    const part_map *m = binder_map(b, part);
    const struct part *p = &binder_aircraft(b)->parts[part];
    double ohms = part_number(p, KEY_RESISTANCE, 0.0);
    if (binder_fault(b, part, FAULT_RESISTIVE))
        ohms += bad_contact_ohms(b, part);
    bind_ohms(b, m->path, cut_off(b, part) ? -1.0 : ohms);
    bind_ohms(b, m->wire, own_wire_ohms(b, p->wire, binder_load_below(b, part)));
}
