// What a part kind may do while the circuit is built: ask for nodes, elements and signals. The
// circuit room implements it; part kinds know nothing of the solver.
#ifndef DEADBUS_PART_BUILDER_H
#define DEADBUS_PART_BUILDER_H

#include "base/findings.h"
#include "part/part_map.h"

typedef struct builder builder;

enum { AIRFRAME_NODE = 0 };
enum { SIGNAL_TRUE = -1 };

// What a conductance stands for: tells paths of power from what hangs on them.
typedef enum element_role {
    ROLE_PATH,  // carries power on: contacts, wires, straps, shunts
    ROLE_LOAD,  // an item's own draw
    ROLE_COIL,
    ROLE_FIELD,
    ROLE_SHORT,  // closed only by a fault
    ROLE_DIODE,  // piecewise, carries power on from a to b only
    ROLE_SOURCE,
    ROLE_SENSE,  // carries a sense pin: a path too
} element_role;

// Inputs: signals that a state sets before the settling starts.
typedef enum input_kind {
    INPUT_FALSE,
    INPUT_TRUE,
    INPUT_POSITION,    // the hand of switch `part` stands at position `detail` (or is welded there)
    INPUT_ON,          // own switch on, plugged in, breaker in, dimmer above 0
    INPUT_IN,          // breaker or fuse in, not tripped or blown by fault or by its own current
    INPUT_WHOLE,       // no fault that keeps the part from working at all
    INPUT_WELDED,      // fault stuck-closed
    INPUT_CONDITION,   // condition `detail`, a fact of the phase or state
    INPUT_TURNS,       // engine `part` has rpm or windmills
    INPUT_RUNS,        // engine `part` has rpm
    INPUT_GROUNDABLE,  // ignition: its P-lead is whole
    INPUT_WINDMILLS,   // engine `part` windmills by setting or fault
    INPUT_AIRBORNE,
    INPUT_ELAPSED,  // the time of `for`, condition `detail`, is over: a run says when it isn't
    INPUT_SHARE,    // the phase gives a share of time that the item runs
    INPUT_GIVEN,    // converter `part` gives all that is asked (`detail` 1), or not much less (0)
    INPUT_STARTED,  // the item has had its supply long enough: a run says when it hasn't
    INPUT_RESERVE,  // the item's own battery isn't run down: a run says when it is
} input_kind;

typedef struct input {
    input_kind kind;
    int part, detail;
} input;

const aircraft *builder_aircraft(const builder *b);
part_map *builder_map(builder *b, int part);
const part *builder_part(const builder *b, int part);

int builder_node(builder *b, int part);                            // a new node; `part` names it
int builder_terminal(builder *b, const reference *r, int asking);  // node of a reference
// The node of a from-like key: one reference is that point; a list gets a node of its own and
// diodes (the map's list_diode). `otherwise` if the key isn't given.
int builder_feed(builder *b, int part, part_key key, int otherwise);

int builder_conductance(builder *b, int part, element_role role, int a, int c, int gate);
int builder_piecewise(builder *b, int part, element_role role, int a, int c, int pieces, int gate);
int builder_power(builder *b, int part, int a, int c, double dropout, double restart, int gate);
int builder_lamp(builder *b, int part, int a, int c, double volts, int gate);
int builder_breaker(builder *b, int part, int element);  // of a conductance

int builder_input(builder *b, input_kind kind, int part, int detail);
int builder_comparator(builder *b, int a, int c, double set, double reset, int enable);
int builder_latch(builder *b, int set, int reset, int hold);
int builder_and(builder *b, int x, int y);  // SIGNAL_TRUE allowed in all three
int builder_or(builder *b, int x, int y);
int builder_not(builder *b, int x);
int builder_condition(builder *b, int index,
                      int part);  // signal of a condition of `part`'s line
// Builds `part` now if it isn't yet (a part that needs what another one makes).
void builder_build(builder *b, int part);
int builder_works(builder *b, int part);    // signal: the part does its work
int builder_turning(builder *b, int part);  // signal: engine or motor turns things

// Volts that a kind of thing needs, for 28 V and 14 V aeroplanes.
double builder_volts(const builder *b, double at28, double at14);

#endif
