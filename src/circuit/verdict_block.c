#include "circuit/verdict_block.h"

#include <string.h>

// A byte a state: 0 or 255 where it says yes or no.
typedef uint8_t row __attribute__((vector_size(VERDICT_SLOTS)));

enum { GIVES_NO, GIVES_WEAK, GIVES_YES };

// A rule whose item is plainly on where its inside has the volts that it works with.
typedef struct plain_rule {
    const double *works;  // of the rule: figures drawn anew change it
    int inner, to;
    uint32_t row;    // of the rule, in bytes
    uint32_t power;  // of its constant-power element, or the one after the last: never drops out
} plain_rule;

struct verdict_block {
    const verdict *tables;
    const plain_rule *plain_rules;
    int plain_count;
    const compiled *made;
    const double *params;
    int count;
    const job *jobs[VERDICT_SLOTS];
    row *signal;                       // by number; the last is always true
    row *positive;                     // per parameter: above 0
    row *tripped;                      // per breaker; the last never is
    row *dropped;                      // per power load; the last never is
    row *plain;                        // per rule: its volts are there, whatever the way they came
    row *status, *available, *wanted;  // per rule
    row *weak;                         // per rule: so it is, or would be if it were asked for
    row *value;                        // per step
    const solution *solutions[VERDICT_SLOTS];
    item_verdict *items;  // of one slot, for whoever reads
    uint8_t *functions;
};

static row every(uint8_t a) { return (row){0} + a; }
static row pick(row mask, row a, row b) { return (mask & a) | (~mask & b); }
static row same(row a, row b) { return (row)(a == b); }
static row smaller(row a, row b) { return pick((row)(a < b), a, b); }
static row larger(row a, row b) { return pick((row)(a > b), a, b); }
static uint8_t yes(bool a) { return a ? UINT8_MAX : 0; }
static void put(row *r, int slot, uint8_t value) { ((uint8_t *)r)[slot] = value; }
static uint8_t at(const row *r, int slot) { return ((const uint8_t *)r)[slot]; }
static bool none(row r) {
    uint64_t half[2];
    memcpy(half, &r, sizeof half);
    return (half[0] | half[1]) == 0;
}

static uint32_t row_offset(int index) { return (uint32_t)((size_t)index * sizeof(row)); }

static row *rows_new(arena *memory, int count) {
    return arena_new(memory, (size_t)count, sizeof(row));
}

static void list_plain_rules(verdict_block *b, plain_rule *list) {
    const verdict *v = b->tables;
    int powers = b->made->circuit.power_count;
    for (int i = 0; i < v->rule_count; i++) {
        const item_rule *r = &v->rules[i];
        if (r->inner >= 0 && !r->own_battery)
            list[b->plain_count++] = (plain_rule){&r->works, r->inner, r->to, row_offset(i),
                                                  row_offset(r->power >= 0 ? r->power : powers)};
    }
    b->plain_rules = list;
}

verdict_block *verdict_block_make(arena *memory, const compiled *c) {
    const circuit *k = &c->circuit;
    const verdict *v = c->verdict;
    verdict_block *b = arena_new(memory, 1, sizeof *b);
    if (b == NULL)
        return NULL;
    b->tables = v;
    b->made = c;
    b->signal = rows_new(memory, circuit_signal_count(k) + 1);
    b->positive = rows_new(memory, k->param_count + 1);
    b->tripped = rows_new(memory, k->breaker_count + 1);
    b->dropped = rows_new(memory, k->power_count + 1);
    plain_rule *plain = arena_new(memory, (size_t)v->rule_count + 1, sizeof *plain);
    b->plain = rows_new(memory, v->rule_count + 1);
    b->status = rows_new(memory, v->rule_count + 1);
    b->available = rows_new(memory, v->rule_count + 1);
    b->weak = rows_new(memory, v->rule_count + 1);
    b->wanted = rows_new(memory, v->rule_count + 1);
    b->value = rows_new(memory, v->step_count + 1);
    b->items = arena_new(memory, (size_t)v->rule_count + 1, sizeof(item_verdict));
    b->functions = arena_new(memory, (size_t)c->aircraft->function_count + 1, 1);
    if (memory->failed)
        return NULL;
    list_plain_rules(b, plain);
    return b;
}

