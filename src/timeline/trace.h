// A run written down: everything that happened, and chosen volts, amps and charges at every step.
#ifndef DEADBUS_TIMELINE_TRACE_H
#define DEADBUS_TIMELINE_TRACE_H

#include "timeline/run.h"

typedef enum trace_of {
    TRACE_VOLTS,   // item: across it; everything else: its point to the airframe
    TRACE_AMPS,    // signed as everywhere
    TRACE_CHARGE,  // battery: 0..1
} trace_of;

typedef struct trace_wish {
    int part;
    trace_of of;
} trace_wish;

typedef struct trace {
    arena memory;
    const trace_wish *wishes;  // as asked
    int wish_count;
    double *at;      // seconds; one a row, never falling: two rows of one time stand about an event
    double *values;  // rows x wish_count
    int row_count, row_room, value_room;
    run_event *events;
    int event_count, event_room;
    int solves;
} trace;

// Makes the whole run; nothing of it is left when it comes back but the trace. `wishes` must
// outlive the trace. Free it with trace_free.
status trace_run(solver *s, const state *from, const run_options *o, const happening *list,
                 int count, const trace_wish *wishes, int wish_count, trace **made);
void trace_free(trace *t);

#endif
