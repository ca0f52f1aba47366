// What the files that write endurance as plain text share. Only for them.
#ifndef DEADBUS_REPORT_ENDURANCE_PAGE_H
#define DEADBUS_REPORT_ENDURANCE_PAGE_H

#include "report/endurance_report.h"

typedef struct endurance_page {
    const endurance_report *report;
    const aircraft *aircraft;
    const endurance *found;
    text *out;
    text words;  // where a line is put together
} endurance_page;

text *page_words(endurance_page *p);              // emptied
void page_put(endurance_page *p, size_t indent);  // the words, wrapped
bool page_flights(const endurance_page *p);       // many flights instead of three cases

// Which aeroplane, what is lost and goes on, how long, what must stay, what the batteries give.
void endurance_head(endurance_page *p);

#endif
