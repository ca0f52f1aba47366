// What a part kind may do when a state is made ready: write its elements' parameters.
#ifndef DEADBUS_PART_BINDER_H
#define DEADBUS_PART_BINDER_H

#include "model/state.h"
#include "part/part_map.h"

#define LEAST_OHMS 1e-4  // smaller resistances are raised to this

typedef struct binder binder;

const aircraft *binder_aircraft(const binder *b);
const part_map *binder_map(const binder *b, int part);
const state *binder_state(const binder *b);
uint32_t binder_faults(const binder *b, int part);   // one bit a fault_kind
const uint32_t *binder_all_faults(const binder *b);  // the same, per part
bool binder_fault(const binder *b, int part, fault_kind f);
// Amps that hang below a path by the figures of the file (for the size of a bad contact).
double binder_load_below(const binder *b, int part);

void bind_conductance(binder *b, int element, double siemens);  // NOWHERE is passed over
void bind_ohms(binder *b, int element, double ohms);            // raised to the smallest resistance
// Piecewise: pieces-1 breaks, then slopes and offsets.
void bind_pieces(binder *b, int element, int pieces, const double *breaks, const double *slopes,
                 const double *offsets);
void bind_power(binder *b, int element, double watts);
void bind_lamp(binder *b, int element, double amps);
void bind_rating(binder *b, int element, double amps);
void bind_top(binder *b, double volts);  // an EMF or set point: the highest counts

#endif
