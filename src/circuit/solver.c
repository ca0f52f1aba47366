// The solver: an aircraft compiled, the base of every phase, and outcomes of what is asked.
#include "circuit/indication.h"
#include "circuit/solver_state.h"

// ---- bases
// ------------------------------------------------------------------------------------------
static bool base_make(solver *s, phase_base *b) {
    const aircraft *a = s->aircraft;
    arena *m = &s->memory;
    b->amps = arena_new(m, (size_t)a->part_count + 1, sizeof(double));
    b->parts = arena_new(m, (size_t)a->part_count + 1, sizeof(part_outcome));
    b->functions = arena_new(m, (size_t)a->function_count + 1, sizeof(function_outcome));
    b->supplies = arena_new(m, (size_t)a->supply_count + 1, sizeof(bool));
    return view_make(&b->view, s->made, m) && !m->failed;
}

// In a base nothing has failed: what is dead there isn't in use. What is live and has too few volts
// is off all the same (while the starter turns).
static void base_statuses(const aircraft *a, part_outcome *parts) {
    for (int i = 0; i < a->part_count; i++) {
        if (parts[i].status == ITEM_OFF && !parts[i].live)
            parts[i].status = ITEM_UNUSED;
        parts[i].base_status = parts[i].status;
    }
}

// A breaker opens by itself though nothing has failed: what it takes is wanted all the same. The
// phase asks for what was there before it.
static void base_before_trips(solver *s, phase_base *b) {
    const aircraft *a = s->aircraft;
    state_copy(a, &b->view.asked, &s->first.asked);
    view_settle(&s->first, s->work, NULL, &s->cold, true);
    judge_parts(&s->first.settled, s->plain_parts);
    judge_items(&s->first.settled, s->block, s->plain_parts);
    judge_functions(&s->first.settled, s->block, b->functions);
    base_statuses(a, s->plain_parts);
    for (int i = 0; i < a->part_count; i++)
        b->parts[i].base_status = b->parts[i].status = s->plain_parts[i].status;
}

static void base_take(const solver *s, phase_base *b) {
    for (int i = 0; i < s->aircraft->part_count; i++)
        b->amps[i] = part_amps(&b->view.settled, i);
}

static void base_judge(solver *s, phase_base *b) {
    judge_parts(&b->view.settled, b->parts);
    judge_items(&b->view.settled, s->block, b->parts);
    judge_supplies(&b->view.settled, b->supplies);
    judge_functions(&b->view.settled, s->block, b->functions);
    base_take(s, b);
    base_statuses(s->aircraft, b->parts);
    if (b->view.solution.trip_count > 0)
        base_before_trips(s, b);
}

static void base_settle(solver *s, phase_base *b, int phase) {
    state_of_phase(s->aircraft, phase, &b->view.asked);
    view_settle(&b->view, s->work, NULL, &s->cold, false);
    base_judge(s, b);
}

static void base_findings(const solver *s, const phase_base *b, int phase, findings *f) {
    const struct phase *p = &s->aircraft->phases[phase];
    if (f == NULL)
        return;
    if (b->view.solution.settled == SETTLED_CHATTERS) {
        text names = text_make(s->allocator);
        bool known = chatter_words(s->aircraft, b->parts, &names) && !names.failed;
        f->memory.failed = f->memory.failed || names.failed;
        findings_say(f, SEVERITY_WARNING, p->span, "base-chatters",
                     "starves a relay its own coil? A cut-out needs `until`", "phase ", p->name,
                     " doesn't settle; opens and closes for ever: ",
                     known ? text_get(&names) : "something", NULL);
        text_free(&names);
    }
    if (b->view.solution.settled == SETTLED_COLLAPSED)
        findings_say(f, SEVERITY_WARNING, p->span, "base-collapses", "compare loads and sources",
                     "phase ", p->name, " asks more than its sources can give: the volts collapse",
                     NULL);
    for (int i = 0; i < b->view.solution.trip_count && i < TRIPS_MOST; i++) {
        int part = s->made->breaker_owner[b->view.solution.trips[i]];
        findings_say(f, SEVERITY_WARNING, p->span, "base-trips", "check what hangs on it",
                     "in phase ", p->name, " ", s->aircraft->parts[part].id,
                     " opens by itself though nothing has failed", NULL);
    }
}

static status bases_make(solver *s, findings *f) {
    const aircraft *a = s->aircraft;
    s->bases = arena_new(&s->memory, (size_t)a->phase_count, sizeof(phase_base));
    void *block = arena_new(&s->memory, 1, solution_size(&s->made->circuit));
    if (s->bases == NULL || block == NULL)
        return STATUS_NO_MEMORY;
    s->cold = solution_carve(&s->made->circuit, block);
    solution_cold(&s->made->circuit, &s->cold);
    for (int i = 0; i < a->phase_count; i++) {
        phase_base *b = &s->bases[i];
        if (!base_make(s, b))
            return STATUS_NO_MEMORY;
        base_settle(s, b, i);
        base_findings(s, b, i, f);
    }
    return f != NULL && f->memory.failed ? STATUS_NO_MEMORY : STATUS_OK;
}

