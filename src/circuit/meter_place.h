// Where a meter sits: between the battery and the loads, in a source's own lead, or elsewhere.
//
// An ammeter's zero or discharge means something only when one knows which two points it sits
// between, and that is read from the file's connections, never assumed.
#ifndef DEADBUS_CIRCUIT_METER_PLACE_H
#define DEADBUS_CIRCUIT_METER_PLACE_H

#include "model/outcome.h"

typedef enum meter_lead {
    LEAD_OTHER,
    LEAD_BATTERY,  // a battery on one side; sources and loads on the other
    LEAD_SOURCE,   // only an alternator or generator on one side
} meter_lead;

typedef struct meter_place {
    meter_lead lead;
    double
        charging;  // LEAD_BATTERY: +1 if amps from `from` to `to` flow towards the battery, else -1
    double output;  // LEAD_SOURCE: +1 if amps from `from` to `to` come out of the source, else -1
    int battery, source;  // nearest battery; nearest alternator or generator; PART_NONE
    bool battery_joined;  // LEAD_BATTERY: a closed path leads from that battery to the meter
    bool fed_before;      // LEAD_BATTERY: something is fed between that battery and the meter
    bool right_is_to;     // `right:` names the end that positive amps flow towards
    int from, to;         // parts whose names tell the two points it sits between; PART_NONE
} meter_place;

// Terminals joined as the file says. Made once, used for every meter.
typedef struct meter_graph meter_graph;
meter_graph *meter_graph_make(const aircraft *a, arena *memory);  // NULL: no memory

// `reads`: index of the part that is read; `right`: the reference of `right:` or NULL.
status meter_place_find(const meter_graph *g, const outcome *o, int reads, const reference *right,
                        arena *memory, meter_place *place);

#endif
