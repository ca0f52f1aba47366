#include "study/endurance.h"

#include "circuit/solver_state.h"
#include "timeline/run.h"

#define TOLERANCE       0.002
#define RESOLUTION      0.1    // seconds: the answers are minutes
#define LINEAR_DERATING 0.75   // of load analyses, for age, cold and charge: common practice
#define STEP_USUAL      300.0  // seconds: so long at least where next to nothing is drawn
enum { STEPS_AT_ONCE = 256, STEPS_MOST = 20000 };

const endurance_assumption endurance_assumed[ENDURANCE_CASES] = {
    {0.8, true}, {0.9, false}, {1.0, false}};

typedef struct watch {
    const aircraft *aircraft;
    endurance *all;
    endurance_times *times;
    bool first_case, gone;  // gone: a function that must stay is lost
    const endurance_flight *flight;
    int found;  // of what the flight waits for, the first so many
    int steps;
} watch;

static void once(double *slot, double at) {
    if (*slot < 0)
        *slot = at;
}

// Off at the moment at which hands have switched: that is what they are for.
static bool by_hand(const watch *w, double at) {
    return w->all->noticed >= 0 && at == w->all->noticed;
}

// What hands take isn't lost: it is told apart. What they only reduce may be lost later.
static void see_function(watch *w, const run_event *e) {
    endurance *all = w->all;
    if (e->to <= e->from)
        return;
    if (by_hand(w, e->at)) {
        all->shed_functions[e->part] = true;
        all->shed_lost[e->part] = all->shed_lost[e->part] || e->to == FUNCTION_LOST;
        return;
    }
    if (all->shed_lost[e->part])
        return;
    w->gone = w->gone || all->must_stay[e->part];
    if (!all->shed_functions[e->part])
        once(&w->times->reduced[e->part], e->at);
    if (e->to == FUNCTION_LOST)
        once(&w->times->functions[e->part], e->at);
}

static bool gives_nothing(int status) { return status == ITEM_OFF || status == ITEM_NO_DATA; }

static void see_status(watch *w, const run_event *e) {
    if ((gives_nothing(e->to) || e->to == ITEM_UNUSED) && by_hand(w, e->at) &&
        w->times->items[e->part] < 0)
        w->all->shed[e->part] = true;
    if (w->all->shed[e->part])
        return;
    if (e->to == ITEM_NO_DATA && w->times->items[e->part] < 0)
        w->all->blank[e->part] = true;
    if (gives_nothing(e->to))
        once(&w->times->items[e->part], e->at);
    if (e->to == ITEM_WEAK || gives_nothing(e->to))
        once(&w->times->weak[e->part], e->at);
}

// What hands switch off later may give the volts back; a radio that goes off has got none back.
static void see_mute(watch *w, const run_now *now, const run_event *e) {
    if (e->to != 0) {
        once(&w->times->mute[e->part], e->at);
        once(&w->times->mute_for_good[e->part], e->at);
        return;
    }
    int rule = now->settled->made->verdict->rule_of[e->part];
    int status = rule >= 0 ? now->items[rule].status : ITEM_OFF;
    if (status == ITEM_ON || status == ITEM_WEAK)
        w->times->mute_for_good[e->part] = ENDURANCE_OUTLASTS;
}

static void see_event(void *ctx, const run_now *now, const run_event *e) {
    watch *w = ctx;
    endurance_times *t = w->times;
    if (e->kind == RUN_STATUS)
        see_status(w, e);
    if (e->kind == RUN_FUNCTION)
        see_function(w, e);
    if (e->kind == RUN_MUTE)
        see_mute(w, now, e);
    if (e->kind == RUN_OFF_TRANSMITTING && e->to != 0) {
        bool radio = now->transmitters[e->to - 1].watts > 0;
        once(&(radio ? t->off_transmitting : t->off_running)[e->part], e->at);
    }
    if (e->kind == RUN_EXHAUSTED && e->to != 0)
        once(&t->exhausted[e->part], e->at);
    part_kind kind = e->kind == RUN_DEVICE ? w->aircraft->parts[e->part].kind : KIND_BUS;
    if (e->to == 0 && (kind == KIND_CONTACTOR || kind == KIND_RELAY))
        once(&t->lets_go[e->part], e->at);
}

