// The map as text: bus by bus, each line from its breaker to what is at its end.
#include <string.h>

#include "model/part_words.h"
#include "report/outcome_parts.h"
#include "report/show_report.h"
#include "report/wrap.h"

// Columns of a row.
enum { BREAKER_AT = 2, RATING_AT = 14, PLACE_AT = 22, THROUGH_AT = 38, END_AT = 53, AMPS_AT = 71 };

static const char *mark_of(basis b) {
    switch (b) {
    case BASIS_ASSUMED: return "*";
    case BASIS_GUESS: return "g";
    case BASIS_BOOK: return "b";
    case BASIS_MEASURED:
    case BASIS_SURVEY: return "m";
    case BASIS_UNSTATED: return "";
    }
    return "";
}

void load_figure(double amps, text *t) {
    words_figure(t, amps, amps < 0.0995 ? 3 : amps < 0.995 ? 2 : amps < 99.5 ? 1 : 0, "");
}

static void through_words(const bus_map *m, const map_row *row, text *t) {
    const aircraft *a = m->aircraft;
    int said = 0;
    for (int i = 0; i < row->through_count; i++) {
        const map_step *step = &row->through[i];
        const positions *list = part_positions(&a->parts[step->part]);
        text_put(t, said++ ? ", " : "");
        part_short_name(a, step->part, t);
        if (list && step->position >= 0 && step->position < list->count)
            text_all(t, " ", list->labels[step->position], NULL);
        else if (step->position == 0)
            text_put(t, " OFF");  // of a plain switch
    }
}

static void end_words(const bus_map *m, const map_row *row, text *t) {
    const aircraft *a = m->aircraft;
    switch (row->end) {
    case MAP_FEEDS: text_put(t, row->part == PART_AIRFRAME ? "to " : "feeds "); break;
    case MAP_COIL: text_put(t, "coil of "); break;
    case MAP_FIELD: text_put(t, "field of "); break;
    case MAP_SENSE: text_put(t, "sense of "); break;
    case MAP_CHARGES: text_put(t, "charges "); break;
    default: break;
    }
    if (row->end == MAP_NOTHING) {
        int last = row->through_count ? row->through[row->through_count - 1].part : row->protector;
        bool spare = last >= 0 && (a->parts[last].fitted & FITTED_SPARE);
        text_put(t, spare ? "(spare)" : "(nothing)");
    } else if (row->part == PART_AIRFRAME) {
        text_put(t, "the airframe");
    } else {
        part_short_name(a, row->part, t);
    }
}

// The place as it fits its column: of a panel's name the first word. The grid below has it whole.
static void short_place(const part *b, text *t) {
    place_words(b, t);
    if (utf8_columns(text_get(t), t->length) < THROUGH_AT - PLACE_AT)
        return;
    const char *panel = b->panel ? b->panel : "";
    for (int compact = 0; compact < 2; compact++) {
        t->length = 0;
        text_put_n(t, panel, strcspn(panel, " "));
        if (b->row > 0) {
            text_put(t, compact ? " " : " row ");
            text_int(t, b->row);
        }
        if (b->number > 0) {
            text_put(t, compact && b->row > 0 ? "/" : " no ");
            text_int(t, b->number);
        }
        if (utf8_columns(text_get(t), t->length) < THROUGH_AT - PLACE_AT)
            return;
    }
}

static void breaker_columns(const bus_map *m, const map_row *row, size_t line, text *words,
                            text *out) {
    const part *b = &m->aircraft->parts[row->protector];
    part_short_name(m->aircraft, row->protector, words);
    wrap_left(out, line, BREAKER_AT, text_get(words));
    const figure *rating = part_figure(b, KEY_VALUE);
    words->length = 0;
    if (rating) {
        text_number(words, rating->value);
        text_put(words, " A");
        wrap_right(out, line, RATING_AT, 6, text_get(words));
    }
    words->length = 0;
    short_place(b, words);
    if (words->length)
        wrap_left(out, line, PLACE_AT, text_get(words));
}

