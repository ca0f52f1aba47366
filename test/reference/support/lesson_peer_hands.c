// What a scenario does, watches and moves, in the peer of a run.
#include <math.h>
#include <string.h>

#include "reference/support/lesson_peer_parts.h"

// ---- hands -------------------------------------------------------------------------------------
static bool is_on(const part *p, double setting) {
    const positions *s = part_positions(p);
    return s != NULL ? strcmp(s->labels[(int)setting], "OFF") != 0 : setting > 0;
}

static void move_switch(peer *p, int part) {
    const aircraft *a = p->aircraft;
    double *set = p->asked.setting;
    bool on = is_on(&a->parts[part], set[part]);
    int with = part_id(&a->parts[part], KEY_ONLY_WITH);
    int handle = part_id(&a->parts[part], KEY_MOVES_WITH);
    if (on && with >= 0 && !is_on(&a->parts[with], set[with]))
        set[with] = 1;
    if (handle >= 0)
        set[handle] = set[part];
    for (int i = 0; i < a->part_count; i++) {
        if (part_id(&a->parts[i], KEY_MOVES_WITH) == part)
            set[i] = set[part];
        if (!on && part_id(&a->parts[i], KEY_ONLY_WITH) == part)
            set[i] = 0;
    }
}

static void change_phase(peer *p, int to) {
    const aircraft *a = p->aircraft;
    state *s = &p->asked;
    const phase *old = &a->phases[s->phase], *new = &a->phases[to];
    for (int i = 0; i < a->part_count; i++)
        if (old->setting[i] != new->setting[i])
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

static void change_fault(peer *p, const scenario_change *c) {
    state *s = &p->asked;
    int kept = 0;
    for (int i = 0; i < s->fault_count; i++)
        if (s->faults[i].part != c->part || s->faults[i].kind != c->fault)
            s->faults[kept++] = s->faults[i];
    s->fault_count = kept;
    if (c->kind == CHANGE_FAIL)
        s->faults[s->fault_count++] = (fault){c->part, c->fault};
}

void peer_apply(peer *p, const scenario_change *c) {
    state *s = &p->asked;
    bool *flags[] = {&s->airborne, &s->night, &s->cloud, &s->icing, &s->stall_near};
    int breaker = c->kind == CHANGE_SET ? p->made->maps[c->part].breaker : -1;
    switch (c->kind) {
    case CHANGE_SET:
        if (breaker >= 0 && c->setting > 0 && p->tripped[breaker]) {
            p->tripped[breaker] = 0;
            p->pushed[breaker] = 1;
            double limit = p->aircraft->parts[c->part].kind == KIND_FUSE ? 1.44 : 1.5625;
            p->heat[breaker] = fmin(p->heat[breaker], 0.999 * limit);
        }
        s->setting[c->part] = c->setting;
        if (p->aircraft->parts[c->part].kind == KIND_SWITCH)
            move_switch(p, c->part);
        break;
    case CHANGE_FLAG: *flags[c->flag] = c->setting > 0; break;
    case CHANGE_THROTTLE: s->throttle = c->setting; break;
    case CHANGE_AIRSPEED: s->airspeed = c->setting; break;
    case CHANGE_TEMPERATURE: s->temperature = c->setting; break;
    case CHANGE_FAIL:
    case CHANGE_REPAIR: change_fault(p, c); break;
    case CHANGE_PHASE: change_phase(p, c->part); break;
    }
}

// ---- watches -----------------------------------------------------------------------------------
bool peer_lit(const peer *p, int rule) {
    const item_rule *r = &p->made->verdict->rules[rule];
    part_kind k = p->aircraft->parts[r->part].kind;
    if (k != KIND_LIGHT && k != KIND_SOUNDER)
        return false;
    const settled_state *s = &p->now.settled;
    const double *v = p->now.solution.volts;
    bool powered = r->inner < 0 || v[r->inner] - v[r->to] >= r->off;
    return powered && signal_at(s, r->whole) && signal_at(s, r->needs) &&
           signal_at(s, p->made->maps[r->part].runs);
}

bool peer_contact(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    return m->path >= 0 && element_siemens(s, m->path) > 0;
}

static bool compared(const scenario_watch *w, double x) {
    return w->below ? x < w->value : x > w->value;
}

static bool battery_watch(const peer *p, const scenario_watch *w) {
    for (int i = 0; i < p->battery_count; i++) {
        const peer_battery *b = &p->batteries[i];
        if (b->part == w->part)
            return w->op == WATCH_EXHAUSTED ? peer_battery_exhausted(b)
                                            : compared(w, peer_battery_charge(b));
    }
    return false;
}

bool peer_watch(const peer *p, int watch) {
    const scenario_watch *w = &p->sc->watches[watch];
    const settled_state *s = &p->now.settled;
    int rule = w->part >= 0 ? p->made->verdict->rule_of[w->part] : -1;
    int status = rule >= 0 ? p->items[rule].status : ITEM_NONE;
    switch (w->op) {
    case WATCH_LIT: return rule >= 0 && peer_lit(p, rule);
    case WATCH_DARK: return rule >= 0 && !peer_lit(p, rule);
    case WATCH_STATUS: return status == w->status || (w->status == ITEM_WEAK && status == ITEM_OFF);
    case WATCH_FUNCTION:
        return p->functions[w->function] == w->status ||
               (w->status == FUNCTION_REDUCED && p->functions[w->function] == FUNCTION_LOST);
    case WATCH_TRIPPED: return p->tripped[p->made->maps[w->part].breaker] != 0;
    case WATCH_OPEN: return !peer_contact(s, w->part);
    case WATCH_CLOSED: return peer_contact(s, w->part);
    case WATCH_VOLTS: return compared(w, part_volts(s, w->part));
    case WATCH_AMPS: return compared(w, part_amps(s, w->part));
    case WATCH_EXHAUSTED:
    case WATCH_CHARGE: return battery_watch(p, w);
    }
    return false;
}

// ---- things that move --------------------------------------------------------------------------
static int pump_of(const aircraft *a, const part *mechanism) {
    const part_value *v = part_value_of(mechanism, KEY_NEEDS);
    for (int i = 0; v != NULL && i < v->as.conditions.count; i++) {
        const condition *c = &a->conditions[v->as.conditions.items[i]];
        const supply *s = c->op == CONDITION_PRESENT ? &a->supplies[c->supply] : NULL;
        for (int k = 0; s != NULL && k < s->count; k++)
            if (a->parts[s->makers[k]].kind == KIND_MOTOR)
                return s->makers[k];
    }
    return -1;
}

static bool works(const peer *p, int part) {
    int rule = p->made->verdict->rule_of[part];
    int status = rule >= 0 ? p->items[rule].status : ITEM_NONE;
    return status == ITEM_ON || status == ITEM_WEAK;
}

// Running and locked currents at nominal volts: what the armature loses turns nothing.
static double speed(const peer *p, int motor) {
    const part *x = &p->aircraft->parts[motor];
    double nominal = p->aircraft->nominal, runs = part_number(x, KEY_VALUE, 0);
    double lost = runs * nominal / part_number(x, KEY_STALL, 4 * runs);
    return fmax((part_volts(&p->now.settled, motor) - lost) / (nominal - lost), 0);
}

static void move_part(peer *p, int part) {
    const struct part *x = &p->aircraft->parts[part];
    double seconds = part_number(x, KEY_TRAVEL, 0);
    int selector = p->made->maps[part].selector;
    const positions *places = selector >= 0 ? part_positions(&p->aircraft->parts[selector]) : NULL;
    if (seconds <= 0 || places == NULL || places->sort != POSITIONS_PLACES ||
        p->now.faults[part] >> FAULT_STUCK & 1u)
        return;
    double to = places->figures[(int)p->asked.setting[selector]], *at = &p->asked.setting[part];
    int motor = x->kind == KIND_MOTOR ? part : pump_of(p->aircraft, x);
    bool driven = x->kind == KIND_MOTOR ? works(p, part)
                                        : signal_at(&p->now.settled, p->made->maps[part].needs);
    if (fabs(to - *at) < 1e-9 || !driven)
        return;
    double way = p->h / seconds * (motor >= 0 && works(p, motor) ? speed(p, motor) : 1);
    *at = fabs(to - *at) <= way ? to : to > *at ? *at + way : *at - way;
}

void peer_move(peer *p) {
    for (int i = 0; i < p->aircraft->part_count; i++)
        move_part(p, i);
}
