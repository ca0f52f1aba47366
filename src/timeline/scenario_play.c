// Playing a scenario: steps at their moments, answers at theirs, and the run in between.
#include "timeline/scenario_play.h"

#include <string.h>

#include "timeline/scenario_player.h"

#define TOLERANCE  0.0005  // volts: numerics of a run that is looked at
#define RESOLUTION 0.001   // seconds
#define SAME_TIME  1e-6    // seconds: moments closer than this are one

enum { STEPS_MOST = 20000 };  // of one run: a scenario that chatters all along ends sometime

// ---- rows of the trace --------------------------------------------------------------------------
static double record_value(const run_now *now, const scenario_record *r) {
    if (r->of == RECORD_VOLTS)
        return part_volts(now->settled, r->part);
    if (r->of == RECORD_AMPS)
        return part_amps(now->settled, r->part);
    for (int i = 0; i < now->battery_count; i++)
        if (now->batteries[i].part == r->part)
            return battery_fraction(&now->batteries[i].model, now->batteries[i].charge);
    return 0.0;
}

static void keep_row(player *p, const run_now *now) {
    int row = p->log->row_count, wide = p->scenario->record_count, first = row * wide;
    double *times = arena_grow(p->memory, p->times, &p->time_room, row + 1, sizeof *times);
    double *values =
        arena_grow(p->memory, p->values, &p->value_room, first + wide + 1, sizeof *values);
    if (!times || !values)
        return;
    p->log->times = p->times = times;
    p->log->values = p->values = values;
    times[row] = now->at;
    for (int i = 0; i < wide; i++)
        values[first + i] = record_value(now, &p->scenario->records[i]);
    p->log->row_count++;
    p->log->solves = now->solves;
}

// ---- watches ------------------------------------------------------------------------------------
static void note_watches(player *p, const run_now *now) {
    for (int i = 0; i < p->scenario->watch_count; i++)
        if (now->watches[i] && p->held_at[i] < 0)
            p->held_at[i] = now->at;
    for (int i = 0; i < p->wait_count; i++) {
        waiting *w = &p->waits[i];
        if (w->until < 0 || !now->watches[w->until])
            continue;
        log_answer *a = &p->answers[w->answer];
        a->how_long = now->at - a->asked;
        w->until = -1;
    }
    int ends = p->scenario->ends;
    p->stopped = p->stopped || (ends >= 0 && now->watches[ends]);
}

static bool see_step(void *ctx, const run_now *now) {
    player *p = ctx;
    player_warm_wires(p, now);
    player_sources(p, now);
    player_starts(p, now);
    keep_row(p, now);
    note_watches(p, now);
    if (p->also != NULL && p->also->step != NULL)
        p->also->step(p->also->ctx, now);
    return !p->memory->failed && !p->stopped && now->steps < STEPS_MOST;
}

// ---- moments ------------------------------------------------------------------------------------
static void schedule(player *p) {
    for (int i = 0; i < p->scenario->step_count; i++) {
        const scenario_moment *m = &p->scenario->steps[i].at;
        if (p->due[i] < 0 && (m->watch < 0 || p->held_at[m->watch] >= 0))
            p->due[i] = m->seconds + (m->watch < 0 ? 0.0 : p->held_at[m->watch]);
    }
}

// The step that comes next, the earliest, in the order of the file; -1: none is due.
static int next_step(const player *p) {
    int found = -1;
    for (int i = 0; i < p->scenario->step_count; i++)
        if (!p->done[i] && p->due[i] >= 0 && (found < 0 || p->due[i] < p->due[found]))
            found = i;
    return found;
}

static double next_time(player *p, const run_now *now) {
    double next = p->scenario->lasts;
    int step = next_step(p);
    if (step >= 0 && p->due[step] < next)
        next = p->due[step];
    for (int i = 0; i < p->wait_count; i++)
        if (p->waits[i].looks >= 0 && p->waits[i].looks < next)
            next = p->waits[i].looks;
    double travel = player_travel_in(p, now);
    return travel >= 0 && now->at + travel < next ? now->at + travel : next;
}

static void ask(player *p, const scenario_question *q, double at) {
    log_answer *grown =
        arena_grow(p->memory, p->answers, &p->answer_room, p->log->answer_count + 1, sizeof *grown);
    if (!grown)
        return;
    p->log->answers = p->answers = grown;
    int index = p->log->answer_count++;
    p->answers[index] =
        (log_answer){.question = q, .asked = at, .looked = NOT_YET, .how_long = NOT_YET};
    p->waits[p->wait_count++] =
        (waiting){index, q->about_count > 0 ? at + q->answered : NOT_YET, q->until};
    player_line(p, "asks", -1, -1, true, q->ask, NULL);
}

