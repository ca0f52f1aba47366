// `card` to look at and to print: text, SVG, or one HTML file.
#include "ask/ask_commands.h"
#include "ask/card_made.h"
#include "ask/state_question.h"
#include "draw/board_words.h"
#include "draw/card_sheet.h"
#include "draw/columns.h"
#include "draw/svg.h"
#include "report/card_report.h"

static const span nowhere = {0};

// ---- the sheet ----------------------------------------------------------------------------------
static const char wall_caution[] =
    "For teaching. The approved handbook, the maintenance manual, local rules and licensed people "
    "come first. System notes, not a checklist.";

static const picture *flight_bag_card(const card_maker *k, const card *c, const char **told) {
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
static const picture *sheet_of(const card_maker *k, const card *c, const char **told) {
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
static status put_sheet(const card_maker *k, const card *c, text *out, findings *f) {
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

static status put_form(const card_maker *k, const card *c, text *out, findings *f) {
    if (k->options->form != FORM_TEXT)
        return put_sheet(k, c, out, f);
    card_text(c, out);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

status card_in_form(const aircraft *a, const ask_options *o, text *out, findings *f,
                    deadbus_exit *exit) {
    (void)exit;
    if (a && o->form == FORM_PDF) {
        findings_say(f, SEVERITY_ERROR, nowhere, "no-pdf", "Ask for svg and turn that into a PDF",
                     "a PDF is made by the program, not by the library", NULL);
        return STATUS_BAD_REQUEST;
    }
    return card_answer(a, o, put_form, out, f);
}
