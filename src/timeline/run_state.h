// What a run keeps. Private to the files run*.c.
#ifndef DEADBUS_TIMELINE_RUN_STATE_H
#define DEADBUS_TIMELINE_RUN_STATE_H

#include "circuit/solver_state.h"
#include "part/heating.h"
#include "timeline/run.h"

#define SHORTEST_STEP 1e-3
#define LONGEST_STEP  600.0
#define FIRST_STEP    30.0

// A byte that an event is when it changes.
typedef struct mark_owner {
    run_event_kind kind;
    int part;
} mark_owner;

typedef struct charge_condition {
    int input, condition, battery;
} charge_condition;

// A `for` of a condition: what it waits for, and since when that has held.
typedef struct run_timer {
    int input, signal;
    double seconds, since;  // since < 0: it doesn't hold
    bool over;
} run_timer;

// One end of a step: a settled circuit and all that goes with it.
typedef struct run_end {
    view view;
    battery_charge *charge;  // battery_count
    battery_law *law;
    double *amps;
    double *heat;    // breaker_count
    uint8_t *marks;  // mark_count
} run_end;

struct run {
    allocator allocator;
    arena memory;
    solver *solver;
    run_options options;
    const happening *list;
    int list_count, next_happening;
    run_end now, trial;
    run_battery *batteries;
    int battery_count;
    charge_condition *conditions;
    int condition_count;
    run_timer *timers;
    int timer_count;
    trip_law *trip_laws;  // breaker_count
    uint8_t *tripped;
    mark_owner *owners;
    int mark_count, first_trip_mark, first_drop_mark, first_watch_mark;
    // per mark: changes within a second from `since`, and whether it is passed over
    uint8_t *changes, *ignored;
    double *since;
    uint8_t *seen;  // marks that the events told so far lead to
    solution before;
    verdict_block *block;
    item_verdict *items;
    uint8_t *functions;
    double *ramp;  // amps per second of each battery in the last step
    uint8_t *lit;  // scratch of the watches
    double at, length, bound_top, pause;
    int steps, solves;
    bool started, ended;
    run_now told;
};

// run_timers.c
void run_find_timers(run *r);
// At the start what holds has held for long.
void run_start_timers(run *r);
void run_bind_timers(const run *r, double *params);
// Looks at what now holds; true if a timer has been put back.
void run_look_timers(run *r);
// Seconds until the next is over; < 0: none runs.
double run_next_timer(const run *r);
bool run_timer_due(const run *r);  // one is over now
// Those whose time has come are over; true if any.
bool run_take_timers(run *r);

// run_trial.c
void run_bind(run *r);  // parameters of both ends by r->now.view.asked
// Settles `e` with its charges; starts from `start`.
void run_settle(run *r, run_end *e, const solution *start);
// The other end of a step of `seconds` from now, in r->trial; answers its error in volts.
double run_try(run *r, double seconds);
void run_accept(run *r, double seconds);                        // trial becomes now
double run_ratio(const run *r, const run_end *e, int breaker);  // amps over rating

// run_marks.c
int run_count_marks(const run *r);
void run_name_marks(run *r);
void run_mark(run *r, run_end *e);                // fills e->marks
bool run_differs(const run *r);                   // trial from now
void run_tell_marks(run *r, const run_hooks *h);  // events between r->seen and now
void run_tell(run *r, const run_hooks *h, run_event e);
void run_forget_chatter(run *r);

#endif
