// How long it lasts, for programs. Seconds from the loss of the sources, null: outlasts the run.
#include "model/certification.h"
#include "report/endurance_report.h"

static const char *const CASE_WORDS[ENDURANCE_CASES] = {"low", "median", "high"};

static void put_seconds(double seconds, text *out) {
    if (seconds < 0)
        text_put(out, "null");
    else
        json_number(out, seconds);
}

static void put_row(const endurance_row *row, text *out) {
    text_char(out, '{');
    for (int i = 0; i < ENDURANCE_CASES; i++) {
        text_put(out, i ? "," : "");
        json_key(out, CASE_WORDS[i]);
        put_seconds(row->at[i], out);
    }
    text_char(out, '}');
}

static void put_key(text *out, bool *first, const char *key) {
    text_put(out, *first ? "" : ",");
    *first = false;
    json_key(out, key);
}

typedef double *(*times_in)(const endurance_times *t);
static double *items_in(const endurance_times *t) { return t->items; }
static double *weak_in(const endurance_times *t) { return t->weak; }
static double *lets_go_in(const endurance_times *t) { return t->lets_go; }
static double *exhausted_in(const endurance_times *t) { return t->exhausted; }
static double *mute_in(const endurance_times *t) { return t->mute; }
static double *mute_for_good_in(const endurance_times *t) { return t->mute_for_good; }
static double *off_transmitting_in(const endurance_times *t) { return t->off_transmitting; }
static double *off_running_in(const endurance_times *t) { return t->off_running; }
static double *charge_in(const endurance_times *t) { return t->charge; }

static endurance_row row_of(const endurance *e, times_in times, int which) {
    endurance_row row;
    for (int i = 0; i < ENDURANCE_CASES; i++)
        row.at[i] = times(&e->of[i])[which];
    return row;
}

static void put_parts(const endurance_report *r, const char *key, const bool *counts,
                      times_in times, text *out) {
    bool first = true;
    text_put(out, ",\n");
    json_key(out, key);
    text_char(out, '{');
    for (int i = 0; i < r->aircraft->part_count; i++) {
        if (!counts[i])
            continue;
        endurance_row row = row_of(r->found, times, i);
        put_key(out, &first, r->aircraft->parts[i].id);
        put_row(&row, out);
    }
    text_char(out, '}');
}

// What concerns a few parts only.
static void put_transmitting(const endurance_report *r, const char *key, times_in times,
                             text *out) {
    bool first = true;
    text_put(out, ",\n");
    json_key(out, key);
    text_char(out, '{');
    for (int i = 0; i < r->aircraft->part_count; i++) {
        endurance_row row = row_of(r->found, times, i);
        bool ever = false;
        for (int k = 0; k < ENDURANCE_CASES; k++)
            ever = ever || row.at[k] >= 0;
        if (!ever || !r->found->counts[i])
            continue;
        put_key(out, &first, r->aircraft->parts[i].id);
        put_row(&row, out);
    }
    text_char(out, '}');
}

static void put_functions(const endurance_report *r, const char *key, bool lost, text *out) {
    bool first = true;
    text_put(out, ",\n");
    json_key(out, key);
    text_char(out, '{');
    for (int i = 0; i < r->aircraft->function_count; i++) {
        if (!r->found->function_counts[i])
            continue;
        endurance_row row = endurance_function_row(r->found, i, lost);
        put_key(out, &first, r->aircraft->functions[i].name);
        put_row(&row, out);
    }
    text_char(out, '}');
}

static void put_stays(const endurance_report *r, text *out) {
    int which;
    endurance_row row = endurance_essential(r, &which);
    text_put(out, ",\n\"must_stay\":{\"functions\":[");
    for (int i = 0, n = 0; i < r->aircraft->function_count; i++) {
        if (!r->found->must_stay[i])
            continue;
        text_put(out, n++ ? "," : "");
        json_string(out, r->aircraft->functions[i].name);
    }
    text_all(out, "],\"assumed\":", r->stays_assumed ? "true" : "false", ",\"first\":", NULL);
    if (which >= 0)
        json_string(out, r->aircraft->functions[which].name);
    else
        text_put(out, "null");
    text_put(out, ",\"lasts\":");
    put_row(&row, out);
    text_put(out, ",\"by_hand\":[");
    for (int i = 0, n = 0; i < r->aircraft->function_count; i++) {
        if (!endurance_taken(r->found, i))
            continue;
        text_put(out, n++ ? "," : "");
        json_string(out, r->aircraft->functions[i].name);
    }
    text_put(out, "]}");
}

