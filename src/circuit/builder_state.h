// The builder's own state: growing lists that compile.c turns into a circuit. Private to the
// circuit room's builder_*.c and compile.c.
#ifndef DEADBUS_CIRCUIT_BUILDER_STATE_H
#define DEADBUS_CIRCUIT_BUILDER_STATE_H

#include "circuit/compiled.h"

// While building, signals are tagged: class in the high bits, index in the low ones.
enum { TAG_SHIFT = 24, TAG_INPUT = 0, TAG_COMPARATOR = 1, TAG_MEMORY = 2, TAG_GATE = 3 };

// A comparator whose nodes or elements are looked up at the end, when every part is built.
typedef struct late_comparator {
    comparator c;
    const condition *of;  // NULL: nodes are final
    int owner;
    int supply_of;  // the part whose volts it compares with that part's own figure, NOWHERE
    int output;     // of a machine: which of its elements
} late_comparator;

struct builder {
    allocator memory;
    compiled *made;
    const aircraft *aircraft;
    conductance *conductances;
    int conductance_count, conductance_room;
    element_owner *conductance_owner;
    int conductance_owner_room;
    piecewise *piecewises;
    int piecewise_count, piecewise_room;
    element_owner *piecewise_owner;
    int piecewise_owner_room;
    power_load *powers;
    int power_count, power_room;
    int *power_owner;
    int power_owner_room;
    lamp_load *lamps;
    int lamp_count, lamp_room;
    int *lamp_owner;
    int lamp_owner_room;
    late_comparator *comparators;
    int comparator_count, comparator_room;
    memory *memories;
    int memory_count, memory_room;
    gate *gates;
    int gate_count, gate_room;
    breaker *breakers;
    int breaker_count, breaker_room;
    int *breaker_owner;
    int breaker_owner_room;
    input *inputs;
    int input_count, input_room;
    int *input_next;
    int input_next_room;  // another input of the same part, NOWHERE
    int *input_of_part;   // per part and one for none: its latest input, NOWHERE
    int *node_owner;
    int node_count, node_room;
    int param_count;        // slots beyond the inputs, numbered from 0; shifted at the end
    int *condition_signal;  // per condition, NO_SIGNAL until made
    int *works_memory;      // per part: memory that breaks a loop of needs, NOWHERE
    uint8_t *works_state;   // per part: 0 not yet, 1 being made, 2 made
    uint8_t *built;         // per part: 0 not yet, 1 being built, 2 built
    int *list_node;         // per part: node of its list terminal, NOWHERE
    int current;            // the part being built: owner of the comparators made meanwhile
    bool in_latch;          // comparators made now have no dead band
    bool failed;            // no memory: results are not valid
};

enum { NO_SIGNAL = -2 };

int builder_alive(builder *b);  // a memory that starts true and is taken away once its `set` fails
int builder_false(builder *b);
int builder_closed(builder *b, int part);          // a path's contact
int builder_joined(builder *b, int source);        // what isolates it is closed, or nothing does
int builder_converted(builder *b, int part);       // signal: its converter feeds it
void builder_item_signals(builder *b, int part);   // whole, switched, needs
int builder_number(const builder *b, int tagged);  // final number of a tagged signal
// Room for one more; false (and b->failed) if there is no memory.
bool builder_room(builder *b, void **items, int *room, int count, size_t size);

#endif
