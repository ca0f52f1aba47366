// What to switch off: the sentence first, the steps in their order, then what that rests on.
#include <string.h>

#include "model/part_words.h"
#include "report/endurance_words.h"
#include "report/outcome_parts.h"
#include "report/shed_report.h"
#include "report/wrap.h"

enum { STEP_AT = 6 };

// ---- what all forms ask -----------------------------------------------------------------------
const char *shed_position(const aircraft *a, const shed_step *step) {
    const part *p = &a->parts[step->part];
    const positions *list = part_positions(p);
    int at = (int)step->setting;
    if (p->kind == KIND_SWITCH && list != NULL && at >= 0 && at < list->count)
        return list->labels[at];
    return p->kind == KIND_BREAKER ? "out" : p->kind == KIND_DIMMER ? "0%" : "off";
}

endurance_row shed_stays(const shed_report *r, const endurance *e, int *which) {
    endurance_report one = {.aircraft = r->aircraft, .asked = r->asked, .found = e};
    return endurance_essential(&one, which);
}

// ---- for people --------------------------------------------------------------------------------
static void put(const text *words, size_t indent, text *out) {
    wrap_words(out, out->length, indent, text_get(words));
}

static void start(text *t) {
    t->length = 0;
    text_put(t, "");
}

static void say_first(const shed_report *r, const endurance *e, text *t) {
    int which;
    endurance_row row = shed_stays(r, e, &which);
    text_put(t, "low case ");
    endurance_time_words(e, row.at[ENDURANCE_LOW], t);
    if (which >= 0) {
        text_put(t, " until ");
        words_of_id(r->aircraft->functions[which].name, t);
        text_put(t, " is reduced or lost");
    }
    text_put(t, ", middle case ");
    endurance_time_words(e, row.at[ENDURANCE_MIDDLE], t);
}

// "the landing light for the last 5 min and one cycle of flaps and landing gear"
static void reserve_words(const shed_report *r, text *t) {
    const shed_reserve *k = &r->found->reserve;
    if (k->light) {
        text_put(t, "a landing light for the last ");
        endurance_span_words(SHED_LIGHT_SECONDS, t);
    }
    text_put(t, k->light && k->cycle_count > 0 ? " and " : "");
    if (k->cycle_count > 0)
        text_put(t, "one cycle (there and back) of ");
    for (int i = 0; i < k->cycle_count; i++) {
        text_put(t, i == 0 ? "" : i + 1 < k->cycle_count ? ", " : " and ");
        part_short_name(r->aircraft, k->cycles[i].part, t);
    }
}

static void head(const shed_report *r, text *t, text *out) {
    const aircraft *a = r->aircraft;
    const shed *s = r->found;
    start(t);
    text_put(t, a->name && a->name[0] ? a->name : "Aeroplane without a name");
    if (a->tail && a->tail[0])
        text_all(t, " (", a->tail, ")", NULL);
    text_all(t, ", ", a->phases[r->asked->phase].name, ", ", r->asked->night ? "night" : "day",
             r->asked->cloud ? ", in cloud" : "", r->asked->icing ? ", icing" : "", ". ", NULL);
    endurance_sources_words(a, &s->plain, t);
    put(t, 0, out);
    int counts[BASIS_MEASURED + 1];
    endurance_basis(a, counts);
    start(t);
    assumed_words(counts, t);
    put(t, 0, out);
    text_char(out, '\n');
    start(t);
    if (s->bare) {
        text_put(t, "It can't be made to last ");
        endurance_span_words(s->needed, t);
        text_put(t, " in the low case with ");
        reserve_words(r, t);
        text_put(t, " in hand. What follows lasts that long only WITHOUT these.");
    } else if (s->possible && s->step_count == 0) {
        text_put(t, "Nothing has to be switched off for ");
        endurance_span_words(s->needed, t);
        text_char(t, '.');
    } else {
        text_put(t, s->possible ? "It can last " : "It can't be made to last ");
        endurance_span_words(s->needed, t);
        text_put(t, s->possible ? " in the low case."
                                : " in the low case with what may be "
                                  "switched off. What follows is the "
                                  "nearest.");
    }
    put(t, 0, out);
    start(t);
    text_put(t, "With nothing switched off: ");
    say_first(r, &s->plain, t);
    text_char(t, '.');
    int which;
    shed_stays(r, &s->plain, &which);
    if (which < 0)
        text_all(t, " ", endurance_counts, NULL);
    put(t, 0, out);
    for (int i = 0; i < r->note_count; i++)
        wrap_words(out, out->length, 0, r->notes[i]);
}

static void kept(const shed_report *r, text *t, text *out) {
    const endurance *e = &r->found->plain;
    start(t);
    text_put(t, r->stays_assumed ? "What must stay (assumed; --keep says otherwise): "
                                 : "What must stay: ");
    int count = 0;
    for (int i = 0; i < r->aircraft->function_count; i++) {
        if (!e->must_stay[i])
            continue;
        text_put(t, count++ ? ", " : "");
        words_of_id(r->aircraft->functions[i].name, t);
        text_put(t, e->function_counts[i] ? "" : " (not there to begin with)");
    }
    text_put(t, count ? "." : "nothing that the aeroplane has.");
    put(t, 0, out);
}

