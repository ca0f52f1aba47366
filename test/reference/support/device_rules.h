// Each device's own rule, judged on an outside solver's volts and amps: may it be in the mode it is said
// to be in? With hysteresis more than one mode may be allowed.
#ifndef DEADBUS_TEST_DEVICE_RULES_H
#define DEADBUS_TEST_DEVICE_RULES_H

#include "reference/support/spice_peer.h"

typedef struct rule_report {
    int checked;
    int broken;
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
