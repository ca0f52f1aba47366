#include "ask/moment.h"

#include "timeline/scenario_play.h"

static const span nowhere = {0};

bool moment_is_asked(const ask_options *o) {
    return o->at >= 0 || (o->question && o->question->scenario);
}

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

status asked_moment(solver *s, const aircraft *a, const ask_options *o, findings *f,
                    outcome **made) {
    const deadbus_question *q = o->question;
    *made = NULL;
    if (!q->scenario)
        complain(f, "no-scenario", "Write a scenario file after the aircraft's, or leave out --at",
                 "--at is a moment of a scenario, and none is given", "");
    else if (o->at < 0)
        complain(f, "no-moment", "Write the time from the start, such as --at 12min",
                 "the file after the aircraft's is a scenario, and no moment of it is given", "");
    if (!q->scenario || o->at < 0 || !nothing_besides(o, f))
        return STATUS_BAD_REQUEST;
    scenario *sc = NULL;
    status result = scenario_read(o->memory.memory, a, q->scenario, q->scenario_length, &sc,
                                  o->scenario_findings);
    if (result == STATUS_OK)
        result = scenario_at(s, sc, o->at, made);
    scenario_free(sc);
    return result;
}
