// A run: made, stepped, and what happens at one instant.
#include "timeline/run.h"

#include <math.h>
#include <string.h>

#include "timeline/run_state.h"

// A breaker that would trip within this opens at once: before any contactor, starved by the same
// fault, could move (choice).
#define AT_ONCE_SECONDS 0.05

enum { SETTLINGS_MOST = 16 };

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

// ---- made ---------------------------------------------------------------------------------------
static void find_batteries(run *r, const state *from) {
    const aircraft *a = r->solver->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        if (a->parts[i].kind != KIND_BATTERY || r->solver->made->maps[i].piecewise < 0)
            continue;
        battery_aging aging = {.celsius = from->temperature,
                               .health = r->options.health,
                               .pessimistic = r->options.pessimistic};
        r->batteries[r->battery_count++] =
            (run_battery){.part = i, .model = battery_model_of(&a->parts[i], aging)};
    }
}

static void find_conditions(run *r) {
    const compiled *c = r->solver->made;
    for (int i = 0; i < c->circuit.input_count; i++) {
        if (c->inputs[i].kind != INPUT_CONDITION)
            continue;
        const condition *k = &c->aircraft->conditions[c->inputs[i].detail];
        for (int b = 0; b < r->battery_count && k->op == CONDITION_CHARGE; b++)
            if (r->batteries[b].part == k->ref.part)
                r->conditions[r->condition_count++] = (charge_condition){i, c->inputs[i].detail, b};
    }
}

static bool end_make(run *r, run_end *e) {
    arena *m = &r->memory;
    size_t batteries = (size_t)r->battery_count + 1;
    e->charge = arena_new(m, batteries, sizeof *e->charge);
    e->law = arena_new(m, batteries, sizeof *e->law);
    e->shown = arena_new(m, batteries, sizeof *e->shown);
    e->amps = arena_new(m, batteries, sizeof *e->amps);
    size_t patches = 2 * BATTERY_PARAMS * batteries + (size_t)r->condition_count +
                     (size_t)r->timer_count + (size_t)r->transmitter_count + DRAW_SLOTS;
    e->patches = arena_new(m, patches, sizeof *e->patches);
    e->heat = arena_new(m, (size_t)circuit_of(r)->breaker_count + 1, sizeof *e->heat);
    e->ratio = arena_new(m, (size_t)circuit_of(r)->breaker_count + 1, sizeof *e->ratio);
    e->transmit_volts = arena_new(m, (size_t)r->transmitter_count + 1, sizeof *e->transmit_volts);
    e->marks = arena_new(m, (size_t)r->mark_count + 1, 1);
    return view_make(&e->view, r->solver->made, m) && !m->failed;
}

static void marks_make(run *r) {
    arena *m = &r->memory;
    r->mark_count = run_count_marks(r);
    size_t marks = (size_t)r->mark_count + 1;
    r->owners = arena_new(m, marks, sizeof *r->owners);
    r->changes = arena_new(m, marks, 1);
    r->ignored = arena_new(m, marks, 1);
    r->seen = arena_new(m, marks, 1);
    r->last_told = arena_new(m, marks, 1);
    r->since = arena_new(m, marks, sizeof *r->since);
    r->devices = arena_new(m, marks, 1);
    r->transmit_was = arena_new(m, marks, 1);
}