// ---- taking states in
// ----------------------------------------------------------------------------------
void verdict_block_begin(verdict_block *b, const double *params) {
    const circuit *k = &b->made->circuit;
    for (int i = 0; i <= k->breaker_count; i++)
        b->tripped[i] = every(0);
    b->count = 0;
    b->params = params;
    for (int i = 0; i < k->param_count; i++)
        b->positive[i] = every(yes(params[i] > 0));
    for (int i = 0; i < k->input_count; i++)
        b->signal[i] = every(yes(params[i] != 0));
    b->signal[circuit_signal_count(k)] = every(UINT8_MAX);
}

static void put_param(verdict_block *b, int param, int slot, double value) {
    put(&b->positive[param], slot, yes(value > 0));
    if (param < b->made->circuit.input_count)
        put(&b->signal[param], slot, yes(value != 0));
}

static void put_tripped(verdict_block *b, int breaker, int slot, bool tripped) {
    int contact = b->made->circuit.breakers[breaker].contact;
    put(&b->tripped[breaker], slot, yes(tripped));
    if (contact >= 0)
        put(&b->signal[contact], slot, yes(!tripped && b->params[contact] != 0));
}

void verdict_block_clear(verdict_block *b) {
    for (int i = 0; i < b->count; i++) {
        for (int p = 0; p < b->jobs[i]->patch_count; p++) {
            int param = b->jobs[i]->patches[p].slot;
            put_param(b, param, i, b->params[param]);
        }
        for (int t = 0; t < b->solutions[i]->trip_count; t++)
            put_tripped(b, b->solutions[i]->trips[t], i, false);
    }
    b->count = 0;
}

int verdict_block_count(const verdict_block *b) { return b->count; }

// Bytes of 0 or 1 become a slot of as many rows.
static void put_all(row *rows, int slot, const uint8_t *from, int count) {
    uint8_t *to = (uint8_t *)rows + slot;
    for (int i = 0; i < count; i++)
        to[i * VERDICT_SLOTS] = (uint8_t)-from[i];
}

static void put_plain(verdict_block *b, int slot, const double *volts) {
    const plain_rule *list = b->plain_rules;
    const uint8_t *dropped = (const uint8_t *)b->dropped + slot;
    uint8_t *plain = (uint8_t *)b->plain + slot;
    int count = b->plain_count;
    for (int i = 0; i < count; i++) {
        const plain_rule *r = &list[i];
        uint8_t on = yes(volts[r->inner] - volts[r->to] >= *r->works);
        plain[r->row] = on & (uint8_t)~dropped[r->power];
    }
}

int verdict_block_add(verdict_block *b, const job *j, const solution *s) {
    const circuit *k = &b->made->circuit;
    int slot = b->count++;
    b->jobs[slot] = j;
    b->solutions[slot] = s;
    for (int p = 0; p < j->patch_count; p++)
        put_param(b, j->patches[p].slot, slot, j->patches[p].value);
    put_all(b->signal + circuit_signal_of_comparator(k, 0), slot, s->comparator,
            k->comparator_count);
    put_all(b->signal + circuit_signal_of_memory(k, 0), slot, s->latched, k->memory_count);
    put_all(b->dropped, slot, s->dropped, k->power_count);
    for (int i = 0; i < s->trip_count; i++)
        put_tripped(b, s->trips[i], slot, true);
    put_plain(b, slot, s->volts);
    return slot;
}

// ---- items
// --------------------------------------------------------------------------------------------
static row signal_of(const verdict_block *b, int signal) {
    return b->signal[signal < 0 ? circuit_signal_count(&b->made->circuit) : signal];
}

static void evaluate_gates(verdict_block *b) {
    const circuit *k = &b->made->circuit;
    row *out = b->signal + circuit_signal_of_gate(k, 0);
    for (int i = 0; i < k->gate_count; i++) {
        const gate *g = &k->gates[i];
        row x = signal_of(b, g->a);
        if (g->op == GATE_NOT)
            out[i] = ~x;
        else
            out[i] = g->op == GATE_AND ? x & signal_of(b, g->b) : x | signal_of(b, g->b);
    }
}

// Not come apart, and not opened by its own current.
static row whole_element(const verdict_block *b, int conductance_index) {
    if (conductance_index < 0)
        return every(UINT8_MAX);
    const conductance *e = &b->made->circuit.conductances[conductance_index];
    return b->positive[e->slot] &
           ~b->tripped[e->breaker < 0 ? b->made->circuit.breaker_count : e->breaker];
}

