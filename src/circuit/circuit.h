// A circuit: what an aircraft compiles to, and all that the solver knows. Built once, then const.
//
// Elements are of a few primitives (conductance, piecewise linear, constant power, lamp) between
// nodes; booleans are signals; comparators turn volts and amps into signals; memories latch;
// breakers trip. What differs from state to state is one vector of parameters. The solver knows no
// part kinds.
//
// Node 0 is the airframe (0 V). A current is positive from `a` to `b` through the element.
#ifndef DEADBUS_CIRCUIT_CIRCUIT_H
#define DEADBUS_CIRCUIT_CIRCUIT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/status.h"

enum { SIGNAL_ALWAYS = -1 };  // a gate that is always closed
enum { PIECES_MOST = 4 };

// Conductance: params[slot] siemens while the signal `gate` is true and its breaker (if any) hasn't
// tripped, else 0.
typedef struct conductance {
    int a, b, slot, gate;
    int breaker;  // index into breakers, -1
} conductance;

// Monotone piecewise-linear current i(v), v = v[a] - v[b]; piece k holds for x[k-1] <= v <= x[k],
// there i = s[k] v + c[k] (s >= 0, continuous at the breaks). While `gate` is false: no current.
// params[slot + 0 .. pieces-2] = x, then `pieces` slopes s, then `pieces` offsets c.
typedef struct piecewise {
    int a, b, slot, gate, pieces;
} piecewise;

// Constant power params[slot] W above `dropout` volts, linear through zero below; switched off once
// below dropout, on again from `restart` (volts). |v| counts; i has the sign of v.
typedef struct power_load {
    int a, b, slot, gate;
    double dropout, restart;
} power_load;

// Lamp: i = params[slot] (|v|/volts)^0.55 with the sign of v; linear below 0.05 of `volts`.
typedef struct lamp_load {
    int a, b, slot, gate;
    double volts;
} lamp_load;

typedef enum quantity {
    QUANTITY_VOLTS,
    QUANTITY_CONDUCTANCE_AMPS,
    QUANTITY_PIECEWISE_AMPS
} quantity;

// A signal with memory: becomes true at q >= set, false at q <= reset (set >= reset; where equal,
// true wins); in between it stays. q = sign x (volts between a and b, or amps of element `a`).
// While the signal `enable` is false, or its power load has dropped out, it is false.
typedef struct comparator {
    quantity of;
    int a, b;
    double sign, set, reset;
    int enable;  // signal or SIGNAL_ALWAYS
    int level;   // 2 or 3: when the settling looks at it
    int power;   // whose supply it tells: a power load, or -1
} comparator;

typedef enum memory_kind {
    MEMORY_LATCH,  // next = hold and not reset and (set or now); kept from the starting point
    MEMORY_ALIVE,  // next = now and set; true when a settling starts
} memory_kind;

typedef struct memory {
    memory_kind kind;
    int set, reset, hold;  // signals; reset and hold only for a latch (hold may be SIGNAL_ALWAYS)
} memory;

typedef enum gate_op { GATE_AND, GATE_OR, GATE_NOT } gate_op;
typedef struct gate {
    gate_op op;
    int a, b;  // signals with a lower number than this gate's own; NOT: only a
} gate;

// Signals are numbered: inputs (params[i] != 0 for i < input_count), comparators, memories, gates.
// Trips when |amps| of its conductance pass 1.38 x params[slot] (the rating in amps).
typedef struct breaker {
    int conductance, slot;
    int contact;  // the input that says it is in, -1: none. Not so any more once it has opened
} breaker;

typedef struct pattern pattern;  // order of elimination and sparsity; see pattern.h

typedef struct circuit {
    arena memory;
    int node_count;  // with the airframe, node 0
    int param_count;
    int input_count;  // params[0 .. input_count-1] are the input signals (0 or 1)
    int slot_top;     // params slot: V_top, the highest EMF or set point
    const conductance *conductances;
    int conductance_count;
    const piecewise *piecewises;
    int piecewise_count;
    const power_load *powers;
    int power_count;
    const lamp_load *lamps;
    int lamp_count;
    const comparator *comparators;
    int comparator_count;
    const memory *memories;
    int memory_count;
    const gate *gates;
    int gate_count;
    const breaker *breakers;
    int breaker_count;
    int drawn;  // counts up when drop-outs, restarts, sets or resets become others
    const pattern *pattern;
} circuit;

static inline int circuit_signal_of_comparator(const circuit *c, int k) {
    return c->input_count + k;
}
static inline int circuit_signal_of_memory(const circuit *c, int k) {
    return c->input_count + c->comparator_count + k;
}
static inline int circuit_signal_of_gate(const circuit *c, int k) {
    return c->input_count + c->comparator_count + c->memory_count + k;
}
static inline int circuit_signal_count(const circuit *c) {
    return c->input_count + c->comparator_count + c->memory_count + c->gate_count;
}

// Computes c->pattern (in c->memory) once all arrays stand. STATUS_OK or STATUS_NO_MEMORY.
status circuit_order(circuit *c);

#endif
