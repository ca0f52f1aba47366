// `endurance`: after the source is lost, how long, and what dies when.
#include "ask/ask_commands.h"
#include "ask/flights_kept.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "report/endurance_report.h"
#include "study/flights.h"

static status write_found(const ask_options *o, const endurance_report *frame,
                          const endurance *found, text *out) {
    endurance_report r = *frame;
    r.found = found;
    if (o->json)
        endurance_json(&r, out);
    else
        endurance_text(&r, out);
    return STATUS_OK;
}

// A few flights more, and how far they are; or the answer.
static status fly_on_and_write(const aircraft *a, const ask_options *o, solver *s,
                               const flights_question *q, const endurance_report *frame,
                               text *out) {
    endurance *found;
    int flown = 0;
    status result = kept_flights_go_on(o, a, s, q, &flown, &found);
    if (result == STATUS_OK && found != NULL) {
        result = write_found(o, frame, found, out);
    } else if (result == STATUS_OK) {
        text_put(out, "{\"flown\":");
        text_int(out, flown);
        text_put(out, ",\"of\":");
        text_int(out, o->flights);
        text_put(out, "}");
    }
    if (found != NULL)
        kept_study_free(o->opened);
    return result;
}

static status find_and_write(const aircraft *a, const ask_options *o, const endurance_question *q,
                             const endurance_report *frame, arena *memory, text *out, findings *f) {
    solver *s = NULL;
    endurance found;
    status result = solver_borrow(o->opened, memory->memory, a, f, &s);
    flights_question flights = {.about = *q,
                                .charge_given = o->charge >= 0,
                                .temperature_given = o->given[OPTION_TEMPERATURE],
                                .flights = o->flights,
                                .seed = (uint64_t)o->seed,
                                .spread = {o->question->spread, o->question->spread_ctx}};
    bool in_steps = o->flights > 0 && o->json && o->opened && o->question->flights_at_once > 0;
    if (result == STATUS_OK && in_steps) {
        result = fly_on_and_write(a, o, s, &flights, frame, out);
    } else if (result == STATUS_OK) {
        result = endurance_find(s, q, memory, &found);
        if (result == STATUS_OK && o->flights > 0)
            result = flights_find(memory->memory, a, &flights, memory, &found);
        if (result == STATUS_OK)
            result = write_found(o, frame, &found, out);
    }
    solver_return(o->opened, s);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

status ask_endurance(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit) {
    (void)exit;  // however short it is, it is an answer
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    state asked, after;
    question_notes notes;
    int errors = f->errors;
    status result = state_of_question(a, o, &memory, &asked, &notes, f);
    if (result == STATUS_OK && o->shed_count > 0)
        result = state_after_shedding(a, o, &asked, &memory, &after, &notes, f);
    endurance_report r = {.aircraft = a,
                          .asked = &asked,
                          .after = o->shed_count > 0 ? &after : NULL,
                          .noticed_assumed = o->noticed < 0,
                          .caution = caution_line};
    endurance_question q = {.asked = &asked,
                            .after = r.after,
                            .noticed = o->noticed >= 0 ? o->noticed : NOTICED_USUALLY,
                            .lasts = o->within >= 0 ? o->within : LOOKS_USUALLY};
    if (result == STATUS_OK) {
        q.must_stay = functions_to_keep(a, o, &memory, &r.stays_assumed, f);
        if (!q.must_stay)
            result = STATUS_NO_MEMORY;
        else if (f->errors > errors)
            result = STATUS_BAD_REQUEST;
    }
    r.notes = notes.items;
    r.note_count = notes.count;
    if (result == STATUS_OK)
        result = find_and_write(a, o, &q, &r, &memory, out, f);
    arena_free(&memory);
    return result;
}
