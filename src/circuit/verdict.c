#include "circuit/verdict.h"

#include "part/item_draw.h"

static bool on(const uint8_t *signals, int signal) { return signal < 0 || signals[signal] != 0; }

// ---- tables
// -----------------------------------------------------------------------------------------
static bool moved_by_condition(const part *p) {
    return p->kind == KIND_SWITCH &&
           (part_condition(p, KEY_CLOSES_WHEN) >= 0 || part_condition(p, KEY_OPENS_WHEN) >= 0);
}

// The signal of the hand that must be on for the path to pass, SIGNAL_ALWAYS if no hand moves it.
static int hand_signal(const compiled *c, const reference *r) {
    const part *p = &c->aircraft->parts[r->part];
    const part_map *m = &c->maps[r->part];
    if (p->kind == KIND_DIMMER)
        return m->closed;
    if (p->kind == KIND_BREAKER) {
        const char *use = part_text(p, KEY_USED_AS);
        return use != NULL && text_equal(use, "switch") ? m->closed : SIGNAL_ALWAYS;
    }
    if (p->kind != KIND_SWITCH || m->throws == NULL)
        return SIGNAL_ALWAYS;
    if (r->terminal == TERMINAL_CONTACT)
        return m->at[r->position];
    return m->closed != NOWHERE ? m->closed : SIGNAL_ALWAYS;
}

static branch_link link_of(const compiled *c, const reference *r) {
    const part *p = &c->aircraft->parts[r->part];
    const part_map *m = &c->maps[r->part];
    branch_link k = {m->path, hand_signal(c, r), SIGNAL_ALWAYS, m->from, 0};
    if (r->terminal == TERMINAL_CONTACT && m->throws != NULL)
        k.conductance = m->throws[r->position];
    if (moved_by_condition(p))
        k.moved = m->closed;
    return k;
}

static int links_of_feed(const compiled *c, const reference *r, int feed, branch_link *links,
                         int count) {
    for (int steps = 0; steps < 16; steps++) {
        if (r->part < 0 || kind_class(c->aircraft->parts[r->part].kind) != CLASS_PATH)
            break;
        if (links != NULL) {
            links[count] = link_of(c, r);
            links[count].feed = feed;
        }
        count++;
        const reference_list *above = part_references(&c->aircraft->parts[r->part], KEY_FROM);
        if (above == NULL || above->count != 1)
            break;
        r = &above->items[0];
    }
    return count;
}

static int links_add(const compiled *c, int part, branch_link *links, int count) {
    const reference_list *list = part_references(&c->aircraft->parts[part], KEY_FROM);
    for (int i = 0; list != NULL && i < list->count; i++)
        count = links_of_feed(c, &list->items[i], i, links, count);
    return count;
}

static item_rule rule_of(const compiled *c, int part) {
    const aircraft *a = c->aircraft;
    const struct part *p = &a->parts[part];
    const part_map *m = &c->maps[part];
    double k = aircraft_is_28(a) ? 1.0 : 0.5;
    bool lamp = p->kind == KIND_LAMP || p->kind == KIND_LIGHT;
    const reference_list *from = part_references(p, KEY_FROM);
    item_rule r = {.part = part,
                   .inner = m->inner,
                   .to = m->to,
                   .wire = m->wire,
                   .power = m->power,
                   .works = part_number(p, KEY_WORKS_ABOVE, 20.5 * k),
                   .off = part_number(p, KEY_OFF_BELOW, (lamp ? 7.0 : 9.0) * k),
                   .feeds = m->converter >= 0 ? c->maps[m->converter].works : NOWHERE,
                   .whole = m->whole,
                   .switched = m->switched,
                   .needs = m->needs,
                   .own_battery = part_value_of(p, KEY_OWN_BATTERY) != NULL,
                   .feeds_count = from != NULL ? from->count : 0};
    if (m->power >= 0)
        r.off = c->circuit.powers[m->power].dropout;
    return r;
}

bool verdict_has_rule(const part *p) {
    return kind_class(p->kind) == CLASS_ITEM || p->kind == KIND_CONVERTER;
}

static item_rule *rules_make(arena *memory, const compiled *c, verdict *v) {
    const aircraft *a = c->aircraft;
    int rules = 0, links = 0;
    for (int i = 0; i < a->part_count; i++) {
        if (!verdict_has_rule(&a->parts[i]))
            continue;
        rules++;
        links = links_add(c, i, NULL, links);
    }
    item_rule *rule = arena_new(memory, (size_t)rules + 1, sizeof(item_rule));
    branch_link *link = arena_new(memory, (size_t)links + 1, sizeof(branch_link));
    int *of = arena_new(memory, (size_t)a->part_count + 1, sizeof(int));
    if (memory->failed)
        return NULL;
    rules = links = 0;
    for (int i = 0; i < a->part_count; i++) {
        of[i] = NOWHERE;
        if (!verdict_has_rule(&a->parts[i]))
            continue;
        rule[rules] = rule_of(c, i);
        rule[rules].first_link = links;
        links = links_add(c, i, link, links);
        rule[rules].link_count = links - rule[rules].first_link;
        of[i] = rules++;
    }
    v->rules = rule;  // verdict_routes_make fills in needs_step
    v->rule_count = rules;
    v->links = link;
    v->rule_of = of;
    return rule;
}

