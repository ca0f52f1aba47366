// The verdict in place, and what it rests on: between events nearly every step leaves it as it is,
// and comparing some volts is much less work than judging anew.
#include <string.h>

#include "timeline/run_state.h"

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }
static const verdict *verdict_of(const run *r) { return r->solver->made->verdict; }

static bool is_lamp(const run *r, const item_rule *rule) {
    part_kind kind = r->solver->aircraft->parts[rule->part].kind;
    return kind == KIND_LIGHT || kind == KIND_SOUNDER;
}

static bool lit(const run *r, const settled_state *s, const item_rule *rule) {
    if (r->options.coarse || !is_lamp(r, rule))
        return false;
    bool powered = rule->inner < 0 || across(s, rule->inner, rule->to) >= rule->off;
    return powered && signal_at(s, rule->whole) && signal_at(s, rule->needs) &&
           signal_at(s, r->solver->made->maps[rule->part].runs);
}

// ---- what it rests on --------------------------------------------------------------------------
int run_count_thresholds(const run *r) {
    int count = 0;
    for (int i = 0; i < verdict_of(r)->rule_count; i++) {
        int feeds = verdict_of(r)->rules[i].feed_count;
        count += 4 + 2 * feeds + feeds * feeds;
    }
    return count;
}

bool run_passed(const threshold *t, const double *volts) {
    return volts[t->a] - volts[t->b] >= t->limit;
}

static bool rests_on(run *r, const double *volts, int rule, int a, int b, double limit) {
    threshold *t = &r->thresholds[r->threshold_count++];
    *t = (threshold){a, b, limit, .rule = rule};
    t->holds = run_passed(t, volts);
    return t->holds;
}

// Where the item doesn't simply have its volts, each of its feeds is looked at, where a switch that
// is off ends it.
static void rest_on_feeds(run *r, const settled_state *s, const item_rule *rule, int number) {
    const verdict *v = verdict_of(r);
    const double *volts = s->solution->volts;
    for (int i = 0; i < rule->feed_count; i++) {
        int node = verdict_feed_node(v, rule, s->signals, i);
        rests_on(r, volts, number, node, rule->to, rule->works);
        rests_on(r, volts, number, node, rule->to, rule->off);
        for (int k = 0; k < rule->feed_count; k++)
            if (k != i)
                rests_on(r, volts, number, node, verdict_feed_node(v, rule, s->signals, k), ABOVE);
    }
}

void run_rest_on(run *r, const settled_state *s) {
    const verdict *v = verdict_of(r);
    const double *volts = s->solution->volts;
    r->threshold_count = 0;
    r->rests = true;
    for (int i = 0; i < v->rule_count; i++) {
        const item_rule *rule = &v->rules[i];
        if (rule->inner < 0 || (r->skips != NULL && r->skips[i]))
            continue;
        bool has = rests_on(r, volts, i, rule->inner, rule->to, rule->works);
        if (rule->own_battery || !has || (rule->power >= 0 && s->solution->dropped[rule->power]))
            rest_on_feeds(r, s, rule, i);
        rests_on(r, volts, i, rule->inner, rule->to, rule->off);
    }
}

bool run_verdict_holds(const run *r, const run_end *e) {
    const double *volts = e->view.solution.volts;
    for (int i = 0; i < r->threshold_count; i++)
        if (run_passed(&r->thresholds[i], volts) != r->thresholds[i].holds)
            return false;
    return true;
}

// ---- the verdict -------------------------------------------------------------------------------
void run_open_block(run *r) {
    if (!r->block_begun)
        verdict_block_begin(r->block, r->bound);
    else
        verdict_block_clear(r->block);
    r->block_begun = true;
}

void run_judge(run *r, run_end *e, uint8_t *marks) {
    run_open_block(r);
    int slot = verdict_block_add(r->block, &e->job, e->view.settled.solution);
    verdict_block_judge(r->block);
    run_take_verdict(r, e, marks, slot);
}

void run_take_verdict(run *r, run_end *e, uint8_t *marks, int slot) {
    const verdict *v = verdict_of(r);
    settled_state *s = &e->view.settled;
    uint8_t *m = marks + r->first_status_mark;
    size_t devices = (size_t)r->first_status_mark;
    // Signals hang on devices alone.
    if (r->judged == JUDGED_NEITHER || memcmp(r->devices, marks, devices) != 0)
        solution_signals(circuit_of(r), &s->job, s->solution, s->signals);
    r->read = false;
    r->judged = e == &r->now ? JUDGED_NOW : JUDGED_TRIAL;
    r->items = verdict_block_items(r->block, slot);
    r->functions = verdict_block_functions(r->block, slot);
    r->rests = false;
    if (!r->options.coarse)
        run_rest_on(r, s);
    memcpy(r->devices, marks, devices);
    for (int i = 0; i < v->rule_count; i++) {
        *m++ = r->items[i].status;
        *m++ = r->lit[i] = lit(r, s, &v->rules[i]) ? 1 : 0;
    }
    int functions = r->solver->aircraft->function_count;
    memcpy(m, r->functions, (size_t)functions);
    run_probe probe = {s,         r->items,         r->functions, r->batteries,
                       e->charge, r->battery_count, r->lit,       r->tripped};
    if (r->options.watch_count > 0)
        r->options.watch(r->options.watch_ctx, &probe, m + functions);
}
