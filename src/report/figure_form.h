// A figure as it would be written in a file: in the unit a person uses.
#ifndef DEADBUS_REPORT_FIGURE_FORM_H
#define DEADBUS_REPORT_FIGURE_FORM_H

#include "base/text.h"
#include "model/aircraft.h"

// SI in, "22 mohm", "10 Ah", "80 %" out; at most 4 digits.
void figure_form(double si, unit u, text *t);
const char *basis_word(basis b);  // "assumed", "guess", "unstated", "book", "measured", "survey"

#endif
