#include "part/heating.h"

#include <math.h>

#include "base/exp_log.h"
#include "part/wire_ohms.h"

// Breakers hold 115 % and trip within an hour at 138 % (common practice): 125 % just trips. Fuses
// carry 100 % and open within an hour at 135 % (UL/CSA 248-14): 120 % just opens. The times are
// choices.
static const trip_law BREAKER = {.seconds = 40.0, .trips_at = 1.25 * 1.25};
static const trip_law FUSE = {.seconds = 2.0, .trips_at = 1.2 * 1.2};

trip_law trip_law_of(part_kind kind) { return kind == KIND_FUSE ? FUSE : BREAKER; }

double trip_steady(double ratio) { return ratio * ratio; }

double trip_left(const trip_law *law, double seconds) { return exp_of(-seconds / law->seconds); }

double trip_after(const trip_law *law, double heat, double mean_square, double seconds) {
    double r = trip_left(law, seconds);
    return heat * r + mean_square * (1.0 - r);
}

double trip_seconds(const trip_law *law, double heat, double ratio) {
    double end = ratio * ratio;
    if (heat >= law->trips_at)
        return 0.0;
    if (end <= law->trips_at)
        return -1.0;
    return law->seconds * log_of((end - heat) / (end - law->trips_at));
}

// ---- wires
#define IEC_COPPER   226.0  // A s^0.5 / mm2, IEC 60949
#define ZERO_COPPER  234.5  // C below zero at which copper would lose its resistance, IEC 60949
#define OHM_MM2_CMIL (10371.0 / 304.8 * 5.067074790975e-4)  // ohm mm2 / m, as wire_ohms has copper

double copper_withstands(double from_celsius, double to_celsius) {
    if (to_celsius <= from_celsius)
        return 0.0;
    double rise = (to_celsius - from_celsius) / (ZERO_COPPER + from_celsius);
    return IEC_COPPER * sqrt(log_of(1.0 + rise));
}

double wire_area_mm2(int gauge) {
    double ohms = wire_solid_ohms_per_meter(gauge);
    return ohms > 0 ? OHM_MM2_CMIL / ohms : 0.0;
}

// With u the temperature above copper's zero: u' = g u - (u - air) / cools, g = i^2 / (226 S)^2.
double wire_after(double celsius, double mean_square, double area_mm2, double air, double cools,
                  double seconds) {
    double u = celsius + ZERO_COPPER, still = air + ZERO_COPPER;
    double lost = cools > 0 ? 1.0 / cools : 0.0;
    double scale = IEC_COPPER * area_mm2;
    double grows = mean_square / (scale * scale) - lost;
    double x = grows * seconds;
    double e = exp_of(x);
    double mean = x > 1e-6 || x < -1e-6 ? (e - 1.0) / x : 1.0 + 0.5 * x;
    return u * e + still * lost * seconds * mean - ZERO_COPPER;
}

double wire_seconds(double limit, double celsius, double amps, double area_mm2, double air,
                    double cools) {
    double scale = IEC_COPPER * area_mm2, lost = cools > 0 ? 1.0 / cools : 0.0;
    double grows = amps * amps / (scale * scale) - lost;
    double u = celsius + ZERO_COPPER, end = limit + ZERO_COPPER, still = (air + ZERO_COPPER) * lost;
    double now = u * grows + still, then = end * grows + still;  // how fast it warms up
    if (end <= u)
        return 0.0;
    if (now <= 0 || then <= 0)
        return -1.0;
    return grows < 1e-9 && grows > -1e-9 ? (end - u) / now : log_of(then / now) / grows;
}
