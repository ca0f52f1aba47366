#include "reference/support/run_down_peer.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#include <ngspice/sharedspice.h>

enum { LINES_MOST = 24, LINE_MOST = 400 };

// 28 V nominal: 250 W is 3.136 ohm; a 200 W lamp draws 7.142857 A there.
const run_down run_downs[RUN_DOWN_COUNT] = {
    {"equipment: 240 W", "240/max(v(load),17)", 25, 1.00, 20.5},
    {"equipment: 120 W", "120/max(v(load),17)", 10, 0.88, 20.5},
    {"motor: 12 A", "12", 25, 1.00, 19.6},
    {"heater: 250 W", "v(load)/3.136", 0, 0.80, 21},
    {"lamp: 200 W", "7.142857142857143*exp(0.55*ln(max(v(load),5)/28))", -10, 0.68, 21},
};

void run_down_file(const run_down *s, char text[RUN_DOWN_FILE_MOST]) {
    snprintf(text, RUN_DOWN_FILE_MOST,
             "deadbus: 1\n"
             "aircraft: {nominal: 28 V}\n"
             "parts:\n"
             "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 22 mohm}\n"
             "  load:    {%s, from: battery, works-above: %g V, wire: 16 AWG 10 ft, breaker: 20 A "
             "LOAD}\n"
             "phases:\n"
             "  cruise: {temperature: %g C}\n",
             s->words, s->threshold, s->celsius);
}

static void command(const char *words) {
    char copy[100];
    snprintf(copy, sizeof copy, "%s", words);
    if (ngSpice_Command(copy) != 0)
        abort();
}

const double *run_down_vector(const char *name, int *count) {
    char copy[40];
    snprintf(copy, sizeof copy, "%s", name);
    pvector_info v = ngGet_Vec_Info(copy);
    if (v == NULL || v->v_realdata == NULL)
        abort();
    *count = v->v_length;
    return v->v_realdata;
}

// The netlist. Charge in kilocoulombs, so that 1000 F makes amps of it.
void run_down_spice(const run_down *s) {
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
    if (ngSpice_Circ(lines) != 0)
        abort();
    command("run");
}

void run_down_forget(void) {
    command("destroy all");
    command("remcirc");
}
