#include "report/card_report.h"

#include <string.h>

#include "model/part_words.h"
#include "report/wrap.h"

enum { NAME_AT = 2, VALUE_AT = 24 };

static void put_paragraph(text *out, const char *words) {
    wrap_words(out, out->length, NAME_AT, words);
}

// The start of the line that goes on after a name: its own, or the next one if that is too long.
static size_t put_name(text *out, const char *name) {
    size_t line = out->length;
    wrap_left(out, line, NAME_AT, name);
    if (NAME_AT + utf8_columns(name, strlen(name)) < VALUE_AT)
        return line;
    text_char(out, '\n');
    return out->length;
}

static void put_pair(text *out, const char *name, const char *words) {
    wrap_words(out, put_name(out, name), VALUE_AT, words);
}

// A text that is put together for one line; emptied for the next.
static const char *fresh(text *t) {
    t->length = 0;
    text_put(t, "");
    return text_get(t);
}

// A figure with its unit, or what the needle does instead.
static void put_reading(const card_meter *m, const char *reading, text *t) {
    size_t length = reading ? strlen(reading) : 0;
    bool figure = length && reading[length - 1] >= '0' && reading[length - 1] <= '9';
    text_all(t, m->name, " ", reading ? reading : "", NULL);
    if (figure)
        text_all(t, *m->unit ? " " : "", m->unit, NULL);
}

static void put_readings(const card *c, text *t, text *out) {
    wrap_heading(out, card_computed);
    for (int i = 0; i < c->phase_count; i++) {
        fresh(t);
        for (int m = 0; m < c->meter_count; m++) {
            text_put(t, m ? ", " : "");
            put_reading(&c->meters[m], c->phases[i].readings[m], t);
        }
        text_all(t, t->length ? "; " : "", "lit: ", c->phases[i].lights, NULL);
        put_pair(out, c->phases[i].name, text_get(t));
    }
    fresh(t);
    text_all(t, "Confirmed by hand: ", *c->confirmed ? c->confirmed : "none of these", ".", NULL);
    put_paragraph(out, text_get(t));
}

static void put_meters(const card *c, text *t, text *out) {
    for (int i = 0; i < c->meter_count; i++) {
        const card_meter *m = &c->meters[i];
        if (!m->told_count && !*m->others)
            continue;
        fresh(t);
        text_all(t, m->name, *m->place ? ": " : "", m->place, NULL);
        wrap_heading(out, text_get(t));
        for (int n = 0; n < m->told_count; n++)
            put_pair(out, m->told[n].where, m->told[n].means);
        if (*m->others)
            put_paragraph(out, m->others);
    }
}

static void put_eaters(const card *c, text *t, text *out) {
    wrap_heading(out, "Biggest eaters");
    for (int i = 0; i < c->eater_count; i++) {
        bool soft = c->eaters[i].basis == BASIS_ASSUMED || c->eaters[i].basis == BASIS_GUESS;
        fresh(t);
        words_figure(t, c->eaters[i].amps, 1, "A");
        text_all(t, "  ", c->eaters[i].name, soft ? " (assumed)" : "", NULL);
        put_paragraph(out, text_get(t));
    }
}

static void put_fading(const card *c, text *t, text *out) {
    wrap_heading(out, "Fades as volts fall, in this order");
    for (int i = 0; i < c->fading_count; i++) {
        fresh(t);
        words_figure(t, c->fading[i].volts, 1, "V");
        text_all(t, "  ", c->fading[i].names, NULL);
        put_paragraph(out, text_get(t));
    }
}

static void put_breakers(const card *c, text *t, text *out) {
    for (int i = 0; i < c->breaker_count; i++) {
        const card_breaker *b = &c->breakers[i];
        if (i == 0 || strcmp(b->group, c->breakers[i - 1].group) != 0) {
            fresh(t);
            text_all(t, "Breakers: ", *b->group ? b->group : "not in the grid", NULL);
            wrap_heading(out, text_get(t));
        }
        fresh(t);
        if (b->number > 0) {
            text_int(t, b->number);
            text_char(t, ' ');
        }
        text_all(t, b->label, " ", b->rating, NULL);
        size_t line = put_name(out, text_get(t));
        fresh(t);
        text_all(t, b->carries, *b->carries && *b->remark ? "; " : "", b->remark, NULL);
        wrap_words(out, line, VALUE_AT, t->length ? text_get(t) : "its label says it");
    }
}

static void put_feeds(const card *c, text *t, text *out) {
    fresh(t);
    text_all(t, "How power gets there, ", c->phase, NULL);
    wrap_heading(out, text_get(t));
    for (int i = 0; i < c->feed_count; i++) {
        const card_feed *f = &c->feeds[i];
        fresh(t);
        text_all(t, f->from, f->step_count ? " through " : "", NULL);
        for (int s = 0; s < f->step_count; s++)
            text_all(t, s ? ", " : "", f->steps[s].name, f->steps[s].closed ? "" : " (open)", NULL);
        text_all(t, " to ", f->to, NULL);
        put_paragraph(out, text_get(t));
    }
}

static void put_by_hand(const card *c, text *t, text *out) {
    if (*c->lasts) {
        wrap_heading(out, "How long it lasts");
        put_paragraph(out, c->lasts);
    }
    wrap_heading(out, "Fill in by hand");
    fresh(t);
    text_all(t, "Source lost in ", c->phase,
             ", nothing shed: less than ______ min, low case, if the battery passed its capacity "
             "test on ",
             *c->capacity_test ? c->capacity_test : "____________", ".", NULL);
    if (!*c->lasts)
        put_paragraph(out, text_get(t));
    fresh(t);
    text_all(t,
             "Procedures, by the handbook's pages: ", *c->handbook ? c->handbook : "____________",
             ".", NULL);
    put_paragraph(out, text_get(t));
    put_paragraph(out, "Checked by ______________________ on ____________");
}

void card_text(const card *c, text *out) {
    text t = text_make(out->memory);
    text_all(out, c->name, *c->tail ? ", " : "", c->tail, ": system notes, not a checklist\n",
             NULL);
    wrap_words(out, out->length, 0, card_first);
    text_all(out, card_void, *c->equipment_date ? " Equipment list " : "", c->equipment_date,
             *c->equipment_date ? ", file " : " File ", c->hash, ".\n", NULL);
    wrap_heading(out, "Everything electrical dead: still works");
    put_paragraph(out, c->dead);
    put_readings(c, &t, out);
    put_meters(c, &t, out);
    put_eaters(c, &t, out);
    put_fading(c, &t, out);
    put_breakers(c, &t, out);
    put_feeds(c, &t, out);
    for (int i = 0; i < c->note_count; i++)
        put_paragraph(out, c->notes[i]);
    put_paragraph(out, card_alike);
    put_by_hand(c, &t, out);
    text_put(out, "\n");
    fresh(&t);
    text_all(&t, "Behind this card: ", c->counts, NULL);
    wrap_words(out, out->length, 0, text_get(&t));
    out->failed = out->failed || t.failed;
    text_free(&t);
}
