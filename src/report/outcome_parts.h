// Questions about an outcome that its text and its JSON both ask. Only for the files of this room.
#ifndef DEADBUS_REPORT_OUTCOME_PARTS_H
#define DEADBUS_REPORT_OUTCOME_PARTS_H

#include "base/text.h"
#include "report/outcome_report.h"

// "alternator dead; FLAP switch at TAKE-OFF": what differs from the phase.
void outcome_deviations(const outcome *o, text *t);
// "Of the 360 figures behind this 259 are assumed, 7 guessed."
void assumed_words(const int counts[BASIS_MEASURED + 1], text *t);
// The page of the approved handbook that decides about a breaker, "" if the file names none.
void handbook_page(const part *p, text *t);
// "row 1 no 3", "" if it has no place in the grid.
void place_words(const part *p, text *t);
bool outcome_heats_wires(
    const outcome *o);  // a breaker opened or may trip, or a short or overload is asked
bool outcome_any_trouble(
    const outcome *o);  // anything failed, opened, lost or weak against the base
int outcome_basis_total(const outcome *o);

extern const char caution_reset[], caution_heat[], caution_smoke[];

#endif
