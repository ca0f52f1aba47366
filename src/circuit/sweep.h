// Many states of one phase at once: every failure and position as patches of the phase's
// parameters, settled in lanes, judged, handed back.
#ifndef DEADBUS_CIRCUIT_SWEEP_H
#define DEADBUS_CIRCUIT_SWEEP_H

#include "circuit/solver.h"
#include "circuit/verdict_block.h"

enum { SWEEP_TOGETHER = 8 };  // deviations in one state, at most

// One thing that differs from the phase: a fault, or a hand-set position.
typedef struct deviation {
    int part;
    fault_kind kind;  // FAULT_NONE: a position
    double setting;   // of the position
    int first_patch, patch_count;
} deviation;

typedef struct sweep sweep;

// All deviations of a phase: each fault of each part, and each position that the phase hasn't
// chosen. The solver must outlive the sweep, and isn't used while it runs.
status sweep_make(solver *s, int phase, sweep **made);
void sweep_free(sweep *w);
int sweep_deviation_count(const sweep *w);
const deviation *sweep_deviation(const sweep *w, int index);
const verdict *sweep_verdict(const sweep *w);

typedef struct combination {
    int count;
    int deviations[SWEEP_TOGETHER];
} combination;

typedef struct sweep_result {
    int index;  // of the combination
    const solution *solution;
    const verdict_block *verdicts;  // on its items and functions: those of `slot`
    int slot;
} sweep_result;

// Settles and judges `count` combinations in order of no promise; `done` is called once for each.
// `lanes`: see solve_many.
void sweep_run(sweep *w, int lanes, const combination *list, int count,
               void (*done)(void *ctx, const sweep_result *r), void *ctx);

#endif
