// What an event is: bytes that are compared from one end of a step to the other.
#include <math.h>
#include <string.h>

#include "timeline/run_state.h"

enum { CHANGES_MOST = 3 };
#define CHATTER_SECONDS 1.0
#define CHATTER_DROPS   60.0  // of what drops out: nobody can use what starts again so often
#define CHATTER_STEPS   5.0   // of the finest, if that is more

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }
static const verdict *verdict_of(const run *r) { return r->solver->made->verdict; }

int run_count_marks(const run *r) {
    const circuit *c = circuit_of(r);
    return c->comparator_count + c->memory_count + c->power_count + r->condition_count +
           r->battery_count + c->breaker_count + 2 * verdict_of(r)->rule_count +
           r->solver->aircraft->function_count + r->options.watch_count +
           run_count_transmit_marks(r);
}

static int name(run *r, int at, run_event_kind kind, int count, const int *parts) {
    for (int i = 0; i < count; i++)
        r->owners[at + i] = (mark_owner){kind, parts != NULL ? parts[i] : NOWHERE};
    return at + count;
}

void run_name_marks(run *r) {
    const compiled *made = r->solver->made;
    const circuit *c = &made->circuit;
    int at = name(r, 0, RUN_DEVICE, c->comparator_count, made->comparator_owner);
    at = name(r, at, RUN_LATCH, c->memory_count, NULL);
    r->first_drop_mark = at;
    at = name(r, at, RUN_DROPS_OUT, c->power_count, made->power_owner);
    at = name(r, at, RUN_DEVICE, r->condition_count, NULL);
    for (int i = 0; i < r->battery_count; i++)
        r->owners[at++] = (mark_owner){RUN_EXHAUSTED, r->batteries[i].part};
    r->first_trip_mark = at;
    at = name(r, at, RUN_TRIPS, c->breaker_count, made->breaker_owner);
    r->first_status_mark = at;
    for (int i = 0; i < made->verdict->rule_count; i++) {
        int part = made->verdict->rules[i].part;
        r->owners[at + 2 * i] = (mark_owner){RUN_STATUS, part};
        r->owners[at + 2 * i + 1] = (mark_owner){RUN_LIT, part};
    }
    at += 2 * made->verdict->rule_count;
    for (int i = 0; i < r->solver->aircraft->function_count; i++)
        r->owners[at++] = (mark_owner){RUN_FUNCTION, i};
    r->first_watch_mark = at;
    for (int i = 0; i < r->options.watch_count; i++)
        r->owners[at++] = (mark_owner){RUN_WATCHED, i};
    r->first_transmit_mark = at;
    run_name_transmit_marks(r);
}

void run_mark_devices(run *r, run_end *e) {
    const circuit *c = circuit_of(r);
    const solution *s = &e->view.solution;
    uint8_t *m = e->marks;
    memcpy(m, s->comparator, (size_t)c->comparator_count);
    m += c->comparator_count;
    memcpy(m, s->latched, (size_t)c->memory_count);
    m += c->memory_count;
    memcpy(m, s->dropped, (size_t)c->power_count);
    m += c->power_count;
    for (int i = 0; i < r->condition_count; i++)
        *m++ = e->view.params[r->conditions[i].input] != 0;
    for (int i = 0; i < r->battery_count; i++)
        *m++ = battery_exhausted(&r->batteries[i].model, e->charge[i]);
    for (int i = 0; i < c->breaker_count; i++)
        *m++ = r->tripped[i] || e->heat[i] >= r->trip_laws[i].trips_at;
}

// Of `now`, settled anew.
void run_mark(run *r, run_end *e) {
    size_t devices = (size_t)r->first_status_mark;
    run_mark_devices(r, e);
    run_mark_transmitting(r, e);
    bool same = r->judged == JUDGED_NOW && r->options.watch_count == 0 &&
                memcmp(r->devices, e->marks, devices) == 0 && run_verdict_holds(r, e);
    if (!same)
        run_judge(r, e, e->marks);
}

static bool wakes(const run *r, const solution *s, int power) {
    const power_load *d = &circuit_of(r)->powers[power];
    return s->dropped[power] != 0 && signal_at(&r->now.view.settled, d->gate) &&
           fabs(s->volts[d->a] - s->volts[d->b]) >= d->restart;
}

bool run_would_wake(const run *r) {
    for (int i = 0; i < circuit_of(r)->power_count; i++)
        if (wakes(r, &r->now.view.solution, i))
            return true;
    return false;
}

// A load that has dropped out has the volts there at which it comes back, and hadn't. At the end of
// a long step its current would have grown all along, and it dropped out again; just beyond the
// moment at which it comes back, it stays on. What has the volts already has tried in vain.
static bool trial_wakes(const run *r) {
    for (int i = 0; i < circuit_of(r)->power_count; i++)
        if (wakes(r, &r->trial.view.solution, i) && !wakes(r, &r->now.view.solution, i))
            return true;
    return false;
}

