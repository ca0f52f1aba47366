#include "model/part_words.h"
#include "report/endurance_report.h"
#include "report/endurance_words.h"

const char endurance_counts[] = "Only what an item `gives:` in the file counts, or what --keep "
                                "names: see that your radios and instruments are among it.";

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

endurance_row endurance_essential(const endurance_report *r, int *which) {
    const endurance *e = r->found;
    endurance_row first;
    *which = -1;
    for (int k = 0; k < ENDURANCE_CASES; k++) {
        first.at[k] = ENDURANCE_OUTLASTS;
        for (int i = 0; i < r->aircraft->function_count; i++) {
            if (!e->must_stay[i] || !e->function_counts[i] ||
                !sooner(e->of[k].reduced[i], first.at[k]))
                continue;
            first.at[k] = e->of[k].reduced[i];
            if (k == ENDURANCE_LOW)
                *which = i;
        }
    }
    return first;
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
    if (minutes < 1) {
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

void endurance_time_words(const endurance *e, double seconds, text *t) {
    if (seconds < 0)
        text_put(t, "more than ");
    endurance_span_words(seconds < 0 ? e->lasts : seconds, t);
}
