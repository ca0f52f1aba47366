#include "report/page_markup.h"

#include <string.h>

#include "base/stable_sort.h"
#include "model/part_words.h"
#include "report/outcome_parts.h"

static void element(text *out, const char *name, const char *content) {
    text_all(out, "<", name, ">", NULL);
    xml_text(out, content);
    text_all(out, "</", name, ">", NULL);
}

static const char *id_words(text *scratch, const char *id) {
    scratch->length = 0;
    words_of_id(id, scratch);
    return text_get(scratch);
}

// ---- functions ----------------------------------------------------------------------------------
static const char *reason_of(const outcome *o, const function *f) {
    for (int i = 0; i < f->gives.count; i++) {
        const char *reason = o->parts[f->gives.items[i]].reason;
        if (reason && *reason)
            return reason;
    }
    return "";
}

static void function_list(const outcome *o, function_status wanted, const char *title, text *out) {
    text scratch = text_make(out->memory);
    bool any = false;
    for (int i = 0; i < o->aircraft->function_count; i++) {
        const function *f = &o->aircraft->functions[i];
        if (o->functions[i].status != wanted)
            continue;
        if (!any) {
            element(out, "h3", title);
            text_put(out, "<ul>\n");
        }
        any = true;
        text_put(out, "<li>");
        xml_text(out, id_words(&scratch, f->name));
        const char *reason = wanted == FUNCTION_KEPT ? "" : reason_of(o, f);
        if (*reason) {
            text_put(out, ": ");
            xml_text(out, reason);
        }
        text_put(out, "</li>\n");
    }
    if (any)
        text_put(out, "</ul>\n");
    out->failed = out->failed || scratch.failed;
    text_free(&scratch);
}

void page_functions(const outcome *o, text *out) {
    function_list(o, FUNCTION_LOST, "Lost", out);
    function_list(o, FUNCTION_REDUCED, "Reduced", out);
    function_list(o, FUNCTION_KEPT, "You have", out);
}

// ---- normal readings ----------------------------------------------------------------------------
static bool is_lamp(const part *p) { return p->kind == KIND_LIGHT || p->kind == KIND_SOUNDER; }

static bool is_meter(const part *p) {
    return p->kind == KIND_AMMETER || p->kind == KIND_LOADMETER || p->kind == KIND_VOLTMETER;
}

static void lamps_lit(const outcome *o, text *out) {
    bool any = false;
    for (int i = 0; i < o->indication_count; i++) {
        const indication *one = &o->indications[i];
        const part *p = &o->aircraft->parts[one->part];
        if (!is_lamp(p) || !one->valid || one->figure <= 0)
            continue;
        text_put(out, any ? ", " : "");
        xml_text(out, p->label);
        any = true;
    }
    if (!any)
        text_put(out, "none");
}

void page_normal(const aircraft *a, outcome *const *phases, text *out) {
    text_put(out, "<table><thead><tr><th scope=\"col\">Phase</th>");
    const outcome *first = phases[0];
    for (int i = 0; i < first->indication_count; i++) {
        const part *p = &a->parts[first->indications[i].part];
        if (!is_meter(p))
            continue;
        text_put(out, "<th scope=\"col\">");
        xml_text(out, p->label);
        text_put(out, "</th>");
    }
    text_put(out, "<th scope=\"col\">Lights lit</th></tr></thead><tbody>\n");
    for (int n = 0; n < a->phase_count; n++) {
        const outcome *o = phases[n];
        text_put(out, "<tr><th scope=\"row\">");
        xml_text(out, a->phases[n].name);
        text_put(out, "</th>");
        for (int i = 0; i < o->indication_count; i++)
            if (is_meter(&a->parts[o->indications[i].part]))
                element(out, "td", o->indications[i].reading);
        text_put(out, "<td>");
        lamps_lit(o, out);
        text_put(out, "</td></tr>\n");
    }
    text_put(out, "</tbody></table>\n");
}

// ---- breakers by place --------------------------------------------------------------------------
static bool protects(const part *p) {
    return p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
}

static int by_place(const void *x, const void *y, const void *ctx) {
    const part *parts = ctx;
    const part *a = &parts[*(const int *)x];
    const part *b = &parts[*(const int *)y];
    bool no_a = a->row == 0 && a->number == 0, no_b = b->row == 0 && b->number == 0;
    if (no_a != no_b)
        return no_a ? 1 : -1;
    int panel = strcmp(a->panel ? a->panel : "", b->panel ? b->panel : "");
    if (panel)
        return panel;
    return a->row != b->row ? a->row - b->row : a->number - b->number;
}

