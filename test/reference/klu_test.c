// KLU (SuiteSparse, Debian package libsuitesparse-dev) on the linear systems of settled states:
// assembled here from the circuit's arrays, each device by its tangent at the settled volts,
// factored with KLU's own ordering and pivoting. Its volts must be ours within 1e-9 V.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>
#include <klu.h>

#include "support/fleet_states.h"

#define LEAK 1e-9  // siemens from every node to the airframe

enum { STATES = 600 };

// A dense square first, by columns: small, and nothing can be stamped into the wrong place.
typedef struct system {
    int size;        // nodes without the airframe
    double *matrix;  // size x size
    double *right;
} system_of;

static void stamp(system_of *m, int a, int b, double siemens, double amps) {
    if (a > 0) {
        m->matrix[(size_t)(a - 1) * (size_t)m->size + (size_t)(a - 1)] += siemens;
        m->right[a - 1] -= amps;
    }
    if (b > 0) {
        m->matrix[(size_t)(b - 1) * (size_t)m->size + (size_t)(b - 1)] += siemens;
        m->right[b - 1] += amps;
    }
    if (a > 0 && b > 0) {
        m->matrix[(size_t)(a - 1) * (size_t)m->size + (size_t)(b - 1)] -= siemens;
        m->matrix[(size_t)(b - 1) * (size_t)m->size + (size_t)(a - 1)] -= siemens;
    }
}

static bool open_gate(const settled_state *s, int gate) { return gate < 0 || s->signals[gate]; }

static double across_of(const settled_state *s, int a, int b) {
    return s->solution->volts[a] - s->solution->volts[b];
}

// i = slope v + rest, from a to b.
static void stamp_conductances(const settled_state *s, system_of *m) {
    const circuit *c = &s->made->circuit;
    for (int i = 1; i < c->node_count; i++)
        stamp(m, i, 0, LEAK, 0);
    for (int k = 0; k < c->conductance_count; k++) {
        const conductance *d = &c->conductances[k];
        bool on = open_gate(s, d->gate) && (d->breaker < 0 || !s->solution->tripped[d->breaker]);
        if (on)
            stamp(m, d->a, d->b, s->job.params[d->slot], 0);
    }
    for (int k = 0; k < c->piecewise_count; k++) {
        const piecewise *d = &c->piecewises[k];
        const double *p = s->job.params + d->slot + d->pieces - 1;
        int piece = s->solution->piece[k];
        if (open_gate(s, d->gate))
            stamp(m, d->a, d->b, p[piece], p[d->pieces + piece]);
    }
}

static void stamp_tangent(system_of *m, int a, int b, double v, double amps, double slope) {
    stamp(m, a, b, slope, amps - slope * v);
}

static void stamp_loads(const settled_state *s, system_of *m) {
    const circuit *c = &s->made->circuit;
    for (int k = 0; k < c->power_count; k++) {
        const power_load *d = &c->powers[k];
        if (!open_gate(s, d->gate) || s->solution->dropped[k])
            continue;
        double v = across_of(s, d->a, d->b), watts = s->job.params[d->slot];
        double knee = fmax(d->dropout, 0.01);
        if (fabs(v) > knee)
            stamp_tangent(m, d->a, d->b, v, watts / v, -watts / (v * v));
        else
            stamp(m, d->a, d->b, watts / (knee * knee), 0);
    }
    for (int k = 0; k < c->lamp_count; k++) {
        const lamp_load *d = &c->lamps[k];
        if (!open_gate(s, d->gate))
            continue;
        double v = across_of(s, d->a, d->b), amps = s->job.params[d->slot];
        double knee = 0.05 * d->volts, i = amps * pow(fabs(v) / d->volts, 0.55);
        if (fabs(v) > knee)
            stamp_tangent(m, d->a, d->b, v, copysign(i, v), 0.55 * i / fabs(v));
        else
            stamp(m, d->a, d->b, amps * pow(0.05, 0.55) / knee, 0);
    }
}

static void solve_by_klu(system_of *m) {
    int n = m->size, entries = 0;
    int *column = calloc((size_t)n + 1, sizeof(int));
    int *row = calloc((size_t)n * (size_t)n, sizeof(int));
    double *value = calloc((size_t)n * (size_t)n, sizeof(double));
    assert_true(column && row && value);
    for (int j = 0; j < n; j++) {
        for (int i = 0; i < n; i++) {
            double x = m->matrix[(size_t)j * (size_t)n + (size_t)i];
            if (x == 0)
                continue;
            row[entries] = i;
            value[entries++] = x;
        }
        column[j + 1] = entries;
    }
    klu_common common;
    klu_defaults(&common);
    klu_symbolic *symbolic = klu_analyze(n, column, row, &common);
    assert_non_null(symbolic);
    klu_numeric *numeric = klu_factor(column, row, value, symbolic, &common);
    assert_non_null(numeric);
    assert_int_equal(klu_solve(symbolic, numeric, n, 1, m->right, &common), 1);
    klu_free_numeric(&numeric, &common);
    klu_free_symbolic(&symbolic, &common);
    free(column);
    free(row);
    free(value);
}

// The largest difference of a node, and which.
static double difference(const settled_state *s, system_of *m, int *where) {
    size_t n = (size_t)m->size;
    for (size_t i = 0; i < n * n; i++)
        m->matrix[i] = 0;
    for (size_t i = 0; i < n; i++)
        m->right[i] = 0;
    stamp_conductances(s, m);
    stamp_loads(s, m);
    solve_by_klu(m);
    double worst = 0;
    for (int i = 0; i < m->size; i++) {
        double off = fabs(m->right[i] - s->solution->volts[i + 1]);
        if (off > worst) {
            worst = off;
            *where = i + 1;
        }
    }
    return worst;
}

static void volts_agree(void **ignored) {
    (void)ignored;
    int bad = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        subject s;
        assert_true(subject_open_fleet(&s, n));
        int size = s.solver->made->circuit.node_count - 1;
        system_of m = {.size = size,
                       .matrix = calloc((size_t)size * (size_t)size, sizeof(double)),
                       .right = calloc((size_t)size, sizeof(double))};
        assert_true(m.matrix && m.right);
        double worst = 0;
        int compared = 0, chattering = 0;
        for (int i = 0; i < STATES; i++) {
            subject_draw(&s, 900u + (unsigned)n, i, 3);
            subject_settle(&s);
            if (s.view.solution.settled == SETTLED_CHATTERS) {
                chattering++;
                continue;
            }
            int where = 0;
            double off = difference(&s.view.settled, &m, &where);
            worst = fmax(worst, off);
            compared++;
            if (off <= 1e-9)
                continue;
            bad++;
            print_message("%s\n    node %d of %s: %.9g, KLU %.9g\n", subject_words(&s), where,
                          s.solver->made->node_owner[where] >= 0
                              ? s.aircraft->parts[s.solver->made->node_owner[where]].id
                              : "-",
                          s.view.solution.volts[where], m.right[where - 1]);
        }
        print_message("%s: %d states of %d nodes within %.1e V (%d chattering left out)\n",
                      fleet_names[n], compared, size, worst, chattering);
        free(m.matrix);
        free(m.right);
        subject_close(&s);
    }
    assert_int_equal(bad, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(volts_agree),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
