// Times and names in a scenario's log.
#include "model/part_words.h"
#include "report/run_report.h"

static void two_digits(int64_t n, text *t) {
    if (n < 10)
        text_char(t, '0');
    text_int(t, n);
}

void run_clock(double seconds, text *t) {
    int64_t whole = (int64_t)(seconds + 0.5);
    if (whole >= 3600) {
        text_int(t, whole / 3600);
        text_char(t, ':');
        two_digits(whole / 60 % 60, t);
    } else {
        text_int(t, whole / 60);
    }
    text_char(t, ':');
    two_digits(whole % 60, t);
}

void run_span(double seconds, text *t) {
    int64_t whole = (int64_t)(seconds + 0.5);
    if (seconds < 9.95) {
        text_fixed(t, seconds, 1);
        text_put(t, " s");
    } else if (whole < 60) {
        text_int(t, whole);
        text_put(t, " s");
    } else if (whole < 600) {
        text_int(t, whole / 60);
        text_put(t, " min ");
        text_int(t, whole % 60);
        text_put(t, " s");
    } else {
        int64_t minutes = (whole + 30) / 60;
        if (minutes >= 60) {
            text_int(t, minutes / 60);
            text_put(t, " h ");
        }
        text_int(t, minutes % 60);
        text_put(t, " min");
    }
}

void run_fact_name(const aircraft *a, scenario_thing thing, text *t) {
    if (thing.part >= 0)
        part_name(a, thing.part, t);
    else
        words_of_id(a->functions[thing.function].name, t);
}
