// Whether what night, cloud and icing ask for is switched on at all.
#include "ask/state_asker.h"
#include "base/text.h"
#include "model/part_words.h"
#include "study/demanded.h"

// "night and icing ask": which of them ask for function `i`.
static void who_asks(const aircraft *a, const state *s, int i, bool *scratch, text *t) {
    state one[3] = {*s, *s, *s};
    static const char *const words[] = {"night", "cloud", "icing"};
    one[0].cloud = one[0].icing = one[1].night = one[1].icing = one[2].night = false;
    one[2].cloud = false;
    int count = 0;
    for (int k = 0; k < 3; k++) {
        for (int f = 0; f < a->function_count; f++)
            scratch[f] = false;
        keep_by_conditions(a, &one[k], scratch);
        if (scratch[i])
            text_all(t, count++ ? " and " : "", words[k], NULL);
    }
    if (count == 0)  // only together
        text_put(t, "night in icing");
    text_put(t, count > 1 ? " ask" : " asks");
}

static void hand_words(const aircraft *a, const demand *d, text *t) {
    const part *p = &a->parts[d->hand];
    const positions *places = part_positions(p);
    int at = (int)d->setting;
    text_all(t, p->id, "=", NULL);
    if (p->kind == KIND_SWITCH && places != NULL && at < places->count)
        text_put(t, places->labels[at]);
    else
        text_put(t, p->kind == KIND_BREAKER ? "in" : p->kind == KIND_DIMMER ? "100%" : "on");
}

// The question itself has put that hand where it is.
static bool put_off(const aircraft *a, const ask_options *o, int hand) {
    for (int i = 0; i < o->set_count && hand != PART_NONE; i++) {
        int part = aircraft_part(a, o->sets[i].id);
        if (part == hand || (part >= 0 && a->parts[part].row_switch == hand))
            return true;
    }
    return false;
}

static bool kept_by_name(const aircraft *a, const ask_options *o, int function) {
    for (int i = 0; i < o->keep_count; i++)
        if (text_equal(o->keeps[i], a->functions[function].name))
            return true;
    return false;
}

// Conditions that the question adds to those of the phase.
static state added(const aircraft *a, const state *asked) {
    const phase *p = &a->phases[asked->phase];
    state s = *asked;
    s.night = s.night && !p->night;
    s.cloud = s.cloud && !p->cloud;
    s.icing = s.icing && !p->icing;
    return s;
}

static void tell_error(asker *k, const demand *d, const char *who) {
    const aircraft *a = k->aircraft;
    text hint = text_make(k->memory->memory);
    text_put(&hint, "Write ");
    if (d->hand != PART_NONE) {
        text_put(&hint, "--set ");
        hand_words(a, d, &hint);
    }
    if (d->phase >= 0)
        text_all(&hint, d->hand != PART_NONE ? ", or " : "", "--phase ", a->phases[d->phase].name,
                 ", in which it is on", NULL);
    asker_complain(k, "not-switched-on", text_get(&hint), who, " for ",
                   a->functions[d->function].name, ", and that isn't switched on in ",
                   a->phases[k->state->phase].name, NULL);
    k->memory->failed = k->memory->failed || hint.failed;
    text_free(&hint);
}

static void tell_note(asker *k, const demand *d, char *who, bool by_question) {
    if (*who >= 'a' && *who <= 'z')
        *who = (char)(*who - 'a' + 'A');
    text name = text_make(k->memory->memory);
    words_of_id(k->aircraft->functions[d->function].name, &name);
    asker_note(k, who, " for ", text_get(&name), ", which isn't on ",
               by_question ? "here, as asked" : "in this phase, as the file has it",
               ": it isn't counted among what must stay.", NULL);
    k->memory->failed = k->memory->failed || name.failed;
    text_free(&name);
}

static void tell(asker *k, const ask_options *o, const demand *d, bool *scratch, bool *keep) {
    const aircraft *a = k->aircraft;
    state by_question = added(a, k->state);
    text who = text_make(k->memory->memory);
    who_asks(a, k->state, d->function, scratch, &who);
    for (int i = 0; i < a->function_count; i++)
        scratch[i] = false;
    keep_by_conditions(a, &by_question, scratch);
    bool off = put_off(a, o, d->hand);
    if (who.failed) {
        k->memory->failed = true;
    } else if (scratch[d->function] && !off) {
        tell_error(k, d, text_get(&who));
    } else {
        tell_note(k, d, who.data, off);
        keep[d->function] = keep[d->function] && kept_by_name(a, o, d->function);
    }
    text_free(&who);
}

status conditions_met(const aircraft *a, const ask_options *o, solver *s, state *asked,
                      arena *memory, question_notes *notes, bool *must_stay, findings *f) {
    asker k = {.aircraft = a, .state = asked, .memory = memory, .notes = notes, .out = f};
    bool *demanded = arena_new(memory, (size_t)a->function_count + 1, sizeof *demanded);
    bool *scratch = arena_new(memory, (size_t)a->function_count + 1, sizeof *scratch);
    demand *list;
    int errors = f->errors;
    if (!demanded || !scratch)
        return STATUS_NO_MEMORY;
    if (!asked->airborne)
        return STATUS_OK;
    keep_by_conditions(a, asked, demanded);
    int count = demands_missing(s, asked, demanded, memory, &list);
    for (int i = 0; i < count; i++)
        tell(&k, o, &list[i], scratch, must_stay);
    if (count < 0 || memory->failed || f->memory.failed)
        return STATUS_NO_MEMORY;
    return f->errors > errors ? STATUS_BAD_REQUEST : STATUS_OK;
}
