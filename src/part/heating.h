// What current heats: the element of a breaker or fuse, and the copper of a wire. Pure arithmetic.
#ifndef DEADBUS_PART_HEATING_H
#define DEADBUS_PART_HEATING_H

#include "model/kinds.h"

// One time constant: heat' = ((i / rating)^2 - heat) / seconds; it opens at `trips_at`. Choices,
// set so that the model lies inside the bands that are remembered of thermal breakers and blade
// fuses. A limiter counts as a breaker.
typedef struct trip_law {
    double seconds;
    double trips_at;  // square of the current that just trips after a long time
} trip_law;

trip_law trip_law_of(part_kind kind);

double trip_steady(double ratio);  // heat after a long time at ratio x rating
// Share of its heat that is left after `seconds` without current.
double trip_left(const trip_law *law, double seconds);
// After `seconds` with a mean square of current over rating.
double trip_after(const trip_law *law, double heat, double mean_square, double seconds);
// Seconds until it opens at a constant ratio x rating; negative: never.
double trip_seconds(const trip_law *law, double heat, double ratio);

// ---- wires ------------------------------------------------------------------------------------
#define WIRE_COOLS_SECONDS 60.0  // time constant of losing heat to the air: assumed

// Adiabatic limit of copper, A s^0.5 / mm2, from one temperature to another: IEC 60949.
double copper_withstands(double from_celsius, double to_celsius);
double wire_area_mm2(int gauge);  // solid copper of the gauge; 0: no such gauge

// Copper's temperature after `seconds` with a mean square of current (A^2): exact for the balance
// of heat that its resistance (which grows with temperature) makes and that it loses to air of
// `air` C with one time constant; `cools` <= 0: adiabatic.
double wire_after(double celsius, double mean_square, double area_mm2, double air, double cools,
                  double seconds);
// Seconds until such a wire is at `limit`, at constant amps: as above, solved for it; negative:
// it never gets there.
double wire_seconds(double limit, double celsius, double amps, double area_mm2, double air,
                    double cools);

#endif
