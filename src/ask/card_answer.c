// `card`: solves what a card tells, and tells it in JSON.
#include "ask/ask_commands.h"
#include "ask/card_content.h"
#include "ask/card_made.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "report/card_report.h"
#include "study/endurance.h"

static status solve_phases(card_maker *k, state *s) {
    const aircraft *a = k->aircraft;
    k->phases = arena_new(k->memory, (size_t)a->phase_count + 1, sizeof(outcome *));
    s->setting = arena_new(k->memory, (size_t)a->part_count + 1, sizeof *s->setting);
    if (!k->phases || !s->setting)
        return STATUS_NO_MEMORY;
    status r = STATUS_OK;
    for (int i = 0; i < a->phase_count && r == STATUS_OK; i++) {
        state_of_phase(a, i, s);
        r = solver_outcome(k->solver, s, (outcome_options){.explain = false}, &k->phases[i]);
    }
    return r;
}

// The usual phase with every source dead; not solved where there are more of them than a state has
// room for.
static status solve_dead(card_maker *k, state *s) {
    state_of_phase(k->aircraft, phase_usual(k->aircraft), s);
    if (!state_fail_sources(k->aircraft, s))
        return STATUS_OK;
    return solver_outcome(k->solver, s, (outcome_options){.explain = false}, &k->dead);
}

// How long it lasts in the usual phase once the sources are lost, with nothing shed.
static status find_endurance(card_maker *k, state *s, findings *f) {
    const aircraft *a = k->aircraft;
    state_of_phase(a, phase_usual(a), s);
    s->charge = -1;
    bool assumed;
    bool *keep = functions_to_keep(a, k->options, k->memory, &assumed, f);
    endurance_question q = {
        .asked = s, .noticed = NOTICED_USUALLY, .lasts = LOOKS_USUALLY, .must_stay = keep};
    if (keep == NULL)
        return STATUS_NO_MEMORY;
    keep_by_conditions(a, s, keep);
    return endurance_find(k->solver, &q, k->memory, &k->lasts);
}

static status make_card(card_maker *k, card *made) {
    card_source from = {.aircraft = k->aircraft,
                        .memory = k->memory,
                        .phases = k->phases,
                        .usual = k->phases[phase_usual(k->aircraft)],
                        .dead = k->dead,
                        .lasts = &k->lasts};
    return card_make(&from, made);
}

status card_answer(const aircraft *a, const ask_options *o, card_writer *write, text *out,
                   findings *f) {
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    card_maker k = {.aircraft = a, .options = o, .memory = &memory};
    state s = {0};
    card made;
    status r = solver_borrow(o->opened, o->memory.memory, a, f, &k.solver);
    if (r == STATUS_OK)
        r = solve_phases(&k, &s);
    if (r == STATUS_OK)
        r = solve_dead(&k, &s);
    if (r == STATUS_OK)
        r = find_endurance(&k, &s, f);
    if (r == STATUS_OK)
        r = make_card(&k, &made);
    if (r == STATUS_OK)
        r = write(&k, &made, out, f);
    for (int i = 0; k.phases && i < a->phase_count; i++)
        outcome_free(k.phases[i]);
    outcome_free(k.dead);
    solver_return(o->opened, k.solver);
    arena_free(&memory);
    return r;
}

static status put_json(const card_maker *k, const card *c, text *out, findings *f) {
    (void)k;
    (void)f;
    card_json(c, out);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

status card_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit) {
    (void)exit;
    return card_answer(a, o, put_json, out, f);
}
