// `for` in a run: a condition counts once what it waits for has held so long.
#include "timeline/run_state.h"

#define SAME_MOMENT 1e-9  // seconds

void run_find_timers(run *r) {
    const compiled *c = r->solver->made;
    for (int i = 0; i < c->circuit.input_count; i++) {
        if (c->inputs[i].kind != INPUT_ELAPSED)
            continue;
        const condition *k = &c->aircraft->conditions[c->inputs[i].detail];
        r->timers[r->timer_count++] = (run_timer){.input = i,
                                                  .signal = c->condition_signal[k->a],
                                                  .seconds = k->value,
                                                  .since = -1.0,
                                                  .over = true};
    }
}

void run_start_timers(run *r) {
    for (int i = 0; i < r->timer_count; i++) {
        run_timer *t = &r->timers[i];
        t->over = signal_at(&r->now.view.settled, t->signal);
        t->since = t->over ? 0.0 : -1.0;
    }
}

void run_bind_timers(const run *r, double *params) {
    for (int i = 0; i < r->timer_count; i++)
        params[r->timers[i].input] = r->timers[i].over ? 1.0 : 0.0;
}

void run_look_timers(run *r) {
    for (int i = 0; i < r->timer_count; i++) {
        run_timer *t = &r->timers[i];
        bool holds = signal_at(&r->now.view.settled, t->signal);
        if (holds && t->since < 0)
            t->since = r->at;
        if (holds)
            continue;
        // What it waits for has ended, so the condition is false whatever this says.
        t->since = -1.0;
        t->over = false;
    }
}

double run_next_timer(const run *r) {
    double next = -1.0;
    for (int i = 0; i < r->timer_count; i++) {
        const run_timer *t = &r->timers[i];
        double left = t->since + t->seconds - r->at;
        if (t->since >= 0 && !t->over && (next < 0 || left < next))
            next = left > 0 ? left : 0.0;
    }
    return next;
}

bool run_timer_due(const run *r) {
    double next = run_next_timer(r);
    return next >= 0 && next <= SAME_MOMENT;
}

bool run_take_timers(run *r) {
    bool any = false;
    for (int i = 0; i < r->timer_count; i++) {
        run_timer *t = &r->timers[i];
        if (t->since < 0 || t->over || t->since + t->seconds > r->at + SAME_MOMENT)
            continue;
        t->over = true;
        any = true;
    }
    return any;
}