static void row_text(const bus_map *m, const map_row *row, const map_row *before, text *out) {
    text words = text_make(out->memory);
    size_t line = out->length;
    bool same = before && before->root == row->root && before->protector == row->protector;
    bool outlet = m->aircraft->parts[row->root].kind == KIND_OUTLET;  // its breaker is before it
    if (row->protector < 0)
        wrap_left(out, line, BREAKER_AT, same || outlet ? "" : "(no breaker)");
    else if (!same)
        breaker_columns(m, row, line, &words, out);
    words.length = 0;
    through_words(m, row, &words);
    // A way that's too long for its column takes a line of its own.
    size_t way = (size_t)utf8_columns(text_get(&words), words.length);
    text end = text_make(out->memory);
    end_words(m, row, &end);
    size_t wide = (size_t)utf8_columns(text_get(&end), end.length);
    size_t end_at = way + 2 > END_AT - THROUGH_AT ? THROUGH_AT + way + 2 : END_AT;
    // What is too long for its column starts further left, on a line of its own if need be.
    if (end_at + wide >= AMPS_AT)
        end_at = wide + THROUGH_AT < AMPS_AT ? AMPS_AT - 1 - wide : THROUGH_AT;
    bool long_way = way > 0 && THROUGH_AT + way + 1 > end_at;
    if (words.length) {
        if (long_way) {
            text_put(&words, ":");
            wrap_words(out, line, THROUGH_AT, text_get(&words));
            line = out->length;
        } else {
            wrap_left(out, line, THROUGH_AT, text_get(&words));
        }
    }
    wrap_left(out, line, long_way && end_at > END_AT ? END_AT : end_at, text_get(&end));
    if (row->has_amps) {
        words.length = 0;
        load_figure(row->amps, &words);
        wrap_right(out, line, AMPS_AT, 7, text_get(&words));
        if (mark_of(row->basis)[0])
            text_all(out, " ", mark_of(row->basis), NULL);
    }
    text_char(out, '\n');
    out->failed = out->failed || words.failed || end.failed;
    text_free(&end);
    text_free(&words);
}

// "fed by ALT OUTPUT breaker from alternator; by ammeter shunt from feed stud"
static void fed_by(const bus_map *m, int root, text *t) {
    bool first = true;
    for (int i = 0; i < m->count; i++) {
        const map_row *row = &m->rows[i];
        if (row->end != MAP_FEEDS || row->part != root)
            continue;
        text_put(t, first ? ", fed from " : "; from ");
        first = false;
        part_short_name(m->aircraft, row->root, t);
        int steps = row->through_count + (row->protector >= 0);
        text_put(t, steps ? " through " : "");
        if (row->protector >= 0)
            part_name(m->aircraft, row->protector, t);
        for (int k = 0; k < row->through_count; k++) {
            text_put(t, k || row->protector >= 0 ? ", " : "");
            part_name(m->aircraft, row->through[k].part, t);
        }
    }
}

static void root_heading(const bus_map *m, int root, text *out) {
    text words = text_make(out->memory);
    const part *p = &m->aircraft->parts[root];
    part_short_name(m->aircraft, root, &words);
    if (!text_equal(text_get(&words), p->id))
        text_all(&words, " (", p->id, ")", NULL);
    if (p->kind == KIND_BATTERY)
        text_put(&words, ": the hot line, live with every switch off");
    else if (kind_class(p->kind) == CLASS_SOURCE)
        text_all(&words, ": ",
                 text_equal(kind_word(p->kind), "external-power") ? "ground power"
                                                                  : "its own output",
                 NULL);
    else
        fed_by(m, root, &words);
    text_char(out, '\n');
    wrap_words(out, out->length, 0, text_get(&words));
    out->failed = out->failed || words.failed;
    text_free(&words);
}

static void title(const aircraft *a, text *out) {
    text_put(out, a->name && a->name[0] ? a->name : "Aeroplane without a name");
    if (a->tail && a->tail[0])
        text_all(out, " (", a->tail, ")", NULL);
    text_put(out, ", ");
    text_number(out, a->nominal);
    text_put(out, " V\n");
    for (int i = 0; i < a->paper_count; i++)
        if (text_equal(a->papers[i].key, "equipment-list") ||
            text_equal(a->papers[i].key, "last-survey")) {
            words_of_id(a->papers[i].key, out);
            text_all(out, " ", a->papers[i].value, "\n", NULL);
        }
    char revision[REVISION_SIZE];
    aircraft_revision(a, revision);
    text_all(out, "file ", revision, "\n", NULL);
}

void show_text(const bus_map *m, const char *caution, text *out) {
    title(m->aircraft, out);
    text_char(out, '\n');
    size_t line = out->length;
    wrap_left(out, line, BREAKER_AT, "breaker");
    wrap_right(out, line, RATING_AT, 6, "rating");
    wrap_left(out, line, PLACE_AT, "place");
    wrap_left(out, line, THROUGH_AT, "through");
    wrap_left(out, line, END_AT, "item");
    wrap_right(out, line, AMPS_AT, 7, "A");
    text_char(out, '\n');
    for (int i = 0; i < m->count; i++) {
        const map_row *before =
            i > 0 && m->rows[i - 1].root == m->rows[i].root ? &m->rows[i - 1] : NULL;
        if (!before)
            root_heading(m, m->rows[i].root, out);
        row_text(m, &m->rows[i], before, out);
    }
    text_char(out, '\n');
    wrap_words(out, out->length, 0,
               "A: what each takes at nominal volts while it runs, behind a converter at its own. "
               "m measured, b from a book, g guess, "
               "* assumed; no mark: written without saying where from.");
    show_lists(m->aircraft, out);
    show_places(m->aircraft, out);
    text_char(out, '\n');
    wrap_words(out, out->length, 0, caution);
}