static void bare_words(const aircraft *a, const shed_step *s, text *t) {
    if (s->bare_count == 0)
        return;
    text_put(t,
             s->lose_count ? ", and takes the last spare of " : ", but takes the last spare of ");
    for (int i = 0; i < s->bare_count; i++) {
        text_put(t, i ? ", " : "");
        words_of_id(a->functions[s->bares[i]].name, t);
    }
}

static void step_words(const shed_report *r, const shed_step *s, text *t) {
    const aircraft *a = r->aircraft;
    part_sentence_name(a, s->part, t);
    text_char(t, ' ');
    text_put(t, shed_position(a, s));
    text_put(t, ": saves ");
    words_figure(t, s->saves, 1, "A");
    text_put(t, s->lose_count ? "; loses " : "; loses no function");
    for (int i = 0; i < s->lose_count; i++) {
        text_put(t, i ? ", " : "");
        words_of_id(a->functions[s->loses[i]].name, t);
    }
    bare_words(a, s, t);
    if (s->item_count > 0)
        text_put(t, " (off: ");
    for (int i = 0; i < s->item_count; i++) {
        text_put(t, i ? ", " : "");
        part_short_name(a, s->items[i], t);
    }
    text_put(t, s->item_count > 0 ? ")." : ".");
}

// The verb is needed again where what they give becomes what they take.
static void say_amps(double amps, bool verb, text *t) {
    if (verb)
        text_put(t, amps < 0 ? "are charged with " : "give ");
    words_figure(t, amps < 0 ? -amps : amps, 1, "A");
}

static void steps(const shed_report *r, text *t, text *out) {
    const shed *s = r->found;
    if (s->step_count == 0)
        return;
    start(t);
    text_put(t, "Once it is noticed, after ");
    endurance_span_words(s->noticed, t);
    text_put(t, r->noticed_assumed ? " (assumed), in this order" : ", in this order");
    wrap_heading(out, text_get(t));
    for (int i = 0; i < s->step_count; i++) {
        size_t line = out->length;
        start(t);
        text_int(t, i + 1);
        text_char(t, '.');
        wrap_left(out, line, 2, text_get(t));
        start(t);
        step_words(r, &s->steps[i], t);
        wrap_words(out, line, STEP_AT, text_get(t));
    }
    text_char(out, '\n');
    start(t);
    text_put(t, "The batteries ");
    say_amps(s->amps, true, t);
    text_put(t, " before it, ");
    say_amps(s->amps_after, (s->amps < 0) != (s->amps_after < 0), t);
    text_put(t, " after it. Run so: ");
    say_first(r, &s->after, t);
    text_char(t, '.');
    put(t, 0, out);
}

// What is proved to be left for the landing, and what isn't.
static void in_hand(const shed_report *r, text *t, text *out) {
    const shed *s = r->found;
    const shed_reserve *k = &s->reserve;
    wrap_heading(out, "What is kept in hand");
    start(t);
    if (s->possible && (k->light || k->cycle_count > 0)) {
        text_put(t, "It was run with ");
        reserve_words(r, t);
        text_put(t, " in hand: what must stay stays all the while");
        text_put(t, k->cycle_count > 0 ? ", though it may be weak while that moves. " : ". ");
    } else if (s->bare || !s->possible) {
        text_put(t, "Nothing is proved to be left for one flap or gear cycle and a landing light: "
                    "keep them in hand all the same. ");
    }
    if (s->possible && !k->light && r->asked->airborne)
        text_put(t, "No landing light works after this loss, or none is known to the file. ");
    text_put(t, "Transmit little: transmitting draws most.");
    put(t, 2, out);
}

static void foot(const shed_report *r, text *t, text *out) {
    wrap_heading(out, "What was not offered");
    start(t);
    text_put(t, "Never: what puts the battery off the line, stops a source that works or is its "
                "breaker, feeds the engine or makes a supply, silences several radios at once in "
                "cloud, or is out of reach. Besides, nothing that takes what must stay. Here ");
    text_int(t, r->found->kept_back);
    text_put(t, r->found->kept_back == 1 ? " hand was" : " hands were");
    text_put(t, " kept back so.");
    put(t, 2, out);
    in_hand(r, t, out);
    wrap_heading(out, "What this rests on");
    wrap_words(
        out, out->length, 2,
        "The low case: a battery at 80 % of its capacity (at which it is rejected) and the "
        "colder of the published figures for cold. `endurance` says more. Nothing is taken off "
        "for a start, whose charge is put back within minutes, nor for the dip of a motor "
        "that is started on the way. Nobody can know the battery's state in flight.");
    text_char(out, '\n');
    wrap_words(out, out->length, 0, r->caution);
    wrap_words(out, out->length, 0,
               "No minutes are promised, and this is no checklist: the approved handbook's "
               "procedure for the loss of the source comes first.");
    wrap_words(out, out->length, 0, caution_smoke);
}