static void carries(const bus_map *m, int which, text *scratch, text *out) {
    bool any = false;
    for (int i = 0; i < m->count; i++) {
        const map_row *row = &m->rows[i];
        if (row->protector != which || row->part < 0)
            continue;
        scratch->length = 0;
        part_short_name(m->aircraft, row->part, scratch);
        text_put(out, any ? ", " : "");
        xml_text(out, text_get(scratch));
        any = true;
    }
}

void page_breakers(const bus_map *m, text *out) {
    const aircraft *a = m->aircraft;
    arena memory = arena_make(out->memory);
    int *order = arena_new(&memory, (size_t)a->part_count + 1, sizeof *order);
    int count = 0;
    for (int i = 0; order && i < a->part_count; i++)
        if (protects(&a->parts[i]) && !(a->parts[i].fitted & FITTED_ABSENT))
            order[count++] = i;
    if (!order) {
        out->failed = true;
        arena_free(&memory);
        return;
    }
    stable_sort(order, (size_t)count, sizeof *order, NULL, by_place, a->parts);
    text scratch = text_make(out->memory);
    text_put(out, "<table><thead><tr><th scope=\"col\">Place</th><th scope=\"col\">Breaker</th>"
                  "<th scope=\"col\" class=\"number\">A</th><th "
                  "scope=\"col\">Carries</th></tr></thead><tbody>\n");
    for (int i = 0; i < count; i++) {
        const part *p = &a->parts[order[i]];
        scratch.length = 0;
        place_words(p, &scratch);
        text_put(out, "<tr>");
        element(out, "td", text_get(&scratch));
        element(out, "td", p->label);
        const figure *rating = part_figure(p, KEY_VALUE);
        text_put(out, "<td class=\"number\">");
        if (rating)
            text_number(out, rating->value);
        text_put(out, "</td><td>");
        carries(m, order[i], &scratch, out);
        text_put(out, "</td></tr>\n");
    }
    text_put(out, "</tbody></table>\n");
    out->failed = out->failed || scratch.failed;
    text_free(&scratch);
    arena_free(&memory);
}

// ---- the card -----------------------------------------------------------------------------------
static void card_line(double value, const char *unit, const char *words, const char *after,
                      text *out) {
    text_put(out, "<li><b>");
    text_fixed(out, value, 1);
    text_all(out, unit, "</b> ", NULL);
    xml_text(out, words);
    text_all(out, after, "</li>\n", NULL);
}

void page_card(const card *c, text *out) {
    element(out, "h3", "Everything electrical dead: still works");
    text_put(out, "<p id=\"card-dead\">");
    xml_text(out, c->dead);
    text_put(out, "</p>\n");
    element(out, "h3", "Biggest eaters");
    text_put(out, "<ul id=\"card-eaters\">\n");
    for (int i = 0; i < c->eater_count; i++) {
        const card_eater *e = &c->eaters[i];
        bool soft = e->basis == BASIS_ASSUMED || e->basis == BASIS_GUESS;
        card_line(e->amps, " A", e->name, soft ? ", assumed" : "", out);
    }
    text_put(out, "</ul>\n");
    element(out, "h3", "Fades as volts fall, in this order");
    text_put(out, "<ul id=\"card-fading\">\n");
    for (int i = 0; i < c->fading_count; i++)
        card_line(c->fading[i].volts, " V", c->fading[i].names, "", out);
    text_put(out, "</ul>\n");
    if (!*c->lasts)
        return;
    element(out, "h3", "How long it lasts");
    text_put(out, "<p id=\"card-lasts\">");
    xml_text(out, c->lasts);
    text_put(out, "</p>\n");
}

// ---- the file -----------------------------------------------------------------------------------
void page_file(const aircraft *a, text *out) {
    // A line's end right after the tag isn't part of the text.
    text_put(out, "<pre id=\"aircraft-file\" tabindex=\"0\">\n");
    text line = text_make(out->memory);
    const char *s = a->source, *end = s + a->source_length;
    while (s < end) {
        const char *found = memchr(s, '\n', (size_t)(end - s));
        line.length = 0;
        text_put_n(&line, s, (size_t)((found ? found : end) - s));
        xml_text(out, text_get(&line));
        if (found)
            text_char(out, '\n');
        s = found ? found + 1 : end;
    }
    text_put(out, "</pre>\n");
    out->failed = out->failed || line.failed;
    text_free(&line);
}
