#include "circuit/sweep.h"

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
    int *group;  // per part: parts of one number are bound together
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

static void bind_into(sweep *w, const state *s, double *params) {
    const phase_base *b = &w->solver->bases[w->phase];
    bind_state(w->solver->made, s, b->amps, w->solver->trial.faults, params);
}

static state *phase_state(sweep *w) {
    solver *s = w->solver;
    state_of_phase(s->aircraft, w->phase, &s->trial.asked);
    return &s->trial.asked;
}

static void deviate(state *s, const deviation *d) {
    if (d->kind == FAULT_NONE) {
        s->setting[d->part] = d->setting;
    } else if (s->fault_count < STATE_FAULTS) {
        s->faults[s->fault_count++] = (fault){d->part, d->kind};
    }
}

// ---- which parts are bound together -------------------------------------------------------------
// Two deviations add up only if no parameter depends on both: a flap motor draws by its selector
// and by its own fault, and each alone may change nothing.
static int group_of(const sweep *w, int part) {
    while (w->group[part] != part)
        part = w->group[part];
    return part;
}

static void join(sweep *w, int part, int other) {
    if (other >= 0)
        w->group[group_of(w, other)] = group_of(w, part);
}

static void join_ids(sweep *w, int part, part_key key) {
    const part_value *v = part_value_of(&w->solver->aircraft->parts[part], key);
    for (int i = 0; v != NULL && i < v->as.ids.count; i++)
        join(w, part, v->as.ids.items[i]);
}

static void groups_make(sweep *w) {
    const aircraft *a = w->solver->aircraft;
    int source = NOWHERE;  // all of them decide the highest volts
    for (int i = 0; i < a->part_count; i++)
        w->group[i] = i;
    for (int i = 0; i < a->part_count; i++) {
        const struct part *p = &a->parts[i];
        const part_map *m = &w->solver->made->maps[i];
        join(w, i, p->wire);
        join(w, i, m->selector);
        join(w, i, m->dimmer);
        join(w, i, m->converter);
        join(w, i, m->regulator);
        if (kind_class(p->kind) == CLASS_GROUP)
            join_ids(w, i, KEY_CARRIES);
        if (kind_class(p->kind) != CLASS_SOURCE)
            continue;
        join_ids(w, i, KEY_TURNED_BY);
        join(w, i, source);
        source = i;
    }
}

// A bus that came away opens whatever is joined to it, closed or not. What is open in the phase but
// another deviation would join there isn't among its patches; so it is bound whole.
static bool opens_all_around(const sweep *w, const deviation *d) {
    return d->kind == FAULT_OPEN &&
           kind_class(w->solver->aircraft->parts[d->part].kind) == CLASS_POINT;
}

// What the deviation changes in the parameters.
static bool add_deviation(sweep *w, deviation d) {
    const int params = w->solver->made->circuit.param_count;
    state *s = phase_state(w);
    deviate(s, &d);
    bind_into(w, s, w->exact);
    d.first_patch = w->patch_count;
    for (int i = 0; i < params; i++) {
        if (w->exact[i] == base_params(w)[i])
            continue;
        patch *grown =
            arena_grow(&w->memory, w->patches, &w->patch_room, w->patch_count + 1, sizeof(patch));
        if (grown == NULL)
            return false;
        w->patches = grown;
        w->patches[w->patch_count++] = (patch){i, w->exact[i]};
    }
    d.patch_count = w->patch_count - d.first_patch;
    if (opens_all_around(w, &d)) {
        w->patch_count = d.first_patch;  // bound whole when asked for
        d.patch_count = -1;
    }
    deviation *grown =
        arena_grow(&w->memory, w->deviations, &w->room, w->count + 1, sizeof(deviation));
    if (grown == NULL)
        return false;
    w->deviations = grown;
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
    w->group = arena_new(m, (size_t)c->aircraft->part_count + 1, sizeof(int));
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
    if (good)
        groups_make(w);
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

static bool apart(const sweep *w, const combination *c) {
    for (int i = 0; i < c->count; i++) {
        const deviation *x = &w->deviations[c->deviations[i]];
        if (x->patch_count < 0)
            return false;
        for (int k = 0; k < i; k++) {
            const deviation *y = &w->deviations[c->deviations[k]];
            if (group_of(w, x->part) == group_of(w, y->part) ||
                overlap(w->patches + x->first_patch, x->patch_count, w->patches + y->first_patch,
                        y->patch_count))
                return false;
        }
    }
    return true;
}

// Deviations that touch the same parameter are bound together.
static int bound_whole(sweep *w, const combination *c, patch *out) {
    state *s = phase_state(w);
    for (int i = 0; i < c->count; i++)
        deviate(s, &w->deviations[c->deviations[i]]);
    bind_into(w, s, w->exact);
    int count = 0;
    for (int i = 0; i < w->solver->made->circuit.param_count; i++) {
        if (w->exact[i] == base_params(w)[i])
            continue;
        out[count++] = (patch){i, w->exact[i]};
    }
    return count;
}

static int patches_of(sweep *w, const combination *c, patch *out) {
    if (!apart(w, c))
        return bound_whole(w, c, out);
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