static bool arrays_make(run *r, const state *from) {
    const aircraft *a = r->solver->aircraft;
    arena *m = &r->memory;
    size_t parts = (size_t)a->part_count + 1, breakers = (size_t)circuit_of(r)->breaker_count + 1;
    r->batteries = arena_new(m, parts, sizeof *r->batteries);
    r->conditions = arena_new(m, (size_t)circuit_of(r)->input_count + 1, sizeof *r->conditions);
    if (m->failed)
        return false;
    find_batteries(r, from);
    find_conditions(r);
    r->timers = arena_new(m, (size_t)circuit_of(r)->input_count + 1, sizeof *r->timers);
    r->cycles = arena_new(m, parts, sizeof *r->cycles);
    r->transmitters = arena_new(m, parts, sizeof *r->transmitters);
    r->heavies = arena_new(m, parts, sizeof *r->heavies);
    if (m->failed)
        return false;
    run_find_timers(r);
    run_find_cycles(r);
    run_find_transmitters(r);
    marks_make(r);
    r->trip_laws = arena_new(m, breakers, sizeof *r->trip_laws);
    r->tripped = arena_new(m, breakers, 1);
    r->cold = arena_new(m, breakers, 1);
    r->ramp = arena_new(m, (size_t)r->battery_count + 1, sizeof *r->ramp);
    r->ahead = arena_new(m, (size_t)r->battery_count + 1, sizeof *r->ahead);
    r->lit = arena_new(m, (size_t)r->solver->made->verdict->rule_count + 1, 1);
    void *before = arena_new(m, 1, solution_size(circuit_of(r)));
    void *over = arena_new(m, 1, solution_size(circuit_of(r)));
    r->start_patches =
        arena_new(m,
                  BATTERY_PARAMS * ((size_t)r->battery_count + 1) + (size_t)r->condition_count +
                      (size_t)r->timer_count + FIRST_INSTANT_PATCHES * parts,
                  sizeof *r->start_patches);
    void *transmitting = arena_new(m, 1, solution_size(circuit_of(r)));
    r->block = verdict_block_make(m, r->solver->made);
    r->plain = arena_new(m, (size_t)circuit_of(r)->param_count, sizeof *r->plain);
    r->plain_asked.setting = arena_new(m, parts, sizeof(double));
    r->bound = arena_new(m, (size_t)circuit_of(r)->param_count, sizeof *r->bound);
    r->thresholds = arena_new(m, (size_t)run_count_thresholds(r) + 1, sizeof *r->thresholds);
    if (m->failed || !end_make(r, &r->now) || !end_make(r, &r->trial))
        return false;
    // One reading serves both ends: between events what is live stays so.
    settled_state *now = &r->now.view.settled, *trial = &r->trial.view.settled;
    trial->signals = now->signals;
    trial->live = now->live;
    trial->fed = now->fed;
    trial->reached = now->reached;
    trial->passages = now->passages;
    run_point *const points[] = {&r->oldest, &r->older, &r->newer, &r->beyond};
    for (int i = 0; i < 4; i++)
        points[i]->volts = arena_new(m, (size_t)circuit_of(r)->node_count, sizeof(double));
    if (m->failed)
        return false;
    r->before = solution_carve(circuit_of(r), before);
    r->over = solution_carve(circuit_of(r), over);
    if (m->failed)
        return false;
    r->transmitting = solution_carve(circuit_of(r), transmitting);
    return true;
}

// As asked, batteries at rest: ready to be settled.
static void pose_first(run *r, const state *from) {
    const aircraft *a = r->solver->aircraft;
    const circuit *c = circuit_of(r);
    run_name_marks(r);
    state_copy(a, from, &r->now.view.asked);
    r->has_plain = false;  // the aircraft's figures may be others
    for (int i = 0; i < r->battery_count; i++) {
        const run_battery *b = &r->batteries[i];
        r->now.charge[i] = battery_rested(&b->model, state_charge(a, from, b->part));
    }
    for (int i = 0; i < c->breaker_count; i++)
        r->trip_laws[i] = trip_law_of(a->parts[r->solver->made->breaker_owner[i]].kind);
    run_bind(r);
    run_pose(r, &r->now, &r->solver->bases[from->phase].view.solution);
}

// Breakers are as warm as these currents make them. One that they would open hasn't carried them
// for long, or it were open: it begins cold.
void run_begin(run *r) {
    for (int i = 0; i < circuit_of(r)->breaker_count; i++) {
        double heat = trip_steady(run_ratio(r, &r->now, i));
        r->now.heat[i] = heat < r->trip_laws[i].trips_at ? heat : 0.0;
    }
    run_mark(r, &r->now);
    run_start_timers(r);
    memcpy(r->seen, r->now.marks, (size_t)r->mark_count);
    memcpy(r->last_told, r->now.marks, (size_t)r->mark_count);
    r->length = FIRST_STEP;
    r->told = (run_now){.batteries = r->batteries,
                        .battery_count = r->battery_count,
                        .tripped = r->tripped,
                        .transmitters = r->transmitters,
                        .transmitter_count = r->transmitter_count};
}

status run_make(solver *s, const state *from, const run_options *o, const happening *list,
                int count, run **made) {
    *made = NULL;
    run *r = memory_new(s->allocator, sizeof *r);
    if (r == NULL)
        return STATUS_NO_MEMORY;
    *r = (run){.allocator = s->allocator,
               .memory = arena_make(s->allocator),
               .solver = s,
               .options = *o,
               .pause = o->lasts,
               .finest = o->resolution > SHORTEST_STEP ? o->resolution : SHORTEST_STEP,
               .list = list,
               .list_count = count};
    if (!arrays_make(r, from)) {
        run_free(r);
        return STATUS_NO_MEMORY;
    }
    pose_first(r, from);
    if (!o->coarse) {
        run_settle(r, &r->now, r->now.job.start);
        run_begin(r);
    }
    *made = r;
    return STATUS_OK;
}

