// The map for programs: JSON (RFC 8259) and CSV (RFC 4180).
#include <string.h>

#include "model/part_words.h"
#include "report/outcome_parts.h"
#include "report/show_report.h"

#include "report/figure_form.h"

static void id_or_null(const aircraft *a, int which, text *out) {
    if (which == PART_AIRFRAME)
        json_string(out, "ground");
    else if (which >= 0)
        json_string(out, a->parts[which].id);
    else
        text_put(out, "null");
}

static void rating_or_null(const aircraft *a, int which, text *out) {
    const figure *rating = which >= 0 ? part_figure(&a->parts[which], KEY_VALUE) : NULL;
    if (rating)
        json_number(out, rating->value);
    else
        text_put(out, "null");
}

static void place_json(const aircraft *a, int which, text *out) {
    text words = text_make(out->memory);
    if (which >= 0)
        place_words(&a->parts[which], &words);
    json_string(out, text_get(&words));
    out->failed = out->failed || words.failed;
    text_free(&words);
}

static void row_json(const bus_map *m, const map_row *row, text *out) {
    const aircraft *a = m->aircraft;
    text_put(out, "{\"breaker\":");
    id_or_null(a, row->protector, out);
    text_put(out, ",\"rating\":");
    rating_or_null(a, row->protector, out);
    text_put(out, ",\"place\":");
    place_json(a, row->protector, out);
    text_put(out, ",\"through\":[");
    for (int i = 0; i < row->through_count; i++) {
        const positions *list = part_positions(&a->parts[row->through[i].part]);
        text_put(out, i ? ",{\"id\":" : "{\"id\":");
        id_or_null(a, row->through[i].part, out);
        if (list && row->through[i].position >= 0 && row->through[i].position < list->count) {
            text_put(out, ",\"at\":");
            json_string(out, list->labels[row->through[i].position]);
        } else if (row->through[i].position == 0) {
            text_put(out, ",\"at\":\"OFF\"");
        }
        text_char(out, '}');
    }
    text_all(out, "],\"end\":\"", map_end_word(row->end), "\",\"id\":", NULL);
    id_or_null(a, row->part, out);
    if (row->has_amps) {
        text_put(out, ",\"amps\":");
        json_number(out, row->amps);
        text_all(out, ",\"basis\":\"", basis_word(row->basis), "\"", NULL);
    }
    text_char(out, '}');
}

static void buses_json(const bus_map *m, text *out) {
    text_char(out, '[');
    for (int i = 0; i < m->count; i++) {
        bool starts = i == 0 || m->rows[i - 1].root != m->rows[i].root;
        bool ends = i == m->count - 1 || m->rows[i + 1].root != m->rows[i].root;
        const part *p = &m->aircraft->parts[m->rows[i].root];
        if (starts) {
            text_put(out, i ? ",\n{\"id\":" : "\n{\"id\":");
            json_string(out, p->id);
            text_put(out, ",\"label\":");
            json_string(out, p->label);
            text_all(out, ",\"kind\":\"", kind_word(p->kind), "\",\"rows\":[\n", NULL);
        }
        row_json(m, &m->rows[i], out);
        text_put(out, ends ? "]}" : ",\n");
    }
    text_char(out, ']');
}

static void names_json(const char *key, const text_list *list, text *out) {
    if (!list || list->count == 0)
        return;
    text_char(out, ',');
    json_key(out, key);
    text_char(out, '[');
    for (int i = 0; i < list->count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, list->items[i]);
    }
    text_char(out, ']');
}

static void dry_json(const aircraft *a, text *out) {
    text_char(out, '[');
    bool first = true;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        part_class c = kind_class(p->kind);
        if ((c != CLASS_DRY && c != CLASS_ITEM) || p->electric)
            continue;
        text_put(out, first ? "\n{\"id\":" : ",\n{\"id\":");
        first = false;
        json_string(out, p->id);
        text_all(out, ",\"kind\":\"", kind_word(p->kind), "\"", NULL);
        names_json("makes", part_names(p, KEY_MAKES), out);
        names_json("gives", part_names(p, KEY_GIVES), out);
        names_json("gives_partly", part_names(p, KEY_GIVES_PARTLY), out);
        text_char(out, '}');
    }
    text_char(out, ']');
}

static void parts_json(const char *key, const int *parts, int count, const aircraft *a, text *out) {
    json_key(out, key);
    text_char(out, '[');
    for (int i = 0; i < count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, a->parts[parts[i]].id);
    }
    text_char(out, ']');
}

