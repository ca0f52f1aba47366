// The laws that every settled state of every aeroplane must hold: the current law and the balance
// of powers within 1e-9, and each device's own rule.
#ifndef DEADBUS_TEST_SUBJECT_LAWS_H
#define DEADBUS_TEST_SUBJECT_LAWS_H

#include "support/fleet_states.h"

// The largest that was met: of the largest current, of all power.
typedef struct laws_met {
    double residual, imbalance;
} laws_met;

// Of the state settled last, which doesn't chatter (nothing settles then). False: it breaks one,
// and a message says which.
bool subject_obeys(const subject *s, laws_met *most);

#endif
