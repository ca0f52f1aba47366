// `run`: a scenario played on an aeroplane.
#include "ask/ask_commands.h"
#include "ask/opened.h"
#include "draw/run_chart.h"
#include "report/run_report.h"
#include "timeline/scenario_play.h"

static const span nowhere = {0};

static status no_scenario(findings *f) {
    findings_say(f, SEVERITY_ERROR, nowhere, "no-scenario",
                 "Write its name after the aircraft's, as `run aircraft/bowline.yaml "
                 "lessons/silent-loss.yaml`",
                 "no scenario file is given", NULL);
    return STATUS_BAD_REQUEST;
}

static status play_and_write(const aircraft *a, const ask_options *o, const scenario *sc, text *out,
                             findings *f) {
    solver *s = NULL;
    scenario_log *log = NULL;
    status result = solver_borrow(o->opened, o->memory.memory, a, f, &s);
    if (result == STATUS_OK)
        result = scenario_play(s, sc, &log);
    if (result == STATUS_OK && o->chart) {
        result = run_chart_write(
            log, (run_chart_options){o->width, theme_asked(o->theme), caution_line}, out);
    } else if (result == STATUS_OK) {
        if (o->json)
            run_json(log, caution_line, out);
        else if (o->csv)
            run_csv(log, out);
        else
            run_text(log, caution_line, out);
    }
    scenario_log_free(log);
    solver_return(o->opened, s);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

static status play_question(const aircraft *a, const ask_options *o, text *out, findings *f) {
    const deadbus_question *q = o->question;
    scenario *sc = NULL;
    status result = scenario_read(o->memory.memory, a, q->scenario, q->scenario_length, &sc,
                                  o->scenario_findings);
    if (result == STATUS_OK)
        result = play_and_write(a, o, sc, out, f);
    scenario_free(sc);
    return result;
}

status ask_run(const aircraft *a, const ask_options *o, text *out, findings *f,
               deadbus_exit *exit) {
    (void)exit;  // whatever is lost, it is an answer
    if (!a)
        return STATUS_BAD_FILE;
    return o->question->scenario ? play_question(a, o, out, f) : no_scenario(f);
}
