// `show --normal`: what is normal in each phase, solved; compared with what was read by hand.
#include "ask/ask_commands.h"
#include "ask/confirmed.h"
#include "ask/opened.h"
#include "report/normal_report.h"

typedef void normal_writer(const normal_report *r, text *out);

static status solve_phase(solver *s, const aircraft *a, int phase, state *asked, outcome **usual,
                          outcome **source_off) {
    state_of_phase(a, phase, asked);
    asked->charge = -1;
    asked->fault_count = 0;
    status result = solver_outcome(s, asked, (outcome_options){0}, usual);
    for (int i = 0; i < a->part_count && result == STATUS_OK; i++) {
        part_kind k = a->parts[i].kind;
        bool gives = (k == KIND_ALTERNATOR || k == KIND_GENERATOR) && (*usual)->parts[i].works;
        if (gives && asked->fault_count < STATE_FAULTS)
            asked->faults[asked->fault_count++] = (fault){i, FAULT_DEAD};
    }
    if (result == STATUS_OK && asked->fault_count > 0)
        result = solver_outcome(s, asked, (outcome_options){0}, source_off);
    return result;
}

static bool all_agree(const aircraft *a, const normal_phase *phases, findings *f) {
    bool all = true;
    for (int p = 0; p < a->phase_count; p++)
        all = confirmed_agree(a, p, phases[p].usual, f) && all;
    return all;
}

static status answer(const aircraft *a, const ask_options *o, normal_writer *write, text *out,
                     findings *f, deadbus_exit *exit) {
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    solver *s = NULL;
    size_t count = (size_t)a->phase_count;
    state asked = {.setting = arena_new(&memory, (size_t)a->part_count + 1, sizeof(double))};
    normal_phase *phases = arena_new(&memory, count + 1, sizeof *phases);
    outcome **made = arena_new(&memory, 2 * count + 1, sizeof(outcome *));
    status result =
        memory.failed ? STATUS_NO_MEMORY : solver_borrow(o->opened, o->memory.memory, a, f, &s);
    for (int i = 0; i < a->phase_count && result == STATUS_OK; i++) {
        result = solve_phase(s, a, i, &asked, &made[2 * i], &made[2 * i + 1]);
        phases[i] = (normal_phase){made[2 * i], made[2 * i + 1]};
    }
    if (result == STATUS_OK) {
        write(&(normal_report){a, phases, caution_line}, out);
        if (!all_agree(a, phases, f))
            *exit = DEADBUS_NO;
    }
    for (size_t i = 0; made && i < 2 * count; i++)
        outcome_free(made[i]);
    solver_return(o->opened, s);
    arena_free(&memory);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

status show_all_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                         deadbus_exit *exit) {
    return o->normal ? answer(a, o, normal_text, out, f, exit) : show_in_words(a, o, out, f, exit);
}

status show_all_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                        deadbus_exit *exit) {
    return o->normal ? answer(a, o, normal_json, out, f, exit) : show_in_json(a, o, out, f, exit);
}

status show_all_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                       deadbus_exit *exit) {
    return o->normal ? answer(a, o, normal_csv, out, f, exit) : show_in_csv(a, o, out, f, exit);
}
