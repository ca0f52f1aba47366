// `draw`: the diagram of a state as SVG.
#include "ask/ask_commands.h"
#include "ask/asked_drawing.h"
#include "ask/asked_outcome.h"

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

status ask_drawn(const aircraft *a, const ask_options *o, text *out, findings *f,
                 status (*write)(const outcome *now, columns_options how, text *out)) {
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    question_notes notes = {0};
    solver *s = NULL;
    outcome *now = NULL;
    status result = solver_borrow(o->opened, memory.memory, a, f, &s);
    if (result == STATUS_OK)
        result = outcome_borrow(s, a, o, &memory, &notes, f, &now);
    if (result == STATUS_OK)
        result = write(
            now,
            (columns_options){.width = o->width, .theme = theme_asked(o->theme), .touch = o->touch},
            out);
    outcome_return(o->opened, now);
    solver_return(o->opened, s);
    arena_free(&memory);
    return result;
}

status draw_with_caution(const outcome *now, columns_options how, text *out) {
    how.caution = draw_caution;
    return columns_write(now, how, out);
}

status ask_draw(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit) {
    (void)exit;  // a drawing is an answer, whatever it shows
    return ask_drawn(a, o, out, f, draw_with_caution);
}
