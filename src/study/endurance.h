// How long it lasts once the sources are lost: until each item drops out, each function is gone, a
// contactor lets go and a battery is exhausted. One run a case; the cases differ in the batteries.
#ifndef DEADBUS_STUDY_ENDURANCE_H
#define DEADBUS_STUDY_ENDURANCE_H

#include "circuit/solve.h"
#include "circuit/solver.h"
#include "study/endurance_result.h"

typedef struct endurance_question {
    // Positions and faults. The faults come once all has settled without them; without any, every
    // alternator, generator and ground supply goes dead.
    const state *asked;
    const state *after;     // positions from `noticed` on; NULL: nothing is switched
    double noticed, lasts;  // seconds from the loss of the sources
    const bool *must_stay;  // function_count; NULL: none
} endurance_question;

// Results live in `memory`.
status endurance_find(solver *s, const endurance_question *q, arena *memory, endurance *out);

// ---- for flights.c: one run of one such question
typedef struct endurance_wait {
    const double *found;  // a time in the endurance that is found
    double latest;        // seconds, from which on it isn't waited for
} endurance_wait;

typedef struct endurance_flight {
    solver *solver;
    const state *from;  // without the faults
    double health, tolerance, resolution;
    bool pessimistic;
    bool coarse;     // see run_options
    bool cycles;     // what draws part of the time goes on and off; else its average counts
    bool transmits;  // mute and off_transmitting are looked for
    // Once each of these is found or its time is over, and a function that must stay is gone, the
    // flight is over; NULL: it goes on to its end.
    const struct endurance_wait *until;
    int until_count;
} endurance_flight;

// Arrays of an endurance, as before anything is found. False: no memory.
bool endurance_make(const aircraft *a, const endurance_question *q, arena *m, endurance *out);
// All times of one case as if nothing were ever lost.
void endurance_clear(const aircraft *a, endurance_times *t);
// What fails at the start, and what hands move later; NULL: no memory.
struct happening *endurance_happenings(const aircraft *a, const endurance_question *q, arena *m,
                                       int *count);
// Many flights in the same place, one after the other; NULL: no memory. What it is made of must
// outlive it; `f` and its state are read at each beginning.
typedef struct endurance_flier endurance_flier;
endurance_flier *endurance_flier_make(const endurance_flight *f, const struct happening *list,
                                      int count, arena *m, endurance *out);
void endurance_flier_free(endurance_flier *f);
// The first job of a flight, which goes into the middle case; then, with its solution, the next;
// NULL: the flight is over.
const job *endurance_flier_begin(endurance_flier *f, double health, bool pessimistic,
                                 const endurance_wait *until, int until_count);
double endurance_flier_at(const endurance_flier *f);  // seconds: how far it has come
const job *endurance_flier_go(endurance_flier *f, const solution *solved);

status endurance_fly(const endurance_flight *f, const struct happening *list, int count,
                     endurance_case which, endurance *out);

#endif
