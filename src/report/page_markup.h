// What a page holds as plain markup, for readers that run no scripts.
#ifndef DEADBUS_REPORT_PAGE_MARKUP_H
#define DEADBUS_REPORT_PAGE_MARKUP_H

#include "base/text.h"
#include "model/outcome.h"
#include "report/bus_map.h"

// Kept, reduced and lost by function, with reasons.
void page_functions(const outcome *o, text *out);
// Volts, amps and lights of the phases as they should be: one outcome a phase.
void page_normal(const aircraft *a, outcome *const *phases, text *out);
// Breakers and fuses in the order of their places, with what each carries.
void page_breakers(const bus_map *m, text *out);
// The aircraft file, so that reading it back from the page gives the same bytes.
void page_file(const aircraft *a, text *out);

#endif
