// What isn't known of an aeroplane in a flight: quantities that are drawn, and an aircraft with the
// drawn figures in place of its own. Choices throughout, as said beside each; uniform draws.
#ifndef DEADBUS_STUDY_UNKNOWNS_H
#define DEADBUS_STUDY_UNKNOWNS_H

#include "base/arena.h"
#include "model/aircraft.h"
#include "study/endurance_result.h"

typedef struct unknowns {
    const aircraft *aircraft;
    endurance_unknown *list;
    int count;
} unknowns;

// Those of `a`, in `memory`; false: no memory.
bool unknowns_list(const aircraft *a, bool charge_given, bool temperature_given, arena *memory,
                   unknowns *made);

// What a flight is drawn to be, besides its figures.
typedef struct flight_draw {
    double health;
    bool pessimistic;
    double charge_off, celsius_off;  // from what is said
} flight_draw;

// An aircraft of its own figures, which may be drawn over and over; in `memory`. NULL: none left.
typedef struct drawn_aircraft drawn_aircraft;
drawn_aircraft *drawn_aircraft_make(const unknowns *u, arena *memory);
const aircraft *drawn_aircraft_of(const drawn_aircraft *d);  // its figures as last drawn
// `uniform`: one number of 0..1 for each unknown.
void drawn_aircraft_draw(drawn_aircraft *d, const double *uniform, flight_draw *out);

#endif
