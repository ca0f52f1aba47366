// A coarse run, settling by settling: nothing of it waits inside a call, so that many runs can take
// turns in the lanes of one kernel.
#include "timeline/run_state.h"

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

// ---- steps --------------------------------------------------------------------------------------
static const job *try_step(run *r, double seconds) {
    r->stage = COARSE_TRIES;
    r->aim = seconds;
    run_aim(r, seconds);
    return &r->trial.job;
}

static const job *next_step(run *r) {
    double left = run_room(r), timer = run_next_timer(r);
    left = timer >= 0 && timer < left ? timer : left;
    return try_step(r, run_step_to_event(r, r->length < left ? r->length : left));
}

static void accept(run *r, const run_hooks *h, double error) {
    bool differs = r->trial_differs;
    if (!differs && !run_verdict_holds(r, &r->trial))
        run_tell_crossings(r, h);
    run_accept(r, r->aim);
    if (!differs)
        run_next_length(r, r->aim, error);
    run_hand_over(r, h);
    run_tell_marks(r, h);
    if (differs)
        run_after_event(r);
}

// ---- changes ------------------------------------------------------------------------------------
static const job *settle_change(run *r) {
    r->stage = COARSE_CHANGES;
    run_bind(r);
    run_pose(r, &r->now, &r->before);
    return &r->now.job;
}

static const job *begin_change(run *r) {
    solution_copy(circuit_of(r), &r->now.view.solution, &r->before);
    return settle_change(r);
}

static void end_change(run *r, const run_hooks *h) {
    run_mark(r, &r->now);
    run_look(r);
    for (int i = r->first_told; i < r->next_happening; i++)
        run_tell(r, h, (run_event){r->at, RUN_HAPPENS, r->list[i].part, 0, i});
    r->first_told = r->next_happening;
    run_tell_marks(r, h);
    run_after_event(r);
    run_hand_over(r, h);
}

// Breakers that have come to their limit.
static bool open_breakers(run *r) {
    bool any = false;
    for (int i = 0; i < circuit_of(r)->breaker_count; i++) {
        if (r->now.marks[r->first_trip_mark + i] == 0 || r->tripped[i])
            continue;
        run_open_breaker(r, i);
        any = true;
    }
    return any;
}

// ---- what comes next ----------------------------------------------------------------------------
static const job *go_on(run *r) {
    if (r->ended)
        return NULL;
    bool opened = open_breakers(r), timed = run_timer_due(r) && run_take_timers(r);
    bool happened = run_take_happenings(r);
    if (opened || timed || happened)
        return begin_change(r);
    if (run_room(r) > 0)
        return next_step(r);
    r->ended = r->at >= r->options.lasts;
    return NULL;
}

// ---- radios that transmit ----------------------------------------------------------------------
static const job *talk_on(run *r, const run_hooks *h) {
    for (; r->talker < r->transmitter_count; r->talker++) {
        run_talk_gone(r, h, r->talker);
        if (!run_talk_is_due(r, r->talker))
            continue;
        r->stage = COARSE_TALKS;
        return run_talk_job(r, r->talker);
    }
    if (r->transmitter_count > 0)
        run_talk_end(r);
    return go_on(r);
}

// At each accepted end, before the run goes on.
static const job *talk(run *r, const run_hooks *h, bool differs) {
    if (r->ended)
        return NULL;
    r->talk_differs = differs;
    r->talker = 0;
    return talk_on(r, h);
}

static const job *look_at_talk(run *r, const run_hooks *h, const solution *solved) {
    solution_copy(circuit_of(r), solved, &r->transmitting);
    r->solves++;
    run_talk_look(r, h, r->talker++);
    return talk_on(r, h);
}

// ---- what a solution leads to ------------------------------------------------------------------
static const job *look_at_begin(run *r, const run_hooks *h) {
    run_take(r, &r->now);
    run_begin(r);
    r->started = true;
    r->first_told = 0;
    run_hand_over(r, h);
    return talk(r, h, true);
}

static const job *look_at_change(run *r, const run_hooks *h) {
    run_take(r, &r->now);
    int breaker = run_fastest_breaker(r);
    if (breaker != NOWHERE) {
        run_open_breaker(r, breaker);
        return settle_change(r);
    }
    end_change(r, h);
    return talk(r, h, true);
}

static const job *look_at_trial(run *r, const run_hooks *h) {
    double error = run_land(r, r->aim), tolerance = r->options.tolerance;
    bool fine = r->aim <= r->finest;
    if (r->trial_differs && !fine)
        return try_step(r, run_shorten_to_event(r, r->aim));
    if (error > tolerance && !(r->trial_differs && fine) && r->aim > SHORTEST_STEP) {
        return try_step(r, run_shorter_step(r, r->aim, error));
    }
    bool differs = r->trial_differs;
    accept(r, h, error);
    return talk(r, h, differs);
}

const job *run_go_on(run *r, const run_hooks *h, const solution *solved) {
    if (solved == NULL)
        return &r->now.job;
    if (r->stage == COARSE_TALKS)
        return look_at_talk(r, h, solved);
    run_end *e = r->stage == COARSE_TRIES ? &r->trial : &r->now;
    solution_copy(circuit_of(r), solved, &e->view.solution);
    switch (r->stage) {
    case COARSE_BEGINS: return look_at_begin(r, h);
    case COARSE_CHANGES: return look_at_change(r, h);
    default: return look_at_trial(r, h);
    }
}
