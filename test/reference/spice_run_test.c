// Runs against ngspice's transients of the same circuit: the wells as charge on two capacitors, the
// sag as a third, EMF and resistance as behavioral sources, one load. Time to a threshold within
// 0.1 %, volts within 5 mV.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/solver_state.h"
#include "reference/support/run_down_peer.h"
#include "reference/support/small_aircraft.h"
#include "reference/support/spice_peer.h"
#include "timeline/trace.h"

enum { TIMES_COUNT = 5 };

static const double TIMES[TIMES_COUNT] = {10, 40, 200, 600, 1200};

// ---- ngspice ---
static double volts_at(double t) {
    int n, m;
    const double *at = run_down_vector("time", &n), *v = run_down_vector("load", &m);
    assert_int_equal(n, m);
    for (int i = 1; i < n; i++)
        if (at[i] >= t)
            return v[i - 1] + (v[i] - v[i - 1]) * (t - at[i - 1]) / (at[i] - at[i - 1]);
    fail_msg("the transient ends at %g s", at[n - 1]);
    return 0;
}

static double time_below(double threshold) {
    int n, m;
    const double *at = run_down_vector("time", &n), *v = run_down_vector("load", &m);
    assert_int_equal(n, m);
    for (int i = 1; i < n; i++)
        if (v[i] < threshold)
            return at[i - 1] + (at[i] - at[i - 1]) * (v[i - 1] - threshold) / (v[i - 1] - v[i]);
    fail_msg("it never falls below %g V", threshold);
    return 0;
}

// ---- ours
static trace *traced(small_aircraft *s, double lasts, const trace_wish *wish) {
    state from = {.setting = calloc((size_t)s->aircraft->part_count + 1, sizeof(double))};
    assert_non_null(from.setting);
    state_of_phase(s->aircraft, 0, &from);
    from.charge = 0.9;
    run_options o = {.lasts = lasts, .tolerance = 0.0005, .health = 1};
    trace *t = NULL;
    assert_int_equal(trace_run(s->solver, &from, &o, NULL, 0, wish, 1, &t), STATUS_OK);
    free(from.setting);
    return t;
}

static void transients_agree(void **x) {
    (void)x;
    double worst_volts = 0, worst_time = 0;
    spice_start();
    for (int i = 0; i < RUN_DOWN_COUNT; i++) {
        const run_down *s = &run_downs[i];
        small_aircraft a;
        char file[RUN_DOWN_FILE_MOST];
        run_down_file(s, file);
        small_aircraft_open(&a, "%s", file);
        trace_wish wish = {aircraft_part(a.aircraft, "load"), TRACE_VOLTS};
        run_down_spice(s);
        double theirs = time_below(s->threshold), ours = -1;
        for (int k = 0; k < TIMES_COUNT && TIMES[k] < 0.98 * theirs; k++) {
            trace *t = traced(&a, TIMES[k], &wish);
            double off = fabs(t->values[t->row_count - 1] - volts_at(TIMES[k]));
            worst_volts = off > worst_volts ? off : worst_volts;
            trace_free(t);
        }
        trace *t = traced(&a, 7000, &wish);
        for (int k = 0; k < t->event_count && ours < 0; k++)
            if (t->events[k].kind == RUN_STATUS && t->events[k].part == wish.part &&
                t->events[k].to == ITEM_WEAK)
                ours = t->events[k].at;
        trace_free(t);
        double off = fabs(ours / theirs - 1);
        worst_time = off > worst_time ? off : worst_time;
        printf("%s at %g C: %.3f s, ngspice %.3f s\n", s->words, s->celsius, ours, theirs);
        run_down_forget();
        small_aircraft_close(&a);
    }
    printf("worst: %.2e V, %.2e of the time\n", worst_volts, worst_time);
    assert_true(worst_volts < 5e-3);
    assert_true(worst_time < 1e-3);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(transients_agree)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
