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
#include <ngspice/sharedspice.h>

#include "circuit/solver_state.h"
#include "reference/support/small_aircraft.h"
#include "reference/support/spice_peer.h"
#include "timeline/trace.h"

enum { LINES_MOST = 24, LINE_MOST = 400, TIMES_COUNT = 5 };

typedef struct scenario {
    const char *words, *law;   // of the load, in the file and as a current in the netlist
    double celsius, capacity;  // C, and its share of the capacity at that temperature
    double threshold;          // volts across the load
} scenario;

// 28 V nominal: 250 W is 3.136 ohm; a 200 W lamp draws 7.142857 A there.
static const scenario SCENARIOS[] = {
    {"equipment: 240 W", "240/max(v(load),17)", 25, 1.00, 20.5},
    {"equipment: 120 W", "120/max(v(load),17)", 10, 0.88, 20.5},
    {"motor: 12 A", "12", 25, 1.00, 19.6},
    {"heater: 250 W", "v(load)/3.136", 0, 0.80, 21},
    {"lamp: 200 W", "7.142857142857143*exp(0.55*ln(max(v(load),5)/28))", -10, 0.68, 21},
};
enum { SCENARIO_COUNT = sizeof SCENARIOS / sizeof SCENARIOS[0] };

static const double TIMES[TIMES_COUNT] = {10, 40, 200, 600, 1200};

// ---- ngspice
static void command(const char *words) {
    char copy[100];
    snprintf(copy, sizeof copy, "%s", words);
    assert_int_equal(ngSpice_Command(copy), 0);
}

static const double *vector_of(const char *name, int *count) {
    char copy[40];
    snprintf(copy, sizeof copy, "%s", name);
    pvector_info v = ngGet_Vec_Info(copy);
    assert_non_null(v);
    assert_non_null(v->v_realdata);
    *count = v->v_length;
    return v->v_realdata;
}

// The netlist. Charge in kilocoulombs, so that 1000 F makes amps of it.
static void spice_transient(const scenario *s) {
    static char text[LINES_MOST][LINE_MOST];
    char *lines[LINES_MOST] = {0};
    int count = 0;
    const double full = 1.349 * 36 * s->capacity, c = 0.656, k = 0.876 / 3600;
    const double warm = exp(0.012 * (25 - s->celsius));
#define SAY(...) snprintf(text[count], LINE_MOST, __VA_ARGS__), lines[count] = text[count], count++
    SAY("a battery runs down");
    SAY("cfree free 0 1000");
    SAY("cbound bound 0 1000");
    SAY("csag sag 0 1");
    SAY("bfree 0 free i=-i(vm)+%.17g*(%.17g*(v(free)+v(bound))-v(free))", 1000 * k, c);
    SAY("bbound 0 bound i=-%.17g*(%.17g*(v(free)+v(bound))-v(free))", 1000 * k, c);
    SAY("bsag 0 sag i=(0.9*min(i(vm)/5,1)-v(sag))/20");
    SAY("bemf emf 0 v=12*pwl((v(free)+v(bound))/%.17g,0,1.933,0.25,2,0.5,2.067,0.75,2.117,1,2.15)"
        "-0.12*(1/max(v(free)/%.17g,0.004)-1)-v(sag)",
        full, c * full);
    SAY("bohm emf inner v=i(vm)*%.17g*(1-0.4*ln(max((v(free)+v(bound))/%.17g,0.02)))", 0.022 * warm,
        full);
    SAY("vm inner outer 0");
    SAY("rpath outer load 0.0556");
    SAY("bload load 0 i=%s", s->law);
    SAY(".ic v(free)=%.17g v(bound)=%.17g v(sag)=0", 0.9 * c * full, 0.9 * (1 - c) * full);
    SAY(".options reltol=1e-6 abstol=1e-9 vntol=1e-7 method=trap");
    SAY(".tran 0.5 7000 0 2");
    SAY(".end");
#undef SAY
    assert_int_equal(ngSpice_Circ(lines), 0);
    command("run");
}

static double volts_at(double t) {
    int n, m;
    const double *at = vector_of("time", &n), *v = vector_of("load", &m);
    assert_int_equal(n, m);
    for (int i = 1; i < n; i++)
        if (at[i] >= t)
            return v[i - 1] + (v[i] - v[i - 1]) * (t - at[i - 1]) / (at[i] - at[i - 1]);
    fail_msg("the transient ends at %g s", at[n - 1]);
    return 0;
}

static double time_below(double threshold) {
    int n, m;
    const double *at = vector_of("time", &n), *v = vector_of("load", &m);
    assert_int_equal(n, m);
    for (int i = 1; i < n; i++)
        if (v[i] < threshold)
            return at[i - 1] + (at[i] - at[i - 1]) * (v[i - 1] - threshold) / (v[i - 1] - v[i]);
    fail_msg("it never falls below %g V", threshold);
    return 0;
}

// ---- ours
static const char FILE_OF[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 22 mohm}\n"
    "  load:    {%s, from: battery, works-above: %g V, wire: 16 AWG 10 ft, breaker: 20 A LOAD}\n"
    "phases:\n"
    "  cruise: {temperature: %g C}\n";

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
    for (int i = 0; i < SCENARIO_COUNT; i++) {
        const scenario *s = &SCENARIOS[i];
        small_aircraft a;
        small_aircraft_open(&a, FILE_OF, s->words, s->threshold, s->celsius);
        trace_wish wish = {aircraft_part(a.aircraft, "load"), TRACE_VOLTS};
        spice_transient(s);
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
        command("destroy all");
        command("remcirc");
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
