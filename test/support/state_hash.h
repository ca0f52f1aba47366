// One number for thousands of settled states of a demo aircraft: the same from every compiler,
// every number of lanes, and WebAssembly.
#ifndef DEADBUS_TEST_STATE_HASH_H
#define DEADBUS_TEST_STATE_HASH_H

#include "support/fleet_states.h"

enum { HASHED_STATES = 4096 };

typedef struct state_hasher {
    subject subject;
    job *jobs;         // HASHED_STATES
    uint64_t *hashes;  // of each state: answers come in any order
} state_hasher;

// Draws the states of one aircraft of the fleet. False: no memory, or the file isn't there.
bool state_hasher_open(state_hasher *h, int index);
void state_hasher_close(state_hasher *h);
// Settles all of them, so many at once.
uint64_t state_hash(state_hasher *h, int lanes);

// What test/reference/state_hashes.txt says of the aircraft; 0: nothing.
uint64_t state_hash_expected(int index);

#endif
