#include <math.h>
#include <string.h>

#include "model/part_words.h"
#include "report/normal_report.h"
#include "report/outcome_parts.h"
#include "report/show_report.h"
#include "report/wrap.h"

enum { NAME_AT = 2, READING_AT = 20, PROOF_AT = 34 };

static bool is_lamp(const aircraft *a, const indication *i) {
    return a->parts[i->part].kind == KIND_LIGHT || a->parts[i->part].kind == KIND_SOUNDER;
}

static const indication *same_on(const outcome *o, int part) {
    for (int i = 0; o != NULL && i < o->indication_count; i++)
        if (o->indications[i].part == part)
            return &o->indications[i];
    return NULL;
}

confirmed_reading normal_confirmed(const aircraft *a, int phase, const indication *i) {
    confirmed_reading c = {0};
    const struct phase *p = &a->phases[phase];
    if (i->unit == NULL)
        return c;  // it has no needle to compare with
    for (int k = 0; k < p->read_count; k++)
        if (p->reads[k].part == i->part)
            c.figure = &p->reads[k].figure;
    if (c.figure == NULL)
        return c;
    bool volts = c.figure->unit == UNIT_VOLT;
    double twentieth = 0.05 * (i->high - i->low);
    double reads = volts ? (aircraft_is_28(a) ? 0.5 : 0.25) : (twentieth > 2 ? twentieth : 2.0);
    c.off = i->figure - c.figure->value;
    c.agrees = i->valid && fabs(c.off) <= reads;
    return c;
}

// ---- for people --------------------------------------------------------------------------------
static void start(text *t) {
    t->length = 0;
    text_put(t, "");
}

static void say_confirmed(const aircraft *a, int phase, const indication *i, text *t) {
    confirmed_reading c = normal_confirmed(a, phase, i);
    if (c.figure == NULL)
        return;
    text_put(t, t->length ? " Read by hand " : "Read by hand ");
    words_figure(t, c.figure->value, 1, c.figure->unit == UNIT_VOLT ? "V" : "A");
    if (c.figure->where && c.figure->where[0])
        text_all(t, " (", c.figure->where, ")", NULL);
    text_put(t, c.agrees ? ": agrees."
                         : ": DIFFERS by more than can be read. One of the two is "
                           "wrong: the file, or the aeroplane.");
}

static void lamp_proof(const aircraft *a, const normal_phase *both, const indication *i, text *t) {
    const indication *off = same_on(both->source_off, i->part);
    const part *p = &a->parts[i->part];
    const part_value *press = part_value_of(p, KEY_PRESS_TO_TEST);
    if (press != NULL && press->as.yes)
        text_put(t, "Press to test.");
    if (off != NULL && !text_equal(off->reading, i->reading))
        text_all(t, t->length ? " " : "", "With the source off it must be ", off->reading, ".",
                 NULL);
    else if (off != NULL && off->soon)
        text_all(t, t->length ? " " : "",
                 "With the source off it must come on within the first minute.", NULL);
    int when = part_condition(p, KEY_LIT_WHEN);
    if (when < 0)
        when = part_condition(p, KEY_SOUNDS_WHEN);
    if (when < 0)
        return;
    text_put(t, t->length ? " Must come on when " : "Must come on when ");
    condition_words(a, when, t);
    text_char(t, '.');
}

static void needle_proof(const normal_phase *p, const indication *i, text *t) {
    const indication *off = same_on(p->source_off, i->part);
    if (off == NULL)
        return;
    text_put(t, "With the source off it must show ");
    text_all(t, off->reading, ", on again ", i->reading, ".", NULL);
}

static void put_indication(const normal_report *r, int phase, const indication *i, text *t,
                           text *out) {
    size_t line = out->length;
    start(t);
    part_short_name(r->aircraft, i->part, t);
    wrap_left(out, line, NAME_AT, text_get(t));
    wrap_left(out, line, READING_AT, i->reading);
    start(t);
    if (is_lamp(r->aircraft, i))
        lamp_proof(r->aircraft, &r->phases[phase], i, t);
    else
        needle_proof(&r->phases[phase], i, t);
    say_confirmed(r->aircraft, phase, i, t);
    wrap_words(out, line, PROOF_AT, text_get(t));
}

static void put_phase(const normal_report *r, int phase, text *t, text *out) {
    const outcome *o = r->phases[phase].usual;
    start(t);
    words_of_id(r->aircraft->phases[phase].name, t);
    text_put(t, r->aircraft->phases[phase].airborne ? " (in the air)" : " (on the ground)");
    wrap_heading(out, text_get(t));
    for (int i = 0; i < o->indication_count; i++)
        put_indication(r, phase, &o->indications[i], t, out);
    if (o->indication_count == 0)
        wrap_words(out, out->length, NAME_AT, "The file has no instruments or lights under seen.");
}