void run_again(run *r, const state *from, double health, bool pessimistic) {
    r->options.health = health;
    r->options.pessimistic = pessimistic;
    r->battery_count = r->next_happening = 0;
    find_batteries(r, from);
    memset(r->tripped, 0, (size_t)circuit_of(r)->breaker_count);
    run_forget_chatter(r);
    run_forget_points(r);
    run_forget_timers(r);
    r->transmitter_count = 0;
    run_find_transmitters(r);  // what they need may have been drawn anew
    run_forget_talks(r);
    for (int i = 0; i < r->battery_count; i++)
        r->ramp[i] = 0.0;
    r->at = 0.0;
    r->shortened = false;
    r->steps = r->solves = 0;
    r->started = r->ended = false;
    r->stage = COARSE_BEGINS;
    r->turns = r->talk_relieved = false;
    run_freeze(r);
    pose_first(r, from);
}

void run_free(run *r) {
    if (r == NULL)
        return;
    allocator memory = r->allocator;
    arena_free(&r->memory);
    memory_free(memory, r, sizeof *r);
}

// ---- one instant --------------------------------------------------------------------------------
void run_look(run *r) {
    run_end *e = &r->now;
    if (r->judged != JUDGED_NOW)
        run_judge(r, e, e->marks);
    if (!r->read && !r->options.coarse)
        settled_read(&e->view.settled);
    r->read = true;
    run_look_timers(r);
    run_look_cycles(r);
    for (int i = 0; i < r->battery_count; i++) {
        run_battery *b = &r->batteries[i];
        const part_map *m = &r->solver->made->maps[b->part];
        b->charge = e->charge[i];
        b->law = e->law[i];
        b->amps = e->amps[i];
        b->volts = across(&e->view.settled, m->to, m->from);
    }
    for (int i = 0; i < r->transmitter_count; i++)
        r->transmitters[i].volts = e->transmit_volts[i];
    r->told.at = r->at;
    r->told.settled = &e->view.settled;
    r->told.items = r->items;
    r->told.functions = r->functions;
    r->told.heat = e->heat;
    r->told.watches = e->marks + r->first_watch_mark;
    r->told.steps = r->steps;
    r->told.solves = r->solves;
}

void run_open_breaker(run *r, int breaker) {
    r->tripped[breaker] = 1;
    r->now.view.asked.setting[r->solver->made->breaker_owner[breaker]] = 0.0;
    r->now.heat[breaker] = r->trip_laws[breaker].trips_at;
}

// The breaker that these currents open before anything else could move; NOWHERE: none.
int run_fastest_breaker(const run *r) {
    int found = NOWHERE;
    double least = AT_ONCE_SECONDS;
    for (int i = 0; i < circuit_of(r)->breaker_count; i++) {
        if (r->tripped[i])
            continue;
        double seconds = trip_seconds(&r->trip_laws[i], r->now.heat[i], run_ratio(r, &r->now, i));
        if (seconds >= 0 && seconds < least) {
            least = seconds;
            found = i;
        }
    }
    return found;
}

// Settled anew it would stay where it is: nothing asks otherwise, and no load would come back.
static bool rests(const run *r) {
    return r->now.view.solution.settled == SETTLED_YES && r->same_bound && !run_would_wake(r);
}

// From r->before, with all that is asked now.
static void settle_from_before(run *r) {
    for (int i = 0; i <= circuit_of(r)->breaker_count; i++) {
        run_bind(r);
        run_settle(r, &r->now, &r->before);
        int breaker = run_fastest_breaker(r);
        if (breaker == NOWHERE)
            break;
        run_open_breaker(r, breaker);
    }
    run_mark(r, &r->now);
}

// After a change of positions, faults or breakers: settled from where it stood before the change.
static void settle_change(run *r) {
    solution_copy(circuit_of(r), &r->now.view.solution, &r->before);
    settle_from_before(r);
}

