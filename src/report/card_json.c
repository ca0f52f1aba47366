#include "model/part_words.h"
#include "report/card_report.h"
#include "report/figure_form.h"

static void put_text(const char *key, const char *words, text *out) {
    json_key(out, key);
    json_string(out, words);
}

static void put_id(const card *c, int which, text *out) {
    json_string(out, c->aircraft->parts[which].id);
}

static void put_meters(const card *c, text *out) {
    text_put(out, ",\n\"meters\":[");
    for (int i = 0; i < c->meter_count; i++) {
        const card_meter *m = &c->meters[i];
        text_put(out, i ? ",\n{\"id\":" : "\n{\"id\":");
        put_id(c, m->part, out);
        text_char(out, ',');
        put_text("between", m->place, out);
        text_put(out, ",\"means\":[");
        for (int n = 0; n < m->told_count; n++) {
            text_put(out, n ? ",{" : "{");
            put_text("where", m->told[n].where, out);
            text_char(out, ',');
            put_text("what", m->told[n].means, out);
            text_char(out, '}');
        }
        text_put(out, "]}");
    }
    text_char(out, ']');
}

static void put_phases(const card *c, text *out) {
    text_put(out, ",\n\"normal\":[");
    for (int i = 0; i < c->phase_count; i++) {
        text_put(out, i ? ",\n{" : "\n{");
        put_text("phase", c->phases[i].name, out);
        text_put(out, ",\"readings\":{");
        for (int m = 0; m < c->meter_count; m++) {
            text_put(out, m ? "," : "");
            put_text(c->aircraft->parts[c->meters[m].part].id,
                     c->phases[i].readings[m] ? c->phases[i].readings[m] : "", out);
        }
        text_put(out, "},");
        put_text("lit", c->phases[i].lights, out);
        text_char(out, '}');
    }
    text_char(out, ']');
}

static void put_loads(const card *c, text *out) {
    text_put(out, ",\n\"eaters\":[");
    for (int i = 0; i < c->eater_count; i++) {
        text_put(out, i ? ",{" : "{");
        put_text("what", c->eaters[i].name, out);
        text_put(out, ",\"amps\":");
        json_number(out, c->eaters[i].amps);
        text_all(out, ",\"basis\":\"", basis_word(c->eaters[i].basis), "\"}", NULL);
    }
    text_put(out, "],\n\"fading\":[");
    for (int i = 0; i < c->fading_count; i++) {
        text_put(out, i ? ",{\"volts\":" : "{\"volts\":");
        json_number(out, c->fading[i].volts);
        text_char(out, ',');
        put_text("what", c->fading[i].names, out);
        text_char(out, '}');
    }
    text_char(out, ']');
}

static void put_breakers(const card *c, text *out) {
    text_put(out, ",\n\"breakers\":[");
    for (int i = 0; i < c->breaker_count; i++) {
        const card_breaker *b = &c->breakers[i];
        text_put(out, i ? ",\n{\"id\":" : "\n{\"id\":");
        put_id(c, b->part, out);
        text_char(out, ',');
        put_text("group", b->group, out);
        text_put(out, ",\"number\":");
        text_int(out, b->number);
        text_char(out, ',');
        put_text("label", b->label, out);
        text_char(out, ',');
        put_text("rating", b->rating, out);
        text_char(out, ',');
        put_text("carries", b->carries, out);
        text_char(out, ',');
        put_text("remark", b->remark, out);
        text_char(out, '}');
    }
    text_char(out, ']');
}

static void put_feeds(const card *c, text *out) {
    text_put(out, ",\n\"feeds\":[");
    for (int i = 0; i < c->feed_count; i++) {
        const card_feed *f = &c->feeds[i];
        text_put(out, i ? ",\n{" : "\n{");
        put_text("from", f->from, out);
        text_put(out, ",\"through\":[");
        for (int s = 0; s < f->step_count; s++) {
            text_put(out, s ? "," : "");
            put_id(c, f->steps[s].part, out);
        }
        text_put(out, "],");
        put_text("to", f->to, out);
        text_char(out, '}');
    }
    text_char(out, ']');
}

void card_json(const card *c, text *out) {
    text_char(out, '{');
    put_text("title", card_title, out);
    text_char(out, ',');
    put_text("name", c->name, out);
    text_char(out, ',');
    put_text("tail", c->tail, out);
    text_put(out, ",\n");
    put_text("equipment_list", c->equipment_date, out);
    text_char(out, ',');
    put_text("file", c->hash, out);
    text_put(out, ",\n");
    put_text("works_with_everything_dead", c->dead, out);
    put_phases(c, out);
    put_meters(c, out);
    put_loads(c, out);
    put_breakers(c, out);
    put_feeds(c, out);
    text_put(out, ",\n\"notes\":[");
    for (int i = 0; i < c->note_count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, c->notes[i]);
    }
    text_put(out, "],\n\"endurance\":");
    if (*c->lasts) {
        text_put(out, "{\"less_than_minutes\":");
        text_int(out, c->less_than);
        text_char(out, ',');
        put_text(c->lost ? "lost" : "reduced", c->goes_first, out);
        text_char(out, ',');
        put_text("words", c->lasts, out);
        text_char(out, '}');
    } else {
        text_put(out, "null");  // a place to fill in by hand
    }
    text_char(out, ',');
    put_text("handbook", c->handbook, out);
    text_put(out, ",\n");
    put_text("behind", c->counts, out);
    text_char(out, ',');
    put_text("caution", card_first, out);
    text_put(out, "}\n");
}