static bool scratch_make(solver *s) {
    size_t parts = (size_t)s->aircraft->part_count + 1;
    arena *m = &s->memory;
    s->trial_parts = arena_new(m, parts, sizeof(part_outcome));
    s->plain_parts = arena_new(m, parts, sizeof(part_outcome));
    s->block = verdict_block_make(m, s->made);
    s->visited = arena_new(m, parts, 1);
    s->deviation = arena_new(m, parts, sizeof(int));
    s->way = arena_new(m, (size_t)s->made->circuit.node_count + 1, sizeof(int));
    return view_make(&s->now, s->made, m) && view_make(&s->first, s->made, m) &&
           view_make(&s->trial, s->made, m) && !m->failed;
}

status solver_make(allocator memory, const aircraft *a, findings *f, solver **made) {
    *made = NULL;
    solver *s = memory_new(memory, sizeof *s);
    if (s == NULL)
        return STATUS_NO_MEMORY;
    s->allocator = memory;
    s->memory = arena_make(memory);
    s->aircraft = a;
    status r = compile_aircraft(memory, a, &s->made);
    if (r == STATUS_OK) {
        s->work = work_new(memory, &s->made->circuit);
        if (s->work == NULL || !scratch_make(s))
            r = STATUS_NO_MEMORY;
    }
    if (r == STATUS_OK)
        r = bases_make(s, f);
    if (r != STATUS_OK) {
        solver_free(s);
        return r;
    }
    *made = s;
    return STATUS_OK;
}

static const job *base_pose(solver *s, phase_base *b, int phase) {
    settled_state *settled = &b->view.settled;
    state_of_phase(s->aircraft, phase, &b->view.asked);
    bind_state(s->made, &b->view.asked, NULL, b->view.faults, b->view.params);
    settled->job = (job){.params = b->view.params,
                         .start = &s->cold,
                         .figures = &s->made->circuit,
                         .stamp = ++s->redrawn};
    return &settled->job;
}

const job *solver_redraw_begin(solver *s) {
    compiled_redraw(s->made);
    return base_pose(s, &s->bases[0], 0);
}

void solver_redraw_end(solver *s, const solution *base) {
    solution_copy(&s->made->circuit, base, &s->bases[0].view.solution);
    base_take(s, &s->bases[0]);
}

void solver_redraw(solver *s) {
    compiled_redraw(s->made);
    for (int i = 0; i < s->aircraft->phase_count; i++) {
        phase_base *b = &s->bases[i];
        solve_one(s->work, base_pose(s, b, i), &b->view.solution);
        base_take(s, b);
    }
}

void solver_free(solver *s) {
    if (s == NULL)
        return;
    allocator memory = s->allocator;
    if (s->work != NULL)
        work_free(s->work);
    compiled_free(s->made);
    arena_free(&s->memory);
    memory_free(memory, s, sizeof *s);
}

// ---- outcomes
// -----------------------------------------------------------------------------------------
static void count_basis(outcome *o) {
    const aircraft *a = o->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        for (int k = 0; k < a->parts[i].value_count; k++) {
            const part_value *v = &a->parts[i].values[k];
            if (v->type == VALUE_FIGURE && v->as.figure.basis <= BASIS_MEASURED)
                o->basis[v->as.figure.basis]++;
        }
    }
}

bool outcome_begin(solver *s, const state *asked, outcome *o) {
    const aircraft *a = s->aircraft;
    arena *m = &o->memory;
    o->aircraft = a;
    o->parts = arena_new(m, (size_t)a->part_count + 1, sizeof(part_outcome));
    o->functions = arena_new(m, (size_t)a->function_count + 1, sizeof(function_outcome));
    o->supplies = arena_new(m, (size_t)a->supply_count + 1, sizeof(bool));
    o->sources = arena_new(m, (size_t)a->part_count + 1, sizeof(source_outcome));
    double *setting = arena_new(m, (size_t)a->part_count + 1, sizeof(double));
    if (m->failed)
        return false;
    o->state.setting = setting;
    state_copy(a, asked, &o->state);
    o->sentence = "";
    count_basis(o);
    return true;
}

// Was the item's own branch switched on by whoever asked?
bool outcome_asked_for(const solver *s, const outcome *o, int part) {
    return o->parts[part].wanted && !s->bases[o->state.phase].parts[part].wanted;
}

