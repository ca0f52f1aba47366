// How long it lasts, written for people and for programs: the same answer in both.
#ifndef DEADBUS_REPORT_ENDURANCE_REPORT_H
#define DEADBUS_REPORT_ENDURANCE_REPORT_H

#include "base/text.h"
#include "model/aircraft.h"
#include "model/state.h"
#include "study/endurance_result.h"

typedef struct endurance_report {
    const aircraft *aircraft;
    const state *asked;  // positions and faults as the sources are lost
    const state *after;  // positions once it is noticed; NULL: nothing is switched
    const endurance *found;
    bool stays_assumed;    // what must stay is our choice, not the asker's
    bool noticed_assumed;  // so is when it is noticed
    const char *const *notes;
    int note_count;
    const char *caution;
} endurance_report;

void endurance_text(const endurance_report *r, text *out);
void endurance_json(const endurance_report *r, text *out);
void endurance_csv(const endurance_report *r, text *out);

// For the files of this room: of one thing in the three cases.
typedef struct endurance_row {
    double at[ENDURANCE_CASES];
} endurance_row;

// When the first of the functions that must stay and stood before is reduced or lost; `which`: its
// index in the low case, -1: none there, or there is none to lose.
endurance_row endurance_essential(const endurance_report *r, int *which);
// The same without what hands take of them.
endurance_row endurance_rest(const endurance_report *r, int *which);
// Seconds until a function is reduced or lost, or lost, in case `which`, unless hands do it first.
double endurance_by_itself(const endurance *e, int which, int function, bool lost);
// The same in all cases, by hands too.
endurance_row endurance_function_row(const endurance *e, int function, bool lost);
// It must stay, stood before, and hands take or reduce it.
bool endurance_taken(const endurance *e, int function);
// Sources are lost, and none goes on.
bool endurance_on_battery(const aircraft *a, const endurance *e);
// "Source lost: alternator; none goes on."
void endurance_sources_words(const aircraft *a, const endurance *e, text *t);
// "draw of com 1".
void endurance_unknown_words(const aircraft *a, const endurance_unknown *u, text *t);
// What rests on what, by basis, of all figures of the aircraft.
void endurance_basis(const aircraft *a, int counts[BASIS_MEASURED + 1]);

#endif
