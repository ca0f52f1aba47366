// An ammeter, loadmeter or voltmeter: what it is asked to read, and what its face then shows.
#ifndef DEADBUS_CIRCUIT_METER_H
#define DEADBUS_CIRCUIT_METER_H

#include "base/text.h"
#include "circuit/meter_place.h"

typedef struct meter {
    const aircraft *aircraft;
    int which;        // the meter itself
    reference reads;  // what it is joined to now (its selector's position); part PART_NONE: nothing
    bool volts;       // a voltmeter
    bool center, digital, load, percent;
    meter_place place;
    double sign;       // amps as the needle shows them = sign x amps from `from` to `to`
    double low, high;  // stops of the scale; equal: no scale
    double rated;      // percent: amps that are 100 %
    double grain;      // what can be read: figures are rounded to this
    int decimals;      // of a rounded figure
    double apart;      // two readings closer than this look the same
} meter;

typedef enum meter_health {
    METER_WORKS,
    METER_UNPOWERED,  // its supply, or something that it needs, is gone
    METER_DEAD,       // failed itself
    METER_STUCK,
    METER_WRONG,
    METER_OFF,  // switched off by its own switch
} meter_health;

// `o`: the outcome whose selector positions and closed paths count.
status meter_make(const meter_graph *g, const outcome *o, int which, arena *memory, meter *m);
meter_health meter_health_of(const meter *m, const outcome *o);
// What a healthy meter would show, not rounded and not held at a stop.
double meter_truth(const meter *m, const outcome *o);
// Held between the stops.
double meter_held(const meter *m, double value);
double meter_rounded(const meter *m, double value);
// What a meter with fault `wrong` shows.
double meter_misread(const meter *m, double value);
const char *meter_unit(const meter *m);
// "−57 A", "23.8 V", "20.0 V, left stop"
void meter_write(const meter *m, double value, text *t);

// The sentence: what the reading means. `shown` is rounded.
void meter_says(const meter *m, const outcome *o, double shown, text *t);
// The sentence for a meter that shows nothing.
void meter_says_nothing(const meter *m, const outcome *o, meter_health h, text *t);

#endif
