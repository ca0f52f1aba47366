// A card's content for a terminal and for programs.
#ifndef DEADBUS_REPORT_CARD_REPORT_H
#define DEADBUS_REPORT_CARD_REPORT_H

#include "base/text.h"
#include "report/card_result.h"

void card_text(const card *c, text *out);
void card_json(const card *c, text *out);

#endif
