#include "report/figure_form.h"

static const struct {
    const char *word;
    double si;  // one of it, in SI
} units[] = {
    [UNIT_NONE] = {"", 1},
    [UNIT_VOLT] = {" V", 1},
    [UNIT_AMP] = {" A", 1},
    [UNIT_OHM] = {" ohm", 1},
    [UNIT_WATT] = {" W", 1},
    [UNIT_AMP_HOUR] = {" Ah", 3600},
    [UNIT_SECOND] = {" s", 1},
    [UNIT_CELSIUS] = {" C", 1},
    [UNIT_PERCENT] = {" %", 0.01},
    [UNIT_RPM] = {" rpm", 1},
    [UNIT_PER_MINUTE] = {" per min", 1},
    [UNIT_HERTZ] = {" Hz", 1},
    [UNIT_KNOT] = {" kt", 1},
    [UNIT_METER] = {" m", 1},
    [UNIT_RATIO] = {" to 1", 1},
};

void figure_form(double si, unit u, text *t) {
    const char *word = units[u].word;
    double one = units[u].si;
    if (u == UNIT_OHM && si != 0 && si < 1) {
        word = " mohm";
        one = 0.001;
    } else if (u == UNIT_AMP && si != 0 && si < 0.1 && si > -0.1) {
        word = " mA";
        one = 0.001;
    } else if (u == UNIT_SECOND && si >= 7200) {
        word = " h";
        one = 3600;
    } else if (u == UNIT_SECOND && si >= 120) {
        word = " min";
        one = 60;
    }
    json_number(t, si / one);
    text_put(t, word);
}

const char *basis_word(basis b) {
    static const char *const words[] = {"assumed", "guess",    "unstated",
                                        "book",    "measured", "survey"};
    return words[b];
}