static void take_step(player *p, int index) {
    const scenario_step *step = &p->scenario->steps[index];
    const run_now *now = run_where(p->run);
    player_close(p);
    p->open_at = now->at;
    p->done[index] = true;
    if (step->question.ask)
        ask(p, &step->question, now->at);
    if (step->say[0])
        player_line(p, "says", -1, -1, true, step->say, NULL);
    state_copy(p->aircraft, now->settled->asked, &p->asked);
    for (int i = 0; i < step->change_count; i++) {
        player_change_line(p, &step->changes[i]);
        player_apply(p, &step->changes[i]);
    }
    if (step->change_count > 0)
        run_change(p->run, &p->hooks, &p->asked);
    player_dip(p);
    player_close(p);
}

static void look(player *p) {
    for (int i = 0; i < p->wait_count; i++) {
        waiting *w = &p->waits[i];
        if (w->looks < 0 || w->looks > run_where(p->run)->at + SAME_TIME)
            continue;
        player_answer_now(p, &p->answers[w->answer]);
        w->looks = NOT_YET;
    }
}

static void play_on(player *p) {
    while (!p->stopped && !p->memory->failed) {
        const run_now *now = run_where(p->run);
        schedule(p);
        int step = next_step(p);
        if (step >= 0 && p->due[step] <= now->at + SAME_TIME) {
            take_step(p, step);
            note_watches(p, now);
            look(p);
            continue;
        }
        double start = now->at, next = next_time(p, now);
        double travel = player_travel_in(p, now);
        run_pause(p->run, next);
        bool on = run_advance(p->run, &p->hooks, 1);
        double passed = now->at - start;
        player_dip(p);
        if (travel >= 0 && passed > 0 && player_travel(p, now, passed))
            run_change(p->run, &p->hooks, &p->asked);
        player_dip(p);
        player_close(p);
        look(p);
        if (!on || now->at + SAME_TIME >= p->scenario->lasts)
            return;
    }
}

// ---- made ---------------------------------------------------------------------------------------
static bool arrays_make(player *p) {
    arena *m = &p->scratch;
    size_t parts = (size_t)p->aircraft->part_count + 1;
    size_t steps = (size_t)p->scenario->step_count + 1;
    p->asked.setting = arena_new(m, parts, sizeof(double));
    p->due = arena_new(m, steps, sizeof(double));
    p->done = arena_new(m, steps, sizeof(bool));
    p->waits = arena_new(m, steps, sizeof *p->waits);
    p->held_at = arena_new(m, (size_t)p->scenario->watch_count + 1, sizeof(double));
    p->last_reading = arena_new(m, parts, sizeof *p->last_reading);
    p->last_figure = arena_new(m, parts, sizeof(double));
    p->contacts = arena_new(m, parts, 1);
    p->parts = arena_new(m, parts, sizeof *p->parts);
    p->sources = arena_new(m, parts, sizeof *p->sources);
    p->before = arena_new(m, parts, sizeof *p->before);
    if (m->failed)
        return false;
    for (int i = 0; i < p->scenario->step_count; i++)
        p->due[i] = NOT_YET;
    for (int i = 0; i < p->scenario->watch_count; i++)
        p->held_at[i] = NOT_YET;
    player_find_movers(p);
    player_find_starters(p);
    player_find_wires(p);
    return !p->memory->failed;
}

static void start_state(player *p) {
    const scenario *sc = p->scenario;
    state_of_phase(p->aircraft, sc->phase, &p->asked);
    p->asked.charge = sc->charge;
    if (sc->has_temperature)
        p->asked.temperature = sc->temperature;
    player_cool_wires(p, p->asked.temperature);
    player_line(p, "start", -1, -1, true, "Phase: ", p->aircraft->phases[sc->phase].name, ".",
                NULL);
    for (int i = 0; i < sc->start_count; i++)
        player_apply(p, &sc->start[i]);
}

