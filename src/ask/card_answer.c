// `card`: a flight-bag card or a wall diagram, as text, JSON, SVG or one HTML file to print.
#include "ask/ask_commands.h"
#include "ask/card_content.h"
#include "ask/opened.h"
#include "ask/state_question.h"
#include "draw/board_words.h"
#include "draw/card_sheet.h"
#include "draw/columns.h"
#include "draw/svg.h"
#include "report/card_report.h"
#include "study/endurance.h"

static const span nowhere = {0};

typedef struct card_maker {
    const aircraft *aircraft;
    const ask_options *options;
    solver *solver;
    arena *memory;
    outcome **phases;
    outcome *dead;
    endurance lasts;
} card_maker;

static status solve_phases(card_maker *k, state *s) {
    const aircraft *a = k->aircraft;
    k->phases = arena_new(k->memory, (size_t)a->phase_count + 1, sizeof(outcome *));
    s->setting = arena_new(k->memory, (size_t)a->part_count + 1, sizeof *s->setting);
    if (!k->phases || !s->setting)
        return STATUS_NO_MEMORY;
    status r = STATUS_OK;
    for (int i = 0; i < a->phase_count && r == STATUS_OK; i++) {
        state_of_phase(a, i, s);
        r = solver_outcome(k->solver, s, (outcome_options){.explain = false}, &k->phases[i]);
    }
    return r;
}

// The usual phase with every battery, alternator and generator dead; not solved where there are
// more of them than a state has room for.
static status solve_dead(card_maker *k, state *s) {
    const aircraft *a = k->aircraft;
    state_of_phase(a, phase_usual(a), s);
    for (int i = 0; i < a->part_count; i++) {
        part_kind kind = a->parts[i].kind;
        if (kind != KIND_BATTERY && kind != KIND_ALTERNATOR && kind != KIND_GENERATOR)
            continue;
        if (s->fault_count == STATE_FAULTS)
            return STATUS_OK;
        s->faults[s->fault_count++] = (fault){i, FAULT_DEAD};
    }
    return solver_outcome(k->solver, s, (outcome_options){.explain = false}, &k->dead);
}

// How long it lasts in the usual phase once the sources are lost, with nothing shed.
static status find_endurance(card_maker *k, state *s, findings *f) {
    const aircraft *a = k->aircraft;
    state_of_phase(a, phase_usual(a), s);
    s->charge = -1;
    bool assumed;
    endurance_question q = {.asked = s,
                            .noticed = NOTICED_USUALLY,
                            .lasts = LOOKS_USUALLY,
                            .must_stay = functions_to_keep(a, k->options, k->memory, &assumed, f)};
    return q.must_stay ? endurance_find(k->solver, &q, k->memory, &k->lasts) : STATUS_NO_MEMORY;
}

// ---- the sheet ----------------------------------------------------------------------------------
static const char wall_caution[] =
    "For teaching. The approved handbook, the maintenance manual, local rules and licensed people "
    "come first. System notes, not a checklist.";

static const picture *flight_bag_card(card_maker *k, const card *c, const char **told) {
    const char *left_out;
    const picture *made = card_sheet(k->memory, c, k->options->paper, &left_out);
    const char *words[2] = {"left out for want of room: ", left_out};
    if (made && *left_out)
        *told = words_join(k->memory, words, 2);
    return made;
}

static const char *wall_crowded(arena *memory, const picture *p, paper_id paper) {
    double height = p->width * paper_height(paper) / paper_width(paper);
    if (p->height <= height + 1)
        return "";
    double points = paper_points(paper, 15, p->width) * height / p->height;
    const char *words[3] = {"more than one sheet holds the diagram: fitted to one, its type is ",
                            words_fixed(memory, points, 1, " pt"), " instead of 7 or more"};
    return words_join(memory, words, 3);
}

// `*told`: what has no room, as a sentence; left alone where all of it has.
static const picture *sheet_of(card_maker *k, const card *c, const char **told) {
    paper_id paper = k->options->paper;
    if (paper_halved(paper))
        return flight_bag_card(k, c, told);
    const outcome *usual = k->phases[phase_usual(k->aircraft)];
    const picture *made = columns_picture(
        k->memory, usual,
        (columns_options){.theme = THEME_ID_PRINT, .paper = paper, .caution = wall_caution});
    if (!made)
        return NULL;
    picture *shown = arena_new(k->memory, 1, sizeof *shown);
    if (!shown)
        return NULL;
    *shown = *made;
    shown->group_count = 0;
    shown->fitted = true;
    shown->sheet_height = paper_height(paper);
    *told = wall_crowded(k->memory, made, paper);
    return shown;
}

// ---- HTML ---------------------------------------------------------------------------------------
static void put_millimeters(text *out, double value) {
    svg_number(out, value);
    text_put(out, "mm");
}

