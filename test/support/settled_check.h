// Judges a settled state by itself: the current law, the power balance, every device's own rule.
#ifndef DEADBUS_TEST_SETTLED_CHECK_H
#define DEADBUS_TEST_SETTLED_CHECK_H

#include "circuit/solve.h"

typedef struct settled_check {
    double largest_amps;
    double residual;   // largest sum of currents at a node, of the largest current
    double imbalance;  // sum of powers, of the sum of their sizes
    double watts;      // that sum of sizes
    int broken_rules;  // devices that aren't where their rule puts them
    const char *first_broken;
} settled_check;

settled_check check_settled(const circuit *c, const job *j, const solution *s);

// Bits of voltages and device states, mixed into `hash` (start with any number).
uint64_t hash_solution(const circuit *c, const solution *s, uint64_t hash);

#endif
