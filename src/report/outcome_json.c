// The answer to one state for programs. The keys are a contract; figures aren't rounded.
#include <string.h>

#include "model/part_words.h"
#include "report/outcome_parts.h"
#include "report/show_report.h"

static void comma(text *out, bool *first) {
    if (!*first)
        text_char(out, ',');
    *first = false;
}

static void put_key(text *out, bool *first, const char *key) {
    comma(out, first);
    json_key(out, key);
}

static void put_ids(const aircraft *a, const int *parts, int count, text *out) {
    text_char(out, '[');
    for (int i = 0; i < count; i++) {
        if (i)
            text_char(out, ',');
        json_string(out, a->parts[parts[i]].id);
    }
    text_char(out, ']');
}

// Whether the id of a part is a point of the circuit, and its volts to the airframe.
static bool node_volts(const outcome *o, int which, double *volts) {
    const part *p = &o->aircraft->parts[which];
    const positions *list = part_positions(p);
    if (!p->electric || p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP)
        return false;
    switch (kind_class(p->kind)) {
    case CLASS_POINT:
    case CLASS_SOURCE: *volts = o->parts[which].volts; return true;
    case CLASS_PATH:
        // A path with both ends named has no end of its own, nor has a switch of several contacts.
        if ((part_references(p, KEY_FROM) && part_references(p, KEY_TO)) ||
            (list && list->sort == POSITIONS_CONTACTS))
            return false;
        *volts = o->parts[which].end_volts;
        return true;
    default: return false;
    }
}

static void nodes(const outcome *o, text *out) {
    bool first = true;
    text_char(out, '{');
    for (int i = 0; i < o->aircraft->part_count; i++) {
        double volts;
        if (!node_volts(o, i, &volts))
            continue;
        put_key(out, &first, o->aircraft->parts[i].id);
        text_put(out, "{\"volts\":");
        json_number(out, volts);
        text_char(out, '}');
    }
    text_char(out, '}');
}

static void parts(const outcome *o, text *out) {
    bool first = true;
    text_char(out, '{');
    for (int i = 0; i < o->aircraft->part_count; i++) {
        const part *p = &o->aircraft->parts[i];
        part_class c = kind_class(p->kind);
        if (!p->electric || c == CLASS_POINT || c == CLASS_GROUP || c == CLASS_DRY)
            continue;
        put_key(out, &first, p->id);
        text_put(out, "{\"amps\":");
        json_number(out, o->parts[i].amps);
        text_char(out, '}');
    }
    text_char(out, '}');
}

static void equipment(const outcome *o, text *out) {
    bool first = true;
    text_char(out, '{');
    for (int i = 0; i < o->aircraft->part_count; i++) {
        const part_outcome *p = &o->parts[i];
        if (p->status == ITEM_NONE)
            continue;
        put_key(out, &first, o->aircraft->parts[i].id);
        text_all(out, "{\"status\":\"", item_status_word(p->status), "\",\"volts\":", NULL);
        json_number(out, p->volts);
        text_put(out, ",\"amps\":");
        json_number(out, p->amps);
        text_put(out, ",\"reason\":");
        json_string(out, p->reason ? p->reason : "");
        text_put(out, ",\"causes\":");
        put_ids(o->aircraft, p->causes, p->cause_count, out);
        text_char(out, '}');
    }
    text_char(out, '}');
}

static void functions(const outcome *o, text *out) {
    text_char(out, '{');
    for (int i = 0; i < o->aircraft->function_count; i++) {
        const function_outcome *f = &o->functions[i];
        if (i)
            text_char(out, ',');
        json_key(out, o->aircraft->functions[i].name);
        text_all(out, "{\"status\":\"", function_status_word(f->status), "\",\"by\":", NULL);
        put_ids(o->aircraft, f->by, f->by_count, out);
        text_put(out, f->without_volts ? ",\"without_volts\":true}" : ",\"without_volts\":false}");
    }
    text_char(out, '}');
}

static void indications(const outcome *o, text *out) {
    text_char(out, '{');
    for (int i = 0; i < o->indication_count; i++) {
        const indication *one = &o->indications[i];
        if (i)
            text_char(out, ',');
        json_key(out, o->aircraft->parts[one->part].id);
        text_put(out, "{\"reading\":");
        json_string(out, one->reading);
        text_put(out, ",\"says\":");
        json_string(out, one->says);
        text_put(out, ",\"figure\":");
        if (one->valid)
            json_number(out, one->figure);
        else
            text_put(out, "null");
        text_put(out, ",\"normal\":");
        if (one->normal_valid)
            json_number(out, one->normal);
        else
            text_put(out, "null");
        if (one->unit && one->low < one->high) {
            text_put(out, ",\"unit\":");
            json_string(out, one->unit);
            text_put(out, ",\"low\":");
            json_number(out, one->low);
            text_put(out, ",\"high\":");
            json_number(out, one->high);
        }
        text_char(out, '}');
    }
    text_char(out, '}');
}

