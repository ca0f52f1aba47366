// The map where it is a module of its own, beside a core that solves: what is on board, and the
// drawing of what the core tells. The two are of one build.
#include "ask/asked_drawing.h"
#include "ask/making.h"
#include "ask/opened.h"
#include "model/carried_outcome.h"
#include "report/show_report.h"

// ---- the core's half ----------------------------------------------------------------------------
static status tell(const outcome *now, columns_options how, text *out) {
    carry_int(out, how.width);
    carry_int(out, (int)how.theme);
    carry_int(out, how.touch);
    carry_outcome(out, now);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

status ask_draw_told(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit) {
    (void)exit;
    return ask_drawn(a, o, out, f, tell);
}

// ---- the map's half -----------------------------------------------------------------------------
static status draw(const aircraft *a, const char *told, size_t length, arena *keep, text *out) {
    taker t = {.at = told, .end = told + length, .keep = keep};
    columns_options how = {0};
    how.width = take_int(&t, 0, INT32_MAX);
    how.theme = (theme_id)take_int(&t, 0, THEME_ID_PAGE);
    how.touch = take_yes(&t);
    outcome now = take_outcome(&t, a);
    if (t.wrong)
        return keep->failed ? STATUS_NO_MEMORY : STATUS_BAD_REQUEST;
    return draw_with_caution(&now, how, out);
}

static status show(const aircraft *a, arena *keep, text *out) {
    bus_map map;
    status s = bus_map_make(a, keep, &map);
    if (s == STATUS_OK)
        show_json(&map, caution_line, out);
    return s;
}

// `told` is NULL: shows.
static deadbus_exit answer_half(const deadbus_memory *memory, const deadbus_opened *opened,
                                const char *told, size_t length, deadbus_answer *answer) {
    watched_memory watched = {.caller = allocator_of(memory)};
    making m = making_start(&watched);
    arena keep = arena_make(m.memory);
    status s = !opened->aircraft ? STATUS_BAD_REQUEST
               : told            ? draw(opened->aircraft, told, length, &keep, &m.out)
                                 : show(opened->aircraft, &keep, &m.out);
    arena_free(&keep);
    m.exit = s == STATUS_OK ? DEADBUS_DONE : DEADBUS_WRONG_USAGE;
    return making_end(&m, answer);
}

deadbus_exit deadbus_draw_told(const deadbus_memory *memory, const deadbus_opened *opened,
                               const char *told, size_t length, deadbus_answer *answer) {
    return answer_half(memory, opened, told, length, answer);
}

deadbus_exit deadbus_show(const deadbus_memory *memory, const deadbus_opened *opened,
                          deadbus_answer *answer) {
    return answer_half(memory, opened, NULL, 0, answer);
}