static void put_ids(const aircraft *a, const bool *chosen, const char *key, text *out) {
    text_put(out, ",");
    json_key(out, key);
    text_char(out, '[');
    for (int i = 0, n = 0; i < a->part_count; i++) {
        if (!chosen[i])
            continue;
        text_put(out, n++ ? "," : "");
        json_string(out, a->parts[i].id);
    }
    text_char(out, ']');
}

static void put_switching(const endurance_report *r, text *out) {
    text_put(out, ",\n\"noticed\":");
    put_seconds(r->found->noticed, out);
    text_all(out, ",\"noticed_assumed\":", r->noticed_assumed ? "true" : "false", NULL);
    put_ids(r->aircraft, r->found->failed, "failed", out);
    put_ids(r->aircraft, r->found->switched, "switched", out);
    put_ids(r->aircraft, r->found->source_lost, "sources_lost", out);
    put_ids(r->aircraft, r->found->source_goes_on, "sources_go_on", out);
    put_ids(r->aircraft, r->found->blank, "without_data", out);
    put_ids(r->aircraft, r->found->shed, "shed", out);
    text_put(out, ",\"shed_functions\":[");
    for (int i = 0, n = 0; i < r->aircraft->function_count; i++) {
        if (!r->found->shed_functions[i] ||
            endurance_by_itself(r->found, ENDURANCE_LOW, i, r->found->shed_lost[i]) >= 0)
            continue;
        text_put(out, n++ ? "," : "");
        json_string(out, r->aircraft->functions[i].name);
    }
    text_char(out, ']');
}

// What of the switching is never done in flight.
static void put_never(const endurance *e, text *out) {
    static const char *const words[] = {"battery off the line", "working source stopped",
                                        "engine or supply", "radios in cloud"};
    text_put(out, ",\"never_in_flight\":[");
    for (int i = 0, n = 0; i < 4; i++) {
        if (!(e->never >> i & 1u))
            continue;
        text_put(out, n++ ? "," : "");
        json_string(out, words[i]);
    }
    text_char(out, ']');
}

// In how many of the flights each is lost.
static void put_lost_in(const endurance_report *r, text *out) {
    const aircraft *a = r->aircraft;
    bool first = true;
    text_put(out, ",\n\"lost_in\":{\"items\":{");
    for (int i = 0; i < a->part_count; i++) {
        if (!r->found->counts[i])
            continue;
        put_key(out, &first, a->parts[i].id);
        text_int(out, r->found->items_lost[i]);
    }
    text_put(out, "},\"functions\":{");
    first = true;
    for (int i = 0; i < a->function_count; i++) {
        if (!r->found->function_counts[i])
            continue;
        put_key(out, &first, a->functions[i].name);
        text_int(out, r->found->functions_lost[i]);
    }
    text_put(out, "}}");
}

static void put_flights(const endurance_report *r, text *out) {
    const endurance *e = r->found;
    text_put(out, ",\n\"flights\":");
    text_int(out, e->flights);
    text_put(out, ",\"seed\":");
    if (e->flights > 0)
        text_int(out, (int64_t)e->seed);
    else
        text_put(out, "null");
    text_put(out, ",\"unknowns\":[");
    text name = text_make(out->memory);
    for (int i = 0; i < e->unknown_count && e->flights > 0; i++) {
        name.length = 0;
        endurance_unknown_words(r->aircraft, &e->unknowns[i], &name);
        text_put(out, i ? ",{\"what\":" : "{\"what\":");
        json_string(out, text_get(&name));
        text_put(out, ",\"share\":");
        json_number(out, e->unknowns[i].share);
        text_char(out, '}');
    }
    out->failed = out->failed || name.failed;
    text_free(&name);
    text_char(out, ']');
}

