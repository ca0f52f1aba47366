// An aircraft's network as plain elements between named points, straight from what the file means:
// a second reading, separate from the program's own compiler, for an outside solver to judge by.
// Which contact is closed, which machine is excited and so on are inputs (device_modes).
#ifndef DEADBUS_TEST_PLAIN_NETWORK_H
#define DEADBUS_TEST_PLAIN_NETWORK_H

#include <stdbool.h>

#include "model/aircraft.h"
#include "model/state.h"

// What the outside solver is told of one part.
typedef struct device_mode {
    bool energized;  // relay, contactor: its coil and condition move it
    bool excited;    // alternator, generator: makes volts
    bool blind;      // alternator: its regulator has lost its sense wire
    bool turning;    // engine: turns what it turns
    bool running;    // engine: runs by itself
    bool dropped;    // constant power: off by low volts
    bool tripped;    // breaker, fuse: opened by its current
} device_mode;

typedef struct device_modes {
    device_mode *of;     // part_count
    uint8_t *condition;  // condition_count: true or not
} device_modes;

// Points of a part. Not every part has all of them.
typedef enum point_name {
    POINT_NEAR,    // path: its `from` end; bus: itself; item: where its supply arrives; source:
                   // return
    POINT_FAR,     // path: its `to` end; source, regulator: output; item: return
    POINT_INSIDE,  // item: behind its wire; path with a wire: in between; battery: its cells
    POINT_COIL,
    POINT_COIL_END,
    POINT_FIELD,
    POINT_FIELD_END,
    POINT_SENSE,
    POINT_OTHER,
    POINT_CONTACT,  // and one for each further position
} point_name;

typedef enum element_law {
    LAW_RESISTOR,  // ohms
    LAW_CLAMP,     // amps = siemens (v - volts), not below -out, not above in
    LAW_WATTS,     // watts / v above knee volts, linear below
    LAW_FILAMENT,  // amps (v / volts)^0.55, linear below 5 % of volts
} element_law;

typedef enum element_use {
    USE_PATH,
    USE_WIRE,
    USE_COIL,
    USE_FIELD,
    USE_LOAD,
    USE_SOURCE,
    USE_DIODE,
    USE_LIST,
    USE_SHORT,
    USE_SENSE,
    USE_REST,
    USE_CHARGE,
    USE_OVERCHARGE,  // `amps`: what the battery takes below that
    USE_RESIDUAL,
    USE_BACK,  // into an excited generator, above its volts
    USE_DRAIN,
    USE_THROW,
} element_use;

typedef struct plain_element {
    element_law law;
    element_use use;
    int part, detail;  // detail: which position or list entry
    int a, b;          // points; the current is positive from a to b
    double ohms, siemens, volts, out, in, watts, amps, knee;
    int piece;  // LAW_CLAMP held on one piece: -1 at -out, 1 on the slope, 2 at in; 0: free
} plain_element;

typedef struct plain_network {
    const aircraft *aircraft;
    plain_element *elements;
    int element_count, element_room;
    int *first_point;  // per part
    int point_count;
    int *joined;  // union-find over points; point 0 is the airframe
} plain_network;

// Built anew for each state (bus faults change what is joined). `base_amps`: per part, amps in the
// phase's base: "its current in the base" sizes a bad contact. Fails the test when memory is out.
plain_network plain_network_make(const aircraft *a, const state *s, const device_modes *m,
                                 const double *base_amps);
void plain_network_free(plain_network *n);
// The point that stands for all that are joined with it; 0: the airframe.
int plain_point(const plain_network *n, int part, point_name name, int detail);
// The point that a reference means.
int plain_reference(const plain_network *n, const reference *r);
int plain_root(const plain_network *n, int point);
// Volts at which a constant-power load drops out.
double plain_dropout(const aircraft *a, int part);
bool plain_faulted(const aircraft *a, const state *s, int part, fault_kind f);

#endif
