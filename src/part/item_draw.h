// What an item draws by its figures, and what of it counts in a state.
#ifndef DEADBUS_PART_ITEM_DRAW_H
#define DEADBUS_PART_ITEM_DRAW_H

#include "model/state.h"

#define OVERLOAD           2.5  // fault `overload`, times the current: design choice
#define CONVERTER_GIVES_UP 0.5  // of what is asked: less, and what it feeds is off (choice)

// Volts at which its figure holds (its `at`, else nominal).
double item_figure_volts(const aircraft *a, const part *p);
// Amps at the volts of its figure while it runs, from its figure or its kind's default.
double item_amps(const aircraft *a, const part *p);
double item_watts(const aircraft *a, const part *p);

// Of a motor with its rotor locked: its armature's resistance. Speed goes with what is left of its
// volts beyond what its current loses in that.
double item_stall_ohms(const aircraft *a, const part *p);
// Of a radio while it transmits; 0: it only receives.
double item_transmit_watts(const aircraft *a, const part *p);

// Constant power: below these volts it switches off, by its own figure or by what it needs.
double item_dropout_volts(const aircraft *a, const part *p);
double item_restart_volts(double dropout);  // at which it comes on again
// From these on it works; a radio that can only be listened to isn't whole.
double item_works_volts(const aircraft *a, const part *p);
double item_whole_volts(const aircraft *a, const part *p);
// Below these it is off: its own figure, or that of its kind.
double item_off_volts(const aircraft *a, const part *p);

// Share of its draw that counts in a state: own switch, setting, duty, moving, dimmer. `selector`:
// the part whose position it follows, `dimmer`: the one it hangs on; -1: none.
double item_share(const aircraft *a, const state *s, int part, int selector, int dimmer);
bool item_moving(const aircraft *a, const state *s, int part, int selector);
// The part whose position it follows (its own setting, what it names, the switch that it hangs on),
// and the part of this kind that alone feeds it; -1: none.
int item_selector(const aircraft *a, int part);
int item_feeder(const aircraft *a, int part, part_kind kind);
// What a converter gives the items behind it, and the share that this is of what they ask for: 1
// within its `limit`; without one, within what an overload of them all would take (choice).
// `faults`: one bit a fault_kind, per part.
typedef struct converter_load {
    double amps;  // at its volts
    double share;
} converter_load;
converter_load converter_loaded(const aircraft *a, const state *s, const uint32_t *faults,
                                int part);
// What one of those items asks for.
double converted_amps(const aircraft *a, const state *s, const uint32_t *faults, int item);

// Share of time that it runs or transmits in this phase (0..1), -1 if nothing says so, or if it
// runs while something is moving, and that is moving.
double item_duty(const aircraft *a, const state *s, int part);

#endif
