// What the kernels of all lane widths share: the scratch of one thread, and the way in.
// No vector type stands here: the kernels are compiled for different instruction sets.
#ifndef DEADBUS_CIRCUIT_KERNEL_H
#define DEADBUS_CIRCUIT_KERNEL_H

#include "circuit/pattern.h"
#include "circuit/solve.h"
#include "circuit/static_part.h"

enum { SAVED_MOST = 2 * LANES_MOST + 2 };

// Arrays with one value per lane, one after the other in `work.room`.
enum room {
    ROOM_PARAMS,       // param_count; only the hot ones are kept up
    ROOM_STATIC,       // off-diagonals of the static columns, divided by their pivots
    ROOM_BASE,         // core entries after the static elimination
    ROOM_CORE,         // core entries being factored
    ROOM_X,            // unknowns + 1: right-hand side, then voltages; the last is the airframe
    ROOM_SIGNAL,       // signals + 1: the last is always true
    ROOM_TRIPPED,      // breakers + 1: the last is never true
    ROOM_DROPPED,      // powers
    ROOM_DROPPED_NOW,  // powers: dropped out in this settling
    ROOM_POWER_VOLTS,  // powers: |v| of the linearisation, clamped
    ROOM_POWER_SIGN,   // powers: sign bit of that v
    ROOM_LAMP_VOLTS,
    ROOM_LAMP_SIGN,
    ROOM_VIOLATION,  // powers, comparators or memories: who breaks its rule
    ROOM_SLOPE,      // piecewises: the piece that holds
    ROOM_OFFSET,
    ROOM_LOW,
    ROOM_HIGH,
    ROOM_DROPOUT,  // powers: volts, as the lane's circuit has them
    ROOM_RESTART,
    ROOM_KNEE,
    ROOM_SET,  // comparators, in the probes' order
    ROOM_RESET,
    ROOM_COUNT
};

// A settling under way: a job from its beginning, or going on after a breaker has opened.
typedef struct task {
    int job;    // -1: none
    int saved;  // index of the saved point it goes on from, -1: from the job's own start
} task;

// A lane's own bookkeeping.
typedef struct lane {
    task task;
    const job *job;          // of the task
    int iterations, rounds;  // in all; rounds before this one
    int flips;               // at levels 1 to 3 in this round
    bool has_copy, recording;
    bool has_tripped;  // some of ROOM_TRIPPED may be set
    int trip_count;
    int trips[TRIPS_MOST];
    int version;  // of the static part that the lane's is a changed copy of
    static_changes changes;
    const patch *patches;  // of ROOM_PARAMS
    int patch_count;
    const circuit *figures;  // whose figures stand in its rooms, as drawn so often
    int drawn;
} lane;

struct work {
    allocator memory;
    const circuit *c;
    void *block;
    size_t block_size;
    unsigned char *room;    // 64-byte aligned
    size_t at[ROOM_COUNT];  // in lane vectors
    uint8_t *piece;         // [piecewise][LANES_MOST]
    // Chattering: device states (comparators, memories, powers) of each lane.
    int device_count;
    uint8_t *copy, *previous, *flipping;  // [LANES_MOST][device_count]; flipping: one line more
    uint8_t *no_flips;                    // [device_count] zeros
    double *lowest, *highest;             // [LANES_MOST][node_count]
    solution out[SOLUTIONS_KEPT], out_room[SOLUTIONS_KEPT];  // as handed out; their own arrays
    int next_out;
    solution saved[SAVED_MOST];
    int free_saved[SAVED_MOST], free_count;

    const job *jobs;
    int job_count, next_job;
    task pending[SAVED_MOST];
    int pending_count;
    void (*done)(void *ctx, int index, const solution *s);
    next_job next;  // NULL: jobs stand in `jobs`
    void *ctx;

    static_part fixed;
    static_part own_fixed[LANES_MOST];  // of a flow: every lane's own
    bool same_params;  // the jobs' parameters are as they were when `fixed` was made for them
    int lanes_before;  // width of the last run, whose lanes still hold their jobs
    lane lanes[LANES_MOST];
    long bad_pivots;  // settled answers with a pivot that isn't positive: none, ever
    long iterations;  // of all lanes together
};

void kernel_1(work *w);
void kernel_2(work *w);
void kernel_4(work *w);
void kernel_8(work *w);
void kernel_8_halves(work *w);  // 8 lanes on an instruction set of 4

#endif
