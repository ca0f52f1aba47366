// Status of every item, and of the functions.
#include "circuit/judge.h"

typedef struct limits {
    double works, off;
} limits;

static limits item_limits(const settled_state *s, int part)
{
    const aircraft *a = s->made->aircraft;
    const struct part *p = &a->parts[part];
    const part_map *m = &s->made->maps[part];
    double k = aircraft_is_28(a) ? 1.0 : 0.5;
    bool lamp = p->kind == KIND_LAMP || p->kind == KIND_LIGHT;
    limits l = {part_number(p, KEY_WORKS_ABOVE, 20.5 * k), part_number(p, KEY_OFF_BELOW, lamp ? 7.0 * k : 9.0 * k)};
    if (m->power >= 0) l.off = s->made->circuit.powers[m->power].dropout;
    return l;
}

// ---- its own branch -------------------------------------------------------------------------------
typedef struct branch {
    bool wanted;     // every switch on it that a hand moves is on
    bool passes;     // nothing on it is open but what isn't asked for
    int node;        // above the topmost switch that isn't on (the item's inside if all are)
} branch;

static bool hand_off(const settled_state *s, const struct part *p, int index, const reference *r)
{
    const part_map *m = &s->made->maps[index];
    double at = s->asked->setting[index];
    if (p->kind == KIND_DIMMER) return at <= 0;
    if (p->kind == KIND_BREAKER) {
        const char *use = part_text(p, KEY_USED_AS);
        return use != NULL && text_equal(use, "switch") && at <= 0;
    }
    if (p->kind != KIND_SWITCH || m->throws == NULL) return false;
    if (r->terminal == TERMINAL_CONTACT) return (int)at != r->position;
    const positions *ps = part_positions(p);
    if (ps == NULL) return at <= 0;
    int i = (int)at;
    return i < 0 || i >= ps->count || !text_equal(ps->labels[i], "ON");
}

static bool moved_by_condition(const struct part *p)
{
    return p->kind == KIND_SWITCH &&
           (part_condition(p, KEY_CLOSES_WHEN) >= 0 || part_condition(p, KEY_OPENS_WHEN) >= 0);
}

static bool element_whole(const settled_state *s, int k)
{
    const conductance *e = &s->made->circuit.conductances[k];
    bool tripped = e->breaker >= 0 && s->solution->tripped[e->breaker];
    return s->job.params[e->slot] > 0 && !tripped;
}

static branch walk_branch(const settled_state *s, int part)
{
    const aircraft *a = s->made->aircraft;
    const part_map *m = &s->made->maps[part];
    branch out = {true, true, m->inner};
    if (m->wire >= 0 && !element_whole(s, m->wire)) out.passes = false;
    const reference_list *list = part_references(&a->parts[part], KEY_FROM);
    for (int steps = 0; list != NULL && list->count == 1 && steps < 16; steps++) {
        const reference *r = &list->items[0];
        if (r->part < 0 || kind_class(a->parts[r->part].kind) != CLASS_PATH) break;
        const struct part *p = &a->parts[r->part];
        const part_map *pm = &s->made->maps[r->part];
        bool off = hand_off(s, p, r->part, r);
        bool idle = moved_by_condition(p) && !signal_at(s, pm->closed);
        if (off) out.wanted = false;
        if (pm->path >= 0) {
            bool whole = off || idle ? element_whole(s, pm->path) : element_siemens(s, pm->path) > 0;
            if (!whole && p->kind != KIND_DIODE) out.passes = false;
        }
        if (off || idle) out.node = pm->from;
        list = part_references(p, KEY_FROM);
    }
    return out;
}

int judged_node(const settled_state *s, int part) { return walk_branch(s, part).node; }

// ---- items ----------------------------------------------------------------------------------------
static bool electric(const settled_state *s, int part) { return s->made->maps[part].inner >= 0; }

static bool part_whole(const settled_state *s, int part)
{
    uint32_t none = 1u << FAULT_OPEN | 1u << FAULT_DEAD | 1u << FAULT_FAILED | 1u << FAULT_SHORT;
    const struct part *p = &s->made->aircraft->parts[part];
    if (p->kind == KIND_MOTOR) none |= 1u << FAULT_STUCK;
    if (p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE)) return false;
    return (s->faults[part] & none) == 0;
}

static item_status supply_status(const settled_state *s, int part, const branch *b)
{
    const struct part *p = &s->made->aircraft->parts[part];
    const part_map *m = &s->made->maps[part];
    if (part_value_of(p, KEY_OWN_BATTERY) != NULL) return ITEM_ON;
    if (m->converter >= 0) return signal_at(s, s->made->maps[m->converter].works) ? ITEM_ON : ITEM_OFF;
    if (!electric(s, part)) return ITEM_ON;
    limits l = item_limits(s, part);
    double volts = across(s, b->node, m->to);
    if (!b->passes || !s->live[b->node]) return ITEM_OFF;
    if (m->power >= 0 && s->solution->dropped[m->power] && b->node == m->inner) return ITEM_OFF;
    if (volts >= l.works) return ITEM_ON;
    return volts >= l.off ? ITEM_WEAK : ITEM_OFF;
}

static bool own_switch_off(const settled_state *s, int part)
{
    return part_text(&s->made->aircraft->parts[part], KEY_OWN_SWITCH) != NULL &&
           s->asked->setting[part] <= 0;
}

static void judge_lit(const settled_state *s, int part, part_outcome *o)
{
    const struct part *p = &s->made->aircraft->parts[part];
    const part_map *m = &s->made->maps[part];
    if (p->kind != KIND_LIGHT && p->kind != KIND_SOUNDER) return;
    limits l = item_limits(s, part);
    bool powered = !electric(s, part) || across(s, m->inner, m->to) >= l.off;
    if (s->faults[part] & (1u << FAULT_DEAD | 1u << FAULT_OPEN | 1u << FAULT_SHORT)) powered = false;
    bool needs = signal_at(s, m->needs);
    o->lit = powered && needs && signal_at(s, m->runs);
    o->flashing = o->lit && m->flashes >= 0 && signal_at(s, m->flashes);
}

