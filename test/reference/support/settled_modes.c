#include "reference/support/settled_modes.h"

#include <math.h>
#include <stdlib.h>

device_modes modes_make(const aircraft *a) {
    device_modes m = {.of = calloc((size_t)a->part_count + 1, sizeof *m.of),
                      .condition = calloc((size_t)a->condition_count + 1, 1)};
    if (!m.of || !m.condition)
        abort();
    return m;
}

void modes_free(device_modes *m) {
    free(m->of);
    free(m->condition);
}

static bool at(const settled_state *s, int signal) { return signal >= 0 && s->signals[signal]; }

static bool blind(const settled_state *s, const part_map *m) {
    for (int i = 0; i < OUTPUTS_MOST; i++) {
        if ((i & OUTPUT_FULL_FIELD) == 0 || m->outputs[i] == NOWHERE)
            continue;
        int gate = s->made->circuit.piecewises[m->outputs[i]].gate;
        if (gate >= 0 && s->signals[gate])
            return true;
    }
    return false;
}

void modes_read(const settled_state *s, device_modes *m) {
    const compiled *c = s->made;
    for (int i = 0; i < c->aircraft->part_count; i++) {
        const part_map *map = &c->maps[i];
        m->of[i] = (device_mode){
            .energized = map->energized < 0 || s->signals[map->energized],
            .excited = at(s, map->on_line),
            .blind = blind(s, map),
            .turning = at(s, map->turning),
            .running = at(s, map->works),
            .dropped = map->power != NOWHERE && s->solution->dropped[map->power],
            .tripped = map->breaker != NOWHERE && s->solution->tripped[map->breaker],
        };
    }
    for (int i = 0; i < c->aircraft->condition_count; i++) {
        int signal = c->condition_signal[i];
        m->condition[i] = signal == SIGNAL_ALWAYS || at(s, signal);
    }
}

int settled_node(const settled_state *s, int part, point_name name, int detail) {
    const part_map *m = &s->made->maps[part];
    switch (name) {
    case POINT_NEAR: return m->from;
    case POINT_FAR: return m->to;
    case POINT_INSIDE: return m->inner;
    case POINT_COIL: return m->coil;
    case POINT_COIL_END: return m->coil_return;
    case POINT_FIELD: return m->field;
    case POINT_FIELD_END: return m->field_return;
    case POINT_SENSE: return m->sense;
    case POINT_OTHER: return NOWHERE;
    default: return m->contacts ? m->contacts[detail] : NOWHERE;
    }
}

// The element of the program's circuit; `piecewise` says from which list.
static int element_of(const part_map *m, const plain_element *e, bool *piecewise) {
    *piecewise = false;
    switch (e->use) {
    case USE_PATH: return m->path;
    case USE_WIRE: return m->wire;
    case USE_COIL: return m->coil_load;
    case USE_FIELD: return m->field_load;
    case USE_REST: return m->rest;
    case USE_THROW: return m->throws ? m->throws[e->detail] : NOWHERE;
    case USE_SENSE: return m->path;
    case USE_DRAIN: return m->fault_inside;
    case USE_SHORT:
        return e->detail == 1 && m->fault_inside != NOWHERE ? m->fault_inside : m->fault_short;
    case USE_LOAD: *piecewise = e->law == LAW_CLAMP; return *piecewise ? m->piecewise : m->load;
    default:
        *piecewise = true;
        return e->use == USE_LIST       ? m->list_diode + e->detail
               : e->use == USE_CHARGE   ? m->charger
               : e->use == USE_RESIDUAL ? m->residual
                                        : m->piecewise;
    }
}

// A machine has an element for each way it can give its current; one at a time does.
static double other_outputs(const settled_state *s, const part_map *m) {
    double amps = 0;
    for (int i = 1; i < OUTPUTS_MOST; i++) {
        if (m->outputs[i] != NOWHERE)
            amps += piecewise_amps(&s->made->circuit, &s->job, s->solution, m->outputs[i]);
    }
    return amps;
}

bool settled_amps(const settled_state *s, const plain_element *e, double *amps) {
    const circuit *c = &s->made->circuit;
    const part_map *m = &s->made->maps[e->part];
    if (e->law == LAW_WATTS || e->law == LAW_FILAMENT) {
        int k = e->law == LAW_WATTS ? m->power : m->lamp;
        if (k == NOWHERE)
            return false;
        *amps = e->law == LAW_WATTS ? power_amps(c, &s->job, s->solution, k)
                                    : lamp_amps(c, &s->job, s->solution, k);
        return true;
    }
    bool piecewise;
    int k = element_of(m, e, &piecewise);
    if (k == NOWHERE)
        return false;
    if (!piecewise) {
        *amps = conductance_amps(c, &s->job, s->solution, k);
        return true;
    }
    *amps = piecewise_amps(c, &s->job, s->solution, k);
    if (e->use == USE_OVERCHARGE)
        *amps = fmax(0, *amps - e->amps);
    if (e->use == USE_SOURCE)
        *amps = fmin(*amps + other_outputs(s, m), e->in);
    if (e->use == USE_BACK)
        *amps = fmax(*amps + other_outputs(s, m), 0);
    return true;
}
