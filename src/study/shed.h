// What to switch off so that what must stay lasts as long as is needed: the fewest functions left
// without a spare that should have one, then the fewest lost, reduced, left without any other
// spare, breakers, and steps. Only what a hand reaches from the seat; never what
// puts the battery off the line, stops a source that works or its output breaker, feeds the engine
// or makes a supply, or, in cloud, takes several radios at once (trade practice, no source).
#ifndef DEADBUS_STUDY_SHED_H
#define DEADBUS_STUDY_SHED_H

#include "study/endurance.h"
#include "study/shed_result.h"

typedef struct shed_question {
    const state *asked;  // as for endurance: without faults, every source goes dead
    double noticed, needed;
    const bool *must_stay;  // function_count
    // function_count: of these, what should have a spare before anything else is kept (attitude in
    // cloud or at night); NULL: none
    const bool *needs_spare;
    const struct shed_reserve *reserve;  // what must be in hand near the end; NULL: nothing
} shed_question;

// A hand that may be offered.
typedef struct shed_candidate {
    int part;
    double setting, saves;
    bool breaker;
    int lost, reduced;  // functions, by itself
    bool takes_light;   // the landing light
} shed_candidate;

// Up to SHED_STEPS_MOST of them: those that take nothing first, then by what they save. Their
// number, -1: no memory.
int shed_candidates(solver *s, const shed_question *q, arena *memory,
                    shed_candidate list[SHED_STEPS_MOST], int *kept_back);

// Cost of a choice of candidates (bits), to be compared one after the other; false: it takes what
// must stay, or there is no memory. *amps: of the batteries.
typedef struct shed_cost {
    int bared, lost, reduced, spares, breakers, steps;
} shed_cost;
bool shed_weigh(solver *s, const shed_question *q, const shed_candidate *list, unsigned choice,
                shed_cost *cost, double *amps);
// Whether it lasts with that choice, in the low case, with the reserve in hand: by running it.
bool shed_lasts(solver *s, const shed_question *q, const shed_candidate *list, unsigned choice,
                bool *lasts);

// What can be kept in hand here: of what works after the loss. On the ground nothing is.
status shed_reserve_find(solver *s, const shed_question *q, arena *memory, shed_reserve *out);

// As asked; the reserve is found too, whatever the question says of it.
status shed_find(solver *s, const shed_question *q, arena *memory, shed *out);

#endif
