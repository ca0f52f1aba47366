#include "ask/asked_outcome.h"

#include <string.h>

#include "base/text.h"
#include "timeline/scenario_play.h"

static const span nowhere = {0};

// ---- a moment of a scenario ---------------------------------------------------------------------
static void complain(findings *f, const char *code, const char *hint, const char *what,
                     const char *option) {
    findings_say(f, SEVERITY_ERROR, nowhere, code, hint, what, option, NULL);
}

// The scenario says all of these itself.
static bool nothing_besides(const ask_options *o, findings *f) {
    static const option_id others[] = {OPTION_PHASE,  OPTION_SET,         OPTION_FAIL,
                                       OPTION_CHARGE, OPTION_TEMPERATURE, OPTION_BEFORE_TRIP};
    int errors = f->errors;
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (o->given[others[i]])
            complain(f, "scenario-says-it", "Leave it out, or write it into the scenario",
                     "the scenario says how all stands, so it doesn't go with ",
                     option_at(others[i])->name);
    return f->errors == errors;
}

static bool moment_is_whole(const ask_options *o, findings *f) {
    const deadbus_question *q = o->question;
    if (!q || !q->scenario)
        complain(f, "no-scenario", "Write a scenario file after the aircraft's, or leave out --at",
                 "--at is a moment of a scenario, and none is given", "");
    else if (o->at < 0)
        complain(f, "no-moment", "Write the time from the start, such as --at 12min",
                 "no moment of the scenario is given", "");
    return q && q->scenario && o->at >= 0 && nothing_besides(o, f);
}

// After its end nothing is played: how it stood then is all that is known.
static void tell_end(const ask_options *o, double ended) {
    text t = text_make(o->memory.memory);
    text_clock(&t, ended);
    findings_say(o->scenario_findings, SEVERITY_WARNING, nowhere, "after-the-end",
                 "Give a time before that, or write a later `ends`", "the run ends at ",
                 text_get(&t), ": what is told is how it stands then", NULL);
    text_free(&t);
}

static status moment_make(solver *s, const aircraft *a, const ask_options *o, outcome **made) {
    const deadbus_question *q = o->question;
    scenario *sc = NULL;
    double ended = 0.0;
    status result = scenario_read(o->memory.memory, a, q->scenario, q->scenario_length, &sc,
                                  o->scenario_findings);
    if (result == STATUS_OK)
        result = scenario_at(s, sc, o->at, made, &ended);
    if (result == STATUS_OK && ended + 1 < o->at)
        tell_end(o, ended);
    scenario_free(sc);
    return result;
}

// ---- the one that is kept -----------------------------------------------------------------------
static bool same_state(const aircraft *a, const state *x, const state *y) {
    bool same = x->phase == y->phase && x->airborne == y->airborne && x->night == y->night &&
                x->cloud == y->cloud && x->icing == y->icing && x->stall_near == y->stall_near &&
                x->throttle == y->throttle && x->airspeed == y->airspeed &&
                x->temperature == y->temperature && x->charge == y->charge &&
                x->fault_count == y->fault_count;
    for (int i = 0; same && i < x->fault_count; i++)
        same = x->faults[i].part == y->faults[i].part && x->faults[i].kind == y->faults[i].kind;
    for (int i = 0; same && i < a->part_count; i++)
        same = x->setting[i] == y->setting[i];
    return same;
}

static bool same_moment(const kept_outcome *k, const ask_options *o) {
    const deadbus_question *q = o->question;
    return k->scenario && k->at == o->at && k->scenario_length == q->scenario_length &&
           memcmp(k->scenario, q->scenario, q->scenario_length) == 0;
}

// Takes the place of the one before. Without memory for its question it isn't kept.
static void keep(deadbus_opened *opened, const ask_options *o, bool moment, outcome *made) {
    kept_outcome *k = &opened->kept;
    kept_outcome_free(opened);
    if (moment) {
        k->scenario_length = o->question->scenario_length;
        k->scenario = memory_new(opened->watched.caller, k->scenario_length + 1);
        if (!k->scenario)
            return;
        memcpy(k->scenario, o->question->scenario, k->scenario_length);
    }
    k->at = o->at;
    k->before_trip = o->before_trip;
    k->outcome = made;
}

static status make(solver *s, const aircraft *a, const ask_options *o, const state *asked,
                   outcome **made) {
    if (!asked)
        return moment_make(s, a, o, made);
    return solver_outcome(s, asked,
                          (outcome_options){.before_trip = o->before_trip, .explain = true}, made);
}

status outcome_borrow(solver *s, const aircraft *a, const ask_options *o, arena *memory,
                      question_notes *notes, findings *f, outcome **made) {
    *made = NULL;
    deadbus_opened *opened = o->opened && o->opened->solver == s ? o->opened : NULL;
    bool moment = o->at >= 0 || (o->question && o->question->scenario), kept = false;
    state asked;
    if (moment) {
        if (!moment_is_whole(o, f))
            return STATUS_BAD_REQUEST;
        kept = opened && opened->kept.outcome && same_moment(&opened->kept, o);
    } else {
        status read = state_of_question(a, o, memory, &asked, notes, f);
        if (read != STATUS_OK)
            return read;
        kept = opened && opened->kept.outcome && !opened->kept.scenario &&
               opened->kept.before_trip == o->before_trip &&
               same_state(a, &opened->kept.outcome->state, &asked);
    }
    if (kept) {
        *made = opened->kept.outcome;
        return STATUS_OK;
    }
    status result = make(s, a, o, moment ? NULL : &asked, made);
    // What was found in a scenario is to be said again.
    if (result == STATUS_OK && opened && !(moment && o->scenario_findings->count > 0))
        keep(opened, o, moment, *made);
    return result;
}

void outcome_return(const deadbus_opened *o, outcome *lent) {
    if (!o || o->kept.outcome != lent)
        outcome_free(lent);
}
