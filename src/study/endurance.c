#include "study/endurance.h"

#include "circuit/solver_state.h"
#include "timeline/run.h"

#define TOLERANCE       0.002
#define RESOLUTION      0.1   // seconds: the answers are minutes
#define LINEAR_DERATING 0.75  // of load analyses, for age, cold and charge: common practice
enum { STEPS_AT_ONCE = 256, STEPS_MOST = 20000, FAILURES_MOST = 64 };

static const struct {
    double health;
    bool pessimistic;
} CASES[ENDURANCE_CASES] = {{0.8, true}, {0.9, false}, {1.0, false}};

typedef struct watch {
    const aircraft *aircraft;
    endurance *all;
    endurance_times *times;
    bool first_case;
    int steps;
} watch;

static void once(double *slot, double at) {
    if (*slot < 0)
        *slot = at;
}

static void see_event(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    watch *w = ctx;
    endurance_times *t = w->times;
    if (e->kind == RUN_STATUS && e->to == ITEM_OFF)
        once(&t->items[e->part], e->at);
    if (e->kind == RUN_STATUS && (e->to == ITEM_WEAK || e->to == ITEM_OFF))
        once(&t->weak[e->part], e->at);
    if (e->kind == RUN_FUNCTION && e->to == FUNCTION_LOST)
        once(&t->functions[e->part], e->at);
    if (e->kind == RUN_EXHAUSTED && e->to != 0)
        once(&t->exhausted[e->part], e->at);
    part_kind kind = e->kind == RUN_DEVICE ? w->aircraft->parts[e->part].kind : KIND_BUS;
    if (e->to == 0 && (kind == KIND_CONTACTOR || kind == KIND_RELAY))
        once(&t->lets_go[e->part], e->at);
}

// The first step is the state before anything has failed, the second just after.
static bool see_step(void *ctx, const run_now *now) {
    watch *w = ctx;
    const verdict *v = now->settled->made->verdict;
    double amps = 0.0;
    for (int i = 0; i < now->battery_count; i++) {
        const run_battery *b = &now->batteries[i];
        w->times->charge[b->part] = battery_fraction(&b->model, b->charge);
        amps += b->amps;
    }
    if (w->first_case && w->steps == 0) {
        for (int i = 0; i < w->aircraft->part_count; i++) {
            part_kind kind = w->aircraft->parts[i].kind;
            bool contact = kind == KIND_CONTACTOR || kind == KIND_RELAY;
            w->all->batteries[i] = kind == KIND_BATTERY;
            w->all->holds[i] = contact && now->settled->made->maps[i].coil_load >= 0 &&
                               signal_at(now->settled, now->settled->made->maps[i].energized);
        }
        for (int i = 0; i < v->rule_count; i++) {
            int status = now->items[i].status;
            w->all->counts[v->rules[i].part] =
                status == ITEM_ON || status == ITEM_WEAK || status == ITEM_NO_DATA;
        }
        for (int i = 0; i < w->aircraft->function_count; i++)
            w->all->function_counts[i] = now->functions[i] != FUNCTION_LOST;
    }
    if (w->first_case && w->steps == 1)
        w->all->amps = amps;
    if (++w->steps < STEPS_MOST)
        return true;
    if (now->at < w->all->lasts)  // nothing is said of what comes after
        w->all->lasts = now->at;
    return false;
}

static bool times_make(const aircraft *a, arena *m, endurance_times *t) {
    size_t parts = (size_t)a->part_count + 1, functions = (size_t)a->function_count + 1;
    double **arrays[] = {&t->items, &t->weak, &t->lets_go, &t->exhausted, &t->functions};
    for (int i = 0; i < 5; i++) {
        size_t count = arrays[i] == &t->functions ? functions : parts;
        double *array = *arrays[i] = arena_new(m, count, sizeof(double));
        for (size_t k = 0; array != NULL && k < count; k++)
            array[k] = ENDURANCE_OUTLASTS;
    }
    t->charge = arena_new(m, parts, sizeof(double));
    return !m->failed;
}

// What fails at the start.
static int failures(const aircraft *a, const state *asked, happening *list) {
    int count = 0;
    for (int i = 0; i < asked->fault_count; i++)
        list[count++] = (happening){.part = asked->faults[i].part, .kind = asked->faults[i].kind};
    for (int i = 0; i < a->part_count && asked->fault_count == 0; i++) {
        part_kind k = a->parts[i].kind;
        bool plugged = k == KIND_EXTERNAL_POWER && asked->setting[i] > 0;
        bool source = k == KIND_ALTERNATOR || k == KIND_GENERATOR || plugged;
        if (source && count < STATE_FAULTS)
            list[count++] = (happening){.part = i, .kind = FAULT_DEAD};
    }
    return count;
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

status endurance_find(solver *s, const state *asked, double lasts, arena *memory, endurance *out) {
    const aircraft *a = s->aircraft;
    happening list[FAILURES_MOST];
    int count = failures(a, asked, list);
    state from = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof(double))};
    *out = (endurance){.lasts = lasts};
    out->counts = arena_new(memory, (size_t)a->part_count + 1, sizeof(bool));
    out->failed = arena_new(memory, (size_t)a->part_count + 1, sizeof(bool));
    out->holds = arena_new(memory, (size_t)a->part_count + 1, sizeof(bool));
    out->batteries = arena_new(memory, (size_t)a->part_count + 1, sizeof(bool));
    out->function_counts = arena_new(memory, (size_t)a->function_count + 1, sizeof(bool));
    if (memory->failed)
        return STATUS_NO_MEMORY;
    state_copy(a, asked, &from);
    from.fault_count = 0;
    for (int i = 0; i < count; i++)
        out->failed[list[i].part] = true;
    for (int i = 0; i < ENDURANCE_CASES; i++) {
        run *r = NULL;
        run_options o = {.lasts = lasts,
                         .tolerance = TOLERANCE,
                         .resolution = RESOLUTION,
                         .health = CASES[i].health,
                         .pessimistic = CASES[i].pessimistic};
        watch w = {a, out, &out->of[i], i == 0, 0};
        if (!times_make(a, memory, &out->of[i]))
            return STATUS_NO_MEMORY;
        status made = run_make(s, &from, &o, list, count, &r);
        if (made != STATUS_OK)
            return made;
        run_hooks hooks = {.ctx = &w, .step = see_step, .event = see_event};
        while (run_advance(r, &hooks, STEPS_AT_ONCE)) {
        }
        run_free(r);
    }
    linear(a, asked, out);
    return STATUS_OK;
}
