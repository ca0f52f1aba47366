// A study of many flights for tests: an aircraft, the state that it is asked about, what is found.
// Whatever fails ends the test.
#ifndef DEADBUS_TEST_FLIGHT_STUDY_H
#define DEADBUS_TEST_FLIGHT_STUDY_H

#include "study/flights.h"
#include "support/fleet_states.h"

typedef struct study {
    subject s;
    arena memory;
    state asked;
    bool *stays;
    endurance found;
} study;

// Of an aircraft file's text, in its first phase; of a demo aircraft, in cruise. All functions must
// stay.
void study_open(study *y, const char *text);
void study_open_fleet(study *y, int index);
void study_close(study *y);
// Four hours.
flights_question study_question(const study *y, int flights);
void study_find(study *y, const flights_question *q);

#endif