static void judge_item(const settled_state *s, int part, part_outcome *o)
{
    const part_map *m = &s->made->maps[part];
    branch b = walk_branch(s, part);
    if (electric(s, part)) {
        o->volts = across(s, m->inner, m->to);
        o->end_volts = s->solution->volts[m->inner];
        o->live = s->live[m->inner] != 0;
        o->draining = o->live && !s->fed[m->inner];
        if (s->solution->settled == SETTLED_CHATTERS) {
            o->lowest = s->solution->lowest[m->inner];
            o->highest = s->solution->highest[m->inner];
        }
    }
    o->wanted = b.wanted && !own_switch_off(s, part);
    item_status supply = supply_status(s, part, &b);
    bool whole = part_whole(s, part), needs = signal_at(s, m->needs);
    o->available = whole && needs && (supply == ITEM_ON || supply == ITEM_WEAK);
    o->works = o->available && o->wanted;
    o->status = !whole ? ITEM_OFF : supply;
    if (whole && supply != ITEM_OFF && !needs) o->status = ITEM_NO_DATA;
    if (!o->wanted) o->status = ITEM_UNUSED;
    judge_lit(s, part, o);
}

void judge_items(const settled_state *s, part_outcome *parts)
{
    const aircraft *a = s->made->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        part_class class = kind_class(a->parts[i].kind);
        bool item = class == CLASS_ITEM || a->parts[i].kind == KIND_CONVERTER;
        if (item) {
            judge_item(s, i, &parts[i]);
        } else {
            parts[i].available = parts[i].works = signal_at(s, s->made->maps[i].works);
        }
    }
}

// ---- functions ------------------------------------------------------------------------------------
enum { ROUTE_NO, ROUTE_WEAK, ROUTE_YES };

typedef struct route_view {
    const aircraft *aircraft;
    const part_outcome *parts;
    const bool *supplies;
} route_view;

static int part_gives(const route_view *v, int part)
{
    const part_outcome *o = &v->parts[part];
    if (!o->available) return ROUTE_NO;
    return o->status == ITEM_WEAK ? ROUTE_WEAK : ROUTE_YES;
}

static int route_value(const route_view *v, int index)
{
    const condition *c = &v->aircraft->conditions[index];
    switch (c->op) {
    case CONDITION_ALWAYS: return ROUTE_YES;
    case CONDITION_AND:
    case CONDITION_OR: {
        int x = route_value(v, c->a), y = route_value(v, c->b);
        bool lower = c->op == CONDITION_AND;
        return (x < y) == lower ? x : y;
    }
    case CONDITION_NOT: return route_value(v, c->a) == ROUTE_NO ? ROUTE_YES : ROUTE_NO;
    case CONDITION_LATCH:
    case CONDITION_FOR: return route_value(v, c->a);
    case CONDITION_PRESENT: return v->supplies[c->supply] ? ROUTE_YES : ROUTE_NO;
    case CONDITION_WORKS:
    case CONDITION_ON: return part_gives(v, c->ref.part);
    default: return ROUTE_NO;
    }
}

static void add_by(function_outcome *f, int part)
{
    for (int i = 0; i < f->by_count; i++)
        if (f->by[i] == part) return;
    if (f->by_count < CAUSES_MOST) f->by[f->by_count++] = part;
}

static void route_parts(const route_view *v, int index, function_outcome *f)
{
    const condition *c = &v->aircraft->conditions[index];
    if (c->op == CONDITION_WORKS || c->op == CONDITION_ON) {
        if (part_gives(v, c->ref.part) != ROUTE_NO) add_by(f, c->ref.part);
        return;
    }
    if (c->op != CONDITION_AND && c->op != CONDITION_OR) return;
    route_parts(v, c->a, f);
    route_parts(v, c->b, f);
}

static int best_of_routes(const route_view *v, const int *items, int count, function_outcome *f)
{
    int best = ROUTE_NO;
    for (int i = 0; i < count; i++) {
        int x = route_value(v, items[i]);
        if (x == ROUTE_NO) continue;
        route_parts(v, items[i], f);
        if (x > best) best = x;
    }
    return best;
}

static int best_of_parts(const route_view *v, const int *items, int count, function_outcome *f)
{
    int best = ROUTE_NO;
    for (int i = 0; i < count; i++) {
        int x = part_gives(v, items[i]);
        if (x != ROUTE_NO) add_by(f, items[i]);
        if (x > best) best = x;
    }
    return best;
}

void judge_functions(const aircraft *a, const part_outcome *parts, const bool *supplies,
                     function_outcome *functions)
{
    route_view v = {a, parts, supplies};
    for (int i = 0; i < a->function_count; i++) {
        const struct function *f = &a->functions[i];
        function_outcome *o = &functions[i];
        *o = (function_outcome){.status = FUNCTION_LOST};
        int full = f->routed ? best_of_routes(&v, f->kept_by.items, f->kept_by.count, o)
                             : best_of_parts(&v, f->gives.items, f->gives.count, o);
        if (full == ROUTE_YES) {
            o->status = FUNCTION_KEPT;
            continue;
        }
        int part = f->routed ? best_of_routes(&v, f->partly_by.items, f->partly_by.count, o)
                             : best_of_parts(&v, f->gives_partly.items, f->gives_partly.count, o);
        if (full == ROUTE_WEAK || part != ROUTE_NO) o->status = FUNCTION_REDUCED;
    }
}
