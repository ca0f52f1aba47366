#include "ask/opened.h"

static void repeat(const findings *from, findings *to) {
    for (int i = 0; i < from->count; i++) {
        const finding *one = &from->items[i];
        const char *const parts[] = {one->text, NULL};
        findings_add(to, one->severity, one->where, one->code, one->hint, parts);
    }
}

void opened_tell(const deadbus_opened *o, findings *out) { repeat(&o->file, out); }

void opened_watch(deadbus_opened *o, making *m) {
    if (!o)
        return;
    m->watched->failed = m->watched->failed || o->watched.failed;
    o->watched.failed = false;
}

status solver_borrow(deadbus_opened *o, allocator memory, const aircraft *a, findings *f,
                     solver **lent) {
    if (!o || o->aircraft != a)
        return solver_make(memory, a, f, lent);
    status s = STATUS_OK;
    if (!o->solver) {
        findings_free(&o->solved);
        o->solved = findings_make(watched_allocator(&o->watched));
        s = solver_make(watched_allocator(&o->watched), a, &o->solved, &o->solver);
    }
    repeat(&o->solved, f);
    *lent = o->solver;
    return s;
}

void solver_return(const deadbus_opened *o, solver *lent) {
    if (!o || o->solver != lent)
        solver_free(lent);
}

void kept_outcome_free(deadbus_opened *o) {
    outcome_free(o->kept.outcome);
    memory_free(o->watched.caller, o->kept.scenario, o->kept.scenario_length + 1);
    o->kept = (kept_outcome){0};
}

void kept_study_free(deadbus_opened *o) {
    if (o->study.flights != NULL)
        o->study.free(o->study.flights);
    o->study = (kept_study){0};
}

deadbus_exit deadbus_open(const deadbus_memory *memory, const char *file, size_t length,
                          deadbus_opened **made) {
    allocator caller = allocator_of(memory);
    deadbus_opened *o = memory_new(caller, sizeof *o);
    *made = o;
    if (!o)
        return DEADBUS_NO_MEMORY;
    o->watched = (watched_memory){.caller = caller};
    o->file = findings_make(watched_allocator(&o->watched));
    o->solved = findings_make(watched_allocator(&o->watched));
    o->read = aircraft_read(watched_allocator(&o->watched), file, length, &o->aircraft, &o->file);
    if (o->read == STATUS_NO_MEMORY || o->watched.failed) {
        deadbus_close(o);
        *made = NULL;
        return DEADBUS_NO_MEMORY;
    }
    return o->read == STATUS_OK ? DEADBUS_DONE : DEADBUS_NO;
}

void deadbus_close(deadbus_opened *o) {
    if (!o)
        return;
    kept_outcome_free(o);
    outcome_free(o->usual);
    kept_study_free(o);
    solver_free(o->solver);
    aircraft_free(o->aircraft);
    findings_free(&o->file);
    findings_free(&o->solved);
    allocator caller = o->watched.caller;
    memory_free(caller, o, sizeof *o);
}
