#include "timeline/trace.h"

#include "circuit/solver_state.h"

enum { STEPS_AT_ONCE = 256 };

static double value_of(const run_now *now, const trace_wish *w) {
    if (w->of == TRACE_VOLTS)
        return part_volts(now->settled, w->part);
    if (w->of == TRACE_AMPS)
        return part_amps(now->settled, w->part);
    for (int i = 0; i < now->battery_count; i++)
        if (now->batteries[i].part == w->part)
            return battery_fraction(&now->batteries[i].model, now->batteries[i].charge);
    return 0.0;
}

static bool keep_row(void *ctx, const run_now *now) {
    trace *t = ctx;
    int row = t->row_count, first = row * t->wish_count;
    double *at = arena_grow(&t->memory, t->at, &t->row_room, row + 1, sizeof *at);
    double *values = arena_grow(&t->memory, t->values, &t->value_room, first + t->wish_count + 1,
                                sizeof *values);
    if (at == NULL || values == NULL)
        return false;
    t->at = at;
    t->values = values;
    t->at[row] = now->at;
    for (int i = 0; i < t->wish_count; i++)
        t->values[first + i] = value_of(now, &t->wishes[i]);
    t->row_count++;
    t->solves = now->solves;
    return true;
}

static void keep_event(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    trace *t = ctx;
    run_event *events =
        arena_grow(&t->memory, t->events, &t->event_room, t->event_count + 1, sizeof *events);
    if (events == NULL)
        return;  // the arena remembers
    t->events = events;
    t->events[t->event_count++] = *e;
}

status trace_run(solver *s, const state *from, const run_options *o, const happening *list,
                 int count, const trace_wish *wishes, int wish_count, trace **made) {
    *made = NULL;
    trace *t = memory_new(s->allocator, sizeof *t);
    run *r = NULL;
    if (t == NULL)
        return STATUS_NO_MEMORY;
    *t = (trace){.memory = arena_make(s->allocator), .wishes = wishes, .wish_count = wish_count};
    status result = run_make(s, from, o, list, count, &r);
    run_hooks hooks = {.ctx = t, .step = keep_row, .event = keep_event};
    while (result == STATUS_OK && run_advance(r, &hooks, STEPS_AT_ONCE)) {
    }
    run_free(r);
    if (t->memory.failed)
        result = STATUS_NO_MEMORY;
    if (result != STATUS_OK) {
        trace_free(t);
        return result;
    }
    *made = t;
    return STATUS_OK;
}

void trace_free(trace *t) {
    if (t == NULL)
        return;
    allocator memory = t->memory.memory;
    arena_free(&t->memory);
    memory_free(memory, t, sizeof *t);
}