static void routes_json(const char *key, const int *routes, int count, const aircraft *a,
                        text *out) {
    json_key(out, key);
    text_char(out, '[');
    for (int i = 0; i < count; i++) {
        text words = text_make(out->memory);
        condition_words(a, routes[i], &words);
        text_put(out, i ? "," : "");
        json_string(out, text_get(&words));
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
    text_char(out, ']');
}

static void functions_json(const aircraft *a, text *out) {
    text_char(out, '{');
    for (int i = 0; i < a->function_count; i++) {
        const function *f = &a->functions[i];
        text_put(out, i ? ",\n" : "\n");
        json_key(out, f->name);
        text_char(out, '{');
        parts_json("gives", f->gives.items, f->gives.count, a, out);
        text_char(out, ',');
        parts_json("gives_partly", f->gives_partly.items, f->gives_partly.count, a, out);
        if (f->routed) {
            text_char(out, ',');
            routes_json("kept_by", f->kept_by.items, f->kept_by.count, a, out);
            text_char(out, ',');
            routes_json("partly_by", f->partly_by.items, f->partly_by.count, a, out);
        }
        text_char(out, '}');
    }
    text_char(out, '}');
}

static void id_json(const char *key, const aircraft *a, int which, text *out) {
    text_char(out, ',');
    json_key(out, key);
    id_or_null(a, which, out);
}

// What a survey has left open, and what two papers say differently.
static void unsettled_json(const aircraft *a, text *out) {
    bool first = true;
    text_char(out, '[');
    for (int i = 0; i < a->part_count; i++) {
        if (!show_unsettled(&a->parts[i]))
            continue;
        text_put(out, first ? "\n{\"id\":" : ",\n{\"id\":");
        first = false;
        json_string(out, a->parts[i].id);
        text_put(out, ",\"perhaps_from\":[");
        const reference_list *from = part_references(&a->parts[i], KEY_PERHAPS_FROM);
        for (int k = 0; from && k < from->count; k++) {
            text_put(out, k ? "," : "");
            id_or_null(a, from->items[k].part, out);
        }
        text_put(out, "]}");
    }
    for (int i = 0; i < a->question_count; i++) {
        const question *q = &a->questions[i];
        text_put(out, first ? "\n{\"id\":" : ",\n{\"id\":");
        first = false;
        id_or_null(a, q->part, out);
        id_json("found", a, q->found, out);
        id_json("but", a, q->but, out);
        text_put(out, ",\"by\":");
        json_string(out, q->by ? q->by : "");
        text_char(out, '}');
    }
    text_char(out, ']');
}

void show_json(const bus_map *m, const char *caution, text *out) {
    const aircraft *a = m->aircraft;
    text_put(out, "{\"name\":");
    json_string(out, a->name ? a->name : "");
    text_put(out, ",\"tail\":");
    json_string(out, a->tail ? a->tail : "");
    text_put(out, ",\"nominal\":");
    json_number(out, a->nominal);
    text_put(out, ",\n\"buses\":");
    buses_json(m, out);
    text_put(out, ",\n\"without_volts\":");
    dry_json(a, out);
    text_put(out, ",\n\"supplies\":{");
    for (int i = 0; i < a->supply_count; i++) {
        text_put(out, i ? "," : "");
        parts_json(a->supplies[i].name, a->supplies[i].makers, a->supplies[i].count, a, out);
    }
    text_put(out, "},\n\"functions\":");
    functions_json(a, out);
    text_put(out, ",\n\"not_settled\":");
    unsettled_json(a, out);
    parts_and_phases_json(a, out);
    text_put(out, ",\n\"caution\":");
    json_string(out, caution);
    text_put(out, "}\n");
}

void csv_field(text *out, const char *words) {
    if (!strpbrk(words, ",\"\r\n")) {
        text_put(out, words);
        return;
    }
    text_char(out, '"');
    for (; *words; words++) {
        if (*words == '"')
            text_char(out, '"');
        text_char(out, *words);
    }
    text_char(out, '"');
}

static void csv_words(text *out, text *words) {
    csv_field(out, text_get(words));
    words->length = 0;
    text_put(words, "");
}

static void row_csv(const bus_map *m, const map_row *row, text *words, text *out) {
    const aircraft *a = m->aircraft;
    const part *b = row->protector >= 0 ? &a->parts[row->protector] : NULL;
    text_all(out, a->parts[row->root].id, ",", b ? b->id : "", ",", NULL);
    csv_field(out, b ? b->label : "");
    text_char(out, ',');
    const figure *rating = b ? part_figure(b, KEY_VALUE) : NULL;
    if (rating)
        text_number(out, rating->value);
    text_char(out, ',');
    if (b)
        place_words(b, words);
    csv_words(out, words);
    text_char(out, ',');
    for (int i = 0; i < row->through_count; i++)
        text_all(words, i ? " " : "", a->parts[row->through[i].part].id, NULL);
    csv_words(out, words);
    text_all(out, ",", map_end_word(row->end), ",", NULL);
    text_put(out, row->part >= 0               ? a->parts[row->part].id
                  : row->part == PART_AIRFRAME ? "ground"
                                               : "");
    text_char(out, ',');
    if (row->has_amps)
        json_number(out, row->amps);
    text_all(out, ",", row->has_amps ? basis_word(row->basis) : "", "\r\n", NULL);
}

void show_csv(const bus_map *m, text *out) {
    text words = text_make(out->memory);
    text_put(out, "bus,breaker,label,rating_amps,place,through,end,id,amps,basis\r\n");
    for (int i = 0; i < m->count; i++)
        row_csv(m, &m->rows[i], &words, out);
    out->failed = out->failed || words.failed;
    text_free(&words);
}
