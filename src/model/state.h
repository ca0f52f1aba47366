// What is asked about: positions, faults, charge, phase. One flat block, copied by assignment of
// bytes.
#ifndef DEADBUS_MODEL_STATE_H
#define DEADBUS_MODEL_STATE_H

#include "model/aircraft.h"

enum { STATE_FAULTS = 8 };

typedef struct fault {
    int part;
    fault_kind kind;
} fault;

// Settings, one double a part:
//   switch: index of its position (without `positions`: 0 off, 1 on); breaker, fuse, limiter: 1 in,
//   0 out;
//   item with own-switch: 1 on, 0 off; with settings (map of amps): index of its position;
//   dimmer: 0..1; external power: 1 plugged in; engine: rpm, 0 stopped, -1 windmilling;
//   mechanism and item that moves (place): 0..1 where it is; all else 0.
typedef struct state {
    int phase;
    bool airborne, night, cloud, icing, stall_near;
    double throttle, airspeed, temperature;
    double charge;  // 0..1 for every battery, -1: as the file says
    // Per part: of each battery instead; NULL: not known. Owned by whoever made the state.
    const double *charges;
    fault faults[STATE_FAULTS];
    int fault_count;
    double *setting;  // part_count; owned by whoever made the state
} state;

// Fills `s` (its `setting` must have room for part_count) as the phase says, without faults.
void state_of_phase(const aircraft *a, int phase, state *s);
double state_charge(const aircraft *a, const state *s, int battery);  // 0..1
// Every battery, machine and external power dead. False: they are more than it has room for.
bool state_fail_sources(const aircraft *a, state *s);
void state_copy(const aircraft *a, const state *from, state *to);  // into to->setting

#endif
