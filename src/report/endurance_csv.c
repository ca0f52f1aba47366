// How long it lasts, as a table for a spreadsheet: one row for each thing and what becomes of it,
// seconds from the loss of the sources, empty: outlasts the run.
#include "report/endurance_report.h"
#include "report/show_report.h"

static void put_seconds(double seconds, text *out) {
    text_char(out, ',');
    if (seconds >= 0)
        json_number(out, seconds);
}

static void put_row(const char *what, const char *id, const endurance_row *row, text *out) {
    text_all(out, what, ",", id, NULL);
    for (int i = 0; i < ENDURANCE_CASES; i++)
        put_seconds(row->at[i], out);
    text_put(out, "\r\n");
}

static double *times_of(const endurance_times *t, int which) {
    double *const all[] = {
        t->items,       t->weak,    t->mute,     t->mute_for_good, t->off_transmitting,
        t->off_running, t->lets_go, t->exhausted};
    return all[which];
}

// Of radios that never fall mute, and what nothing takes while they transmit, there is no row: all
// items would stand there twice.
static void parts(const endurance_report *r, text *out) {
    static const char *const WHAT[] = {"off",
                                       "weak",
                                       "transmits until",
                                       "transmits no more for good",
                                       "off while a radio transmits",
                                       "off while something runs",
                                       "contactor lets go",
                                       "battery exhausted"};
    const endurance *e = r->found;
    const bool *const counts[] = {e->counts, e->counts, e->counts, e->counts,
                                  e->counts, e->counts, e->holds,  e->batteries};
    for (int which = 0; which < 8; which++) {
        for (int i = 0; i < r->aircraft->part_count; i++) {
            endurance_row row;
            bool ever = which < 2 || which > 5;
            for (int k = 0; k < ENDURANCE_CASES; k++) {
                row.at[k] = times_of(&e->of[k], which)[i];
                ever = ever || row.at[k] >= 0;
            }
            if (counts[which][i] && ever)
                put_row(which == 0 && e->blank[i] ? "without data" : WHAT[which],
                        r->aircraft->parts[i].id, &row, out);
        }
    }
}

static void functions(const endurance_report *r, text *out) {
    for (int lost = 0; lost < 2; lost++) {
        for (int i = 0; i < r->aircraft->function_count; i++) {
            if (!r->found->function_counts[i])
                continue;
            endurance_row row = endurance_function_row(r->found, i, lost != 0);
            put_row(lost ? "function lost" : "function reduced", r->aircraft->functions[i].name,
                    &row, out);
        }
    }
}

void endurance_csv(const endurance_report *r, text *out) {
    int first;
    endurance_row row = endurance_essential(r, &first);
    text_put(out, r->found->flights > 0 ? "what,id,low 5 % seconds,median seconds,95 % seconds\r\n"
                                        : "what,id,low seconds,middle seconds,new seconds\r\n");
    put_row("first of what must stay", first >= 0 ? r->aircraft->functions[first].name : "", &row,
            out);
    functions(r, out);
    parts(r, out);
    row = (endurance_row){{r->found->linear, r->found->linear, r->found->linear}};
    put_row("linear method of load analyses", "", &row, out);
    text_put(out, "caution,");
    csv_field(out, r->caution);
    text_put(out,
             ",,,\r\ncaution,No minutes are promised: the approved handbook's procedure for the "
             "loss of the source comes first.,,,\r\n");
}
