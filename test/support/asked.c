#include "support/asked.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "ask/options.h"
#include "ask/state_question.h"

outcome *asked(subject *s, const char *const *words) {
    int count = 0;
    while (words[count])
        count++;
    allocator memory = allocator_default();
    findings f = findings_make(memory);
    arena scratch = arena_make(memory);
    ask_options o;
    state wanted;
    question_notes notes;
    status r = options_read(memory, COMMAND_STATE, words, count, &o, &f);
    if (r == STATUS_OK)
        r = state_of_question(s->aircraft, &o, &scratch, &wanted, &notes, &f);
    outcome *made = NULL;
    if (r == STATUS_OK)
        r = solver_outcome(s->solver, &wanted, (outcome_options){.explain = true}, &made);
    if (r != STATUS_OK) {
        text t = text_make(memory);
        findings_write(&f, "question", &t);
        fputs(text_get(&t), stderr);
        text_free(&t);
    }
    options_free(&o);
    arena_free(&scratch);
    findings_free(&f);
    assert_int_equal(r, STATUS_OK);
    return made;
}

const part_outcome *asked_part(const outcome *o, const char *id) {
    int part = aircraft_part(o->aircraft, id);
    if (part < 0)
        fail_msg("there is no %s", id);
    return &o->parts[part];
}

const function_outcome *asked_function(const outcome *o, const char *name) {
    for (int i = 0; i < o->aircraft->function_count; i++)
        if (text_equal(o->aircraft->functions[i].name, name))
            return &o->functions[i];
    fail_msg("there is no function %s", name);
    return NULL;
}

const indication *asked_indication(const outcome *o, const char *id) {
    int part = aircraft_part(o->aircraft, id);
    for (int i = 0; i < o->indication_count; i++)
        if (o->indications[i].part == part)
            return &o->indications[i];
    fail_msg("%s shows nothing", id);
    return NULL;
}

const source_outcome *asked_source(const outcome *o, const char *id) {
    int part = aircraft_part(o->aircraft, id);
    for (int i = 0; i < o->source_count; i++)
        if (o->sources[i].part == part)
            return &o->sources[i];
    fail_msg("%s is no source", id);
    return NULL;
}
