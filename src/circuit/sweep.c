#include "circuit/sweep.h"

#include <string.h>

#include "circuit/solver_state.h"

// Jobs at a time: those in lanes, and those that wait for their verdict.
enum { JOBS = LANES_MOST + VERDICT_SLOTS };

struct sweep {
    allocator allocator;
    arena memory;
    solver *solver;
    int phase;
    deviation *deviations;
    int count, room;
    patch *patches;
    int patch_count, patch_room;
    // Scratch of a run
    job jobs[JOBS];
    patch *patches_of_job[JOBS];  // room for all parameters each
    int index_of_job[JOBS];       // in `list`
    int free_jobs[JOBS], free_count;
    double *exact;  // parameters bound whole, where deviations touch the same slot
    verdict_block *block;
    int judged_job[VERDICT_SLOTS];
    const solution *solutions[VERDICT_SLOTS];
    const combination *list;
    int list_count, next;
    void (*done)(void *ctx, const sweep_result *r);
    void *ctx;
};

static const double *base_params(const sweep *w) { return w->solver->bases[w->phase].view.params; }

static state *phase_state(sweep *w) {
    solver *s = w->solver;
    state_of_phase(s->aircraft, w->phase, &s->trial.asked);
    return &s->trial.asked;
}

// Parameters of the phase but for what `s` has otherwise, which these parts have.
static void bind_exact(sweep *w, const state *s, const int *parts, int count) {
    const compiled *made = w->solver->made;
    const phase_base *b = &w->solver->bases[w->phase];
    memcpy(w->exact, base_params(w), (size_t)made->circuit.param_count * sizeof *w->exact);
    bind_parts(made, s, b->amps, parts, count, w->solver->trial.faults, w->exact);
}

static void deviate(state *s, const deviation *d) {
    if (d->kind == FAULT_NONE) {
        s->setting[d->part] = d->setting;
    } else if (s->fault_count < STATE_FAULTS) {
        s->faults[s->fault_count++] = (fault){d->part, d->kind};
    }
}

// A bus that came away opens whatever is joined to it. What another deviation would join there
// isn't among its patches; so the two don't add up.
static bool opens_all_around(const sweep *w, const deviation *d) {
    return d->kind == FAULT_OPEN &&
           kind_class(w->solver->aircraft->parts[d->part].kind) == CLASS_POINT;
}

// Slots in which the parameters bound differ from the phase's.
static int differences(const sweep *w, patch *out) {
    const double *base = base_params(w), *exact = w->exact;
    int count = 0, params = w->solver->made->circuit.param_count;
    for (int i = 0; i < params; i++)
        if (exact[i] != base[i])
            out[count++] = (patch){i, exact[i]};
    return count;
}

// What the deviation changes in the parameters.
static bool add_deviation(sweep *w, deviation d) {
    state *s = phase_state(w);
    deviate(s, &d);
    bind_exact(w, s, &d.part, 1);
    patch *found = w->patches_of_job[0];
    d.first_patch = w->patch_count;
    d.patch_count = differences(w, found);
    patch *patches = arena_grow(&w->memory, w->patches, &w->patch_room,
                                w->patch_count + d.patch_count, sizeof(patch));
    deviation *deviations =
        arena_grow(&w->memory, w->deviations, &w->room, w->count + 1, sizeof(deviation));
    if (patches == NULL || deviations == NULL)
        return false;
    memcpy(patches + d.first_patch, found, (size_t)d.patch_count * sizeof *found);
    w->patches = patches;
    w->patch_count += d.patch_count;
    w->deviations = deviations;
    w->deviations[w->count++] = d;
    return true;
}

static bool add_positions(sweep *w, int part) {
    const struct part *p = &w->solver->aircraft->parts[part];
    double now = w->solver->bases[w->phase].view.asked.setting[part];
    bool breaker = p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
    if (breaker)
        return add_deviation(w, (deviation){.part = part, .setting = now > 0 ? 0.0 : 1.0});
    const part_map *m = &w->solver->made->maps[part];
    if (m->at == NULL)
        return true;
    const positions *s = part_positions(p);
    for (int i = 0; i < (s != NULL ? s->count : 2); i++)
        if (i != (int)now && !add_deviation(w, (deviation){.part = part, .setting = i}))
            return false;
    return true;
}

static bool scratch_make(sweep *w) {
    const compiled *c = w->solver->made;
    arena *m = &w->memory;
    for (int i = 0; i < JOBS; i++)
        w->patches_of_job[i] = arena_new(m, (size_t)c->circuit.param_count, sizeof(patch));
    w->exact = arena_new(m, (size_t)c->circuit.param_count, sizeof(double));
    w->block = verdict_block_make(m, c);
    return !m->failed;
}

