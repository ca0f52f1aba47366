// How long it lasts in many flights: what isn't known is drawn anew for each, within what its basis
// allows. The same flights from the same seed, whatever runs beside what.
#ifndef DEADBUS_STUDY_FLIGHTS_H
#define DEADBUS_STUDY_FLIGHTS_H

#include <stdint.h>

#include "study/endurance.h"

// Work that may be spread over threads: do(arg, i) for each i below count, in any order, each at
// most once; what isn't done is left out of the answer.
typedef struct flights_spread {
    void (*spread)(void *ctx, void (*work)(void *arg, int index), void *arg, int count);
    void *ctx;
} flights_spread;  // spread NULL: one after the other

typedef struct flights_question {
    endurance_question about;
    bool charge_given, temperature_given;  // by whoever asks: not drawn
    int flights;
    uint64_t seed;
    int lanes;  // of the kernel: 1, 2, 4, 8; 0: the best. The same flights with any
    bool fine;  // every change in a step of its own, to a tenth of a second: what the others are
                // held against
    flights_spread spread;
} flights_question;

// `found` as endurance_find has left it for the same question: its cases become the flights' 5 %,
// median and 95 %, and what isn't known stands in it by its share. `memory` of the allocator must
// bear several threads if the spread does. `q`, `a`, `found` and `keep` outlive the study.
typedef struct flights_study flights_study;
status flights_begin(allocator memory, const aircraft *a, const flights_question *q, arena *keep,
                     endurance *found, flights_study **made);
// Flies so many more, or a few less; spread, whole lots of 64. False: all are flown.
bool flights_step(flights_study *f, int most);
// Of those that are asked for. Some may be flown again after that.
int flights_flown(const flights_study *f);
// Puts what has been flown into `found`, and frees the study. Stopped before the end, what few of
// the flights lose late may be missing.
status flights_finish(flights_study *f);

// All of that.
status flights_find(allocator memory, const aircraft *a, const flights_question *q, arena *keep,
                    endurance *found);

#endif
