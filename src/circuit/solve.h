// Settling a circuit: from a starting point, with parameters, to the state of every device.
#ifndef DEADBUS_CIRCUIT_SOLVE_H
#define DEADBUS_CIRCUIT_SOLVE_H

#include "circuit/circuit.h"

typedef enum settled { SETTLED_YES, SETTLED_CHATTERS, SETTLED_COLLAPSED } settled;

enum { TRIPS_MOST = 64, SOLUTIONS_KEPT = 16 };

// All that a settling leaves, and all that the next one starts from. One flat block per solution:
// the arrays point into memory of whoever made it (solution_make).
typedef struct solution {
    settled settled;
    int iterations, rounds;  // rounds: 1 + breakers opened
    double *volts;           // node_count; volts[0] = 0
    uint8_t *comparator;     // comparator_count, 0 or 1
    uint8_t *latched;        // memory_count
    uint8_t *dropped;        // power_count: 1 = off by low volts
    uint8_t *piece;          // piecewise_count: which piece holds
    uint8_t *tripped;        // breaker_count: 1 = opened by its own current in this answer
    int trip_count;
    int trips[TRIPS_MOST];     // breakers in the order in which they opened
    double *lowest, *highest;  // node_count; chattering: each voltage over the cycle; else = volts
    uint8_t
        *flips;  // comparator_count + memory_count + power_count: chattering parts, in that order
} solution;

// Bytes of one solution's arrays; carves them from `block` (at least that size, 16-byte aligned).
size_t solution_size(const circuit *c);
solution solution_carve(const circuit *c, void *block);
void solution_copy(const circuit *c, const solution *from, solution *to);
// Cold: contactors open, nothing excited, nothing latched, every node at 0 V.
void solution_cold(const circuit *c, solution *s);

typedef struct patch {
    int slot;
    double value;
} patch;

// One settling asked for: params[] with a few slots replaced.
typedef struct job {
    const double *params;  // param_count
    const patch *patches;  // later ones win
    int patch_count;
    const solution *start;
    bool keep_breakers;  // the first instant: breakers are looked at by nobody
    // For solve_flow alone. Drop-outs and thresholds are this circuit's (NULL: the work's own),
    // which differs from the work's in figures only. `stamp`: another one for other values behind
    // the same `params`.
    const circuit *figures;
    int stamp;
} job;

// Scratch of one thread: every lane width. NULL: no memory.
typedef struct work work;
work *work_new(allocator memory, const circuit *c);
void work_free(work *w);

// Lane width: 1, 2, 4, 8; 0 = the best this processor has. Every width gives the same bits.
void solve_one(work *w, const job *j, solution *result);
// The same where j->params hold what they held in the last settling with this work, if that had the
// same params: a step of a run, in which only the patches differ.
void solve_again(work *w, const job *j, solution *result);
typedef void (*job_done)(void *ctx, int index, const solution *s);
// Settles `count` jobs; `done(ctx, index, solution)` is called once for each, in any order, with a
// solution that stays valid until SOLUTIONS_KEPT more are handed out or the next settling starts.
// No allocation.
void solve_many(work *w, int lanes, const job *jobs, int count, job_done done, void *ctx);
// The same of jobs that are made as they are asked for: `following` gives the next one and a number
// for `done` to know it by, NULL when there are no more. A job must stay as it is until it is done;
// there are never more than LANES_MOST under way.
typedef const job *(*following_job)(void *ctx, int *number);
void solve_stream(work *w, int lanes, following_job following, job_done done, void *ctx);
// Settles jobs as they come. Each lane asks for its next one, with the solution of its last (NULL
// at first, and valid as in solve_many), until the answer is NULL; it then asks no more. Lanes know
// nothing of each other. There may be LANES_MOST of them, whatever is asked for.
enum { LANES_MOST = 8 };
typedef const job *(*next_job)(void *ctx, int lane, const solution *s);
void solve_flow(work *w, int lanes, next_job next, void *ctx);
int solve_lanes_best(void);        // widest that this processor runs natively
const char *solve_isa(int lanes);  // "scalar", "sse2", "avx2", "avx512", "simd128"

// Currents of the elements at a solution, for reports and checks (from a to b).
double conductance_amps(const circuit *c, const job *j, const solution *s, int k);
double piecewise_amps(const circuit *c, const job *j, const solution *s, int k);
double power_amps(const circuit *c, const job *j, const solution *s, int k);
double lamp_amps(const circuit *c, const job *j, const solution *s, int k);
// All signals at a solution; `out` has circuit_signal_count entries.
void solution_signals(const circuit *c, const job *j, const solution *s, uint8_t *out);

#endif