status sweep_make(solver *s, int phase, sweep **made) {
    *made = NULL;
    sweep *w = memory_new(s->allocator, sizeof *w);
    if (w == NULL)
        return STATUS_NO_MEMORY;
    *w = (sweep){
        .allocator = s->allocator, .memory = arena_make(s->allocator), .solver = s, .phase = phase};
    bool good = scratch_make(w);
    for (int i = 0; i < s->aircraft->part_count && good; i++) {
        uint32_t kinds = kind_faults(s->aircraft->parts[i].kind, s->aircraft->parts[i].electric);
        for (int k = 1; k < FAULT_COUNT && good; k++)
            if (kinds >> k & 1u)
                good = add_deviation(w, (deviation){.part = i, .kind = (fault_kind)k});
        if (good)
            good = add_positions(w, i);
    }
    if (!good) {
        sweep_free(w);
        return STATUS_NO_MEMORY;
    }
    *made = w;
    return STATUS_OK;
}

void sweep_free(sweep *w) {
    if (w == NULL)
        return;
    allocator memory = w->allocator;
    arena_free(&w->memory);
    memory_free(memory, w, sizeof *w);
}

int sweep_deviation_count(const sweep *w) { return w->count; }
const deviation *sweep_deviation(const sweep *w, int index) { return &w->deviations[index]; }
const verdict *sweep_verdict(const sweep *w) { return w->solver->made->verdict; }

// ---- running
// ------------------------------------------------------------------------------------------
static bool overlap(const patch *a, int n, const patch *b, int m) {
    for (int i = 0, k = 0; i < n && k < m;) {  // both in order of slot
        if (a[i].slot == b[k].slot)
            return true;
        if (a[i].slot < b[k].slot) {
            i++;
        } else {
            k++;
        }
    }
    return false;
}

// Do the patches of these two add up? Not where a parameter hangs on both: each alone may change
// nothing.
static bool add_up(const sweep *w, const deviation *x, const deviation *y) {
    const int *group = w->solver->made->groups.of;
    return group[x->part] != group[y->part] && !opens_all_around(w, x) && !opens_all_around(w, y) &&
           !overlap(w->patches + x->first_patch, x->patch_count, w->patches + y->first_patch,
                    y->patch_count);
}

static bool all_add_up(const sweep *w, const combination *c) {
    for (int i = 0; i < c->count; i++)
        for (int k = 0; k < i; k++)
            if (!add_up(w, &w->deviations[c->deviations[i]], &w->deviations[c->deviations[k]]))
                return false;
    return true;
}

static int bound_together(sweep *w, const combination *c, patch *out) {
    int parts[SWEEP_TOGETHER];
    state *s = phase_state(w);
    for (int i = 0; i < c->count; i++) {
        const deviation *d = &w->deviations[c->deviations[i]];
        deviate(s, d);
        parts[i] = d->part;
    }
    bind_exact(w, s, parts, c->count);
    return differences(w, out);
}

static int patches_of(sweep *w, const combination *c, patch *out) {
    if (!all_add_up(w, c))
        return bound_together(w, c, out);
    int count = 0;
    for (int i = 0; i < c->count; i++) {
        const deviation *d = &w->deviations[c->deviations[i]];
        for (int k = 0; k < d->patch_count; k++)
            out[count++] = w->patches[d->first_patch + k];
    }
    return count;
}

// Judges what has been gathered and hands it back.
static void hand_back(sweep *w) {
    int count = verdict_block_count(w->block);
    verdict_block_judge(w->block);
    for (int slot = 0; slot < count; slot++) {
        int job = w->judged_job[slot];
        sweep_result r = {w->index_of_job[job], w->solutions[slot], w->block, slot};
        w->done(w->ctx, &r);
        w->free_jobs[w->free_count++] = job;
    }
    verdict_block_clear(w->block);
}

static void take_settled(void *ctx, int number, const solution *s) {
    sweep *w = ctx;
    int slot = verdict_block_add(w->block, &w->jobs[number], s);
    w->judged_job[slot] = number;
    w->solutions[slot] = s;
    if (slot == VERDICT_SLOTS - 1)
        hand_back(w);
}

static const job *following_in_list(void *ctx, int *number) {
    sweep *w = ctx;
    if (w->next == w->list_count)
        return NULL;
    int k = *number = w->free_jobs[--w->free_count];
    w->index_of_job[k] = w->next;
    w->jobs[k].patch_count = patches_of(w, &w->list[w->next++], w->patches_of_job[k]);
    return &w->jobs[k];
}

void sweep_run(sweep *w, int lanes, const combination *list, int count,
               void (*done)(void *ctx, const sweep_result *r), void *ctx) {
    const phase_base *b = &w->solver->bases[w->phase];
    w->list = list;
    w->list_count = count;
    w->next = 0;
    w->done = done;
    w->ctx = ctx;
    w->free_count = JOBS;
    for (int i = 0; i < JOBS; i++) {
        w->free_jobs[i] = i;
        w->jobs[i] = (job){
            .params = base_params(w), .patches = w->patches_of_job[i], .start = &b->view.solution};
    }
    verdict_block_begin(w->block, base_params(w));
    solve_stream(w->solver->work, lanes, following_in_list, take_settled, w);
    hand_back(w);
}