static status play(player *p) {
    const scenario *sc = p->scenario;
    if (!arrays_make(p))
        return STATUS_NO_MEMORY;
    run_options o = {.lasts = sc->lasts,
                     .tolerance = TOLERANCE,
                     .resolution = RESOLUTION,
                     .health = sc->health,
                     .pessimistic = sc->pessimistic,
                     .cycles = true,
                     .transmits = true,
                     .watch_count = sc->watch_count,
                     .watch_ctx = p,
                     .watch = player_watch};
    start_state(p);
    status made = run_make(p->solver, &p->asked, &o, NULL, 0, &p->run);
    if (made != STATUS_OK)
        return made;
    run_advance(p->run, &p->hooks, 0);
    for (int i = 0; i < sc->start_count; i++)
        player_change_line(p, &sc->start[i]);
    const run_now *now = run_where(p->run);
    for (int i = 0; i < now->transmitter_count; i++) {
        const run_transmitter *t = &now->transmitters[i];
        if (t->volts > 0 && t->volts < t->least)
            player_radio_line(p, t, true);
    }
    player_close(p);
    play_on(p);
    p->open_at = p->log->ended = now->at;
    bool cut = now->steps >= STEPS_MOST;
    player_line(p, "end", -1, -1, true,
                cut ? "The run is cut off here: something changes all the time."
                    : "The run ends here.",
                NULL);
    player_close(p);
    return STATUS_OK;
}

static double charge_of(const run_battery *b) { return battery_fraction(&b->model, b->charge); }

// Per part: of each battery. NULL: no memory.
static const double *charges_of(player *p, const run_now *now) {
    double *charges = arena_new(&p->scratch, (size_t)p->aircraft->part_count + 1, sizeof *charges);
    for (int i = 0; charges != NULL && i < now->battery_count; i++)
        charges[now->batteries[i].part] = charge_of(&now->batteries[i]);
    return charges;
}

// Batteries have another charge by now than the one that was asked for.
static void tell_charges(const run_now *now, outcome *o) {
    o->state.charge = now->battery_count == 1 ? charge_of(now->batteries) : -1;
    for (int i = 0; i < o->source_count; i++)
        for (int k = 0; k < now->battery_count; k++)
            if (o->sources[i].part == now->batteries[k].part)
                o->sources[i].charge = charge_of(&now->batteries[k]);
}

static void see_event(void *ctx, const run_now *now, const run_event *e) {
    const player *p = ctx;
    player_event(ctx, now, e);
    if (p->also != NULL && p->also->event != NULL)
        p->also->event(p->also->ctx, now, e);
}

// Plays `sc`; `moment`, if it isn't NULL, is how all stands where it ends.
static status play_to_end(solver *s, const scenario *sc, const run_hooks *also, scenario_log **made,
                          outcome **moment) {
    *made = NULL;
    scenario_log *log = memory_new(s->allocator, sizeof *log);
    if (!log)
        return STATUS_NO_MEMORY;
    *log =
        (scenario_log){.memory = arena_make(s->allocator), .aircraft = s->aircraft, .scenario = sc};
    player p = {.solver = s,
                .aircraft = s->aircraft,
                .scenario = sc,
                .log = log,
                .also = also,
                .memory = &log->memory,
                .scratch = arena_make(s->allocator)};
    p.hooks = (run_hooks){.ctx = &p, .step = see_step, .event = see_event};
    status result = play(&p);
    if (result == STATUS_OK && moment) {
        const run_now *now = run_where(p.run);
        const double *charges = charges_of(&p, now);
        result = charges == NULL
                     ? STATUS_NO_MEMORY
                     : snapshot_explained(s, now->settled, now->tripped, charges, moment);
        if (result == STATUS_OK)
            tell_charges(now, *moment);
    }
    run_free(p.run);
    if (result == STATUS_OK && (log->memory.failed || p.scratch.failed))
        result = STATUS_NO_MEMORY;
    arena_free(&p.scratch);
    *made = log;
    return result;
}

status scenario_play(solver *s, const scenario *sc, scenario_log **made) {
    return scenario_play_told(s, sc, NULL, made);
}

status scenario_play_told(solver *s, const scenario *sc, const run_hooks *also,
                          scenario_log **made) {
    status result = play_to_end(s, sc, also, made, NULL);
    if (result != STATUS_OK) {
        scenario_log_free(*made);
        *made = NULL;
    }
    return result;
}

status scenario_at(solver *s, const scenario *sc, double at, outcome **made, double *ended) {
    *made = NULL;
    scenario until = *sc;
    // A step that is due at this very moment is taken.
    until.lasts = at + RESOLUTION < sc->lasts ? at + RESOLUTION : sc->lasts;
    scenario_log *log = NULL;
    status result = play_to_end(s, &until, NULL, &log, made);
    *ended = log != NULL ? log->ended : 0.0;
    scenario_log_free(log);
    if (result != STATUS_OK && *made) {
        outcome_free(*made);
        *made = NULL;
    }
    return result;
}

void scenario_log_free(scenario_log *log) {
    if (!log)
        return;
    allocator memory = log->memory.memory;
    arena_free(&log->memory);
    memory_free(memory, log, sizeof *log);
}
