// Builds small circuits by hand for tests and benches. Allocation failures end the program.
#ifndef DEADBUS_TEST_CIRCUIT_BUILDER_H
#define DEADBUS_TEST_CIRCUIT_BUILDER_H

#include "circuit/circuit.h"
#include "circuit/solve.h"

typedef struct builder {
    arena memory;
    double *params;
    int param_count, param_room;
    int node_count, input_count;
    conductance *conductances;
    piecewise *piecewises;
    power_load *powers;
    lamp_load *lamps;
    comparator *comparators;
    memory *memories;
    gate *gates;
    breaker *breakers;
    int conductance_count, conductance_room, piecewise_count, piecewise_room;
    int power_count, power_room, lamp_count, lamp_room;
    int comparator_count, comparator_room, memory_count, memory_room;
    int gate_count, gate_room, breaker_count, breaker_room;
    int slot_top;
} builder;

// `inputs` signals, all true; V_top in the slot after them.
builder builder_make(int inputs, double top);
void builder_free(builder *b);
int build_node(builder *b);
int build_param(builder *b, double value);  // its slot
// All return the element's index. A breaker's conductance is made with it.
int build_conductance(builder *b, int from, int to, double siemens, int gate);
int build_breaker(builder *b, int from, int to, double rating, double siemens, int gate);
int build_piecewise(builder *b, int from, int to, int gate, int pieces, const double *table);
int build_power(builder *b, int from, int to, double watts, double dropout, double restart,
                int gate);
int build_lamp(builder *b, int from, int to, double amps, double volts, int gate);
int build_comparator(builder *b, comparator h);
int build_memory(builder *b, memory m);
int build_gate(builder *b, gate_op op, int x, int y);
// Usual devices
int build_source(builder *b, int node, double emf, double ohms, int gate);  // to the airframe
int build_diode(builder *b, int from, int to, double knee, double ohms);
// Blocked below its no-load volts; then (set - droop) regulated up to `limit` amps; then limited.
int build_alternator(builder *b, int node, double volts, double ohms, double limit, int gate);

// The signals' numbers are only right when all counts are final: comparators, memories and gates
// are therefore numbered by these from the counts given to builder_signals before the first is
// made.
typedef struct signal_base {
    int comparator, memory, gate;
} signal_base;
signal_base builder_signals(const builder *b, int comparators, int memories);

// Makes the circuit in `b`'s memory and orders it.
circuit *builder_finish(builder *b);

// A settling of its own from `start` (NULL: cold), in the builder's memory.
solution *builder_solution(builder *b, const circuit *c);
void settle(const circuit *c, const job *j, solution *result);

#endif
