// What the files flights*.c share. Only for them.
#ifndef DEADBUS_STUDY_FLIGHTS_STATE_H
#define DEADBUS_STUDY_FLIGHTS_STATE_H

#include "study/flights.h"
#include "study/unknowns.h"

// Some fly to the end; some until all is lost that goes with the last source; many follow, which
// don't wait for what those have lost late or never; and some again, to the end, that may have
// missed what another one of them has lost.
typedef enum flights_stage {
    FLIGHTS_WHOLE,
    FLIGHTS_SCOUT,
    FLIGHTS_FOLLOW,
    FLIGHTS_AGAIN,
    FLIGHTS_DONE
} flights_stage;

// ---- what is kept of a flight: one column each -------------------------------------------------
typedef enum column_of {
    COLUMN_ITEM,
    COLUMN_WEAK,
    COLUMN_LETS_GO,
    COLUMN_EXHAUSTED,
    COLUMN_CHARGE,
    COLUMN_CHARGE_NOTICED,
    COLUMN_FUNCTION,
    COLUMN_REDUCED,
    COLUMN_MUTE,
    COLUMN_OFF_TRANSMITTING,
    COLUMN_OFF_RUNNING,
    COLUMN_KINDS
} column_of;

typedef struct column {
    column_of of;
    int index;
} column;

typedef struct crew crew;

typedef struct flights_study {
    allocator allocator;
    const aircraft *aircraft;
    const flights_question *question;
    endurance *found;
    unknowns unknowns;
    const column *columns;
    int column_count;
    float *kept;       // flights x column_count
    float *lasts;      // per flight: until the first of what must stay goes
    double *latest;    // per column: seconds until the last scout lost it; < 0: none has
    const bool *dead;  // per column: lost without any source; NULL: nobody knows
    int *list;         // flights that are being flown, in chunks
    int listed;
    flights_stage stage;
    int next, end;  // of the list: in this stage
    int scouted, done;
    bool *is_new;      // per column: scratch
    crew *crew;        // that flies where nothing is spread; NULL: none yet
    arena scratch;     // of all that lives as long as the study
    uint8_t *flown;    // per flight
    float *ended;      // per flight: seconds
    uint8_t *starved;  // per chunk: no memory
} flights;

double *flights_times_of(const endurance_times *t, column_of of);
double flights_uniform(const flights *f, int flight, int quantity);
status flights_find_dead(flights *f, arena *m);     // in their memory
status flights_gather(const flights *f, arena *m);  // of what has been flown, into f->found

#endif