// Only what is lost for the first time.
static bool asks_when(void *ctx, const run_event *e) {
    const watch *w = ctx;
    const endurance_times *t = w->times;
    if (e->kind == RUN_FUNCTION)
        return e->to > e->from &&
               (t->reduced[e->part] < 0 || (e->to == FUNCTION_LOST && t->functions[e->part] < 0));
    if (e->kind != RUN_STATUS)
        return false;
    return (gives_nothing(e->to) && t->items[e->part] < 0) ||
           ((e->to == ITEM_WEAK || gives_nothing(e->to)) && t->weak[e->part] < 0);
}

// What worked before anything has failed.
static void see_first(const watch *w, const run_now *now) {
    const verdict *v = now->settled->made->verdict;
    for (int i = 0; i < w->aircraft->part_count; i++) {
        part_kind kind = w->aircraft->parts[i].kind;
        bool contact = kind == KIND_CONTACTOR || kind == KIND_RELAY;
        w->all->batteries[i] = kind == KIND_BATTERY;
        w->all->holds[i] = contact && now->settled->made->maps[i].coil_load >= 0 &&
                           signal_at(now->settled, now->settled->made->maps[i].energized);
    }
    for (int i = 0; i < v->rule_count; i++) {
        int status = now->items[i].status;
        w->all->counts[v->rules[i].part] = status == ITEM_ON || status == ITEM_WEAK;
    }
    for (int i = 0; i < w->aircraft->function_count; i++)
        w->all->function_counts[i] = now->functions[i] != FUNCTION_LOST;
}

static bool all_found(watch *w, double at) {
    const endurance_flight *f = w->flight;
    if (f->until == NULL || !w->gone)
        return false;
    while (w->found < f->until_count &&
           (*f->until[w->found].found >= 0 || at > f->until[w->found].latest))
        w->found++;
    return w->found == f->until_count;
}

// The first step is the state before anything has failed.
static bool see_step(void *ctx, const run_now *now) {
    watch *w = ctx;
    for (int i = 0; i < now->battery_count; i++) {
        const run_battery *b = &now->batteries[i];
        double charge = battery_fraction(&b->model, b->charge);
        if (w->all->noticed < 0 || now->at <= w->all->noticed)
            w->times->charge_noticed[b->part] = charge;
        if (!w->gone)
            w->times->charge[b->part] = charge;
    }
    if (w->first_case && w->steps == 0)
        see_first(w, now);
    if (++w->steps < STEPS_MOST + (int)(w->all->lasts / STEP_USUAL))
        return !all_found(w, now->at);
    if (now->at < w->all->lasts)  // nothing is said of what comes after
        w->all->lasts = now->at;
    return false;
}

void endurance_clear(const aircraft *a, endurance_times *t) {
    double *by_part[] = {t->items,         t->weak,       t->lets_go,
                         t->exhausted,     t->mute,       t->off_transmitting,
                         t->mute_for_good, t->off_running};
    for (int i = 0; i < 8; i++)
        for (int k = 0; k < a->part_count; k++)
            by_part[i][k] = ENDURANCE_OUTLASTS;
    for (int k = 0; k < a->function_count; k++)
        t->functions[k] = t->reduced[k] = ENDURANCE_OUTLASTS;
}

static bool times_make(const aircraft *a, arena *m, endurance_times *t) {
    size_t parts = (size_t)a->part_count + 1, functions = (size_t)a->function_count + 1;
    double **arrays[] = {&t->functions, &t->reduced,        &t->items,         &t->weak,
                         &t->lets_go,   &t->exhausted,      &t->mute,          &t->off_transmitting,
                         &t->charge,    &t->charge_noticed, &t->mute_for_good, &t->off_running};
    for (int i = 0; i < 12; i++)
        *arrays[i] = arena_new(m, i < 2 ? functions : parts, sizeof(double));
    if (m->failed)
        return false;
    endurance_clear(a, t);
    return true;
}

