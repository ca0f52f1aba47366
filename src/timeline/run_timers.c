// Times in a run. `for`: a condition counts once what it waits for has held so long. `restarts-in`:
// an item that has lost its supply is without data until it has had it again for so long.
// `own-battery`: an item that is asked for and has no other supply goes on by itself for so long.
#include "timeline/run_state.h"

void run_find_timers(run *r) {
    const compiled *c = r->solver->made;
    for (int i = 0; i < c->circuit.input_count; i++) {
        const input *in = &c->inputs[i];
        run_timer t = {.input = i, .signal = NOWHERE, .rule = NOWHERE, .since = -1.0, .lost = -1.0};
        if (in->kind == INPUT_ELAPSED) {
            const condition *k = &c->aircraft->conditions[in->detail];
            t.signal = c->condition_signal[k->a];
            t.seconds = k->value;
        } else if (in->kind == INPUT_STARTED) {
            t.rule = c->verdict->rule_of[in->part];
            t.seconds = part_number(&c->aircraft->parts[in->part], KEY_RESTARTS_IN, 0.0);
        } else if (in->kind == INPUT_RESERVE && c->verdict->rule_of[in->part] >= 0) {
            t.rule = c->verdict->rule_of[in->part];
            t.reserve = true;
            t.seconds = part_number(&c->aircraft->parts[in->part], KEY_OWN_BATTERY, 0.0);
        } else {
            continue;
        }
        t.over = true;
        r->timers[r->timer_count++] = t;
    }
}

static bool has_supply(const run *r, const run_timer *t) {
    int status = r->items[t->rule].status;
    return status == ITEM_ON || status == ITEM_WEAK || status == ITEM_NO_DATA;
}

// What it lives on then is its own battery.
static bool draws_on_reserve(const run *r, const run_timer *t) {
    const settled_state *s = &r->now.view.settled;
    const item_rule *rule = &r->solver->made->verdict->rules[t->rule];
    bool other =
        rule->feeds >= 0 ? signal_at(s, rule->feeds) : run_is_supplied(rule, s->solution, 0.0);
    return !other && r->items[t->rule].wanted;
}

static bool now_holds(const run *r, const run_timer *t) {
    return t->rule >= 0 ? has_supply(r, t) : signal_at(&r->now.view.settled, t->signal);
}

void run_forget_timers(run *r) {
    for (int i = 0; i < r->timer_count; i++) {
        r->timers[i].since = r->timers[i].lost = -1.0;
        r->timers[i].used = 0.0;
        r->timers[i].over = true;
    }
}

void run_start_timers(run *r) {
    for (int i = 0; i < r->timer_count; i++) {
        run_timer *t = &r->timers[i];
        bool holds = t->reserve ? draws_on_reserve(r, t) : now_holds(r, t);
        t->over = t->reserve || holds;
        t->since = holds ? 0.0 : -1.0;
    }
}

void run_bind_timers(const run *r, double *params) {
    for (int i = 0; i < r->timer_count; i++)
        params[r->timers[i].input] = r->timers[i].over ? 1.0 : 0.0;
}

static void look_at_reserve(const run *r, run_timer *t) {
    bool draws = draws_on_reserve(r, t);
    if (!draws && t->since >= 0)
        t->used += r->at - t->since;
    t->since = !draws ? -1.0 : t->since < 0 ? r->at : t->since;
}

void run_look_timers(run *r) {
    for (int i = 0; i < r->timer_count; i++) {
        run_timer *t = &r->timers[i];
        if (t->reserve) {
            look_at_reserve(r, t);
            continue;
        }
        if (now_holds(r, t)) {
            t->since = t->since < 0 ? r->at : t->since;
            t->lost = -1.0;
            continue;
        }
        t->since = -1.0;
        t->lost = t->lost < 0 ? r->at : t->lost;
        // What a `for` waits for has ended, so its condition is false whatever this says.
        if (t->rule < 0)
            t->over = false;
    }
}

// When it is over, or when an interruption of its supply counts; < 0: nothing is to come.
static double due(const run_timer *t) {
    if (t->reserve)
        return t->over && t->since >= 0 ? t->since + t->seconds - t->used : -1.0;
    if (t->since >= 0)
        return t->over ? -1.0 : t->since + t->seconds;
    return t->rule >= 0 && t->over && t->lost >= 0 ? t->lost + RUN_RIDES_THROUGH : -1.0;
}

double run_next_timer(const run *r) {
    double next = run_next_cycle(r);
    for (int i = 0; i < r->timer_count; i++) {
        double at = due(&r->timers[i]), left = at > r->at ? at - r->at : 0.0;
        if (at >= 0 && (next < 0 || left < next))
            next = left;
    }
    return next;
}

bool run_timer_due(const run *r) {
    double next = run_next_timer(r);
    return next >= 0 && next <= SAME_MOMENT;
}

bool run_take_timers(run *r) {
    bool any = run_take_cycles(r);
    for (int i = 0; i < r->timer_count; i++) {
        run_timer *t = &r->timers[i];
        double at = due(t);
        if (at < 0 || at > r->at + SAME_MOMENT)
            continue;
        t->over = t->since >= 0 && !t->reserve;
        any = any || t->over || t->reserve;  // of an item without supply nothing changes yet
    }
    return any;
}

void run_interrupt(run *r, const solution *s) {
    for (int i = 0; i < r->timer_count; i++) {
        run_timer *t = &r->timers[i];
        bool starts = t->rule >= 0 && !t->reserve;
        const item_rule *rule = starts ? &r->solver->made->verdict->rules[t->rule] : NULL;
        if (rule == NULL || run_has_volts(rule, s, 0.0) ||
            !run_has_volts(rule, &r->now.view.solution, 0.0))
            continue;
        t->over = false;
        t->since = -1.0;
    }
}

bool run_restarts(const run *r, int part) {
    int rule = r->solver->made->verdict->rule_of[part];
    for (int i = 0; i < r->timer_count; i++)
        if (r->timers[i].rule >= 0 && r->timers[i].rule == rule && !r->timers[i].reserve)
            return !r->timers[i].over;
    return false;
}
