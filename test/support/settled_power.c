#include "support/settled_power.h"

#include <math.h>

#define LEAK 1e-9  // siemens from every node to the airframe

static void add_power(double watts, double *sum, double *gross) {
    *sum += watts;
    *gross += fabs(watts);
}

void settled_power(const settled_state *s, double *sum, double *gross) {
    const circuit *c = &s->made->circuit;
    const double *v = s->solution->volts;
    *sum = *gross = 0;
    for (int i = 0; i < c->conductance_count; i++) {
        const conductance *e = &c->conductances[i];
        add_power((v[e->a] - v[e->b]) * conductance_amps(c, &s->job, s->solution, i), sum, gross);
    }
    for (int i = 0; i < c->piecewise_count; i++) {
        const piecewise *e = &c->piecewises[i];
        add_power((v[e->a] - v[e->b]) * piecewise_amps(c, &s->job, s->solution, i), sum, gross);
    }
    for (int i = 0; i < c->power_count; i++) {
        const power_load *e = &c->powers[i];
        add_power((v[e->a] - v[e->b]) * power_amps(c, &s->job, s->solution, i), sum, gross);
    }
    for (int i = 0; i < c->lamp_count; i++) {
        const lamp_load *e = &c->lamps[i];
        add_power((v[e->a] - v[e->b]) * lamp_amps(c, &s->job, s->solution, i), sum, gross);
    }
    for (int i = 1; i < c->node_count; i++)
        add_power(LEAK * v[i] * v[i], sum, gross);
}
