// `run`: a scenario played on an aeroplane.
#include "ask/ask_commands.h"
#include "ask/opened.h"
#include "draw/run_chart.h"
#include "report/run_report.h"
#include "timeline/scenario_play.h"

static const span nowhere = {0};

static status no_scenario(findings *f) {
    findings_say(f, SEVERITY_ERROR, nowhere, "no-scenario", "Write its name after the aircraft's",
                 "no scenario file is given", NULL);
    return STATUS_BAD_REQUEST;
}

typedef status log_writer(const scenario_log *log, const ask_options *o, text *out);

static status play_and_write(const aircraft *a, const ask_options *o, const scenario *sc,
                             log_writer *write, text *out, findings *f) {
    solver *s = NULL;
    scenario_log *log = NULL;
    status result = solver_borrow(o->opened, o->memory.memory, a, f, &s);
    if (result == STATUS_OK)
        result = scenario_play(s, sc, &log);
    if (result == STATUS_OK)
        result = write(log, o, out);
    scenario_log_free(log);
    solver_return(o->opened, s);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

static status answer(const aircraft *a, const ask_options *o, log_writer *write, text *out,
                     findings *f) {
    const deadbus_question *q = o->question;
    if (!a)
        return STATUS_BAD_FILE;
    if (!q->scenario)
        return no_scenario(f);
    scenario *sc = NULL;
    status result = scenario_read(o->memory.memory, a, q->scenario, q->scenario_length, &sc,
                                  o->scenario_findings);
    if (result == STATUS_OK)
        result = play_and_write(a, o, sc, write, out, f);
    scenario_free(sc);
    return result;
}

static status as_words(const scenario_log *log, const ask_options *o, text *out) {
    if (o->chart)
        return run_chart_write(
            log, (run_chart_options){o->width, theme_asked(o->theme), caution_line}, out);
    run_text(log, caution_line, out);
    return STATUS_OK;
}

static status as_json(const scenario_log *log, const ask_options *o, text *out) {
    (void)o;
    run_json(log, caution_line, out);
    return STATUS_OK;
}

static status as_csv(const scenario_log *log, const ask_options *o, text *out) {
    (void)o;
    run_csv(log, out);
    return STATUS_OK;
}

// Of a drawing, where no drawing is asked for.
static bool needless(const ask_options *o, option_id id, findings *f) {
    if (!o->given[id])
        return false;
    findings_say(f, SEVERITY_ERROR, nowhere, "needs-another", "Write --chart too, or leave it out",
                 option_at(id)->name, " says nothing without --chart", NULL);
    return true;
}

status run_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit) {
    (void)exit;  // whatever is lost, it is an answer
    if (!o->chart && (needless(o, OPTION_WIDTH, f) || needless(o, OPTION_THEME, f)))
        return STATUS_BAD_REQUEST;
    return answer(a, o, as_words, out, f);
}

// Two forms at once would be one of them, silently.
static bool two_forms(const ask_options *o, const char *form, findings *f) {
    if (o->chart)
        findings_say(f, SEVERITY_ERROR, nowhere, "two-forms", "Leave one of them out",
                     "--chart is a drawing, and ", form, " is asked for, too", NULL);
    return o->chart;
}

status run_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                   deadbus_exit *exit) {
    (void)exit;
    if (two_forms(o, "--json", f))
        return STATUS_BAD_REQUEST;
    return answer(a, o, as_json, out, f);
}

status run_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                  deadbus_exit *exit) {
    (void)exit;
    if (two_forms(o, "--csv", f))
        return STATUS_BAD_REQUEST;
    return answer(a, o, as_csv, out, f);
}
