// What a page holds as plain markup, for readers that run no scripts.
#ifndef DEADBUS_REPORT_PAGE_MARKUP_H
#define DEADBUS_REPORT_PAGE_MARKUP_H

#include "base/text.h"
#include "model/outcome.h"
#include "report/bus_map.h"
#include "report/card_result.h"

// Kept, reduced and lost by function, with reasons.
void page_functions(const outcome *o, text *out);
// Volts, amps and lights of the phases as they should be: one outcome a phase.
void page_normal(const aircraft *a, outcome *const *phases, text *out);
// Breakers and fuses in the order of their places, with what each carries.
void page_breakers(const bus_map *m, text *out);
// What the flight-bag card tells and the page can't work out: what works with everything dead, what
// takes most, in which order it fades, how long it lasts. The page takes these onto its card.
void page_card(const card *c, text *out);
// The aircraft file, so that reading it back from the page gives the same bytes.
void page_file(const aircraft *a, text *out);

#endif
