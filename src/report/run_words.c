// Times and names in a scenario's log.
#include "model/part_words.h"
#include "report/run_report.h"

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
