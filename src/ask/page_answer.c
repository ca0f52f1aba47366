// `page`: one HTML file. The caller brings the empty page; the aeroplane is put into its marks, as
// markup that can be read with scripts off.
#include <string.h>

#include "ask/ask_commands.h"
#include "ask/card_made.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "draw/columns.h"
#include "model/carried.h"
#include "report/page_markup.h"

enum { DIAGRAM_WIDTH = 1040 };

static const char title_mark[] = "<!--title-->";
static const char content_mark[] = "<!--aeroplane-->";
static const span nowhere = {0};

typedef struct page_maker {
    const aircraft *aircraft;
    const ask_options *options;
    solver *solver;
    arena *memory;
    text *out;
    outcome **phases;  // as they should be
} page_maker;

static status solve_phases(page_maker *k) {
    const aircraft *a = k->aircraft;
    k->phases = arena_new(k->memory, (size_t)a->phase_count + 1, sizeof(outcome *));
    state s = {.setting = arena_new(k->memory, (size_t)a->part_count + 1, sizeof *s.setting)};
    if (!k->phases || !s.setting)
        return STATUS_NO_MEMORY;
    status r = STATUS_OK;
    for (int i = 0; i < a->phase_count && r == STATUS_OK; i++) {
        state_of_phase(a, i, &s);
        r = solver_outcome(k->solver, &s, (outcome_options){.explain = true}, &k->phases[i]);
    }
    return r;
}

static void put_heading(page_maker *k, const char *words) {
    text_put(k->out, "</section>\n<section>\n<h2>");
    xml_text(k->out, words);
    text_put(k->out, "</h2>\n");
}

static status put_card(const card_maker *k, const card *c, text *out, findings *f) {
    (void)k;
    (void)f;
    page_card(c, out);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

// What the page's scripts read: an instructor's has the file itself, to be looked at and edited.
static void put_aircraft(page_maker *k) {
    text *out = k->out;
    if (k->options->instructor) {
        put_heading(k, "The aircraft file");
        page_file(k->aircraft, out);
        text_put(out, "</section>\n</main>\n");
        return;
    }
    text_put(out, "</section>\n</main>\n<script type=\"text/plain\" id=\"aircraft\">");
    carried_write(k->aircraft, k->options->file_findings, out);
    text_put(out, "</script>\n");
}

static status put_content(page_maker *k, findings *f) {
    const aircraft *a = k->aircraft;
    text *out = k->out;
    int at = phase_usual(a);
    const outcome *usual = k->phases[at];
    bus_map map;
    status r = bus_map_make(a, k->memory, &map);
    if (r != STATUS_OK)
        return r;
    text_put(out, "<main id=\"plain\">\n<header><h1>");
    xml_text(out, a->name ? a->name : "Aeroplane");
    text_put(out, " <span class=\"tail\">");
    xml_text(out, a->tail ? a->tail : "");
    text_put(out, "</span></h1>\n<p class=\"caution\">");
    xml_text(out, caution_line);
    text_put(out, "</p></header>\n<section>\n<h2>The diagram, ");
    xml_text(out, a->phases[at].name);
    text_put(out, "</h2>\n<p class=\"sentence\">");
    xml_text(out, usual->sentence ? usual->sentence : "");
    text_put(out, "</p>\n<div class=\"drawing\">");
    columns_options still = {.width = DIAGRAM_WIDTH, .theme = THEME_ID_PAGE, .still = true};
    r = columns_write(usual, still, out);
    if (r != STATUS_OK)
        return r;
    text_put(out, "</div>\n");
    put_heading(k, "What one has");
    page_functions(usual, out);
    put_heading(k, "Normal readings");
    page_normal(a, k->phases, out);
    put_heading(k, "Breakers by place");
    page_breakers(&map, out);
    put_heading(k, "System notes for the flight bag, not a checklist");
    r = card_answer(a, k->options, put_card, out, f);
    if (r != STATUS_OK)
        return r;
    put_aircraft(k);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

static const char *find_mark(const char *page, size_t length, const char *mark) {
    size_t size = strlen(mark);
    for (size_t i = 0; i + size <= length; i++)
        if (page[i] == mark[0] && memcmp(page + i, mark, size) == 0)
            return page + i;
    return NULL;
}

static status put_page(page_maker *k, findings *f) {
    const deadbus_question *q = k->options->question;
    const char *page = q->empty_page, *end = page + q->empty_page_length;
    const char *title = find_mark(page, q->empty_page_length, title_mark);
    const char *content = find_mark(page, q->empty_page_length, content_mark);
    if (!title || !content || content < title) {
        findings_say(f, SEVERITY_ERROR, nowhere, "no-marks", "",
                     "the empty page has no place for "
                     "an aeroplane",
                     NULL);
        return STATUS_BAD_REQUEST;
    }
    const aircraft *a = k->aircraft;
    text_put_n(k->out, page, (size_t)(title - page));
    xml_text(k->out, a->name && *a->name ? a->name : "Aeroplane");
    if (a->tail && *a->tail) {
        text_put(k->out, ", ");
        xml_text(k->out, a->tail);
    }
    title += sizeof title_mark - 1;
    text_put_n(k->out, title, (size_t)(content - title));
    status r = put_content(k, f);
    content += sizeof content_mark - 1;
    text_put_n(k->out, content, (size_t)(end - content));
    return r != STATUS_OK ? r : k->out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

status ask_page(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit) {
    (void)exit;
    if (!a)
        return STATUS_BAD_FILE;
    if (!o->question->empty_page) {
        findings_say(f, SEVERITY_ERROR, nowhere, "no-page",
                     "Build it with `make build`, which makes the page first",
                     "this program was built without the page", NULL);
        return STATUS_BAD_REQUEST;
    }
    arena memory = arena_make(o->memory.memory);
    page_maker k = {.aircraft = a, .options = o, .memory = &memory, .out = out};
    status r = solver_borrow(o->opened, o->memory.memory, a, f, &k.solver);
    if (r == STATUS_OK)
        r = solve_phases(&k);
    if (r == STATUS_OK)
        r = put_page(&k, f);
    for (int i = 0; k.phases && i < a->phase_count; i++)
        outcome_free(k.phases[i]);
    solver_return(o->opened, k.solver);
    arena_free(&memory);
    return r;
}
