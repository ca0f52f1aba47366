#include "circuit/verdict.h"

#include "circuit/redraw.h"
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

// A row of the verdict numbers a rule's links in a byte.
enum { LINKS_EACH = 16, FEEDS_MOST = 15 };

static int feed_count(const reference_list *from) {
    if (from == NULL)
        return 0;
    return from->count < FEEDS_MOST ? from->count : FEEDS_MOST;
}

static int links_of_feed(const compiled *c, const reference *r, int feed, branch_link *links,
                         int count) {
    for (int steps = 0; steps < LINKS_EACH; steps++) {
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
    for (int i = 0; i < feed_count(list); i++)
        count = links_of_feed(c, &list->items[i], i, links, count);
    return count;
}

void rule_volts(const compiled *c, item_rule *r) {
    const aircraft *a = c->aircraft;
    const part *p = &a->parts[r->part];
    r->works = item_whole_volts(a, p);
    r->off = item_off_volts(a, p);
    if (r->power >= 0)
        r->off = c->circuit.powers[r->power].dropout;
}

static item_rule rule_of(const compiled *c, int part) {
    const aircraft *a = c->aircraft;
    const struct part *p = &a->parts[part];
    const part_map *m = &c->maps[part];
    const reference_list *from = part_references(p, KEY_FROM);
    item_rule r = {.part = part,
                   .inner = m->inner,
                   .to = m->to,
                   .wire = m->wire,
                   .power = m->power,
                   .feeds = m->feeds,
                   .within = m->within,
                   .whole = m->whole,
                   .switched = m->switched,
                   .needs = m->needs,
                   .own_battery = part_value_of(p, KEY_OWN_BATTERY) != NULL,
                   .reserve = m->reserve,
                   .feed_count = feed_count(from)};
    rule_volts(c, &r);
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
    c->drawn->rules = rule;
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

int verdict_feed_node(const verdict *v, const item_rule *r, const uint8_t *signals, int feed) {
    int node = r->inner;
    for (int i = 0; i < r->link_count; i++) {
        const branch_link *k = &v->links[r->first_link + i];
        if (k->feed == feed && (!on(signals, k->hand) || !on(signals, k->moved)))
            node = k->above;
    }
    return node;
}

int verdict_node(const verdict *v, const item_rule *r, const uint8_t *signals) {
    int first = verdict_feed_node(v, r, signals, 0);
    for (int feed = 1; feed < r->feed_count; feed++)
        if (verdict_feed_node(v, r, signals, feed) == r->inner)
            return r->inner;
    return first;
}
