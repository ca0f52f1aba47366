// A coarse run, settling by settling: nothing of it waits inside a call, so that many runs can take
// turns in the lanes of one kernel.
#include <math.h>
#include <string.h>

#include "timeline/run_state.h"

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

status run_make_coarse(solver *s, const state *from, const run_options *o, const happening *list,
                       int count, run **made) {
    status result = run_make(s, from, o, list, count, made);
    if (result != STATUS_OK)
        return result;
    run *r = *made;
    if (run_make_talks(r) && run_make_between(r) && run_make_frozen(r) && run_make_asks(r)) {
        run_freeze(r);
        return STATUS_OK;
    }
    run_free(r);
    *made = NULL;
    return STATUS_NO_MEMORY;
}

// Volts by which a step goes farther than where the first device is expected to change: its own
// trial tells when that is.
#define FARTHER 0.1

// Breakers that can't come to trip before a device changes: as its volts sag, a load draws half as
// much again at most before it drops out.
#define COLD 0.6  // of its rating

static void find_cold(run *r) {
    for (int i = 0; i < circuit_of(r)->breaker_count; i++)
        r->cold[i] = run_ratio(r, &r->now, i) < COLD;
    r->now.rated = false;
}

// ---- steps --------------------------------------------------------------------------------------
static const job *try_step(run *r, double seconds) {
    r->stage = COARSE_TRIES;
    r->aim = seconds;
    run_aim(r, seconds);
    return &r->trial.job;
}

// Volts that a step may be off: what they go by in the finest one does no harm.
static double tolerated_in(const run *r, double seconds) {
    double most = r->options.tolerance;
    for (int i = 0; i < r->battery_count; i++) {
        double moved = fabs(r->trial.law[i].emf - r->now.law[i].emf);
        double passed = r->finest * moved / seconds;
        most = passed > most ? passed : most;
    }
    return most;
}

static const job *next_step(run *r) {
    double left = run_room(r), timer = run_next_timer(r);
    left = timer >= 0 && timer < left ? timer : left;
    double seconds = r->length < left ? r->length : left;
    r->aims = 0;
    double first = run_foresee(r, seconds, FARTHER) + r->finest;
    return try_step(r, run_above_knee(r, first < seconds ? first : seconds));
}

static void accept(run *r, const run_hooks *h, double error, double tolerated) {
    bool differs = r->trial_differs;
    if (!differs) {
        if (!run_stays_judged(r, &r->trial))
            run_tell_crossings(r, h);
        r->volts_rate = run_volts_rate(r);
    }
    run_accept(r, r->aim);
    if (!differs)
        run_next_length(r, r->aim, error, tolerated);
    for (int i = 0; i < r->transmitter_count; i++)
        run_talk_pass(r, h, i, differs);
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
    find_cold(r);
    run_mark_asked(r);
    run_look(r);
    for (int i = r->first_told; i < r->next_happening; i++)
        run_tell(r, h, (run_event){r->at, RUN_HAPPENS, r->list[i].part, 0, i});
    r->first_told = r->next_happening;
    run_tell_marks(r, h);
    run_rest_asked(r, h, &r->now);
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

static const job *begin_turn(run *r) {
    r->stage = COARSE_TURNS;
    r->turns = false;
    solution_copy(circuit_of(r), &r->now.view.solution, &r->before);
    run_pose(r, &r->now, &r->before);
    return &r->now.job;
}

// ---- radios that transmit ----------------------------------------------------------------------
static const job *talk_on(run *r) {
    for (; r->talker < r->transmitter_count; r->talker++) {
        if (!run_talk_is_due(r, r->talker))
            continue;
        r->stage = COARSE_TALKS;
        return run_talk_job(r, r->talker);
    }
    if (r->transmitter_count > 0)
        run_talk_end(r);
    return r->turns ? begin_turn(r) : go_on(r);
}

// At each accepted end, before the run goes on.
static const job *talk(run *r, bool differs) {
    if (r->ended)
        return NULL;
    r->talk_differs = differs;
    r->talker = 0;
    return talk_on(r);
}

static const job *look_at_talk(run *r, const run_hooks *h, const solution *solved) {
    solution_copy(circuit_of(r), solved, &r->transmitting);
    r->solves++;
    run_talk_look(r, h, r->talker++);
    return talk_on(r);
}

// ---- devices that change at the end of a step ---------------------------------------------------
// Where one of these has turned, the volts that a radio takes may be others.
static bool contact_turned(const run *r) {
    for (int i = 0; i < circuit_of(r)->comparator_count; i++) {
        if (r->seen[i] == r->now.marks[i] || r->owners[i].part < 0)
            continue;
        part_kind kind = r->solver->aircraft->parts[r->owners[i].part].kind;
        if (kind == KIND_CONTACTOR || kind == KIND_RELAY)
            return true;
    }
    return false;
}

static const job *look_at_turn(run *r, const run_hooks *h) {
    run_take(r, &r->now);
    run_mark_asked(r);
    bool contact = contact_turned(r);
    bool turned = memcmp(r->seen, r->now.marks, (size_t)r->first_status_mark) != 0;
    run_look(r);
    run_tell_marks(r, h);
    run_rest_asked(r, h, &r->now);
    find_cold(r);
    if (turned)
        run_after_event(r);
    run_hand_over(r, h);
    r->talk_relieved = r->talk_relieved || turned;
    return contact ? talk(r, true) : go_on(r);
}

// ---- what a solution leads to ------------------------------------------------------------------
static const job *look_at_begin(run *r, const run_hooks *h) {
    run_take(r, &r->now);
    run_begin(r);
    find_cold(r);
    r->started = true;
    r->first_told = 0;
    run_hand_over(r, h);
    run_rest_asked(r, h, &r->now);
    return talk(r, true);
}

static const job *look_at_change(run *r, const run_hooks *h) {
    run_take(r, &r->now);
    int breaker = run_fastest_breaker(r);
    if (breaker != NOWHERE) {
        run_open_breaker(r, breaker);
        return settle_change(r);
    }
    end_change(r, h);
    return talk(r, true);
}

static const job *look_at_trial(run *r, const run_hooks *h) {
    double error = run_land(r, r->aim), tolerance = tolerated_in(r, r->aim);
    bool fine = r->aim <= r->finest;
    if (r->trial_differs && !fine)
        return try_step(r, run_shorten_to_event(r, r->aim));
    if (error > tolerance && !(r->trial_differs && fine) && r->aim > SHORTEST_STEP) {
        return try_step(r, run_shorter_step(r, r->aim, error, tolerance));
    }
    bool differs = r->trial_differs;
    r->turns = differs || run_cut_trial(r);
    accept(r, h, error, tolerance);
    if (differs && !r->ended)
        return begin_turn(r);
    if (r->turns)  // volts are as low as they go just before something drops out
        return talk(r, false);
    run_hand_over(r, h);
    run_tell_marks(r, h);
    return talk(r, false);
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
    case COARSE_TURNS: return look_at_turn(r, h);
    default: return look_at_trial(r, h);
    }
}