// One sheet, whatever the browser rounds: the drawing is a hair lower than the page.
static void put_style(paper_id paper, text *out) {
    text_put(out, "<style>@page{size:");
    put_millimeters(out, paper_width(paper));
    text_put(out, " ");
    put_millimeters(out, paper_height(paper));
    text_put(out, ";margin:0}html,body{margin:0;background:#fff;color:#000}"
                  "svg{display:block;max-width:100%;height:auto}"
                  "pre{font:16px/1.5 monospace;white-space:pre-wrap;padding:0 24px}"
                  "@media print{pre,h1{display:none}svg{max-width:none;width:");
    put_millimeters(out, paper_width(paper));
    text_put(out, ";height:");
    put_millimeters(out, paper_height(paper) - 0.5);
    text_put(out, ";break-inside:avoid;overflow:hidden}}</style>\n");
}

static void put_title(const card *c, text *out) {
    xml_text(out, c->name);
    text_put(out, *c->tail ? ", " : "");
    xml_text(out, c->tail);
    text_put(out, ": system notes");
}

static void put_html(const card *c, const picture *p, paper_id paper, text *out) {
    text_put(out, "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                  "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                  "style-src 'unsafe-inline'\">\n"
                  "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                  "<title>");
    put_title(c, out);
    text_put(out, "</title>\n");
    put_style(paper, out);
    text_put(out, "</head>\n<body>\n<main>\n");
    picture_write(p, THEME_ID_PRINT, out);
    // For a screen, and for those who can't see the drawing.
    text_put(out, "<h1>The same in words</h1>\n<pre>\n");
    text words = text_make(out->memory);
    card_text(c, &words);
    const char *line = text_get(&words);
    text one = text_make(out->memory);
    while (*line) {  // xml_text would write a line's end as a number
        size_t length = 0;
        while (line[length] && line[length] != '\n')
            length++;
        one.length = 0;
        text_put_forward(&one, line, length);
        xml_text(out, text_get(&one));
        text_char(out, '\n');
        line += length + (line[length] == '\n');
    }
    out->failed = out->failed || words.failed || one.failed;
    text_free(&one);
    text_free(&words);
    text_put(out, "</pre>\n</main>\n</body>\n</html>\n");
}

// ---- the answer ---------------------------------------------------------------------------------
static status put_sheet(card_maker *k, const card *c, text *out, findings *f) {
    const ask_options *o = k->options;
    const char *told = "";
    const picture *p = sheet_of(k, c, &told);
    if (!p)
        return STATUS_NO_MEMORY;
    if (*told)
        findings_say(f, SEVERITY_WARNING, nowhere, "left-out",
                     "Larger paper has more room; the text form has everything", told, NULL);
    if (o->form == FORM_HTML)
        put_html(c, p, o->paper, out);
    else
        picture_write(p, THEME_ID_PRINT, out);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

static status put_answer(card_maker *k, text *out, findings *f) {
    card_source from = {.aircraft = k->aircraft,
                        .memory = k->memory,
                        .phases = k->phases,
                        .usual = k->phases[phase_usual(k->aircraft)],
                        .dead = k->dead,
                        .lasts = &k->lasts};
    card c;
    status r = card_make(&from, &c);
    if (r != STATUS_OK)
        return r;
    if (k->options->json)
        card_json(&c, out);
    else if (k->options->form == FORM_TEXT)
        card_text(&c, out);
    else
        return put_sheet(k, &c, out, f);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

status ask_card(const aircraft *a, const ask_options *o, text *out, findings *f,
                deadbus_exit *exit) {
    (void)exit;
    if (!a)
        return STATUS_BAD_FILE;
    if (o->form == FORM_PDF) {
        findings_say(f, SEVERITY_ERROR, nowhere, "no-pdf", "Ask for svg and turn that into a PDF",
                     "a PDF is made by the program, not by the library", NULL);
        return STATUS_BAD_REQUEST;
    }
    arena memory = arena_make(o->memory.memory);
    card_maker k = {.aircraft = a, .options = o, .memory = &memory};
    state s = {0};
    status r = solver_borrow(o->opened, o->memory.memory, a, f, &k.solver);
    if (r == STATUS_OK)
        r = solve_phases(&k, &s);
    if (r == STATUS_OK)
        r = solve_dead(&k, &s);
    if (r == STATUS_OK)
        r = find_endurance(&k, &s, f);
    if (r == STATUS_OK)
        r = put_answer(&k, out, f);
    for (int i = 0; k.phases && i < a->phase_count; i++)
        outcome_free(k.phases[i]);
    outcome_free(k.dead);
    solver_return(o->opened, k.solver);
    arena_free(&memory);
    return r;
}
