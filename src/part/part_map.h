// Where each part of an aircraft went: its nodes, elements and signals in the circuit.
#ifndef DEADBUS_PART_PART_MAP_H
#define DEADBUS_PART_PART_MAP_H

#include "model/aircraft.h"

enum { NOWHERE = -1 };  // a part has no such node, element or signal

// Which of a machine's elements; the first is also its `piecewise`.
enum { OUTPUT_FULL_FIELD = 1, OUTPUT_WINDMILLING = 2, OUTPUTS_MOST = 4 };

// All fields are indices, NOWHERE if the part has none.
typedef struct part_map {
    // Nodes
    int from,
        to;     // path: its ends; item: supply (before its wire) and return; source: return, output
    int own;    // what the id alone stands for
    int inner;  // item: behind its wire; path with a wire, battery that opens: in between
    int coil, coil_return;
    int field, field_return;
    int sense;
    int *contacts;  // switch: node of each position's contact (NOWHERE: nothing joined)
    // Elements
    int path;                   // conductance between from and to (or from and inner)
    int *throws;                // switch with positions: conductance to each contact
    int rest;                   // changeover relay: conductance from `rests-on`
    int wire;                   // conductance of id.wire
    int fault_short;            // conductance to the airframe, closed by a short
    int fault_inside;           // item with a return of its own: conductance across it
    int coil_load, field_load;  // conductances
    int load;                   // conductance of a heater, solenoid or meter; generator: stopped
    int piecewise;              // main piecewise element
    int outputs[OUTPUTS_MOST];  // machine: elements of which one at a time carries its current
    int residual;               // generator: turning, not excited
    int charger;                // battery: its charging path
    int power, lamp;
    int breaker;                 // index into the circuit's breakers
    int list_diode, list_count;  // first of the piecewise diodes of its list terminal, and how many
    // Signals
    int *at;        // switch: its hand at each position
    int closed;     // path: contact closed
    int energized;  // relay, contactor
    int on_line;    // source: connected, turning, excited
    int tripped;    // regulator: over-voltage latch
    int runs;       // item: what lets it draw (runs-when, sounds-when, lit-when), NOWHERE: always
    int flashes;    // light: flashing code
    int works;      // part does its work
    int whole;      // no fault keeps it from working
    int switched;   // item: its own switch is on, NOWHERE if it has none
    int feeds;      // item: its converter feeds it, NOWHERE if none does
    int within;     // item: its converter gives all that is asked, NOWHERE: it has no limit
    int reserve;    // item: its own battery isn't run down, NOWHERE if it has none
    int needs;      // item: all that it needs beside its own supply is there
    int turning;    // engine: turns what it turns
    // Parts
    int regulator;  // alternator, generator: the part that feeds its field
    int dimmer;     // item: the dimmer it hangs on
    // thing with places or settings: the part whose position it follows (maybe itself)
    int selector;
    int converter;  // item: the converter that feeds it
} part_map;

#endif