// Without a verdict of its own, if the devices are as they were and nothing that the verdict rests
// on has changed. What watches look at may change by itself, and what is passed over is no
// difference: then the trial is judged.
void run_compare(run *r) {
    const run_end *now = &r->now;
    run_end *trial = &r->trial;
    size_t devices = (size_t)r->first_status_mark;
    bool same = r->judged == JUDGED_NOW && memcmp(now->marks, trial->marks, devices) == 0 &&
                run_verdict_holds(r, trial);
    bool whole = r->judged != JUDGED_NOW || r->options.watch_count > 0 || (r->ignores && !same);
    if (whole) {
        run_judge(r, trial, trial->marks);
        r->trial_differs = trial_wakes(r) || run_marks_differ(r);
        return;
    }
    size_t judged = (size_t)r->first_transmit_mark, rest = (size_t)r->mark_count - judged;
    r->trial_differs =
        !same || trial_wakes(r) || memcmp(trial->marks + judged, now->marks + judged, rest) != 0;
    memcpy(trial->marks + devices, now->marks + devices, judged - devices);
}

bool run_marks_differ(const run *r) {
    if (!r->ignores)
        return memcmp(r->now.marks, r->trial.marks, (size_t)r->mark_count) != 0;
    for (int i = 0; i < r->mark_count; i++)
        if (r->now.marks[i] != r->trial.marks[i] && !r->ignored[i])
            return true;
    return false;
}

void run_forget_chatter(run *r) {
    memset(r->changes, 0, (size_t)r->mark_count);
    memset(r->ignored, 0, (size_t)r->mark_count);
    r->ignores = false;
}

void run_tell(run *r, const run_hooks *h, run_event e) {
    if (h->event == NULL)
        return;
    r->told.at = r->at;
    h->event(h->ctx, &r->told, &e);
}

static double chatter_span(const run *r, int mark) {
    double span = CHATTER_STEPS * r->finest;
    double least = r->owners[mark].kind == RUN_DROPS_OUT ? CHATTER_DROPS : CHATTER_SECONDS;
    return span > least ? span : least;
}

// More than three changes within the span: passed over from here on, and an item held off.
static bool chatters(run *r, int i) {
    if (r->changes[i] == 0 || r->at - r->since[i] > chatter_span(r, i)) {
        r->changes[i] = 0;
        r->since[i] = r->at;
    }
    return ++r->changes[i] > CHANGES_MOST;
}

// A status flickers only for as long as the devices do that it comes from: where it stays in the
// end is told.
static bool calms_down(run *r, int i) {
    bool status = i >= r->first_status_mark && i < r->first_transmit_mark;
    if (!status || r->now.marks[i] == r->last_told[i] || r->at - r->since[i] <= chatter_span(r, i))
        return false;
    r->ignored[i] = r->changes[i] = 0;
    return true;
}

// Of an item that is held off: it is off from now on, and that is to be told.
static bool of_held_item(const run *r, int i) {
    const verdict *v = verdict_of(r);
    int rule = (i - r->first_status_mark) / 2;
    if (i < r->first_status_mark || rule >= v->rule_count || v->rules[rule].power < 0)
        return false;
    return r->ignored[r->first_drop_mark + v->rules[rule].power] != 0;
}

void run_tell_marks(run *r, const run_hooks *h) {
    bool held = false;
    if (!r->ignores && memcmp(r->seen, r->now.marks, (size_t)r->mark_count) == 0)
        return;
    for (int i = 0; i < r->mark_count; i++) {
        int from = r->seen[i], to = r->now.marks[i];
        r->seen[i] = r->now.marks[i];
        if (r->ignored[i] && calms_down(r, i))
            from = r->last_told[i];
        if (from == to || r->ignored[i])
            continue;
        r->last_told[i] = r->now.marks[i];
        const mark_owner *o = &r->owners[i];
        // In a coarse run a status changes with several devices in a few steps, and isn't worn out.
        bool worn = (i < r->first_status_mark || !r->options.coarse) && !of_held_item(r, i) &&
                    chatters(r, i);
        if (worn)
            r->ignored[i] = r->ignores = held = true;
        // Of what somebody asks about, but is no part, it isn't told.
        bool nameless = worn && (o->kind == RUN_FUNCTION || o->kind == RUN_WATCHED);
        if (o->part >= 0 && !nameless && !(worn && i >= r->first_transmit_mark))
            run_tell(r, h, (run_event){r->at, worn ? RUN_CHATTERS : o->kind, o->part, from, to});
    }
    if (held)
        run_bind(r);
}

bool run_hold_off(run *r, const run_hooks *h) {
    bool any = false;
    for (int i = 0; i < circuit_of(r)->power_count; i++) {
        int mark = r->first_drop_mark + i;
        if (r->ignored[mark] || !wakes(r, &r->now.view.solution, i))
            continue;
        r->ignored[mark] = r->ignores = any = true;
        run_tell(r, h, (run_event){r->at, RUN_CHATTERS, r->owners[mark].part, 1, 0});
    }
    if (any)
        run_bind(r);
    return any;
}
