// What a step of a scenario changes, in a state.
#include "model/settings.h"
#include "timeline/scenario_player.h"

// Halves of rockers and two-pole switches go along with the one that a hand moves.
static void follow(const aircraft *a, state *s, int moved) {
    bool on = settings_is_on(&a->parts[moved], s->setting[moved]);
    int with = part_id(&a->parts[moved], KEY_ONLY_WITH);
    if (on && with >= 0 && !settings_is_on(&a->parts[with], s->setting[with]))
        s->setting[with] = 1.0;
    int handle = part_id(&a->parts[moved], KEY_MOVES_WITH);
    if (handle >= 0)
        s->setting[handle] = s->setting[moved];
    for (int i = 0; i < a->part_count; i++) {
        if (part_id(&a->parts[i], KEY_MOVES_WITH) == moved)
            s->setting[i] = s->setting[moved];
        if (!on && part_id(&a->parts[i], KEY_ONLY_WITH) == moved)
            s->setting[i] = 0.0;
    }
}

static void set_flag(state *s, condition_flag flag, bool yes) {
    bool *flags[] = {&s->airborne, &s->night, &s->cloud, &s->icing, &s->stall_near};
    *flags[flag] = yes;
}

// What the new phase has otherwise than the old one; what a hand has moved besides stays.
static void go_to_phase(const aircraft *a, state *s, int to) {
    const phase *old = &a->phases[s->phase], *new = &a->phases[to];
    for (int i = 0; i < a->part_count; i++)
        if (new->setting[i] != old->setting[i])
            s->setting[i] = new->setting[i];
    s->phase = to;
    s->airborne = new->airborne;
    s->night = new->night;
    s->cloud = new->cloud;
    s->icing = new->icing;
    s->stall_near = new->stall_near;
    s->throttle = new->throttle;
    s->airspeed = new->airspeed;
}

static void fail(state *s, int part, fault_kind kind, bool comes) {
    int kept = 0;
    for (int i = 0; i < s->fault_count; i++)
        if (s->faults[i].part != part || s->faults[i].kind != kind)
            s->faults[kept++] = s->faults[i];
    s->fault_count = kept;
    if (comes && s->fault_count < STATE_FAULTS)
        s->faults[s->fault_count++] = (fault){part, kind};
}

// Conditions and wires go by it; a battery takes hours to follow.
static void outside_air(player *p, double celsius) { p->asked.temperature = p->air = celsius; }

void player_apply(player *p, const scenario_change *c) {
    state *s = &p->asked;
    switch (c->kind) {
    case CHANGE_SET:
        s->setting[c->part] = c->setting;
        if (p->aircraft->parts[c->part].kind == KIND_SWITCH)
            follow(p->aircraft, s, c->part);
        return;
    case CHANGE_FLAG: set_flag(s, c->flag, c->setting > 0); return;
    case CHANGE_THROTTLE: s->throttle = c->setting; return;
    case CHANGE_AIRSPEED: s->airspeed = c->setting; return;
    case CHANGE_TEMPERATURE: outside_air(p, c->setting); return;
    case CHANGE_FAIL: fail(s, c->part, c->fault, true); return;
    case CHANGE_REPAIR: fail(s, c->part, c->fault, false); return;
    case CHANGE_PHASE: {
        const phase *old = &p->aircraft->phases[s->phase], *new = &p->aircraft->phases[c->part];
        go_to_phase(p->aircraft, s, c->part);
        if (new->temperature != old->temperature)
            outside_air(p, new->temperature);
        return;
    }
    }
}