// Dead with and without the faults, and never asked for: not in use in this phase.
static void mark_unused(solver *s, outcome *o, const phase_base *base) {
    const aircraft *a = s->aircraft;
    const part_outcome *plain = base->parts;
    if (o->state.fault_count > 0) {
        state_copy(a, &o->state, &s->trial.asked);
        s->trial.asked.fault_count = 0;
        view_settle(&s->trial, s->work, base->amps, &base->view.solution, false);
        judge_parts(&s->trial.settled, s->plain_parts);
        judge_items(&s->trial.settled, s->block, s->plain_parts);
        plain = s->plain_parts;
    }
    for (int i = 0; i < a->part_count; i++) {
        part_outcome *p = &o->parts[i];
        p->base_status = base->parts[i].status;
        if (p->status != ITEM_OFF || p->base_status != ITEM_UNUSED)
            continue;
        bool dead_anyway = plain[i].status == ITEM_OFF || plain[i].status == ITEM_UNUSED;
        // A switch that a fault has welded asks for nothing.
        bool asked = outcome_asked_for(s, o, i) && (o->state.fault_count == 0 || plain[i].wanted);
        if (dead_anyway && !asked)
            p->status = ITEM_UNUSED;
    }
}

static void list_trips(const solver *s, outcome *o) {
    const solution *r = &s->now.solution;
    for (int i = 0; i < r->trip_count && i < TRIPS_MOST; i++)
        o->trips[o->trip_count++] = s->made->breaker_owner[r->trips[i]];
}

static void mark_without_volts(solver *s, outcome *o, const phase_base *base) {
    const aircraft *a = s->aircraft;
    state_copy(a, &o->state, &s->trial.asked);
    if (!state_fail_sources(a, &s->trial.asked))
        return;
    view_settle(&s->trial, s->work, base->amps, &base->view.solution, false);
    judge_parts(&s->trial.settled, s->trial_parts);
    judge_items(&s->trial.settled, s->block, s->trial_parts);
    const uint8_t *dead = verdict_block_functions(s->block, 0);
    for (int i = 0; i < a->function_count; i++)
        o->functions[i].without_volts =
            o->functions[i].status == FUNCTION_KEPT && dead[i] == FUNCTION_KEPT;
}

bool outcome_tell(solver *s, outcome *o, const phase_base *base) {
    mark_without_volts(s, o, base);
    outcome normal = {.aircraft = o->aircraft,
                      .parts = base->parts,
                      .functions = base->functions,
                      .supplies = base->supplies,
                      .state = base->view.asked};
    arena scratch = arena_make(s->allocator);
    normal.sources =
        arena_new(&scratch, (size_t)o->aircraft->part_count + 1, sizeof(source_outcome));
    bool told = normal.sources != NULL;
    if (told) {
        normal.source_count = judge_sources(&base->view.settled, base->parts, normal.sources);
        told = indications_make(o->aircraft, o, &normal, &o->memory, &o->indications,
                                &o->indication_count) == STATUS_OK;
    }
    if (told) {
        o->sentence = outcome_sentence(o->aircraft, o, &normal, &o->memory);
        told = o->sentence != NULL;
    }
    arena_free(&scratch);
    return told;
}

static bool outcome_fill(solver *s, outcome_options options, outcome *o) {
    const phase_base *base = &s->bases[o->state.phase];
    const solution *start = &base->view.solution;
    state_copy(s->aircraft, &o->state, &s->now.asked);
    view_settle(&s->now, s->work, base->amps, start, options.before_trip);
    if (s->now.solution.trip_count > 0) {
        state_copy(s->aircraft, &o->state, &s->first.asked);
        view_settle(&s->first, s->work, base->amps, start, true);
    }
    static const outcome_settled SETTLED[] = {OUTCOME_SETTLED, OUTCOME_CHATTERS, OUTCOME_COLLAPSED};
    o->settled = SETTLED[s->now.solution.settled];
    o->instant = true;
    judge_parts(&s->now.settled, o->parts);
    judge_items(&s->now.settled, s->block, o->parts);
    judge_functions(&s->now.settled, s->block, o->functions);
    judge_supplies(&s->now.settled, o->supplies);
    mark_unused(s, o, base);
    for (int i = 0; i < s->aircraft->function_count; i++)
        o->functions[i].base_status = base->functions[i].status;
    o->source_count = judge_sources(&s->now.settled, o->parts, o->sources);
    list_trips(s, o);
    if (options.explain && !explain_losses(s, o))
        return false;
    return outcome_tell(s, o, base);
}

status solver_outcome(solver *s, const state *asked, outcome_options options, outcome **made) {
    *made = NULL;
    outcome *o = memory_new(s->allocator, sizeof *o);
    if (o == NULL)
        return STATUS_NO_MEMORY;
    o->memory = arena_make(s->allocator);
    if (!outcome_begin(s, asked, o) || !outcome_fill(s, options, o)) {
        outcome_free(o);
        return STATUS_NO_MEMORY;
    }
    *made = o;
    return STATUS_OK;
}

void outcome_free(outcome *o) {
    if (o == NULL)
        return;
    allocator memory = o->memory.memory;
    arena_free(&o->memory);
    memory_free(memory, o, sizeof *o);
}