bool endurance_make(const aircraft *a, const endurance_question *q, arena *m, endurance *out) {
    size_t parts = (size_t)a->part_count + 1, functions = (size_t)a->function_count + 1;
    *out = (endurance){.lasts = q->lasts,
                       .noticed = q->after != NULL ? q->noticed : ENDURANCE_OUTLASTS};
    bool **by_part[] = {&out->counts,    &out->failed,      &out->holds,
                        &out->batteries, &out->switched,    &out->shed,
                        &out->blank,     &out->source_lost, &out->source_goes_on};
    bool **by_function[] = {&out->function_counts, &out->must_stay, &out->shed_functions,
                            &out->shed_lost};
    for (int i = 0; i < 9; i++)
        *by_part[i] = arena_new(m, parts, sizeof(bool));
    for (int i = 0; i < 4; i++)
        *by_function[i] = arena_new(m, functions, sizeof(bool));
    out->items_lost = arena_new(m, parts, sizeof(int));
    out->functions_lost = arena_new(m, functions, sizeof(int));
    for (int i = 0; i < ENDURANCE_CASES; i++)
        if (!times_make(a, m, &out->of[i]))
            return false;
    for (int i = 0; q->must_stay != NULL && i < a->function_count && !m->failed; i++)
        out->must_stay[i] = q->must_stay[i];
    return !m->failed;
}

// What fails at the start, and what hands move later.
happening *endurance_happenings(const aircraft *a, const endurance_question *q, arena *m,
                                int *count) {
    const state *asked = q->asked;
    happening *list = arena_new(m, (size_t)STATE_FAULTS + 2 * (size_t)a->part_count, sizeof *list);
    *count = 0;
    if (list == NULL)
        return NULL;
    for (int i = 0; i < asked->fault_count; i++)
        list[(*count)++] =
            (happening){.part = asked->faults[i].part, .kind = asked->faults[i].kind};
    for (int i = 0; i < a->part_count && asked->fault_count == 0; i++) {
        part_kind k = a->parts[i].kind;
        bool plugged = k == KIND_EXTERNAL_POWER && asked->setting[i] > 0;
        bool source = k == KIND_ALTERNATOR || k == KIND_GENERATOR || plugged;
        if (source && *count < STATE_FAULTS)
            list[(*count)++] = (happening){.part = i, .kind = FAULT_DEAD};
    }
    for (int i = 0; i < a->part_count && q->after != NULL; i++)
        if (q->after->setting[i] != asked->setting[i])
            list[(*count)++] =
                (happening){.at = q->noticed, .part = i, .setting = q->after->setting[i]};
    return list;
}

// The linear method: what the labels say at their charge, less a quarter, over the amps at once.
static void linear(const aircraft *a, const state *asked, endurance *out) {
    double coulombs = 0.0;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (p->kind != KIND_BATTERY)
            continue;
        double charge = asked->charge >= 0 ? asked->charge : part_number(p, KEY_CHARGE, 0.8);
        coulombs += charge * part_number(p, KEY_CAPACITY, 0.0);
    }
    out->linear_derating = LINEAR_DERATING;
    out->ampere_hours = LINEAR_DERATING * coulombs / 3600.0;
    out->linear = out->amps > 1e-6 ? LINEAR_DERATING * coulombs / out->amps : ENDURANCE_OUTLASTS;
}

static run_options options_of(const endurance_flight *f, double lasts) {
    return (run_options){.lasts = lasts,
                         .tolerance = f->tolerance,
                         .resolution = f->resolution,
                         .health = f->health,
                         .pessimistic = f->pessimistic,
                         .coarse = f->coarse,
                         .cycles = f->cycles,
                         .transmits = f->transmits};
}

status endurance_fly(const endurance_flight *f, const happening *list, int count,
                     endurance_case which, endurance *out) {
    run *r = NULL;
    run_options o = options_of(f, out->lasts);
    watch w = {.aircraft = f->solver->aircraft,
               .all = out,
               .times = &out->of[which],
               .first_case = which == ENDURANCE_LOW,
               .flight = f};
    status made = run_make(f->solver, f->from, &o, list, count, &r);
    if (made != STATUS_OK)
        return made;
    run_hooks hooks = {.ctx = &w, .step = see_step, .event = see_event};
    while (run_advance(r, &hooks, STEPS_AT_ONCE)) {
    }
    run_free(r);
    return STATUS_OK;
}

