// Walking part by part: what each kind of part needs, and what takes it away.
#include <string.h>

#include "circuit/cause_walk.h"
#include "model/part_words.h"
#include "part/item_draw.h"

#define NEARLY_EMPTY 0.2  // of a battery's charge: design choice

static bool changed(const cause_walk *w, int signal) {
    return signal_at(w->now, signal) != signal_at(w->base, signal);
}

static const char *fault_clause(const part *p, fault_kind f) {
    switch (f) {
    case FAULT_TRIPPED:
    case FAULT_BLOWN: return p->kind == KIND_BREAKER ? "is out" : "has blown";
    case FAULT_STUCK_OPEN: return p->kind == KIND_SWITCH ? "doesn't close" : "is stuck open";
    case FAULT_STUCK_CLOSED: return "is stuck closed";
    case FAULT_COIL_OPEN: return "has an open coil";
    case FAULT_OPEN: return "is open";
    case FAULT_SHORT: return "is shorted to the airframe";
    case FAULT_SHORTED: return "is shorted";
    case FAULT_RESISTIVE: return "has a bad, resistive contact";
    case FAULT_OVERLOAD: return "draws far too much";
    case FAULT_DEAD: return "has failed";
    case FAULT_WEAK: return "is weak";
    case FAULT_SHORTED_CELL: return "has a shorted cell";
    case FAULT_LOW: return "gives too little";
    case FAULT_HIGH: return "regulates too high";
    case FAULT_FULL_FIELD: return "gives full field";
    case FAULT_SENSE_OPEN: return "has lost its sense wire";
    case FAULT_SLIPPING: return "slips";
    case FAULT_STUCK: return "is stuck";
    case FAULT_WINDMILLING: return "only windmills";
    case FAULT_P_LEAD_OPEN: return "has an open P-lead";
    case FAULT_TRIPS_EARLY: return "trips early";
    case FAULT_DIODE_OPEN: return "has an open diode";
    case FAULT_DIODE_SHORTED: return "has a shorted diode";
    default: return "has failed";
    }
}

// Too many volts, and something has taken the source off line since.
static bool taken_off(const settled_state *now, int who, fault_kind f) {
    const aircraft *a = now->made->aircraft;
    for (int i = 0; i < a->part_count && (f == FAULT_FULL_FIELD || f == FAULT_HIGH); i++) {
        const part_map *m = &now->made->maps[i];
        bool machine = a->parts[i].kind == KIND_ALTERNATOR || a->parts[i].kind == KIND_GENERATOR;
        if (machine && (i == who || m->regulator == who) && !signal_at(now, m->on_line))
            return true;
    }
    return false;
}

// What was done to a part, as a clause after its name.
static void deviation_clause(const settled_state *now, int who, text *t) {
    const part *p = &now->made->aircraft->parts[who];
    double at = now->asked->setting[who];
    for (int i = 0; i < now->asked->fault_count; i++) {
        if (now->asked->faults[i].part != who)
            continue;
        fault_kind f = now->asked->faults[i].kind;
        text_put(t, taken_off(now, who, f) ? "drove the volts too high and was tripped off line"
                                           : fault_clause(p, f));
        return;
    }
    const positions *labels = part_positions(p);
    int breaker = now->made->maps[who].breaker;
    if (breaker >= 0 && now->solution->tripped[breaker]) {
        text_put(t, p->kind == KIND_BREAKER ? "has opened by itself" : "has blown");
    } else if (p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER) {
        text_put(t, at > 0 ? "is in" : "is out");
    } else if (p->kind == KIND_ENGINE) {
        text_put(t, at == 0 ? "is stopped" : at < 0 ? "only windmills" : "runs at another speed");
    } else if (p->kind == KIND_SWITCH && labels != NULL) {
        bool known = (int)at >= 0 && (int)at < labels->count;
        text_all(t, "stands at ", known ? labels->labels[(int)at] : "another position", NULL);
    } else {
        text_put(t, at > 0 ? "is on" : "is off");
    }
}

void deviation_words(const settled_state *now, int who, text *t) {
    part_name(now->made->aircraft, who, t);
    text_char(t, ' ');
    deviation_clause(now, who, t);
}

void walk_blame(cause_walk *w, int part) {
    w->visited[part] = 1;
    w->cause = w->deviation[part];
    walk_say(w, w->cause, "");
    deviation_clause(w->now, w->cause, &w->said);
}

