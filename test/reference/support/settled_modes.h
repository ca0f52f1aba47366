// The devices' modes of a settled answer, as the outside solver is told them, and where the
// answer's own volts and amps stand for a plain network's points and elements.
#ifndef DEADBUS_TEST_SETTLED_MODES_H
#define DEADBUS_TEST_SETTLED_MODES_H

#include "circuit/judge.h"
#include "reference/support/plain_network.h"

device_modes modes_make(const aircraft *a);
void modes_free(device_modes *m);
void modes_read(const settled_state *s, device_modes *m);

// The node of the program's circuit that is this point of this part; NOWHERE if it keeps none.
int settled_node(const settled_state *s, int part, point_name name, int detail);
// Amps through what this element is in the program's circuit, from a to b. False: it has no such
// one.
bool settled_amps(const settled_state *s, const plain_element *e, double *amps);

#endif
