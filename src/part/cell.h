// Cells by chemistry: open-circuit volts, resistance, charging, as the timeline and instant answers
// both use them.
#ifndef DEADBUS_PART_CELL_H
#define DEADBUS_PART_CELL_H

#include "model/aircraft.h"
#include "part/wells.h"

typedef enum chemistry { CELL_SEALED, CELL_FLOODED, CELL_NICKEL, CELL_LITHIUM } chemistry;

chemistry cell_chemistry(const part *battery);
int cell_count(const part *battery);  // by its volts: 2.0, 1.2 and 3.3 V a cell

// Open-circuit volts of one cell at a state of charge of 0..1, straight lines between the points of
// sealed: FAA-H-8083-31 ch. 9 table (0 % a design choice); flooded: TM 5-3805-262-20 p. 5-142;
// nickel-cadmium and lithium: design choices between handbook figures.
double cell_volts(chemistry c, double charge);

// Volts of one cell above which overcharge current flows: lead-acid 2.4, the least end-of-charge
// volts of NAVEDTRA 14113; nickel-cadmium 1.5: design choice; lithium: never.
double cell_volts_charged(chemistry c);

// Resistance relative to that of a full battery at 25 C (design choice; the logarithm after Jackey
// 2007): (1 + 0.4 (-ln s)) exp(0.012 (25 - T)), s not below 0.02. Lithium: without the charge term.
double cell_resistance_factor(chemistry c, double charge, double celsius);
// The same in two factors: by charge, and by temperature.
double cell_charge_factor(chemistry c, double charge);
double cell_cold_factor(double celsius);

// Its capacity by its label: as the label says, or brought to the one-hour rate; and its wells, new
// and warm (a rate above five hours counts as twenty, every other as one).
double cell_one_hour_coulombs(const part *battery);
wells cell_wells(const part *battery);

// Two-well charge of a rested battery (KiBaM, Manwell and McGowan; c fitted at the one-hour rate).
double cell_full_coulombs(const part *battery);  // both wells, new and warm

// Amps taken for each coulomb that both wells lack: as many as ampere-hours are missing, the
// ampere-hour rule of lead-acid charging (from memory).
#define WHOLE_TAKES (1.0 / 3600.0)

// Most amps it takes from a bus at a rested charge: by that rule, and half a percent of its
// one-hour figure to float on.
double cell_acceptance_amps(const part *battery, double charge);
double cell_bulk_amps(const part *battery);   // most that a start just made adds: 0.4 of C20
double cell_float_amps(const part *battery);  // that half percent

#endif
