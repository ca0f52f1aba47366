#include "report/figure_form.h"

#include "model/units.h"

// Four digits are more than any figure in an aircraft file is good for.
static void put_number(double value, text *t) { text_short(t, value, 4); }

void figure_form(double si, unit u, text *t) {
    double size = si < 0 ? -si : si;
    const char *word = unit_usual(u);
    double one = unit_factor(u);
    if (u == UNIT_OHM && size > 0 && size < 1) {
        word = "mohm";
        one = 0.001;
    } else if (u == UNIT_AMP && size > 0 && size < 0.1) {
        word = "mA";
        one = 0.001;
    } else if (u == UNIT_SECOND && size >= 7200) {
        word = "h";
        one = 3600;
    } else if (u == UNIT_SECOND && size >= 120) {
        word = "min";
        one = 60;
    }
    put_number(si / one, t);
    if (*word)
        text_all(t, " ", word, NULL);
}

const char *basis_word(basis b) {
    static const char *const words[] = {"assumed", "guess",    "unstated",
                                        "book",    "measured", "survey"};
    return words[b];
}
