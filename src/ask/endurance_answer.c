// `endurance`: after the source is lost, how long, and what dies when.
#include "ask/ask_commands.h"
#include "ask/flights_kept.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "report/endurance_report.h"
#include "study/flights.h"
#include "study/hands.h"

typedef void endurance_writer(const endurance_report *r, text *out);

static status write_found(endurance_writer *write, const endurance_report *frame,
                          const endurance *found, text *out) {
    endurance_report r = *frame;
    r.found = found;
    write(&r, out);
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
        result = write_found(endurance_json, frame, found, out);
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
                             endurance_writer *write, endurance_report *frame, state *asked,
                             bool *keep, question_notes *notes, arena *memory, text *out,
                             findings *f) {
    solver *s = NULL;
    endurance found;
    status result = solver_borrow(o->opened, memory->memory, a, f, &s);
    if (result == STATUS_OK)
        result = conditions_met(a, o, s, asked, memory, notes, keep, f);
    frame->notes = notes->items;
    frame->note_count = notes->count;
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
        if (result == STATUS_OK)
            result = hands_look(s, q, memory, &found);
        if (result == STATUS_OK && o->flights > 0)
            result = flights_find(memory->memory, a, &flights, memory, &found);
        if (result == STATUS_OK)
            result = write_found(write, frame, &found, out);
    }
    solver_return(o->opened, s);
    return result == STATUS_OK && out->failed ? STATUS_NO_MEMORY : result;
}

// An option that has no effect without another is no silent one.
static bool alone(const ask_options *o, option_id given, option_id with, findings *f) {
    static const span nowhere = {0};
    if (!o->given[given] || o->given[with])
        return false;
    findings_say(f, SEVERITY_ERROR, nowhere, "needs-another", "Give both, or neither",
                 option_at(given)->name, " says nothing without ", option_at(with)->name, NULL);
    return true;
}

// What stands with its engines still runs down in days, if at all. Flights are far too many for it.
static double looks(const aircraft *a, const ask_options *o, const state *s) {
    bool still = !s->airborne && o->flights == 0;
    for (int i = 0; i < a->part_count; i++)
        still = still && (a->parts[i].kind != KIND_ENGINE || s->setting[i] == 0);
    return o->within >= 0 ? o->within : still ? LOOKS_AT_REST : LOOKS_USUALLY;
}

static status answer(const aircraft *a, const ask_options *o, endurance_writer *write, text *out,
                     findings *f) {
    if (!a)
        return STATUS_BAD_FILE;
    arena memory = arena_make(o->memory.memory);
    state asked, after;
    bool *keep = NULL;
    question_notes notes;
    int errors = f->errors;
    status result = state_of_question(a, o, &memory, &asked, &notes, f);
    if (result == STATUS_OK &&
        (alone(o, OPTION_SEED, OPTION_FLIGHTS, f) || alone(o, OPTION_NOTICED, OPTION_SHED, f)))
        result = STATUS_BAD_REQUEST;
    if (result == STATUS_OK && o->shed_count > 0)
        result = state_after_shedding(a, o, &asked, &memory, &after, &notes, f);
    endurance_report r = {.aircraft = a,
                          .asked = &asked,
                          .after = o->shed_count > 0 ? &after : NULL,
                          .noticed_assumed = o->noticed < 0,
                          .caution = caution_line};
    endurance_question q = {.asked = &asked,
                            .after = r.after,
                            .noticed = o->noticed >= 0 ? o->noticed : NOTICED_USUALLY};
    if (result == STATUS_OK) {
        q.lasts = looks(a, o, &asked);
        keep = functions_to_keep(a, o, &memory, &r.stays_assumed, f);
        q.must_stay = keep;
        if (!keep)
            result = STATUS_NO_MEMORY;
        else if (f->errors > errors)
            result = STATUS_BAD_REQUEST;
        else if (r.stays_assumed)
            keep_by_conditions(a, &asked, keep);
    }
    if (result == STATUS_OK)
        result = find_and_write(a, o, &q, write, &r, &asked, keep, &notes, &memory, out, f);
    arena_free(&memory);
    return result;
}

// However short it is, it is an answer.
status endurance_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                          deadbus_exit *exit) {
    (void)exit;
    return answer(a, o, endurance_text, out, f);
}

status endurance_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                         deadbus_exit *exit) {
    (void)exit;
    return answer(a, o, endurance_json, out, f);
}

status endurance_in_csv(const aircraft *a, const ask_options *o, text *out, findings *f,
                        deadbus_exit *exit) {
    (void)exit;
    return answer(a, o, endurance_csv, out, f);
}