void shed_text(const shed_report *r, text *out) {
    text words = text_make(out->memory);
    head(r, &words, out);
    kept(r, &words, out);
    steps(r, &words, out);
    foot(r, &words, out);
    out->failed = out->failed || words.failed;
    text_free(&words);
}

// ---- for programs ------------------------------------------------------------------------------
static void put_seconds(double seconds, text *out) {
    if (seconds < 0)
        text_put(out, "null");
    else
        json_number(out, seconds);
}

static void put_step(const aircraft *a, const shed_step *s, text *out) {
    text name = text_make(out->memory);
    text_all(&name, a->parts[s->part].id, "=", shed_position(a, s), NULL);
    text_put(out, "{\"do\":");
    json_string(out, text_get(&name));
    out->failed = out->failed || name.failed;
    text_free(&name);
    text_put(out, ",\"saves_amps\":");
    json_number(out, s->saves);
    text_put(out, ",\"loses\":[");
    for (int i = 0; i < s->lose_count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, a->functions[s->loses[i]].name);
    }
    text_put(out, "],\"last_spare_of\":[");
    for (int i = 0; i < s->bare_count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, a->functions[s->bares[i]].name);
    }
    text_put(out, "],\"off\":[");
    for (int i = 0; i < s->item_count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, a->parts[s->items[i]].id);
    }
    text_put(out, "]}");
}

static void put_lasts(const shed_report *r, const endurance *e, text *out) {
    int which;
    endurance_row row = shed_stays(r, e, &which);
    text_put(out, "{\"low\":");
    put_seconds(row.at[ENDURANCE_LOW], out);
    text_put(out, ",\"median\":");
    put_seconds(row.at[ENDURANCE_MIDDLE], out);
    text_char(out, '}');
}

// Of what must stay: what worked before, or what didn't.
static void put_stays(const shed_report *r, const char *before, bool there, text *out) {
    text_put(out, before);
    for (int i = 0, n = 0; i < r->aircraft->function_count; i++) {
        if (!r->found->plain.must_stay[i] || r->found->plain.function_counts[i] != there)
            continue;
        text_put(out, n++ ? "," : "");
        json_string(out, r->aircraft->functions[i].name);
    }
}

static void put_sources(const shed_report *r, const char *before, const bool *chosen, text *out) {
    text_put(out, before);
    for (int i = 0, n = 0; i < r->aircraft->part_count; i++) {
        if (!chosen[i])
            continue;
        text_put(out, n++ ? "," : "");
        json_string(out, r->aircraft->parts[i].id);
    }
}

static void put_reserve(const shed_report *r, text *out) {
    const shed_reserve *k = &r->found->reserve;
    text_all(out, ",\n\"reserve\":{\"proved\":", r->found->possible ? "true" : "false",
             ",\"light\":", k->light ? "true" : "false", ",\"cycles\":[", NULL);
    for (int i = 0; i < k->cycle_count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, r->aircraft->parts[k->cycles[i].part].id);
    }
    text_put(out, "]}");
}

void shed_json(const shed_report *r, text *out) {
    const shed *s = r->found;
    int which;
    endurance_row row = shed_stays(r, &s->after, &which);
    text_all(out, "{\"possible\":", s->possible ? "true" : "false", ",\n\"needed\":", NULL);
    json_number(out, s->needed);
    text_put(out, ",\"noticed\":");
    json_number(out, s->noticed);
    text_put(out, ",\n\"steps\":[");
    for (int i = 0; i < s->step_count; i++) {
        text_put(out, i ? ",\n" : "");
        put_step(r->aircraft, &s->steps[i], out);
    }
    text_put(out, "],\n\"lasts\":");
    put_lasts(r, &s->after, out);
    text_put(out, ",\n\"without\":");
    put_lasts(r, &s->plain, out);
    text_put(out, ",\n\"nearest\":");
    put_seconds(s->possible ? ENDURANCE_OUTLASTS : row.at[ENDURANCE_LOW], out);
    put_reserve(r, out);
    text_put(out, ",\n\"amps\":");
    json_number(out, s->amps);
    text_put(out, ",\"amps_after\":");
    json_number(out, s->amps_after);
    put_stays(r, ",\n\"must_stay\":[", true, out);
    put_stays(r, "],\"not_there\":[", false, out);
    put_sources(r, "],\"sources_lost\":[", s->plain.source_lost, out);
    put_sources(r, "],\"sources_go_on\":[", s->plain.source_goes_on, out);
    text_put(out, "],\"kept_back\":");
    text_int(out, s->kept_back);
    text_put(out, ",\n\"notes\":[");
    for (int i = 0; i < r->note_count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, r->notes[i]);
    }
    text_put(out, "],\n\"caution\":");
    json_string(out, r->caution);
    text_put(out, "}\n");
}
