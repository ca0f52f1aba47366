#include "model/state.h"

#include <string.h>

void state_of_phase(const aircraft *a, int phase, state *s) {
    const struct phase *p = &a->phases[phase];
    double *setting = s->setting;
    *s = (state){.phase = phase,
                 .airborne = p->airborne,
                 .night = p->night,
                 .cloud = p->cloud,
                 .icing = p->icing,
                 .stall_near = p->stall_near,
                 .throttle = p->throttle,
                 .airspeed = p->airspeed,
                 .temperature = p->temperature,
                 .charge = -1,
                 .setting = setting};
    memcpy(setting, p->setting, (size_t)a->part_count * sizeof *setting);
}

double state_charge(const aircraft *a, const state *s, int battery) {
    if (s->charges != NULL)
        return s->charges[battery];
    return s->charge >= 0 ? s->charge : part_number(&a->parts[battery], KEY_CHARGE, 0.8);
}

void state_copy(const aircraft *a, const state *from, state *to) {
    double *setting = to->setting;
    *to = *from;
    to->setting = setting;
    memcpy(setting, from->setting, (size_t)a->part_count * sizeof *setting);
}

static bool is_dead(const state *s, int part) {
    for (int i = 0; i < s->fault_count; i++)
        if (s->faults[i].part == part && s->faults[i].kind == FAULT_DEAD)
            return true;
    return false;
}

bool state_fail_sources(const aircraft *a, state *s) {
    for (int i = 0; i < a->part_count; i++) {
        if (kind_class(a->parts[i].kind) != CLASS_SOURCE || is_dead(s, i))
            continue;
        if (s->fault_count == STATE_FAULTS)
            return false;
        s->faults[s->fault_count++] = (fault){i, FAULT_DEAD};
    }
    return true;
}