// Breakers that have come to their limit open; then it settles until nothing changes any more. What
// hasn't come to rest by then goes on as chatter in the steps that follow.
static void settle_events(run *r, const run_hooks *h, bool rests) {
    for (int round = 0; round < SETTLINGS_MOST; round++) {
        bool opened = false;
        for (int i = 0; i < circuit_of(r)->breaker_count; i++) {
            if (r->now.marks[r->first_trip_mark + i] && !r->tripped[i]) {
                run_open_breaker(r, i);
                opened = true;
            }
        }
        if (opened) {
            settle_change(r);
        } else if (round > 0 || !rests) {
            solution_copy(circuit_of(r), &r->now.view.solution, &r->before);
            run_settle(r, &r->now, &r->before);
            run_mark(r, &r->now);
        }
        bool same = memcmp(r->seen, r->now.marks, (size_t)r->mark_count) == 0;
        run_look(r);
        run_tell_marks(r, h);
        if (same && !opened && !run_hold_off(r, h))
            break;
    }
    run_after_event(r);
}

// Volts by which a battery's EMF will still go after its current: a step of usual length would pass
// over that. One that takes all it accepts takes it whatever its EMF.
#define SAGS 0.02

static bool sags(const run *r) {
    for (int i = 0; i < r->battery_count; i++) {
        double amps = r->now.amps[i];
        double left = battery_sag_left(&r->batteries[i].model, r->now.charge[i], amps);
        if (fabs(left) > SAGS && -amps < (1.0 - LIMITED) * r->now.law[i].accepts)
            return true;
    }
    return false;
}

void run_after_event(run *r) {
    for (int i = 0; i < r->battery_count; i++)
        r->ramp[i] = 0.0;
    run_forget_points(r);
    if (sags(r))
        r->length = 0.5 * r->length < FIRST_STEP ? 0.5 * r->length : FIRST_STEP;
    r->length = r->length > SHORTEST_STEP ? r->length : SHORTEST_STEP;
}

static void happen(state *s, const happening *e) {
    if (e->kind == FAULT_NONE) {
        s->setting[e->part] = e->setting;
        return;
    }
    int kept = 0;
    for (int i = 0; i < s->fault_count; i++)
        if (s->faults[i].part != e->part || s->faults[i].kind != e->kind)
            s->faults[kept++] = s->faults[i];
    s->fault_count = kept;
    if (!e->ends && s->fault_count < STATE_FAULTS)
        s->faults[s->fault_count++] = (fault){e->part, e->kind};
}

// A breaker that a hand pushes in is no longer tripped; it keeps its heat.
static void push_in(run *r, int part) {
    const part_map *m = &r->solver->made->maps[part];
    if (m->breaker < 0 || !r->tripped[m->breaker])
        return;
    r->tripped[m->breaker] = 0;
    r->seen[r->first_trip_mark + m->breaker] = 0;  // should it open again at once, that is told
    if (r->now.heat[m->breaker] >= r->trip_laws[m->breaker].trips_at)
        r->now.heat[m->breaker] = 0.999 * r->trip_laws[m->breaker].trips_at;
}

bool run_take_happenings(run *r) {
    int first = r->next_happening;
    while (r->next_happening < r->list_count && r->list[r->next_happening].at <= r->at) {
        const happening *e = &r->list[r->next_happening++];
        if (e->kind == FAULT_NONE && e->setting > 0)
            push_in(r, e->part);
        happen(&r->now.view.asked, e);
    }
    if (r->next_happening != first)
        run_forget_chatter(r);
    return r->next_happening != first;
}

static bool take_happenings(run *r, const run_hooks *h) {
    int first = r->next_happening;
    if (!run_take_happenings(r))
        return false;
    settle_change(r);
    run_look(r);
    for (int i = first; i < r->next_happening; i++)
        run_tell(r, h, (run_event){r->at, RUN_HAPPENS, r->list[i].part, 0, i});
    run_tell_marks(r, h);
    settle_events(r, h, rests(r));
    return true;
}

void run_hand_over(run *r, const run_hooks *h) {
    run_look(r);
    if (h->step != NULL && !h->step(h->ctx, &r->told))
        r->ended = true;
}

void run_change(run *r, const run_hooks *h, const state *asked) {
    const aircraft *a = r->solver->aircraft;
    const state *before = &r->now.view.asked;
    for (int i = 0; i < a->part_count; i++)
        if (asked->setting[i] > 0 && before->setting[i] <= 0)
            push_in(r, i);
    state_copy(a, asked, &r->now.view.asked);
    run_forget_chatter(r);
    settle_change(r);
    run_look(r);
    run_tell_marks(r, h);
    settle_events(r, h, rests(r));
    run_hand_over(r, h);
}