// ---- one after the other, settling by settling -------------------------------------------------
struct endurance_flier {
    endurance_flight flight;
    watch watch;
    run *run;
};

endurance_flier *endurance_flier_make(const endurance_flight *f, const happening *list, int count,
                                      arena *m, endurance *out) {
    endurance_flier *made = arena_new(m, 1, sizeof *made);
    run_options o = options_of(f, out->lasts);
    if (made == NULL ||
        run_make_coarse(f->solver, f->from, &o, list, count, &made->run) != STATUS_OK)
        return NULL;
    made->flight = *f;
    made->watch.all = out;
    return made;
}

void endurance_flier_free(endurance_flier *f) {
    if (f != NULL)
        run_free(f->run);
}

double endurance_flier_at(const endurance_flier *f) { return run_where(f->run)->at; }

const job *endurance_flier_go(endurance_flier *f, const solution *solved) {
    run_hooks hooks = {.ctx = &f->watch, .step = see_step, .event = see_event, .asks = asks_when};
    return run_go_on(f->run, &hooks, solved);
}

const job *endurance_flier_begin(endurance_flier *f, double health, bool pessimistic,
                                 const endurance_wait *until, int until_count) {
    endurance *out = f->watch.all;
    f->flight.until = until;
    f->flight.until_count = until_count;
    f->watch = (watch){.aircraft = f->flight.solver->aircraft,
                       .all = out,
                       .times = &out->of[ENDURANCE_MIDDLE],
                       .flight = &f->flight};
    run_again(f->run, f->flight.from, health, pessimistic);
    return endurance_flier_go(f, NULL);
}

static bool see_amps(void *ctx, const run_now *now) {
    double *amps = ctx;
    *amps = 0.0;
    for (int i = 0; i < now->battery_count; i++)
        *amps += now->batteries[i].amps;
    return true;
}

// What the batteries give as the sources are lost: what draws part of the time by its average.
static status amps_at_loss(solver *s, const state *from, const happening *list, int count,
                           double *amps) {
    run *r = NULL;
    run_options o = {.tolerance = TOLERANCE,
                     .health = endurance_assumed[ENDURANCE_LOW].health,
                     .pessimistic = endurance_assumed[ENDURANCE_LOW].pessimistic};
    status made = run_make(s, from, &o, list, count, &r);
    if (made != STATUS_OK)
        return made;
    run_hooks hooks = {.ctx = amps, .step = see_amps};
    run_advance(r, &hooks, 1);
    run_free(r);
    return STATUS_OK;
}

// What draws part of the time goes on and off.
static status fly_case(solver *s, const state *from, const happening *list, int count,
                       endurance_case which, endurance *out) {
    endurance_flight f = {.solver = s,
                          .from = from,
                          .health = endurance_assumed[which].health,
                          .pessimistic = endurance_assumed[which].pessimistic,
                          .tolerance = TOLERANCE,
                          .resolution = RESOLUTION,
                          .cycles = true,
                          .transmits = true};
    return endurance_fly(&f, list, count, which, out);
}

status endurance_find(solver *s, const endurance_question *q, arena *memory, endurance *out) {
    const aircraft *a = s->aircraft;
    int count;
    const happening *list = endurance_happenings(a, q, memory, &count);
    state from = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof(double))};
    if (!endurance_make(a, q, memory, out) || memory->failed)
        return STATUS_NO_MEMORY;
    state_copy(a, q->asked, &from);
    from.fault_count = 0;
    for (int i = 0; i < count; i++)
        *(list[i].kind == FAULT_NONE ? &out->switched[list[i].part] : &out->failed[list[i].part]) =
            true;
    status done = amps_at_loss(s, &from, list, count, &out->amps);
    for (int i = 0; i < ENDURANCE_CASES && done == STATUS_OK; i++)
        done = fly_case(s, &from, list, count, (endurance_case)i, out);
    linear(a, q->asked, out);
    return done;
}