void normal_text(const normal_report *r, text *out) {
    const aircraft *a = r->aircraft;
    text words = text_make(out->memory), *t = &words;
    start(t);
    text_put(t, a->name && a->name[0] ? a->name : "Aeroplane without a name");
    if (a->tail && a->tail[0])
        text_all(t, " (", a->tail, ")", NULL);
    text_put(t, ": what is normal here, solved from the file, and what proves it on the ground.");
    wrap_words(out, out->length, 0, text_get(t));
    for (int i = 0; i < a->phase_count; i++)
        put_phase(r, i, t, out);
    wrap_heading(out, "On the ground");
    wrap_words(
        out, out->length, NAME_AT,
        "The same switches and the same engine speed give the same readings standing as in "
        "the air, once the battery is charged. Engine running only with somebody at the "
        "controls and the propeller clear; pitot heat for seconds only; gear, hydraulics and "
        "propeller heat are the technician's. A reading is the aeroplane's own once it was "
        "read by hand: write it under the phase, `reads: {voltmeter: 28.0 V measured "
        "2026-03-02}`, and it is compared from then on.");
    text_char(out, '\n');
    wrap_words(out, out->length, 0, r->caution);
    wrap_words(out, out->length, 0, caution_smoke);
    out->failed = out->failed || words.failed;
    text_free(&words);
}

// ---- for programs ------------------------------------------------------------------------------
static void put_confirmed(const confirmed_reading *c, text *out) {
    if (c->figure == NULL) {
        text_put(out, ",\"confirmed\":null");
        return;
    }
    text_put(out, ",\"confirmed\":{\"figure\":");
    json_number(out, c->figure->value);
    text_put(out, ",\"where\":");
    json_string(out, c->figure->where ? c->figure->where : "");
    text_all(out, ",\"agrees\":", c->agrees ? "true" : "false", "}", NULL);
}

static void json_indication(const normal_report *r, int phase, const indication *i, text *out) {
    const indication *off = same_on(r->phases[phase].source_off, i->part);
    confirmed_reading c = normal_confirmed(r->aircraft, phase, i);
    json_key(out, r->aircraft->parts[i->part].id);
    text_put(out, "{\"reading\":");
    json_string(out, i->reading);
    text_put(out, ",\"figure\":");
    if (i->valid)
        json_number(out, i->figure);
    else
        text_put(out, "null");
    text_put(out, ",\"source_off\":");
    if (off != NULL)
        json_string(out, off->reading);
    else
        text_put(out, "null");
    put_confirmed(&c, out);
    text_char(out, '}');
}

void normal_json(const normal_report *r, text *out) {
    text_put(out, "{\"normal\":{");
    for (int p = 0; p < r->aircraft->phase_count; p++) {
        const outcome *o = r->phases[p].usual;
        text_put(out, p ? ",\n" : "\n");
        json_key(out, r->aircraft->phases[p].name);
        text_char(out, '{');
        for (int i = 0; i < o->indication_count; i++) {
            text_put(out, i ? "," : "");
            json_indication(r, p, &o->indications[i], out);
        }
        text_char(out, '}');
    }
    text_put(out, "},\n\"caution\":");
    json_string(out, r->caution);
    text_put(out, "}\n");
}

void normal_csv(const normal_report *r, text *out) {
    text_put(out, "phase,instrument,reading,source off,read by hand,agrees\r\n");
    for (int p = 0; p < r->aircraft->phase_count; p++) {
        const outcome *o = r->phases[p].usual;
        for (int i = 0; i < o->indication_count; i++) {
            const indication *one = &o->indications[i];
            const indication *off = same_on(r->phases[p].source_off, one->part);
            confirmed_reading c = normal_confirmed(r->aircraft, p, one);
            csv_field(out, r->aircraft->phases[p].name);
            text_char(out, ',');
            csv_field(out, r->aircraft->parts[one->part].id);
            text_char(out, ',');
            csv_field(out, one->reading);
            text_char(out, ',');
            csv_field(out, off != NULL ? off->reading : "");
            text_char(out, ',');
            if (c.figure != NULL)
                text_number(out, c.figure->value);
            text_all(out, ",", c.figure == NULL ? "" : c.agrees ? "yes" : "no", "\r\n", NULL);
        }
    }
}