typedef struct branch {
    row wanted;  // every switch on it that a hand moves is on
    row passes;  // nothing on it is open but what isn't asked for
    row link;    // 1 + the link above which the item is judged; 0: at its inside
} branch;

static branch walk_feed(const verdict_block *b, const item_rule *r, int feed) {
    branch out = {every(UINT8_MAX), whole_element(b, r->wire), every(0)};
    for (int i = 0; i < r->link_count; i++) {
        const branch_link *k = &b->tables->links[r->first_link + i];
        if (k->feed != feed)
            continue;
        row off = ~signal_of(b, k->hand), not_asked = off | ~signal_of(b, k->moved);
        out.wanted &= ~off;
        out.passes &= whole_element(b, k->conductance);
        if (k->conductance >= 0)
            out.passes &=
                not_asked | signal_of(b, b->made->circuit.conductances[k->conductance].gate);
        out.link = pick(not_asked, every((uint8_t)(i + 1)), out.link);
    }
    return out;
}

static int node_above(const verdict_block *b, const item_rule *r, int link) {
    return link == 0 ? r->inner : b->tables->links[r->first_link + link - 1].above;
}

// States in which x is the better feed than y: one that is switched on before one that isn't, then
// one that passes, then the one with more volts.
static row better(const verdict_block *b, const item_rule *r, const branch *x, const branch *y) {
    row by_wanted = x->wanted ^ y->wanted;
    row by_passes = ~by_wanted & (x->passes ^ y->passes);
    row more = (by_wanted & x->wanted) | (by_passes & x->passes);
    row even = ~(by_wanted | by_passes);
    for (int i = 0; i < b->count; i++) {
        const double *volts = b->solutions[i]->volts;
        if (at(&even, i))
            put(&more, i,
                yes(volts[node_above(b, r, at(&x->link, i))] >
                    volts[node_above(b, r, at(&y->link, i))]));
    }
    return more;
}

static branch walk_links(const verdict_block *b, const item_rule *r) {
    branch best = walk_feed(b, r, 0);
    for (int feed = 1; feed < r->feed_count; feed++) {
        branch one = walk_feed(b, r, feed);
        row turn = better(b, r, &one, &best);
        best = (branch){pick(turn, one.wanted, best.wanted), pick(turn, one.passes, best.passes),
                        pick(turn, one.link, best.link)};
    }
    return best;
}

static item_status volts_status(const verdict_block *b, const item_rule *r, int link, int slot) {
    const double *volts = b->solutions[slot]->volts;
    if (r->power >= 0 && link == 0 && at(&b->dropped[r->power], slot))
        return ITEM_OFF;
    double v = volts[node_above(b, r, link)] - volts[r->to];
    if (v >= r->works)
        return ITEM_ON;
    return v >= r->off ? ITEM_WEAK : ITEM_OFF;
}

// What reaches the item, as an item_status. *wanted: nobody has switched its branch off.
static row supply_of(const verdict_block *b, int rule, row *wanted) {
    const item_rule *r = &b->tables->rules[rule];
    row on = every(ITEM_ON);
    *wanted = every(UINT8_MAX);
    row own = r->own_battery ? signal_of(b, r->reserve) : every(0);
    if (r->feeds >= 0)
        return pick(own | signal_of(b, r->feeds),
                    pick(own | signal_of(b, r->within), on, every(ITEM_WEAK)), every(ITEM_OFF));
    if (r->inner < 0)
        return r->own_battery ? pick(own, on, every(ITEM_OFF)) : on;
    row plain = b->plain[rule];
    if (none(~plain))
        return on;
    branch way = walk_links(b, r);
    *wanted = plain | way.wanted;
    plain |= own;
    row status = pick(plain, on, every(ITEM_OFF));
    row looks = way.passes & ~plain;
    for (int i = 0; i < b->count; i++)
        if (at(&looks, i))
            put(&status, i, (uint8_t)volts_status(b, r, at(&way.link, i), i));
    return status;
}

