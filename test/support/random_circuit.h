// Networks that look like aircraft, of any size, and random faulted states of them. The same
// numbers give the same network everywhere.
#ifndef DEADBUS_TEST_RANDOM_CIRCUIT_H
#define DEADBUS_TEST_RANDOM_CIRCUIT_H

#include "support/circuit_builder.h"

typedef struct random_circuit {
    builder b;
    circuit *c;
    // What a random state may change
    int *switches;
    int switch_count;  // inputs
    int *series;
    int series_count;  // slots of conductances that may open
    int *shorts;
    int short_count;  // slots that are 0 until something is shorted
    int *batteries;
    int battery_count;  // slots of offsets (EMF / ohms)
    int *regulators;
    int regulator_count;  // first slots of alternators' tables
} random_circuit;

// About `nodes` nodes (at least 30), airframe included.
random_circuit *random_circuit_make(int nodes, uint64_t seed);
void random_circuit_free(random_circuit *r);

// State `index`: patches into `out` (room for random_patches_most); returns how many.
int random_patches_most(const random_circuit *r);
int random_state(const random_circuit *r, uint64_t seed, int index, patch *out);
// The same with all switches where they are: only `faults` (at most 3) faults.
int random_faults(const random_circuit *r, uint64_t seed, int index, int faults, patch *out);

uint64_t random_bits(uint64_t *state);
double random_unit(uint64_t *state);  // 0 <= x < 1

#endif