static void walk_needs(cause_walk *w, int part) {
    const part_value *v = part_value_of(&w->now->made->aircraft->parts[part], KEY_NEEDS);
    const size_t start = w->said.length;
    const int clauses = w->clauses;
    for (int i = 0; v != NULL && i < v->as.conditions.count && w->cause == NOWHERE; i++) {
        int s = w->now->made->condition_signal[v->as.conditions.items[i]];
        if (s < 0 || signal_at(w->now, s))
            continue;
        // What the needs before it said led nowhere: it goes once this one says something.
        const size_t end = w->said.length;
        const int had = w->clauses;
        w->clauses = clauses;
        walk_condition(w, v->as.conditions.items[i]);
        if (w->said.length == end) {
            w->clauses = had;
            continue;
        }
        w->said.length -= end - start;
        memmove(w->said.data + start, w->said.data + end, w->said.length - start + 1);
    }
    const part_value *t = part_value_of(&w->now->made->aircraft->parts[part], KEY_TURNED_BY);
    for (int i = 0; t != NULL && i < t->as.ids.count && w->cause == NOWHERE; i++) {
        int engine = t->as.ids.items[i];
        int turning = w->now->made->maps[engine].turning;
        bool turns = turning == NOWHERE ? signal_at(w->now, w->now->made->maps[engine].works)
                                        : signal_at(w->now, turning);
        if (!turns)
            walk_part(w, engine);
    }
    static const part_key KEYS[] = {KEY_FAILS_WHEN, KEY_GROUNDED_WHEN};
    for (int k = 0; k < 2 && w->cause == NOWHERE; k++) {
        int c = part_condition(&w->now->made->aircraft->parts[part], KEYS[k]);
        if (c >= 0 && w->now->made->condition_signal[c] >= 0 &&
            signal_at(w->now, w->now->made->condition_signal[c]))
            walk_condition(w, c);
    }
}

// What is open on the item's own branch, nearest first.
static void walk_branch_parts(cause_walk *w, int part) {
    const aircraft *a = w->now->made->aircraft;
    const reference_list *r = part_references(&a->parts[part], KEY_FROM);
    for (int steps = 0; r != NULL && r->count == 1 && steps < 16 && w->cause == NOWHERE; steps++) {
        int above = r->items[0].part;
        if (above < 0 || kind_class(a->parts[above].kind) != CLASS_PATH)
            return;
        const part_map *m = &w->now->made->maps[above];
        bool out = m->path >= 0 &&
                   element_siemens(w->now, m->path) < 0.5 * element_siemens(w->base, m->path);
        bool bad = m->path >= 0 &&
                   w->now->job.params[w->now->made->circuit.conductances[m->path].slot] <
                       0.5 * w->base->job.params[w->base->made->circuit.conductances[m->path].slot];
        if (out || bad)
            walk_part(w, above);
        r = part_references(&a->parts[above], KEY_FROM);
    }
}

// A converter works, and gives less than is asked of it.
static void walk_overasked(cause_walk *w, int converter) {
    const aircraft *a = w->now->made->aircraft;
    if (converter_loaded(a, w->now->asked, w->now->faults, converter).share >= 1.0)
        return;
    walk_say(w, converter, "is asked for more than its limit");
    for (int i = 0; i < a->part_count && w->cause == NOWHERE; i++)
        if (w->now->made->maps[i].converter == converter && w->deviation[i] != NOWHERE)
            walk_blame(w, i);
}

static void walk_item(cause_walk *w, int part) {
    const part_map *m = &w->now->made->maps[part];
    if (m->converter >= 0 && signal_at(w->now, w->now->made->maps[m->converter].works)) {
        walk_overasked(w, m->converter);
    } else if (m->converter >= 0) {
        walk_part(w, m->converter);
    } else if (m->inner >= 0 && (m->reserve < 0 || !signal_at(w->now, m->reserve))) {
        int node = judged_node(w->now, part);
        double now = across(w->now, node, m->to), then = across(w->base, node, m->to);
        bool dropped = m->power >= 0 && w->now->solution->dropped[m->power];
        if (m->to != AIRFRAME_NODE)
            walk_return(w, m->to);
        if (w->cause == NOWHERE)
            walk_branch_parts(w, part);
        if (w->cause == NOWHERE && (now < then - 1e-3 || dropped || !w->now->live[node]))
            walk_low_node(w, node);
        if (w->cause == NOWHERE && w->now->live[node] && !w->base->live[node])
            walk_risen_node(w, node);
    }
    if (w->cause == NOWHERE && !signal_at(w->now, m->needs))
        walk_needs(w, part);
}

