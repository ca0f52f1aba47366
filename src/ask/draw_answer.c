// `draw`: the diagram of a state as SVG.
#include "ask/ask_commands.h"
#include "ask/moment.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "draw/columns.h"

static const char draw_caution[] =
    "For teaching; the approved handbook, the maintenance manual, local rules and licensed people "
    "come first. System notes, not a checklist.";

theme_id theme_asked(ask_theme t) {
    switch (t) {
    case THEME_DARK: return THEME_ID_DARK;
    case THEME_PRINT: return THEME_ID_PRINT;
    case THEME_PAGE: return THEME_ID_PAGE;
    case THEME_LIGHT: break;
    }
    return THEME_ID_LIGHT;
}

static status solve_asked(solver *s, const aircraft *a, const ask_options *o, findings *f,
                          outcome **made) {
    if (moment_is_asked(o))
        return asked_moment(s, a, o, f, made);
    arena memory = arena_make(o->memory.memory);
    state asked;
    question_notes notes;
    status result = state_of_question(a, o, &memory, &asked, &notes, f);
    if (result == STATUS_OK)
        result = solver_outcome(
            s, &asked, (outcome_options){.before_trip = o->before_trip, .explain = true}, made);
    arena_free(&memory);
    return result;
}

status ask_draw(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit) {
    (void)exit;  // a drawing is an answer, whatever it shows
    if (!a)
        return STATUS_BAD_FILE;
    solver *s = NULL;
    outcome *now = NULL;
    status result = solver_borrow(o->opened, o->memory.memory, a, f, &s);
    if (result == STATUS_OK)
        result = solve_asked(s, a, o, f, &now);
    if (result == STATUS_OK)
        result = columns_write(now,
                               (columns_options){.width = o->width,
                                                 .theme = theme_asked(o->theme),
                                                 .touch = o->touch,
                                                 .caution = draw_caution},
                               out);
    outcome_free(now);
    solver_return(o->opened, s);
    return result;
}
