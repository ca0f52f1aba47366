// `state`: in this phase, with these positions and faults.
#include "ask/ask_commands.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "report/outcome_report.h"

typedef void report_writer(const outcome_report *r, text *out);

// The phase as it is: what is normal here.
static status solve_base(solver *s, const aircraft *a, const state *asked, arena *memory,
                         outcome **made) {
    state base = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof *base.setting)};
    if (!base.setting)
        return STATUS_NO_MEMORY;
    state_of_phase(a, asked->phase, &base);
    return solver_outcome(s, &base, (outcome_options){0}, made);
}

static status solve_and_write(const aircraft *a, const ask_options *o, const state *asked,
                              const question_notes *notes, arena *memory, report_writer *write,
                              text *out, findings *f) {
    solver *s = NULL;
    outcome *now = NULL, *base = NULL;
    status result = solver_borrow(o->opened, memory->memory, a, f, &s);
    if (result == STATUS_OK)
        result = solve_base(s, a, asked, memory, &base);
    if (result == STATUS_OK)
        result = solver_outcome(
            s, asked, (outcome_options){.before_trip = o->before_trip, .explain = true}, &now);
    if (result == STATUS_OK) {
        outcome_report r = {now, base, notes->items, notes->count, o->before_trip, caution_line};
        write(&r, out);
    }
    outcome_free(now);
    outcome_free(base);
    solver_return(o->opened, s);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

static status answer(const aircraft *a, const ask_options *o, report_writer *write, text *out,
                     findings *f) {
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    state asked;
    question_notes notes;
    status result = state_of_question(a, o, &memory, &asked, &notes, f);
    if (result == STATUS_OK)
        result = solve_and_write(a, o, &asked, &notes, &memory, write, out, f);
    arena_free(&memory);
    return result;
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