static void walk_coil(cause_walk *w, int part) {
    const part_map *m = &w->now->made->maps[part];
    const aircraft *a = w->now->made->aircraft;
    int opens = part_condition(&a->parts[part], KEY_OPENS_WHEN);
    int closes = part_condition(&a->parts[part], KEY_CLOSES_WHEN);
    int by = opens >= 0 ? opens : closes;
    if (by >= 0 && w->now->made->condition_signal[by] >= 0 &&
        changed(w, w->now->made->condition_signal[by])) {
        walk_condition(w, by);
        if (w->cause != NOWHERE)
            return;
    }
    if (m->coil < 0)
        return;
    double now = across(w->now, m->coil, m->coil_return),
           then = across(w->base, m->coil, m->coil_return);
    if (now > then && signal_at(w->now, m->energized)) {
        walk_say(w, NOWHERE, "its coil has volts");
        walk_risen_node(w, m->coil);
        if (w->cause == NOWHERE)
            walk_return(w, m->coil_return);
        return;
    }
    bool returns = m->coil_return != AIRFRAME_NODE && w->now->solution->volts[m->coil_return] > 1.0;
    walk_say(w, NOWHERE,
             returns                 ? "its coil has no way to the airframe"
             : w->now->live[m->coil] ? "its coil has too few volts to hold"
                                     : "its coil has no volts");
    if (returns)
        walk_return(w, m->coil_return);
    if (w->cause == NOWHERE)
        walk_low_node(w, m->coil);
}

// Another source that gave more in the base than it does now: weak, cut off, or off line.
static void walk_lost_source(cause_walk *w, int except) {
    const aircraft *a = w->now->made->aircraft;
    for (int i = 0; i < a->part_count && w->cause == NOWHERE; i++) {
        if (kind_class(a->parts[i].kind) != CLASS_SOURCE || i == except)
            continue;
        if (part_amps(w->base, i) <= part_amps(w->now, i) + 0.1)
            continue;
        if (w->deviation[i] == NOWHERE)
            walk_outflow(w, w->now->made->maps[i].to);
        if (w->cause == NOWHERE)
            walk_part(w, i);
    }
    for (int i = 0; i < a->part_count && w->cause == NOWHERE; i++) {
        if (a->parts[i].kind != KIND_BATTERY)
            continue;
        if (w->deviation[i] != NOWHERE) {
            walk_blame(w, i);
            continue;
        }
        int to = w->now->made->maps[i].to;
        walk_outflow(w, to);
        if (w->cause == NOWHERE)  // it was charged, and is cut off
            walk_worse_way(w, to);
    }
}

static void walk_machine(cause_walk *w, int part) {
    const part_map *m = &w->now->made->maps[part];
    const part_value *t = part_value_of(&w->now->made->aircraft->parts[part], KEY_TURNED_BY);
    int engine = t != NULL && t->as.ids.count > 0 ? t->as.ids.items[0] : NOWHERE;
    if (signal_at(w->now, m->on_line)) {
        walk_say(w, part, "can't carry the load");
        if (m->regulator >= 0 && w->deviation[m->regulator] != NOWHERE)
            walk_blame(w, m->regulator);
        walk_lost_source(w, part);
        walk_loads_below(w, part);
        if (w->cause == NOWHERE && engine != NOWHERE && w->deviation[engine] != NOWHERE)
            walk_blame(w, engine);
        return;
    }
    walk_say(w, part, "gives nothing");
    if (engine != NOWHERE && w->now->made->maps[engine].turning >= 0 &&
        !signal_at(w->now, w->now->made->maps[engine].turning)) {
        walk_part(w, engine);
        return;
    }
    if (m->field < 0)
        return;
    if (m->field_return != AIRFRAME_NODE && w->now->solution->volts[m->field_return] > 1.0)
        walk_return(w, m->field_return);
    if (w->cause == NOWHERE)
        walk_dead_node(w, m->field);
    walk_lost_source(w, part);  // fed by what it fed itself: another one had to hold that
}

void walk_high_source(cause_walk *w) {
    const aircraft *a = w->now->made->aircraft;
    for (int i = 0; i < a->part_count && w->cause == NOWHERE; i++) {
        const part_map *m = &w->now->made->maps[i];
        if (a->parts[i].kind != KIND_ALTERNATOR && a->parts[i].kind != KIND_GENERATOR)
            continue;
        if (w->deviation[i] != NOWHERE)
            walk_blame(w, i);
        if (w->cause != NOWHERE || m->regulator < 0)
            continue;
        if (w->deviation[m->regulator] != NOWHERE) {
            walk_blame(w, m->regulator);
            continue;
        }
        int sense = w->now->made->maps[m->regulator].sense;
        if (sense >= 0 && !w->now->live[sense] && w->base->live[sense])
            walk_dead_node(w, sense);
    }
}

