// What the kernels of all lane widths share: the scratch of one thread, and the way in.
// No vector type stands here: the kernels are compiled for different instruction sets.
#ifndef DEADBUS_CIRCUIT_KERNEL_H
#define DEADBUS_CIRCUIT_KERNEL_H

#include "circuit/pattern.h"
#include "circuit/solve.h"
#include "circuit/static_part.h"

// Arrays with one value per lane, one after the other in `work.room`.
enum room {
    ROOM_PARAMS,       // param_count; only the hot ones are kept up
    ROOM_STATIC,       // off-diagonals of the static columns, divided by their pivots
    ROOM_BASE,         // core entries after the static elimination
    ROOM_CORE,         // core entries being factored
    ROOM_X,            // unknowns + 1: right-hand side, then voltages; the last is the airframe
    ROOM_SIGNAL,       // signals + 1: the last is always true
    ROOM_TRIPPED,      // breakers + 1: the last is never true
    ROOM_DROPPED,      // powers; from here to ROOM_HIGH: what a start decides, see kernel_image.h
    ROOM_DROPPED_NOW,  // powers: dropped out in this settling
    ROOM_POWER_VOLTS,  // powers: |v| of the linearisation, clamped
    ROOM_POWER_SIGN,   // powers: sign bit of that v
    ROOM_LAMP_VOLTS,
    ROOM_LAMP_SIGN,
    ROOM_SLOPE,  // piecewises: the piece that holds
    ROOM_OFFSET,
    ROOM_LOW,
    ROOM_HIGH,
    ROOM_VIOLATION,  // powers, comparators or memories: who breaks its rule
    ROOM_DROPOUT,    // powers: volts, as the lane's circuit has them
    ROOM_RESTART,
    ROOM_KNEE,
    ROOM_SET,  // comparators, in the probes' order
    ROOM_RESET,
    ROOM_COUNT
};

// A lane's own bookkeeping.
typedef struct lane {
    const job *job;          // under way, NULL: none
    int number;              // by which it is handed out
    int iterations, rounds;  // in all; rounds before this one
    int flips;               // at levels 1 to 3 in this round
    bool has_copy, recording;
    int hot_breaker;  // while recording: the one that carries most for its rating; -1: none
    double hot_ratio;
    bool has_tripped;  // some of ROOM_TRIPPED may be set
    bool asked_again;  // loads that had dropped out have had the volts to start again once
    int trip_count;
    int trips[TRIPS_MOST];
    int version;  // of the static part that the lane's is a changed copy of
    static_changes changes;
    const circuit *figures;  // whose figures stand in its rooms, as drawn so often
    int drawn;
} lane;

// A start that many jobs share, as it stands in a lane; one value after the other.
typedef struct start_image {
    const solution *start;  // last seen
    bool stands;            // the values are this start's, in the static part's base `version`
    int version;
    double *values;   // ROOM_DROPPED to ROOM_HIGH
    int64_t *states;  // signals of comparators and memories
    uint8_t *piece;   // [piecewise]
} start_image;

struct work {
    allocator memory;
    const circuit *c;
    void *block;
    size_t block_size;
    start_image image;
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
    solution saved;  // a lane whose breaker has opened, until it goes on

    following_job following;  // NULL: each lane asks for its own, by `next`
    void (*done)(void *ctx, int number, const solution *s);
    next_job next;
    void *ctx;

    static_part fixed;
    static_part own_fixed[LANES_MOST];  // of a flow: every lane's own
    const double *same_params;  // as they were when `fixed` was made for them, NULL: none are
    int lanes_before;           // width of the last run, whose lanes still hold their base
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
