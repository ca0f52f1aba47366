#include "part/wire_ohms.h"

#define METERS_PER_1000_FEET 304.8

// Ohms per 1000 ft at 20 C, AC 43.13-1B table 11-9, gauges 4/0 up to 24. Zero: not in the table.
// AWG 8 is from the same circular's voltage-drop example (50 ft, 20 A, 0.70 V).
static const double STRANDED[GAUGE_SMALLEST - GAUGE_LARGEST + 1] = {
    0.06, 0.07, 0.09, 0.12, 0.15, 0.18, 0.0, 0.28, 0.0, 0.44, 0.0, 0.70,  0.0, 1.26,
    0.0,  2.02, 0.0,  3.06, 0.0,  4.81, 0.0, 6.23, 0.0, 9.88, 0.0, 16.20, 0.0, 28.40,
};

static bool gauge_known(int gauge) { return gauge >= GAUGE_LARGEST && gauge <= GAUGE_SMALLEST; }

double wire_ohms_per_meter(int gauge) {
    if (!gauge_known(gauge))
        return 0.0;
    int i = gauge - GAUGE_LARGEST;
    while (STRANDED[i] == 0.0)
        i++;  // the next smaller wire that the table has
    return STRANDED[i] / METERS_PER_1000_FEET;
}

double wire_solid_ohms_per_meter(int gauge) {
    if (!gauge_known(gauge))
        return 0.0;
    const double step = 1.12293219653228139;  // 92 to the power of 1/39: one gauge
    double mils = 5.0;                        // AWG 36
    for (int g = gauge; g < 36; g++)
        mils *= step;
    return 10371.0 / (mils * mils) / METERS_PER_1000_FEET;
}

double copper_at(double ohms_at_20, double celsius) {
    return ohms_at_20 * (234.5 + celsius) / 254.5;
}

double wire_run_ohms(const wire_run *w) { return wire_ohms_per_meter(w->gauge) * w->meters; }