static void walk_path(cause_walk *w, int part) {
    const struct part *p = &w->now->made->aircraft->parts[part];
    const part_map *m = &w->now->made->maps[part];
    if (m->breaker >= 0 && w->now->solution->tripped[m->breaker]) {
        walk_say(w, part, p->kind == KIND_BREAKER ? "has opened by itself" : "has blown");
        walk_loads_below(w, part);
        return;
    }
    if (p->kind == KIND_REGULATOR && signal_at(w->now, m->tripped)) {
        walk_say(w, part, "has tripped on over-voltage");
        int trips = part_condition(p, KEY_TRIPS_WHEN);
        walk_high_source(w);
        if (w->cause == NOWHERE && trips >= 0)
            walk_condition(w, trips);
        return;
    }
    if (p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR) {
        bool closed = signal_at(w->now, m->closed);
        walk_say(w, part,
                 closed                  ? "has closed"
                 : p->kind == KIND_RELAY ? "is open"
                                         : "has dropped out");
        walk_coil(w, part);
        return;
    }
    if (p->kind == KIND_SWITCH) {
        int c = part_condition(p, KEY_CLOSES_WHEN);
        if (c < 0)
            c = part_condition(p, KEY_OPENS_WHEN);
        walk_say(w, part, signal_at(w->now, m->closed) ? "has closed" : "is open");
        if (c >= 0)
            walk_condition(w, c);
        return;
    }
    if (p->kind == KIND_BREAKER && part_condition(p, KEY_TRIPS_WHEN) >= 0) {
        walk_say(w, part, "has tripped");
        walk_condition(w, part_condition(p, KEY_TRIPS_WHEN));
    }
}

// Emptier than in its phase, and nearly empty.
static bool run_down(const cause_walk *w, int battery) {
    const aircraft *a = w->now->made->aircraft;
    double now = state_charge(a, w->now->asked, battery);
    return now < NEARLY_EMPTY && now < state_charge(a, w->base->asked, battery);
}

void walk_part(cause_walk *w, int part) {
    if (w->cause != NOWHERE || w->steps >= WALK_STEPS)
        return;
    if (w->deviation[part] != NOWHERE) {
        walk_blame(w, part);
        return;
    }
    if (w->visited[part])
        return;
    w->visited[part] = 1;
    w->steps++;
    const struct part *p = &w->now->made->aircraft->parts[part];
    int wire = p->wire;
    switch (kind_class(p->kind)) {
    case CLASS_SOURCE:
        if (p->kind == KIND_BATTERY) {
            int opens = part_condition(p, KEY_OPENS_WHEN);
            if (opens >= 0 && !signal_at(w->now, w->now->made->maps[part].closed)) {
                walk_say(w, part, "has disconnected itself");
                walk_condition(w, opens);
            } else {
                if (run_down(w, part))
                    walk_say(w, part, "has run down");
                walk_lost_source(w, part);
                walk_loads_below(w, part);
            }
        } else if (p->kind != KIND_EXTERNAL_POWER) {
            walk_machine(w, part);
        }
        break;
    case CLASS_PATH: walk_path(w, part); break;
    case CLASS_UNIT:
        if (p->kind == KIND_REGULATOR) {
            walk_path(w, part);
        } else {
            walk_item(w, part);
        }
        break;
    case CLASS_POINT: break;
    default:
        if (w->clauses > 0 || kind_class(p->kind) == CLASS_DRY)
            walk_say(w, part, "doesn't work");
        if (wire >= 0 && w->deviation[wire] != NOWHERE) {
            walk_blame(w, wire);
        } else {
            walk_item(w, part);
        }
        break;
    }
}

// Its own fault, or that of its wire, is the cause, unless that fault made a breaker open: then the
// breaker is told first.
static int own_deviation(const cause_walk *w, int part) {
    const struct part *p = &w->now->made->aircraft->parts[part];
    bool on = w->now->faults[part] == 0 && w->now->asked->setting[part] > 0;
    if (w->deviation[part] != NOWHERE && !on)
        return part;
    return p->wire >= 0 && w->deviation[p->wire] != NOWHERE ? p->wire : NOWHERE;
}

void cause_of_part(cause_walk *w, int part) {
    int own = own_deviation(w, part);
    if (own != NOWHERE && w->now->solution->trip_count == 0) {
        walk_blame(w, own);
        return;
    }
    w->visited[part] = 1;
    walk_item(w, part);
    if (w->cause == NOWHERE && own != NOWHERE)
        walk_blame(w, own);
    walk_lost_source(w, NOWHERE);  // volts that have come back since something opened on them
}
