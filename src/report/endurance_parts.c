#include "model/part_words.h"
#include "report/endurance_report.h"
#include "report/endurance_words.h"

const char endurance_counts[] = "Only what an item `gives:` in the file counts, or what --keep "
                                "names: see that your radios and instruments are among it.";

#define DAYS_FROM  259200.0
#define HOURS_FROM 5400.0  // longer is said in hours and minutes

void endurance_unknown_words(const aircraft *a, const endurance_unknown *u, text *t) {
    switch (u->kind) {
    case UNKNOWN_HEALTH: text_put(t, "capacity of the battery by its age"); return;
    case UNKNOWN_COLD: text_put(t, "what cold takes of a battery"); return;
    case UNKNOWN_CHARGE: text_put(t, "charge as the source is lost"); return;
    case UNKNOWN_TEMPERATURE: text_put(t, "temperature"); return;
    case UNKNOWN_LABEL: text_put(t, "rate of the label of "); break;
    case UNKNOWN_RESISTANCE: text_put(t, "resistance of "); break;
    case UNKNOWN_DRAW: text_put(t, "draw of "); break;
    case UNKNOWN_VOLTS: text_put(t, "volts that are too few for "); break;
    }
    part_short_name(a, u->part, t);
}

static bool sooner(double a, double b) { return a >= 0 && (b < 0 || a < b); }

double endurance_by_itself(const endurance *e, int which, int function, bool lost) {
    bool by_hand = e->shed_lost[function] || (!lost && e->shed_functions[function]);
    double at = (lost ? e->of[which].functions : e->of[which].reduced)[function];
    return by_hand && at >= e->noticed ? ENDURANCE_OUTLASTS : at;
}

// What is gone in the low case before hands come to it isn't taken by them.
bool endurance_taken(const endurance *e, int function) {
    bool by_hand = e->shed_functions[function] || e->shed_lost[function];
    return e->must_stay[function] && e->function_counts[function] && by_hand &&
           endurance_by_itself(e, ENDURANCE_LOW, function, e->shed_lost[function]) < 0;
}

endurance_row endurance_function_row(const endurance *e, int function, bool lost) {
    bool by_hand = e->shed_lost[function] || (!lost && e->shed_functions[function]);
    endurance_row row;
    for (int k = 0; k < ENDURANCE_CASES; k++) {
        double at = endurance_by_itself(e, k, function, lost);
        row.at[k] = by_hand && at < 0 ? e->noticed : at;
    }
    return row;
}

// The first of those rows, one a function.
typedef void row_for(const endurance *e, int i, endurance_row *row);

static endurance_row first_of(const endurance_report *r, row_for *of, int *which) {
    endurance_row first = {{ENDURANCE_OUTLASTS, ENDURANCE_OUTLASTS, ENDURANCE_OUTLASTS}}, row;
    *which = -1;
    for (int i = 0; i < r->aircraft->function_count; i++) {
        const endurance *e = r->found;
        if (!e->must_stay[i] || !e->function_counts[i])
            continue;
        of(e, i, &row);
        if (sooner(row.at[ENDURANCE_LOW], first.at[ENDURANCE_LOW]))
            *which = i;
        for (int k = 0; k < ENDURANCE_CASES; k++)
            if (sooner(row.at[k], first.at[k]))
                first.at[k] = row.at[k];
    }
    return first;
}

static void of_all(const endurance *e, int i, endurance_row *row) {
    *row = endurance_function_row(e, i, false);
}

// What hands have only reduced is lost later.
static void of_rest(const endurance *e, int i, endurance_row *row) {
    for (int k = 0; k < ENDURANCE_CASES; k++) {
        double at = endurance_by_itself(e, k, i, false);
        row->at[k] = at < 0 ? endurance_by_itself(e, k, i, true) : at;
    }
}

endurance_row endurance_essential(const endurance_report *r, int *which) {
    return first_of(r, of_all, which);
}

endurance_row endurance_rest(const endurance_report *r, int *which) {
    return first_of(r, of_rest, which);
}

// "left alternator, right alternator", and how many.
static int list_sources(const aircraft *a, const bool *chosen, text *t) {
    int count = 0;
    for (int i = 0; i < a->part_count; i++) {
        if (!chosen[i])
            continue;
        text_put(t, count++ ? ", " : "");
        part_short_name(a, i, t);
    }
    return count;
}

static int count_of(const aircraft *a, const bool *chosen) {
    int count = 0;
    for (int i = 0; i < a->part_count; i++)
        count += chosen[i];
    return count;
}

bool endurance_on_battery(const aircraft *a, const endurance *e) {
    return count_of(a, e->source_lost) > 0 && count_of(a, e->source_goes_on) == 0;
}

void endurance_sources_words(const aircraft *a, const endurance *e, text *t) {
    int lost = count_of(a, e->source_lost), on = count_of(a, e->source_goes_on);
    if (lost == 0 && on == 0) {
        text_put(t, "No source gave anything before: the batteries carry it all.");
        return;
    }
    text_put(t, lost == 0 ? "No source is lost" : lost == 1 ? "Source lost: " : "Sources lost: ");
    list_sources(a, e->source_lost, t);
    text_put(t, on == 0 ? "; none goes on" : on == 1 ? "; goes on: " : "; go on: ");
    list_sources(a, e->source_goes_on, t);
    text_char(t, '.');
}

void endurance_basis(const aircraft *a, int counts[BASIS_MEASURED + 1]) {
    for (int i = 0; i <= BASIS_MEASURED; i++)
        counts[i] = 0;
    for (int i = 0; i < a->part_count; i++) {
        for (int k = 0; k < a->parts[i].value_count; k++) {
            const part_value *v = &a->parts[i].values[k];
            if (v->type == VALUE_FIGURE && v->as.figure.basis <= BASIS_MEASURED)
                counts[v->as.figure.basis]++;
        }
    }
}

void endurance_span_words(double seconds, text *t) {
    int64_t minutes = (int64_t)(seconds / 60);
    if (seconds >= DAYS_FROM) {
        text_int(t, minutes / (24 * 60));
        text_put(t, " days");
    } else if (minutes < 1) {
        text_put(t, "under 1 min");
    } else if (60.0 * (double)minutes < HOURS_FROM) {
        text_int(t, minutes);
        text_put(t, " min");
    } else {
        text_int(t, minutes / 60);
        text_put(t, " h");
        if (minutes % 60 != 0) {
            text_char(t, ' ');
            text_int(t, minutes % 60);
            text_put(t, " min");
        }
    }
}

void endurance_amps_words(double amps, text *t) {
    if (amps > 0 && amps < 0.095)
        words_figure(t, 1000 * amps, 0, "mA");
    else
        words_figure(t, amps, amps < 10 ? 1 : 0, "A");
}

void endurance_time_words(const endurance *e, double seconds, text *t) {
    if (seconds < 0)
        text_put(t, "more than ");
    endurance_span_words(seconds < 0 ? e->lasts : seconds, t);
}
