// An aircraft written down in a test: read, compiled, settled in its first phase.
#ifndef DEADBUS_TEST_SMALL_AIRCRAFT_H
#define DEADBUS_TEST_SMALL_AIRCRAFT_H

#include "circuit/solver.h"

typedef struct small_aircraft {
    aircraft *aircraft;
    solver *solver;
    findings findings;
    outcome *outcome;
} small_aircraft;

// `text` is a printf format: a whole file. Fails the running test if it has an error.
#ifdef __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
void small_aircraft_open(small_aircraft *s, const char *text, ...);
void small_aircraft_close(small_aircraft *s);
// Settles it again in that phase, with one fault if `part` isn't NULL.
void small_aircraft_ask(small_aircraft *s, const char *phase, const char *part, fault_kind fault);

const part_outcome *small_part(const small_aircraft *s, const char *id);
const part *small_line(const small_aircraft *s, const char *id);
int small_findings(const small_aircraft *s, const char *code);  // how many of that code

#endif
