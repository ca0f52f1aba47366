// The values of the options of all commands.
#include <string.h>

#include "ask/option_values.h"

static const span nowhere = {0};

static void read_paper(const option_reading *r) {
    int found = option_word(r, "There are a5, half-letter, a4 and letter");
    if (found >= 0)
        r->o->paper = (paper_id)found;
}

static void read_form(const option_reading *r) {
    int found = option_word(r, "There are text, html, svg and pdf");
    if (found >= 0)
        r->o->form = (ask_form)found;
}

static bool ends_with(const char *name, const char *ending) {
    size_t length = strlen(name), size = strlen(ending);
    return length > size && strcmp(name + length - size, ending) == 0;
}

// The caller writes files; a name only tells the form that is wanted.
static void read_output(const option_reading *r) {
    if (r->o->given[OPTION_FORM])
        return;
    r->o->form = ends_with(r->value, ".html")  ? FORM_HTML
                 : ends_with(r->value, ".svg") ? FORM_SVG
                 : ends_with(r->value, ".pdf") ? FORM_PDF
                                               : FORM_TEXT;
}

static void read_whole(const option_reading *r, double least, double most, const char *expected,
                       int *number) {
    static const char *const units[] = {"", NULL};
    double value;
    if (option_number(r, units, &value, expected) < 0)
        return;
    if (value < least || value > most || value != (double)(int)value)
        option_complain(r, expected);
    else
        *number = (int)value;
}

static void read_keep(const option_reading *r) {
    arena *memory = &r->o->memory;
    const char *name = arena_text(memory, r->value, strlen(r->value));
    const char **grown = arena_new(memory, (size_t)r->o->keep_count + 1, sizeof *grown);
    if (!name || !grown)
        return;
    for (int i = 0; i < r->o->keep_count; i++) {
        grown[i] = r->o->keeps[i];
        if (strcmp(grown[i], name) == 0) {
            findings_say(r->out, SEVERITY_ERROR, nowhere, "given-twice", "Leave one out",
                         r->option->name, " is given twice for '", name, "'", NULL);
            return;
        }
    }
    grown[r->o->keep_count++] = name;
    r->o->keeps = grown;
}

void option_take_value(const option_reading *r, option_id id) {
    ask_options *o = r->o;
    if (option_value_of_state(r, id))
        return;
    switch (id) {
    case OPTION_KEEP: read_keep(r); break;
    case OPTION_SHED: option_pair(r, &o->sheds, &o->shed_count, true); break;
    case OPTION_NOTICED: option_time(r, 0, &o->noticed); break;
    case OPTION_NEED: option_time(r, 60, &o->need); break;
    case OPTION_WITHIN: option_time(r, 1, &o->within); break;
    case OPTION_FLIGHTS:
        read_whole(r, 100, 100000, "Write a whole number from 100 to 100000", &o->flights);
        break;
    case OPTION_SEED:
        read_whole(r, 0, 1e9, "Write a whole number up to 1000000000", &o->seed);
        break;
    case OPTION_SCENARIO: o->scenario = true; break;
    case OPTION_INSTRUCTOR: o->instructor = true; break;
    case OPTION_QUESTION:
        o->json_question = arena_text(&o->memory, r->value, strlen(r->value));
        break;
    case OPTION_PAPER: read_paper(r); break;
    case OPTION_FORM: read_form(r); break;
    case OPTION_OUTPUT: read_output(r); break;
    default: break;
    }
}
