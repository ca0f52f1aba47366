// What a coarse run needs its verdict for: whoever flies many flights asks what is lost, of each
// thing once. What has gone before, and nothing rests on that could still be lost, may come and go
// as it likes. Where volts or loads merely come back the verdict stays, too: should they go again,
// it is what it was.
#include <string.h>

#include "timeline/run_state.h"

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }
static const verdict *verdict_of(const run *r) { return r->solver->made->verdict; }
static int functions_of(const run *r) { return r->solver->aircraft->function_count; }

// ---- what rests on what ------------------------------------------------------------------------
enum { RESTS = 1, INVERTED = 2 };

static void pass_on(const verdict *v, int step, uint8_t *on, uint8_t *rules) {
    const route_step *s = &v->steps[step];
    uint8_t how = on[step];
    switch (s->op) {
    case ROUTE_ITEM:
        rules[s->a] |= how;
        if (v->rules[s->a].needs_step >= 0)
            on[v->rules[s->a].needs_step] |= how;
        return;
    case ROUTE_NOT: on[s->a] |= RESTS | INVERTED; return;
    case ROUTE_AND:
    case ROUTE_OR:
        on[s->b] |= how;
        on[s->a] |= how;
        return;
    case ROUTE_CAP: on[s->a] |= how; return;
    default: return;
    }
}

// A step comes after those that it is made of.
static void find_uses(run *r, int function, uint8_t *on) {
    const verdict *v = verdict_of(r);
    uint8_t *uses = r->asks.uses + (size_t)function * (size_t)v->rule_count;
    memset(on, 0, (size_t)v->step_count);
    on[v->function_step[function]] = RESTS;
    for (int i = v->step_count; i-- > 0;)
        if (on[i] != 0)
            pass_on(v, i, on, uses);
    for (int i = 0; i < v->rule_count; i++) {
        r->asks.both[i] |= uses[i] & INVERTED;
        uses[i] = uses[i] != 0;
    }
}

bool run_make_asks(run *r) {
    arena *m = &r->memory;
    size_t rules = (size_t)verdict_of(r)->rule_count + 1;
    r->asks.uses = arena_new(m, (size_t)functions_of(r) * rules + 1, 1);
    r->asks.both = arena_new(m, rules, 1);
    r->skips = r->asks.idle = arena_new(m, rules, 1);
    uint8_t *on = arena_new(m, (size_t)verdict_of(r)->step_count + 1, 1);
    if (m->failed)
        return false;
    for (int i = 0; i < functions_of(r); i++)
        find_uses(r, i, on);
    for (int i = 0; i < r->timer_count; i++)
        if (r->timers[i].rule >= 0)
            r->asks.both[r->timers[i].rule] = 1;
    return true;
}

// ---- what is asked -----------------------------------------------------------------------------
static bool asks(const run_hooks *h, run_event_kind kind, int part, int from, int to) {
    run_event e = {0.0, kind, part, from, to};
    return h->asks == NULL || h->asks(h->ctx, &e);
}

static bool asks_of_item(const run *r, const run_hooks *h, int rule) {
    int status = r->items[rule].status;
    return status != ITEM_OFF && status != ITEM_UNUSED &&
           asks(h, RUN_STATUS, verdict_of(r)->rules[rule].part, ITEM_ON, ITEM_OFF);
}

static void find_idle(run *r, const run_hooks *h) {
    int rules = verdict_of(r)->rule_count;
    uint8_t *idle = r->asks.idle;
    for (int i = 0; i < rules; i++)
        idle[i] = !r->asks.both[i] && !asks_of_item(r, h, i);
    for (int f = 0; f < functions_of(r); f++) {
        const uint8_t *uses = r->asks.uses + (size_t)f * (size_t)rules;
        if (r->functions[f] == FUNCTION_LOST ||
            !asks(h, RUN_FUNCTION, f, FUNCTION_KEPT, FUNCTION_LOST))
            continue;
        for (int i = 0; i < rules; i++)
            idle[i] &= uses[i] ^ 1;
    }
}

void run_rest_asked(run *r, const run_hooks *h, const run_end *e) {
    if (r->rests)
        return;
    find_idle(r, h);
    run_rest_on(r, &e->view.settled);
}

static bool volts_ask(const run *r, const double *volts) {
    for (int i = 0; i < r->threshold_count; i++) {
        const threshold *t = &r->thresholds[i];
        if (run_passed(t, volts) != t->holds &&
            (t->holds || t->limit == ABOVE || r->asks.both[t->rule]))
            return true;
    }
    return false;
}

// A load that drops out has been found off before, as its volts went.
static bool drops_ask(const run *r, const uint8_t *drops) {
    const verdict *v = verdict_of(r);
    for (int i = 0; i < v->rule_count; i++) {
        int power = v->rules[i].power;
        if (power < 0 || r->asks.idle[i] || drops[power] == r->devices[r->first_drop_mark + power])
            continue;
        bool off = r->items[i].status == ITEM_OFF || r->items[i].status == ITEM_UNUSED;
        if (r->asks.both[i] || (drops[power] != 0 && !off))
            return true;
    }
    return false;
}

static bool devices_ask(const run *r, const uint8_t *marks) {
    int drops = r->first_drop_mark, behind = drops + circuit_of(r)->power_count;
    size_t rest = (size_t)(r->first_status_mark - behind);
    return memcmp(r->devices, marks, (size_t)drops) != 0 ||
           memcmp(r->devices + behind, marks + behind, rest) != 0 || drops_ask(r, marks + drops);
}

bool run_stays_judged(const run *r, const run_end *e) {
    return r->rests && !volts_ask(r, e->view.solution.volts) && !devices_ask(r, e->marks);
}

void run_mark_asked(run *r) {
    run_mark_devices(r, &r->now);
    if (r->judged != JUDGED_NOW || !run_stays_judged(r, &r->now))
        run_judge(r, &r->now, r->now.marks);
}
