// What a solver keeps. Private to solver.c, explain.c and snapshot.c.
#ifndef DEADBUS_CIRCUIT_SOLVER_STATE_H
#define DEADBUS_CIRCUIT_SOLVER_STATE_H

#include "circuit/solver.h"
#include "circuit/view.h"

typedef struct phase_base {
    view view;
    double *amps;         // per part
    part_outcome *parts;  // as the phase is: dead items are unused
    function_outcome *functions;
    bool *supplies;
} phase_base;

struct solver {
    allocator allocator;
    arena memory;
    const aircraft *aircraft;
    compiled *made;
    work *work;
    phase_base *bases;  // phase_count
    solution cold;
    int redrawn;  // how often
    view now, first, trial;
    part_outcome *trial_parts;  // scratch
    part_outcome *plain_parts;  // the asked positions without any fault
    verdict_block *block;       // scratch of the verdict
    uint8_t *visited;           // part_count
    int *way;                   // node_count
    int *deviation;             // part_count
};

// An outcome's arrays and its state; then, its parts filled in, its indications and its sentence.
// False: no memory.
bool outcome_begin(solver *s, const state *asked, outcome *o);
bool outcome_tell(solver *s, outcome *o, const phase_base *base);
// Was the item's own branch switched on by whoever asked?
bool outcome_asked_for(const solver *s, const outcome *o, int part);

// solver_redraw in two, for solvers of one phase: the job that is to be settled for its base, and
// what comes of it.
const job *solver_redraw_begin(solver *s);
void solver_redraw_end(solver *s, const solution *base);

// Causes and reasons of everything in `o` that doesn't work. False: no memory.
bool explain_losses(solver *s, outcome *o);

#endif
