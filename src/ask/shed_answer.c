// `shed`: so many minutes are needed; what is switched off, and in which order.
#include "ask/ask_commands.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "report/shed_report.h"
#include "study/shed.h"

typedef void shed_writer(const shed_report *r, text *out);

static status find_and_write(const aircraft *a, const ask_options *o, const shed_question *q,
                             state *asked, bool *keep, const shed_report *frame,
                             question_notes *notes, arena *memory, text *out, findings *f,
                             bool *done) {
    shed_writer *write = o->csv ? shed_csv : o->json ? shed_json : shed_text;
    solver *s = NULL;
    shed found;
    status result = solver_borrow(o->opened, memory->memory, a, f, &s);
    if (result == STATUS_OK)
        result = conditions_met(a, o, s, asked, memory, notes, keep, f);
    if (result == STATUS_OK)
        result = shed_find(s, q, memory, &found);
    shed_report r = *frame;
    r.found = &found;
    r.notes = notes->items;
    r.note_count = notes->count;
    if (result == STATUS_OK)
        write(&r, out);
    *done = result == STATUS_OK && found.possible;
    solver_return(o->opened, s);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

static status no_need(findings *f) {
    static const span nowhere = {0};
    findings_say(f, SEVERITY_ERROR, nowhere, "no-need", "Write --need and a time, such as 45min",
                 "it isn't said how long it has to last", NULL);
    return STATUS_BAD_REQUEST;
}

status ask_shed(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit) {
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    state asked;
    question_notes notes;
    int errors = f->errors;
    bool done = false, assumed = false;
    status result = state_of_question(a, o, &memory, &asked, &notes, f);
    bool *keep = result == STATUS_OK ? functions_to_keep(a, o, &memory, &assumed, f) : NULL;
    if (result == STATUS_OK && !keep)
        result = STATUS_NO_MEMORY;
    if (result == STATUS_OK && o->need < 0)
        result = no_need(f);
    if (result == STATUS_OK && f->errors > errors)
        result = STATUS_BAD_REQUEST;
    if (result == STATUS_OK) {
        keep_by_conditions(a, &asked, keep);
        shed_question q = {.asked = &asked,
                           .noticed = o->noticed >= 0 ? o->noticed : NOTICED_USUALLY,
                           .needed = o->need,
                           .must_stay = keep,
                           .needs_spare = functions_with_spare(a, &asked, &memory)};
        shed_report r = {.aircraft = a,
                         .asked = &asked,
                         .stays_assumed = assumed,
                         .noticed_assumed = o->noticed < 0,
                         .caution = caution_line};
        result = q.needs_spare == NULL
                     ? STATUS_NO_MEMORY
                     : find_and_write(a, o, &q, &asked, keep, &r, &notes, &memory, out, f, &done);
    }
    if (result == STATUS_OK && !done)
        *exit = DEADBUS_NO;
    arena_free(&memory);
    return result;
}
