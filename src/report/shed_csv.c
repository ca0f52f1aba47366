// What to switch off, as a table for a spreadsheet: a step a row, then how long it lasts so.
#include "report/shed_report.h"
#include "report/show_report.h"

// One field of several words.
static void put_functions(const aircraft *a, const int *which, int count, text *words, text *out) {
    words->length = 0;
    text_put(words, "");
    for (int i = 0; i < count; i++)
        text_all(words, i ? " " : "", a->functions[which[i]].name, NULL);
    text_char(out, ',');
    text_put(out, text_get(words));
}

static void put_step(const aircraft *a, const shed_step *s, text *words, text *out) {
    text_all(out, ",", a->parts[s->part].id, "=", shed_position(a, s), ",", NULL);
    json_number(out, s->saves);
    put_functions(a, s->loses, s->lose_count, words, out);
    put_functions(a, s->bares, s->bare_count, words, out);
    text_char(out, ',');
    for (int i = 0; i < s->item_count; i++)
        text_all(out, i ? " " : "", a->parts[s->items[i]].id, NULL);
    text_put(out, ",\r\n");
}

static void put_result(const char *what, double seconds, text *out) {
    text_all(out, ",", what, ",,,,,", NULL);
    if (seconds >= 0)
        json_number(out, seconds);
    text_put(out, "\r\n");
}

void shed_csv(const shed_report *r, text *out) {
    const shed *s = r->found;
    text words = text_make(out->memory);
    int which;
    endurance_row so = shed_stays(r, &s->after, &which), plain = shed_stays(r, &s->plain, &which);
    text_put(out, "order,do,saves_amps,loses,last_spare_of,off,seconds\r\n");
    for (int i = 0; i < s->step_count; i++) {
        text_int(out, i + 1);
        put_step(r->aircraft, &s->steps[i], &words, out);
    }
    put_result(s->possible ? "needed: it can last" : "needed: it can't be made to last", s->needed,
               out);
    put_result("lasts so: low case", so.at[ENDURANCE_LOW], out);
    put_result("lasts so: middle case", so.at[ENDURANCE_MIDDLE], out);
    put_result("with nothing switched off: low case", plain.at[ENDURANCE_LOW], out);
    text_char(out, ',');
    csv_field(out, r->caution);
    text_put(out, ",,,,,\r\n,\"No minutes are promised, and this is no checklist: the approved "
                  "handbook's procedure for the loss of the source comes first.\",,,,,\r\n");
    out->failed = out->failed || words.failed;
    text_free(&words);
}
