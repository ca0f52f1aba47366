// Resistance of aircraft wire.
#ifndef DEADBUS_PART_WIRE_OHMS_H
#define DEADBUS_PART_WIRE_OHMS_H

#include "model/aircraft.h"

enum { GAUGE_LARGEST = -3, GAUGE_SMALLEST = 24 };  // 4/0 and 24

// Ohms per meter at 20 C of stranded, tin-plated copper aircraft wire (a maximum), FAA AC 43.13-1B,
// table 11-9; gauges the table leaves out take the next smaller wire. 0 outside 4/0..24.
double wire_ohms_per_meter(int gauge);

// Solid copper of the same gauge (diameter 0.005 in x 92^((36 - gauge) / 39), 10371 ohm cmil per
// 1000 ft at 20 C): the ideal the stranded figure is compared with.
double wire_solid_ohms_per_meter(int gauge);

// Copper at another temperature: R(T)/R(20) = (234.5 + T) / 254.5 (AC 43.13-1B, chapter 11).
double copper_at(double ohms_at_20, double celsius);

double wire_run_ohms(const wire_run *w);  // at 20 C

#endif
