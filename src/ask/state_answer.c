// `state`: in this phase, with these positions and faults.
#include "ask/ask_commands.h"
#include "ask/asked_outcome.h"
#include "report/outcome_report.h"

typedef void report_writer(const outcome_report *r, text *out);

// The phase as it is: what is normal here. An aircraft that stays open keeps it for the questions
// about the same phase that follow.
static status base_borrow(solver *s, const aircraft *a, deadbus_opened *opened, int phase,
                          arena *memory, outcome **made) {
    if (opened && opened->usual && opened->usual->state.phase == phase) {
        *made = opened->usual;
        return STATUS_OK;
    }
    state base = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof *base.setting)};
    if (!base.setting)
        return STATUS_NO_MEMORY;
    state_of_phase(a, phase, &base);
    status result = solver_outcome(s, &base, (outcome_options){0}, made);
    if (result == STATUS_OK && opened) {
        outcome_free(opened->usual);
        opened->usual = *made;
    }
    return result;
}

static status answer(const aircraft *a, const ask_options *o, report_writer *write, text *out,
                     findings *f) {
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    question_notes notes = {0};
    solver *s = NULL;
    outcome *now = NULL, *base = NULL;
    deadbus_opened *opened = NULL;
    status result = solver_borrow(o->opened, memory.memory, a, f, &s);
    if (result == STATUS_OK)
        result = outcome_borrow(s, a, o, &memory, &notes, f, &now);
    if (result == STATUS_OK) {
        opened = o->opened && o->opened->solver == s ? o->opened : NULL;
        result = base_borrow(s, a, opened, now->state.phase, &memory, &base);
    }
    if (result == STATUS_OK) {
        outcome_report r = {now, base, notes.items, notes.count, o->before_trip, caution_line};
        write(&r, out);
    }
    outcome_return(o->opened, now);
    if (!opened || opened->usual != base)
        outcome_free(base);
    solver_return(o->opened, s);
    arena_free(&memory);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

status state_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                      deadbus_exit *exit) {
    (void)exit;  // a state is an answer, whatever it takes away
    return answer(a, o, outcome_text, out, f);
}

status state_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit) {
    (void)exit;
    return answer(a, o, outcome_json, out, f);
}
