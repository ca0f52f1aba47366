// An aircraft compiled: its circuit, and which part each node, element and signal belongs to.
#ifndef DEADBUS_CIRCUIT_COMPILED_H
#define DEADBUS_CIRCUIT_COMPILED_H

#include "base/findings.h"
#include "circuit/circuit.h"
#include "circuit/part_groups.h"
#include "circuit/solve.h"
#include "model/aircraft.h"
#include "model/state.h"
#include "part/builder.h"

typedef struct element_owner {
    int part;
    element_role role;
} element_owner;

typedef struct compiled {
    arena memory;
    const aircraft *aircraft;
    circuit circuit;
    part_map *maps;       // part_count; signals are final numbers (SIGNAL_ALWAYS: always)
    const input *inputs;  // circuit.input_count: how a state sets params[0..]
    const element_owner *conductance_owner;
    const element_owner *piecewise_owner;
    const int *power_owner, *lamp_owner, *breaker_owner;  // parts
    const int *comparator_owner;  // part whose condition or coil it is, NOWHERE
    const int *node_owner;        // part that made the node, NOWHERE for the airframe
    part_groups groups;
    const int *condition_signal;  // per condition: its signal, -2 if nothing in the circuit uses it
    const struct verdict *verdict;  // rules by which items and functions are judged
    const double *load_below;       // per part: amps of the items on its branch, by their figures
    struct drawn_figures *drawn;    // for compiled_redraw
} compiled;

// Compiles. On STATUS_OK `*made` is owned by the caller (compiled_free). The aircraft must outlive
// it.
status compile_aircraft(allocator memory, const aircraft *a, compiled **made);
void compiled_free(compiled *c);

// The aircraft's figures are others than before, in the same places; nothing else of it is. What of
// them isn't a parameter becomes as if it were compiled anew.
void compiled_redraw(compiled *c);

// Parameters of a state into params[circuit.param_count]. `base_amps`: per part, amps in the
// phase's base, for the size of bad contacts; may be NULL. `faults` is scratch of part_count words.
void bind_state(const compiled *c, const state *s, const double *base_amps, uint32_t *faults,
                double *params);

// The same where `params` are those of a state that differs from `s` only in settings and faults of
// these parts, and has no fault of a bus.
void bind_parts(const compiled *c, const state *s, const double *base_amps, const int *parts,
                int count, uint32_t *faults, double *params);

// Faults of a state by part, with those of connectors and bundles spread over what they carry.
void spread_faults(const aircraft *a, const state *s, uint32_t *faults);

#endif
