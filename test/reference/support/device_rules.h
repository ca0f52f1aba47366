// Each device's own rule, judged on an outside solver's volts and amps: may it be in the mode it is
// said to be in? With hysteresis more than one mode may be allowed.
#ifndef DEADBUS_TEST_DEVICE_RULES_H
#define DEADBUS_TEST_DEVICE_RULES_H

#include "reference/support/spice_peer.h"

enum { BROKEN_MOST = 64 };

// A device that can't be as it is said to be. Level 1: constant power; 2: relays, excitation,
// comparisons; 3: latches; 4: breakers; 0: what only follows from others.
typedef struct broken_rule {
    int level, part, condition;  // condition: -1 if it isn't about one
} broken_rule;

typedef struct rule_report {
    int checked;
    int broken;
    broken_rule now;                // what is being looked at
    broken_rule list[BROKEN_MOST];  // the first of the `broken`
    char first[256];
} rule_report;

typedef struct rule_context {
    const plain_network *n;
    const spice_answer *answer;
    const state *s;
    const device_modes *m;
    bool collapsed;  // loads that dropped out may find volts to start again: the answer says so
} rule_context;

rule_report device_rules(const rule_context *x);

#endif