static void put_cases(text *out) {
    text_put(out, ",\n\"cases\":{");
    for (int i = 0; i < ENDURANCE_CASES; i++) {
        text_put(out, i ? "," : "");
        json_key(out, CASE_WORDS[i]);
        text_put(out, "{\"health\":");
        json_number(out, endurance_assumed[i].health);
        text_all(out, ",\"cold\":\"", endurance_assumed[i].pessimistic ? "pessimistic" : "usual",
                 "\"}", NULL);
    }
    text_char(out, '}');
}

static void put_linear(const endurance *e, text *out) {
    text_put(out, ",\n\"linear\":");
    put_seconds(e->linear, out);
    text_put(out, ",\"linear_method\":{\"ampere_hours\":");
    json_number(out, e->ampere_hours);
    text_put(out, ",\"derating\":");
    json_number(out, e->linear_derating);
    text_put(out, ",\"amps\":");
    json_number(out, e->amps);
    text_char(out, '}');
}

static void put_figure(const aircraft *a, text *out) {
    battery_figure f = certification_battery(a);
    text_all(out, ",\n\"figure_asked\":{\"applies\":", f.applies ? "true" : "false",
             ",\"minutes\":", NULL);
    if (f.applies)
        text_int(out, f.minutes);
    else
        text_put(out, "null");
    text_put(out, ",\"minutes_above_25000_ft\":");
    if (f.minutes_high)
        text_int(out, f.minutes_high);
    else
        text_put(out, "null");
    text_put(out, ",\"certified_under\":");
    if (f.basis != NULL)
        json_string(out, f.basis);
    else
        text_put(out, "null");
    text_char(out, '}');
}

static void put_foot(const endurance_report *r, text *out) {
    static const char *const words[] = {"assumed", "guess", "unstated", "book", "measured"};
    int counts[BASIS_MEASURED + 1];
    endurance_basis(r->aircraft, counts);
    text_put(out, ",\n\"basis\":{");
    for (int i = 0; i <= BASIS_MEASURED; i++) {
        text_put(out, i ? "," : "");
        json_key(out, words[i]);
        text_int(out, counts[i]);
    }
    text_put(out, "},\n\"notes\":[");
    for (int i = 0; i < r->note_count; i++) {
        text_put(out, i ? "," : "");
        json_string(out, r->notes[i]);
    }
    text_put(out, "],\n\"caution\":");
    json_string(out, r->caution);
    text_put(out, "}\n");
}

void endurance_json(const endurance_report *r, text *out) {
    const endurance *e = r->found;
    text_put(out, "{\"phase\":");
    json_string(out, r->aircraft->phases[r->asked->phase].name);
    text_put(out, ",\"lasts\":");
    json_number(out, e->lasts);
    text_put(out, ",\"amps\":");
    json_number(out, e->amps);
    put_parts(r, "items", e->counts, items_in, out);
    put_parts(r, "weak", e->counts, weak_in, out);
    put_transmitting(r, "transmits_until", mute_in, out);
    put_transmitting(r, "mute_for_good", mute_for_good_in, out);
    put_transmitting(r, "off_while_transmitting", off_transmitting_in, out);
    put_transmitting(r, "off_while_running", off_running_in, out);
    put_functions(r, "functions", true, out);
    put_functions(r, "reduced", false, out);
    put_stays(r, out);
    put_parts(r, "contactors", e->holds, lets_go_in, out);
    put_parts(r, "exhausted", e->batteries, exhausted_in, out);
    put_parts(r, "charge", e->batteries, charge_in, out);
    put_switching(r, out);
    put_never(e, out);
    put_linear(e, out);
    put_figure(r->aircraft, out);
    put_flights(r, out);
    if (e->flights == 0)
        put_cases(out);
    else
        put_lost_in(r, out);
    put_foot(r, out);
}
