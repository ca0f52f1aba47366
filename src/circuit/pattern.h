// The fixed shape of a circuit's matrix, worked out once: order of elimination, where every element
// adds its conductance, and the factorization as a list of indices that any state can replay.
//
// Nodes that no device touches ("static": only conductances that inputs alone decide) come first
// and are eliminated once a state; the rest ("core") is factored anew in every iteration. Static
// nodes carry no sources, so the right-hand side lives in the core alone.
#ifndef DEADBUS_CIRCUIT_PATTERN_H
#define DEADBUS_CIRCUIT_PATTERN_H

#include "circuit/circuit.h"

// Where an element of the static part adds and what it reads, all resolved: no index is ever "none"
// but the entries.
typedef struct stamp {
    int aa, bb, ab;  // entries: two diagonals and their off-diagonal; -1: the airframe's, not kept
    int gate;        // signal; the one after the last is always true
    int slot;        // of params
    int breaker;     // the one after the last never trips
} stamp;

// What is read and added to in every iteration is found by OFFSET times its number: bytes of one
// lane, which an address takes as they are.
enum { OFFSET = sizeof(double) };

// Bits: a is a node, b is one.
typedef enum stamp_ends {
    ENDS_NOWHERE,
    ENDS_A_GROUND = 1,
    ENDS_GROUND_B = 2,
    ENDS_A_B = 3
} stamp_ends;

// The same of an element that is stamped anew in every iteration; all as offsets, but for `ends`:
// which diagonals there are.
typedef struct device_stamp {
    uint32_t aa, bb, ab;  // core entries
    uint32_t a, b;        // core places; the airframe's is the one after the last
    uint32_t gate, slot, breaker;
    stamp_ends ends;
} device_stamp;

// One block of columns. `program` holds for each column: the number of its off-diagonals m, m
// places, then m (m + 1) / 2 entries to update: for each j the diagonal of place j, then (j, i) for
// i > j. Places and entries in it are offsets.
typedef struct column_run {
    int m, count;  // so many columns in a row with m off-diagonals each, none reaching another
} column_run;
typedef struct columns {
    int count;            // columns
    int off_count;        // off-diagonals in all
    const int *start;     // count + 1: first off-diagonal of each column
    const uint32_t *row;  // off_count: places, as in the program
    const uint32_t *program;
    const column_run *runs;
    int run_count;
} columns;

// How a comparator finds its quantity.
typedef struct probe {
    quantity of;
    uint32_t a, b;                 // offsets of core places, as a device's
    uint32_t slot, gate, breaker;  // offsets, for conductance amps
    int device;                    // piecewise amps
    double sign;
    uint32_t enable, signal;  // offsets
    uint32_t dropped;         // of its power load, or of the one after the last
    int comparator;
} probe;

// A gate whose inputs are all resolved: those that it hasn't got are always true. Signals as
// offsets.
typedef struct gate_step {
    gate_op op;
    uint32_t a, b, out;
} gate_step;

// How a breaker finds its current, by offsets.
typedef struct breaker_probe {
    uint32_t a, b;  // places counted over all nodes
    uint32_t gate, slot, rating;
} breaker_probe;

// Lists one after the other: those of key k are list[start[k]] to list[start[k + 1] - 1].
typedef struct span_list {
    const int *start, *list;
} span_list;

// What a change reaches in the static part.
typedef struct static_reach {
    span_list slot_stamps, signal_stamps, breaker_stamps;  // static stamps that read it
    span_list signal_gates;    // static gates that read a signal: places in `static_gates`
    span_list entry_stamps;    // static stamps that add to an entry
    span_list entry_updates;   // pairs (static off-diagonals): the first's l by the second's u
    const int *column_of;      // of each static off-diagonal
    const int *program_start;  // of each static column in its program
} static_reach;

// Whether a parameter is read while settling.
enum { HOT_NEVER, HOT_ALWAYS, HOT_AT_START };  // AT_START: a start's values hang on it too

struct pattern {
    int unknowns, statics, cores;
    const int *place_of;        // node_count: place of each node, the airframe is place `unknowns`
    const uint32_t *offset_of;  // the same as an offset
    columns fixed, core;        // programs of the static and of the core columns
    // Entries of the static elimination: static diagonals, static off-diagonals, then the core's
    // (diagonals, off-diagonals). Core entries are counted from the first core one.
    int static_entries, core_entries;

    const int *static_conductances;
    const stamp *static_stamps;
    int static_conductance_count;
    const int *dynamic_conductances;
    const device_stamp *dynamic_stamps;
    int dynamic_conductance_count;
    const device_stamp *piecewise_stamps, *power_stamps, *lamp_stamps;
    const probe *probes;            // comparators in order of level (2, then 3), then of index
    int probe_count, probe_level3;  // first probe of level 3
    const breaker_probe *breaker_probes;

    const int *static_gates;
    int static_gate_count;  // decided by inputs alone
    const gate_step *dynamic_gates;
    int dynamic_gate_count;
    const uint8_t *hot_signal;  // by number: 1 = one of `hot_signals`
    const int *hot_signals;
    int hot_signal_count;      // static ones that the settling itself reads
    const uint8_t *hot_param;  // param_count, see below
    const int *hot_params;
    int hot_param_count;
    static_reach reach;
};

// Minimum degree, `late` nodes last, ties by index; then columns of one height in the elimination
// tree stand together, and of these those of one length. Fills order[0 .. count-1] and for each
// place k column[k] (column_count[k] node numbers, memory from `keep`). Nodes are 0 .. count-1.
typedef struct graph {
    int count;
    int **neighbors;  // own copy, grows
    int *degree;      // entries in `neighbors`, gone ones included
    int *capacity;
} graph;

typedef struct elimination {
    int *order;
    int **column;
    int *column_count;
} elimination;

status eliminate(const graph *g, const uint8_t *late, arena *keep, elimination *out);

#endif
