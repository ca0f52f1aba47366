// The static part of a matrix, one job at a time: kept for one vector of parameters (the base), and
// brought to each job by working out anew only what the job's patches and tripped breakers reach.
// The bits are those of a factorization from the start: every entry is summed in the same order.
#ifndef DEADBUS_CIRCUIT_STATIC_PART_H
#define DEADBUS_CIRCUIT_STATIC_PART_H

#include "circuit/pattern.h"
#include "circuit/solve.h"

#define LEAK 1e-9  // siemens, every node to the airframe

// What a job made differ from the base. The arrays have room for all there is.
typedef struct static_changes {
    int *columns, *cores, *signals;
    int column_count, core_count, signal_count;
} static_changes;

typedef struct static_part {
    const circuit *c;
    const double *base;    // the parameters it was made for, NULL: none yet
    int version;           // of the base: goes up with each new one
    int stamp;             // of the job that it was made for
    double *params;        // param_count: the base, or the job's while one is in place
    uint8_t *signal;       // by number, inputs and static gates only; the last is always true
    uint8_t *tripped;      // breakers + 1
    double *entries;       // static diagonals (pivots), static off-diagonals, core entries
    double *lower;         // static off-diagonals divided by their pivots
    uint8_t *base_signal;  // the same of the base
    double *base_entries, *base_lower;
    static_changes moved;  // scratch: what a new base made differ from the one before
    uint64_t *dirty;       // entries to sum anew, a bit each
    uint64_t *dirty_columns, *dirty_gates;
} static_part;

size_t static_part_size(const circuit *c);
static_part static_part_carve(const circuit *c, void *block);  // 16-byte aligned
size_t static_changes_size(const circuit *c);
static_changes static_changes_carve(const circuit *c, void *block);

// All of it for these parameters, which must stay as they are while they are the base. Where few of
// them differ from the last base's, only what they reach is worked out.
void static_part_rebase(static_part *s, const double *params);
// The job in place of the base, whose parameters must be the job's; `tripped`: NULL or a byte a
// breaker. Afterwards take it out again with the same arguments.
void static_part_apply(static_part *s, const job *j, const uint8_t *tripped, static_changes *out);
void static_part_undo(static_part *s, const job *j, const uint8_t *tripped,
                      const static_changes *changes);

#endif
