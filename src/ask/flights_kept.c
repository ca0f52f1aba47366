#include "ask/flights_kept.h"

#include <string.h>

#include "study/hands.h"

struct kept_flights {
    arena memory;
    text words;  // of the question
    state asked, after;
    bool *must_stay;
    flights_question question;
    endurance found;
    flights_study *study;  // NULL once it is finished
};

static void free_flights(kept_flights *k) {
    if (k->study != NULL)
        flights_finish(k->study);
    text_free(&k->words);
    arena memory = k->memory;
    arena_free(&memory);
}

static text words_of(const ask_options *o, allocator memory) {
    text t = text_make(memory);
    for (int i = 0; i < o->question->option_count; i++)
        text_all(&t, o->question->options[i], "\n", NULL);
    return t;
}

// Its own copy of all that the question points at: it outlives this one.
static bool copy_question(kept_flights *k, const aircraft *a, const flights_question *q) {
    size_t parts = (size_t)a->part_count + 1, functions = (size_t)a->function_count + 1;
    k->asked.setting = arena_new(&k->memory, parts, sizeof(double));
    k->after.setting = arena_new(&k->memory, parts, sizeof(double));
    k->must_stay = arena_new(&k->memory, functions, sizeof(bool));
    if (k->memory.failed)
        return false;
    k->question = *q;
    state_copy(a, q->about.asked, &k->asked);
    k->question.about.asked = &k->asked;
    if (q->about.after != NULL) {
        state_copy(a, q->about.after, &k->after);
        k->question.about.after = &k->after;
    }
    memcpy(k->must_stay, q->about.must_stay, (size_t)a->function_count * sizeof(bool));
    k->question.about.must_stay = k->must_stay;
    k->question.spread = (flights_spread){0};
    return true;
}

static status begin(const ask_options *o, const aircraft *a, solver *s, const flights_question *q) {
    allocator memory = watched_allocator(&o->opened->watched);
    arena first = arena_make(memory);
    kept_flights *k = arena_new(&first, 1, sizeof *k);
    if (k == NULL) {
        arena_free(&first);
        return STATUS_NO_MEMORY;
    }
    *k = (kept_flights){.memory = first, .words = words_of(o, memory)};
    o->opened->study = (kept_study){k, free_flights};
    if (k->words.failed || !copy_question(k, a, q))
        return STATUS_NO_MEMORY;
    status found = endurance_find(s, &k->question.about, &k->memory, &k->found);
    if (found == STATUS_OK)
        found = hands_look(s, &k->question.about, &k->memory, &k->found);
    if (found != STATUS_OK)
        return found;
    return flights_begin(memory, a, &k->question, &k->memory, &k->found, &k->study);
}

static bool same_words(const kept_flights *k, const ask_options *o) {
    text t = words_of(o, o->memory.memory);
    bool same = !t.failed && text_equal(text_get(&t), text_get(&k->words));
    text_free(&t);
    return same;
}

status kept_flights_go_on(const ask_options *o, const aircraft *a, solver *s,
                          const flights_question *q, int *flown, endurance **found) {
    kept_study *kept = &o->opened->study;
    status result = STATUS_OK;
    *found = NULL;
    if (kept->flights == NULL || kept->flights->study == NULL || !same_words(kept->flights, o)) {
        kept_study_free(o->opened);
        result = begin(o, a, s, q);
    }
    if (result != STATUS_OK) {
        kept_study_free(o->opened);
        return result;
    }
    kept_flights *k = kept->flights;
    bool more = flights_step(k->study, o->question->flights_at_once);
    *flown = flights_flown(k->study);
    if (more)
        return STATUS_OK;
    result = flights_finish(k->study);
    k->study = NULL;
    *found = &k->found;
    return result;
}