status verdict_make(arena *memory, const compiled *c, verdict *v) {
    *v = (verdict){0};
    item_rule *rules = rules_make(memory, c, v);
    if (rules == NULL)
        return STATUS_NO_MEMORY;
    return verdict_routes_make(memory, c, rules, v) ? STATUS_OK : STATUS_NO_MEMORY;
}

// ---- judging
// ------------------------------------------------------------------------------------------
static bool whole_element(const compiled *c, const double *params, const solution *s, int k) {
    if (k < 0)
        return true;
    const conductance *e = &c->circuit.conductances[k];
    return params[e->slot] > 0 && !(e->breaker >= 0 && s->tripped[e->breaker]);
}

typedef struct branch {
    bool wanted;  // every switch on it that a hand moves is on
    bool passes;  // nothing on it is open but what isn't asked for
    int node;     // where the item is judged
} branch;

static branch walk_feed(const verdict *v, const compiled *c, const double *params,
                        const solution *s, const uint8_t *signals, const item_rule *r, int feed) {
    branch out = {true, whole_element(c, params, s, r->wire), r->inner};
    for (int i = 0; i < r->link_count; i++) {
        const branch_link *k = &v->links[r->first_link + i];
        if (k->feed != feed)
            continue;
        bool off = !on(signals, k->hand), idle = !on(signals, k->moved);
        if (off)
            out.wanted = false;
        if (!whole_element(c, params, s, k->conductance))
            out.passes = false;
        if (!off && !idle && k->conductance >= 0 &&
            !on(signals, c->circuit.conductances[k->conductance].gate))
            out.passes = false;
        if (off || idle)
            out.node = k->above;
    }
    return out;
}

// Of several feeds the best: one that is switched on before one that isn't, then one that passes,
// then the one with more volts.
static bool better(const solution *s, const branch *a, const branch *b) {
    if (a->wanted != b->wanted)
        return a->wanted;
    if (a->passes != b->passes)
        return a->passes;
    return s->volts[a->node] > s->volts[b->node];
}

static branch walk_links(const verdict *v, const compiled *c, const double *params,
                         const solution *s, const uint8_t *signals, const item_rule *r) {
    branch best = walk_feed(v, c, params, s, signals, r, 0);
    for (int feed = 1; feed < r->feeds_count; feed++) {
        branch one = walk_feed(v, c, params, s, signals, r, feed);
        if (better(s, &one, &best))
            best = one;
    }
    return best;
}

static int node_of_feed(const verdict *v, const item_rule *r, const uint8_t *signals, int feed) {
    int node = r->inner;
    for (int i = 0; i < r->link_count; i++) {
        const branch_link *k = &v->links[r->first_link + i];
        if (k->feed == feed && (!on(signals, k->hand) || !on(signals, k->moved)))
            node = k->above;
    }
    return node;
}

int verdict_node(const verdict *v, const item_rule *r, const uint8_t *signals) {
    int first = node_of_feed(v, r, signals, 0);
    for (int feed = 1; feed < r->feeds_count; feed++)
        if (node_of_feed(v, r, signals, feed) == r->inner)
            return r->inner;
    return first;
}

static item_status supply_status(const item_rule *r, const solution *s, const branch *b) {
    if (!b->passes)
        return ITEM_OFF;
    if (r->power >= 0 && b->node == r->inner && s->dropped[r->power])
        return ITEM_OFF;
    double volts = s->volts[b->node] - s->volts[r->to];
    if (volts >= r->works)
        return ITEM_ON;
    return volts >= r->off ? ITEM_WEAK : ITEM_OFF;
}

// The usual case first: its volts are there, whatever the way they came.
static bool plainly_on(const item_rule *r, const solution *s) {
    return r->inner >= 0 && !r->own_battery && s->volts[r->inner] - s->volts[r->to] >= r->works &&
           !(r->power >= 0 && s->dropped[r->power]);
}

static item_verdict judge(const verdict *v, const compiled *c, const double *params,
                          const solution *s, const uint8_t *signals, const item_rule *r) {
    branch b = {true, true, r->inner};
    item_status supply = ITEM_ON;
    if (r->feeds >= 0) {
        supply = on(signals, r->feeds) ? ITEM_ON : ITEM_OFF;
    } else if (r->inner >= 0 && !plainly_on(r, s)) {
        b = walk_links(v, c, params, s, signals, r);
        if (!r->own_battery)
            supply = supply_status(r, s, &b);
    }
    bool whole = on(signals, r->whole), needs = on(signals, r->needs);
    item_verdict out = {.wanted = b.wanted && on(signals, r->switched)};
    // What is switched off is judged as if asked for: its needs are looked at afterwards.
    out.available = whole && (needs || !out.wanted) && supply != ITEM_OFF;
    out.status = (uint8_t)(whole ? supply : ITEM_OFF);
    if (whole && supply != ITEM_OFF && !needs)
        out.status = ITEM_NO_DATA;
    if (!out.wanted)
        out.status = ITEM_UNUSED;
    return out;
}

void verdict_items(const verdict *v, const compiled *c, const double *params, const solution *s,
                   const uint8_t *signals, uint8_t *values, item_verdict *items) {
    for (int i = 0; i < v->rule_count; i++)
        items[i] = judge(v, c, params, s, signals, &v->rules[i]);
    verdict_steps(v, items, signals, 0, v->needs_steps, values);
    for (int i = 0; i < v->rule_count; i++) {
        int needs = v->rules[i].needs_step;
        if (needs >= 0 && !items[i].wanted && values[needs] == 0)
            items[i].available = 0;
    }
}
