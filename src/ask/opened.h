// An aircraft that stays open between questions: read and compiled once.
#ifndef DEADBUS_ASK_OPENED_H
#define DEADBUS_ASK_OPENED_H

#include "ask/making.h"
#include "base/status.h"
#include "circuit/solver.h"
#include "model/aircraft.h"

// The outcome that was asked for last, and by what.
typedef struct kept_outcome {
    outcome *outcome;  // NULL: none
    char *scenario;    // NULL: its own state is what was asked
    size_t scenario_length;
    double at;
    bool before_trip;
} kept_outcome;

// What a question has begun and the same question goes on with; its table of what answers it isn't
// in every build, so it brings along how it is freed.
typedef struct kept_flights kept_flights;
typedef struct kept_study {
    kept_flights *flights;  // NULL: none
    void (*free)(kept_flights *flights);
} kept_study;

struct deadbus_opened {
    watched_memory watched;
    aircraft *aircraft;  // NULL: the file has errors
    solver *solver;      // NULL until the first question that needs one
    status read;
    findings file;    // about the file
    findings solved;  // what compiling and settling its phases found
    kept_outcome kept;
    outcome *usual;  // the phase that was asked about last, as it is; NULL: none
    kept_study study;
};

// Repeats what was found in the file.
void opened_tell(const deadbus_opened *o, findings *out);
// Its memory may have failed in a question's course; the question must then not be answered.
void opened_watch(deadbus_opened *o, making *m);
void kept_outcome_free(deadbus_opened *o);
void kept_study_free(deadbus_opened *o);
// The solver for a question about `a`: the open one, or a new one, to be given back.
status solver_borrow(deadbus_opened *o, allocator memory, const aircraft *a, findings *f,
                     solver **lent);
void solver_return(const deadbus_opened *o, solver *lent);

#endif
