// ngspice (the shared library of the Debian package libngspice0) as an outside solver of plain
// networks. It is given the elements with the devices' modes fixed, and finds volts and amps by its
// own means.
#ifndef DEADBUS_TEST_SPICE_PEER_H
#define DEADBUS_TEST_SPICE_PEER_H

#include "reference/support/plain_network.h"

typedef struct spice_answer {
    double *volts;   // per point (roots only); the airframe is 0
    double *amps;    // per element, from a to b
    double seconds;  // of processor for the operating point alone, netlist not included
} spice_answer;

void spice_start(void);
// Finds the operating point. `guess`: volts per point to begin from, NULL: none. False: no solution
// found. The answer's arrays must have room for point_count and element_count.
bool spice_solve(const plain_network *n, const double *guess, spice_answer *answer);
// With every clamp held on the piece that its element says, which moves to its neighbor until no
// volts ask for another. `guess` as above; NULL: from nothing, then from one voltage everywhere.
bool spice_solve_held(const plain_network *n, const double *guess, spice_answer *answer);
// From nothing or from one voltage at every point; if Newton's method jumps for ever over a narrow
// piece (a regulator's band is 1 % wide), with every clamp held on its slope first.
bool spice_solve_anyhow(const plain_network *n, spice_answer *answer);

#endif
