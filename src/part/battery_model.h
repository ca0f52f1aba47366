// A battery in time: two wells, polarization, the knee at the end, and what it takes when charged.
// A model is const through a run; a charge state is small and copied.
#ifndef DEADBUS_PART_BATTERY_MODEL_H
#define DEADBUS_PART_BATTERY_MODEL_H

#include "part/cell.h"
#include "part/wells.h"

// Free charge, of the free well, at which a battery is exhausted: design choice.
#define BATTERY_EXHAUSTED 0.004

typedef struct battery_aging {
    double celsius;
    double health;     // capacity now over capacity when new
    bool pessimistic;  // the colder of the published figures for cold
} battery_aging;

typedef struct battery_model {
    wells wells;  // as aged and as cold as it is
    chemistry chemistry;
    int cells;
    double ohms;           // full, at 25 C
    double cold_factor;    // of its resistance
    double one_hour_amps;  // of its label
    double most_amps;      // that a start just made adds to what it takes
    double float_amps;     // a full one takes this for ever
} battery_model;

typedef struct battery_charge {
    well_charge wells;
    double sag;  // volts of polarization, whole battery
} battery_charge;

// EMF behind a resistance, with the limits of charging: what the circuit is given.
typedef struct battery_law {
    double emf, ohms;  // ohms < 0: open
    double accepts;    // most amps it takes below `charged` volts
    double charged;    // volts above which it is overcharged
} battery_law;

enum { BATTERY_PIECES = 3, BATTERY_PARAMS = 2 * BATTERY_PIECES - 1 + BATTERY_PIECES };

// Share of the capacity at 25 C that is left at a temperature.
double cell_capacity_factor(double celsius, bool pessimistic);

battery_model battery_model_of(const part *battery, battery_aging aging);
// At rest with a state of charge of 0..1, no polarization.
battery_charge battery_rested(const battery_model *m, double charge);
// What a span of time alone makes of it, for any charge and current: worked out once, where a step
// asks for several.
typedef struct battery_span {
    well_span wells;
    double sag_left, sag_mean;
} battery_span;
battery_span battery_span_of(const battery_model *m, double seconds);
// After a span, or `seconds`, in which the current went straight from `first` to `last` amps.
battery_charge battery_after_span(const battery_model *m, battery_charge q, double first,
                                  double last, const battery_span *span);
battery_charge battery_after(const battery_model *m, battery_charge q, double first, double last,
                             double seconds);
// Volts by which its polarization will still grow (or, below zero, go back) at this current.
double battery_sag_left(const battery_model *m, battery_charge q, double amps);
double battery_fraction(const battery_model *m, battery_charge q);
bool battery_exhausted(const battery_model *m, battery_charge q);
// `faults`: one bit a fault_kind.
battery_law battery_law_now(const battery_model *m, battery_charge q, uint32_t faults);
// The law of a battery at rest, as an instant answer has it: neither sag nor knee.
battery_law battery_law_rested(const part *battery, double charge, double celsius, uint32_t faults);
// The law as a piecewise element's breaks, slopes and offsets.
void battery_pieces(const battery_law *law, double params[BATTERY_PARAMS]);

#endif