static void batteries(const outcome *o, text *out) {
    bool first = true;
    text_char(out, '{');
    for (int i = 0; i < o->source_count; i++) {
        const source_outcome *s = &o->sources[i];
        if (!s->battery)
            continue;
        put_key(out, &first, o->aircraft->parts[s->part].id);
        text_put(out, "{\"volts\":");
        json_number(out, s->volts);
        text_put(out, ",\"amps\":");
        json_number(out, s->amps);
        text_put(out, ",\"charge\":");
        json_number(out, s->charge);
        text_char(out, '}');
    }
    text_char(out, '}');
}

static void sources(const outcome *o, text *out) {
    bool first = true;
    text_char(out, '{');
    for (int i = 0; i < o->source_count; i++) {
        const source_outcome *s = &o->sources[i];
        if (s->battery)
            continue;
        put_key(out, &first, o->aircraft->parts[s->part].id);
        text_put(out, "{\"volts\":");
        json_number(out, s->volts);
        text_put(out, ",\"amps\":");
        json_number(out, s->amps);
        text_put(out, ",\"mode\":");
        json_string(out, source_mode_word(s->mode));
        text_char(out, '}');
    }
    text_char(out, '}');
}

static void basis_counts(const outcome *o, text *out) {
    static const char *const words[] = {"assumed", "guess", "unstated", "book", "measured"};
    text_char(out, '{');
    for (int i = BASIS_MEASURED; i >= BASIS_ASSUMED; i--) {
        json_key(out, words[i]);
        text_int(out, o->basis[i]);
        text_put(out, i ? "," : "}");
    }
}

static void condition_flag(text *out, const char *key, bool value) {
    text_char(out, ',');
    json_key(out, key);
    text_put(out, value ? "true" : "false");
}

// Where everything stands, and what it is like outside.
static void standing(const outcome *o, text *out) {
    const state *s = &o->state;
    text_put(out, ",\n\"settings\":");
    settings_json(o->aircraft, s->setting, out);
    text_put(out, ",\n\"outside\":{\"temperature\":");
    json_number(out, s->temperature);
    condition_flag(out, "airborne", s->airborne);
    condition_flag(out, "night", s->night);
    condition_flag(out, "cloud", s->cloud);
    condition_flag(out, "icing", s->icing);
    condition_flag(out, "stall-near", s->stall_near);
    text_char(out, '}');
}

static void strings(const char *const *items, int count, text *out) {
    text_char(out, '[');
    for (int i = 0; i < count; i++) {
        if (i)
            text_char(out, ',');
        json_string(out, items[i]);
    }
    text_char(out, ']');
}

// Breakers that opened and those that may, and what is to be said of resetting them.
static void breakers(const outcome *o, text *out) {
    text_put(out, ",\n\"trips\":");
    put_ids(o->aircraft, o->trips, o->trip_count, out);
    text_put(out, ",\n\"may_trip\":[");
    bool first = true;
    for (int i = 0; i < o->aircraft->part_count; i++) {
        if (!o->parts[i].may_trip)
            continue;
        comma(out, &first);
        json_string(out, o->aircraft->parts[i].id);
    }
    text_put(out, "],\n\"handbook\":{");
    first = true;
    for (int i = 0; i < o->trip_count; i++) {
        text page = text_make(out->memory);
        handbook_page(&o->aircraft->parts[o->trips[i]], &page);
        if (page.length) {
            put_key(out, &first, o->aircraft->parts[o->trips[i]].id);
            json_string(out, text_get(&page));
        }
        out->failed = out->failed || page.failed;
        text_free(&page);
    }
    text_char(out, '}');
}

static void cautions(const outcome_report *r, text *out) {
    const char *said[4];
    int n = 0;
    said[n++] = r->caution;
    if (r->now->trip_count > 0)
        said[n++] = caution_reset;
    if (outcome_heats_wires(r->now))
        said[n++] = caution_heat;
    if (outcome_any_trouble(r->now))
        said[n++] = caution_smoke;
    strings(said, n, out);
}

void outcome_json(const outcome_report *r, text *out) {
    const outcome *o = r->now;
    text_put(out, "{\"phase\":");
    json_string(out, o->aircraft->phases[o->state.phase].name);
    text_all(out, ",\n\"settled\":\"", outcome_settled_word(o->settled),
             "\",\n\"sentence\":", NULL);
    json_string(out, o->sentence ? o->sentence : "");
    text_put(out, ",\n\"nodes\":");
    nodes(o, out);
    text_put(out, ",\n\"parts\":");
    parts(o, out);
    text_put(out, ",\n\"equipment\":");
    equipment(o, out);
    text_put(out, ",\n\"functions\":");
    functions(o, out);
    text_put(out, ",\n\"indications\":");
    indications(o, out);
    text_put(out, ",\n\"batteries\":");
    batteries(o, out);
    text_put(out, ",\n\"sources\":");
    sources(o, out);
    text_put(out, ",\n\"basis\":");
    basis_counts(o, out);
    standing(o, out);
    breakers(o, out);
    text_put(out, ",\n\"notes\":");
    strings(r->notes, r->note_count, out);
    text_put(out, ",\n\"cautions\":");
    cautions(r, out);
    text_put(out, "}\n");
}