static void judge_item(verdict_block *b, int rule) {
    const item_rule *r = &b->tables->rules[rule];
    row wanted;
    row supply = supply_of(b, rule, &wanted);
    row whole = signal_of(b, r->whole), needs = signal_of(b, r->needs);
    wanted &= signal_of(b, r->switched);
    row powered = whole & ~same(supply, every(ITEM_OFF));
    row status = pick(whole, supply, every(ITEM_OFF));
    status = pick(powered & ~needs, every(ITEM_NO_DATA), status);
    b->status[rule] = pick(wanted, status, every(ITEM_UNUSED));
    b->wanted[rule] = wanted;
    b->weak[rule] = same(supply, every(ITEM_WEAK));
    // What is switched off is judged as if asked for: its needs are looked at afterwards.
    b->available[rule] = powered & (needs | ~wanted);
}

// ---- steps
// --------------------------------------------------------------------------------------------
static row step_value(const verdict_block *b, const route_step *s) {
    const row *value = b->value;
    switch (s->op) {
    case ROUTE_ITEM:
        return b->available[s->a] & pick(b->weak[s->a], every(GIVES_WEAK), every(GIVES_YES));
    case ROUTE_PART:
    case ROUTE_SUPPLY: return signal_of(b, s->a) & every(GIVES_YES);
    case ROUTE_NEVER: return every(GIVES_NO);
    case ROUTE_ALWAYS: return every(GIVES_YES);
    case ROUTE_AND: return smaller(value[s->a], value[s->b]);
    case ROUTE_OR: return larger(value[s->a], value[s->b]);
    case ROUTE_NOT: return same(value[s->a], every(GIVES_NO)) & every(GIVES_YES);
    case ROUTE_CAP: return smaller(value[s->a], every(GIVES_WEAK));
    }
    return every(GIVES_NO);
}

void verdict_block_judge(verdict_block *b) {
    const verdict *v = b->tables;
    evaluate_gates(b);
    for (int i = 0; i < v->rule_count; i++)
        judge_item(b, i);
    for (int i = 0; i < v->needs_steps; i++)
        b->value[i] = step_value(b, &v->steps[i]);
    for (int i = 0; i < v->rule_count; i++) {
        int needs = v->rules[i].needs_step;
        if (needs >= 0)
            b->available[i] &= b->wanted[i] | ~same(b->value[needs], every(GIVES_NO));
    }
    for (int i = v->needs_steps; i < v->step_count; i++)
        b->value[i] = step_value(b, &v->steps[i]);
}

// ---- reading
// ------------------------------------------------------------------------------------------
item_verdict verdict_block_item(const verdict_block *b, int rule, int slot) {
    return (item_verdict){at(&b->status[rule], slot), at(&b->available[rule], slot) & 1,
                          at(&b->wanted[rule], slot) & 1};
}

uint8_t verdict_block_function(const verdict_block *b, int function, int slot) {
    static const uint8_t STATUS[] = {FUNCTION_LOST, FUNCTION_REDUCED, FUNCTION_KEPT};
    return STATUS[at(&b->value[b->tables->function_step[function]], slot)];
}

const item_verdict *verdict_block_items(verdict_block *b, int slot) {
    int count = b->tables->rule_count;
    for (int i = 0; i < count; i++)
        b->items[i] = verdict_block_item(b, i, slot);
    return b->items;
}

const uint8_t *verdict_block_functions(verdict_block *b, int slot) {
    int count = b->made->aircraft->function_count;
    for (int i = 0; i < count; i++)
        b->functions[i] = verdict_block_function(b, i, slot);
    return b->functions;
}

typedef struct giver_list {
    int *parts, *count, most;
} giver_list;

static void add_giver(giver_list *l, int part) {
    for (int i = 0; i < *l->count; i++)
        if (l->parts[i] == part)
            return;
    if (part >= 0 && *l->count < l->most)
        l->parts[(*l->count)++] = part;
}

static void givers_below(const verdict_block *b, int step, int slot, giver_list *l) {
    const route_step *s = &b->tables->steps[step];
    if (at(&b->value[step], slot) == GIVES_NO)
        return;
    switch (s->op) {
    case ROUTE_ITEM: add_giver(l, b->tables->rules[s->a].part); return;
    case ROUTE_PART: add_giver(l, s->b); return;
    case ROUTE_AND:
    case ROUTE_OR:
        givers_below(b, s->a, slot, l);
        givers_below(b, s->b, slot, l);
        return;
    case ROUTE_CAP: givers_below(b, s->a, slot, l); return;
    default: return;
    }
}

void verdict_block_givers(const verdict_block *b, int function, int slot, int *parts, int *count,
                          int most) {
    giver_list l = {parts, count, most};
    givers_below(b, b->tables->function_step[function], slot, &l);
}