void run_settle_from(run *r, const run_hooks *h, const solution *start) {
    solution_copy(circuit_of(r), start, &r->before);
    settle_from_before(r);
    run_look(r);
    run_tell_marks(r, h);
    settle_events(r, h, rests(r));
    run_hand_over(r, h);
}

// Times of `for` that are over take effect, and what draws part of the time goes on or off.
static bool take_timers(run *r, const run_hooks *h) {
    if (!run_take_timers(r))
        return false;
    settle_change(r);
    run_look(r);
    run_tell_cycles(r, h);
    run_tell_marks(r, h);
    settle_events(r, h, rests(r));
    return true;
}

// ---- in time ------------------------------------------------------------------------------------
double run_room(const run *r) {
    double left = (r->pause < r->options.lasts ? r->pause : r->options.lasts) - r->at;
    if (r->next_happening < r->list_count && r->list[r->next_happening].at - r->at < left)
        left = r->list[r->next_happening].at - r->at;
    return left;
}

double run_shorter_step(run *r, double seconds, double error, double tolerated) {
    double share = 0.9 * sqrt(tolerated / error);
    seconds *= share < 0.2 ? 0.2 : share > 0.9 ? 0.9 : share;
    r->shortened = true;
    r->length = seconds > SHORTEST_STEP ? seconds : SHORTEST_STEP;
    return r->length;
}

// After a step of `seconds` with that error.
void run_next_length(run *r, double seconds, double error, double tolerated) {
    double longer = error > 0 ? 0.9 * sqrt(tolerated / error) : 3.0;
    double most = r->shortened ? 1.0 : 3.0;
    longer = longer < 0.2 ? 0.2 : longer > most ? most : longer;
    r->shortened = false;
    // Cut short by a happening: kept.
    double reached = seconds < r->length ? r->length : seconds * longer;
    r->length = reached < LONGEST_STEP ? reached : LONGEST_STEP;
    r->length = r->length > SHORTEST_STEP ? r->length : SHORTEST_STEP;
}

// A step that is neither too long for its error nor over an event; true if it ends at one.
static bool step(run *r) {
    double left = run_room(r), timer = run_next_timer(r);
    left = timer >= 0 && timer < left ? timer : left;
    double h = run_step_to_event(r, r->length < left ? r->length : left), error = run_try(r, h);
    for (;;) {
        bool over = r->trial_differs && h <= r->finest;
        if (r->trial_differs && !over)
            h = run_shorten_to_event(r, h);
        else if (error > r->options.tolerance && h > SHORTEST_STEP && !over)
            h = run_shorter_step(r, h, error, r->options.tolerance);
        else
            break;
        error = run_try(r, h);
    }
    bool differs = r->trial_differs;
    run_accept(r, h);
    run_next_length(r, h, differs ? 0.0 : error, r->options.tolerance);
    return differs;
}

// If it is a load that has dropped out, it was its own current that took its volts.
static bool one_device(const run *r) {
    int count = 0;
    for (int i = 0; i < r->first_status_mark; i++)
        count += r->now.marks[i] != r->trial.marks[i];
    return count == 1;
}

// What the last step has led to. A status changes by itself; a device changes what follows.
static void take_event(run *r, const run_hooks *h) {
    size_t devices = (size_t)r->first_status_mark;
    bool device = memcmp(r->now.marks, r->trial.marks, devices) != 0;
    run_tell_marks(r, h);
    if (one_device(r))
        run_hold_off(r, h);
    if (device || !rests(r))
        settle_events(r, h, rests(r));
    r->over_at = -1.0;
}

bool run_advance(run *r, const run_hooks *hooks, int steps) {
    if (!r->started) {
        r->started = true;
        run_hand_over(r, hooks);
        if (take_happenings(r, hooks))
            run_hand_over(r, hooks);
    }
    for (int i = 0; i < steps && !r->ended; i++) {
        if (run_room(r) <= 0) {
            r->ended = r->at >= r->options.lasts;
            break;
        }
        bool event = !run_timer_due(r) && step(r);
        run_hand_over(r, hooks);
        if (event)
            take_event(r, hooks);
        event = take_timers(r, hooks) || event;
        if (take_happenings(r, hooks) || event)
            run_hand_over(r, hooks);
    }
    return !r->ended;
}

const run_now *run_where(const run *r) { return &r->told; }

void run_pause(run *r, double at) { r->pause = at; }
