// A run: an aircraft from a state onward in time. Batteries run down and are charged, breakers warm
// up and trip, devices change when their thresholds are passed, and what is to happen happens.
//
// Between events the circuit is quasi-static: each step is one settling. Nothing is allocated
// after run_make; every answer is the same bits on every machine.
#ifndef DEADBUS_TIMELINE_RUN_H
#define DEADBUS_TIMELINE_RUN_H

#include "circuit/judge.h"
#include "circuit/solver.h"
#include "part/battery_model.h"

// An interruption of its supply that an item doesn't notice: choice, of the order of the shortest
// that equipment must ride through.
#define RUN_RIDES_THROUGH 0.05  // seconds

// One thing that happens: a fault comes, a fault goes, or a hand sets a position.
typedef struct happening {
    double at;  // seconds from the start
    int part;
    fault_kind kind;  // FAULT_NONE: a position
    bool ends;        // the fault goes
    double setting;   // of the position, as in a state
} happening;

typedef struct run_battery {
    int part;
    battery_model model;
    battery_charge charge;
    battery_law law;
    double volts, amps;  // discharging
    double given;        // coulombs since the start
    bool cut;            // a fault has taken it off all that it was joined to
} run_battery;

// A radio that is tried transmitting. The last one may be another item: of what draws part of the
// time and counts by its average, the one that draws most while it runs.
typedef struct run_transmitter {
    int part, rule;       // rule: of made->verdict; NOWHERE: nothing in this phase
    double watts, least;  // while it transmits; volts that it needs for that; 0: no radio
    double volts;         // that it has while it transmits; 0: it is off
    double times;         // no radio: what it draws while it runs, over its average
} run_transmitter;

// One end of a step, for what a caller watches.
typedef struct run_probe {
    const settled_state *settled;  // part_amps and across read it
    const item_verdict *items;
    const uint8_t *functions;
    const run_battery *batteries;   // their models; their charges stand below
    const battery_charge *charges;  // battery_count
    int battery_count;
    const uint8_t *lit;      // per rule of made->verdict: light or sounder that is lit
    const uint8_t *tripped;  // per breaker
} run_probe;

typedef struct run_options {
    double lasts;       // seconds
    double tolerance;   // volts that a step may be off: 0.0005 usually
    bool coarse;        // for many flights: see run_go_on
    double resolution;  // seconds within which an event is placed, 0.001 at least
    double health;      // of every battery: capacity now over capacity when new
    bool pessimistic;   // in the cold
    bool cycles;        // what has an `every` goes on and off; else its average counts
    bool transmits;     // radios are tried transmitting, and the rest as run_transmitter says: one
                        // more settling for each that is on
    // Looked at on both ends of every step: where one of these bytes changes is an event.
    int watch_count;
    void *watch_ctx;
    void (*watch)(void *ctx, const run_probe *at, uint8_t *watches);
} run_options;

typedef enum run_event_kind {
    RUN_HAPPENS,    // event.part, to: index of the happening
    RUN_STATUS,     // item: from and to are item_status
    RUN_FUNCTION,   // part: index of a function; from and to are function_status
    RUN_LIT,        // light or sounder: 1 lit
    RUN_DROPS_OUT,  // constant-power item below its own volts: 1 off
    RUN_DEVICE,     // contactor, relay, excitation, condition: 1 on
    RUN_LATCH,      // part NOWHERE
    RUN_TRIPS,      // breaker, fuse
    RUN_EXHAUSTED,  // battery: 1 empty
    RUN_WATCHED,    // part: index of a watch
    RUN_MUTE,       // radio: 1 it has too few volts to transmit, 0 enough again, or it is off
    // item that drops out while a radio transmits, or that other item runs: 1 + index of the
    // transmitter, 0: it doesn't
    RUN_OFF_TRANSMITTING,
    RUN_CYCLES,  // what draws part of the time: 1 on, 0 it pauses; from: 1 for the first pause
    // something of this part changed more than three times within a second, a load that drops out
    // within a minute; or that has the volts to come back, but not once it draws
    RUN_CHATTERS,
} run_event_kind;

typedef struct run_event {
    double at;
    run_event_kind kind;
    int part, from, to;
} run_event;

// Where a run stands. All of it stays valid until the run goes on.
typedef struct run_now {
    double at;
    const settled_state *settled;  // part_amps, across and judge_parts read it
    const run_battery *batteries;
    int battery_count;
    const item_verdict *items;  // by the rules of made->verdict
    const uint8_t *functions;   // function_status
    const double *heat;         // per breaker: see heating.h
    const uint8_t *tripped;     // per breaker
    const uint8_t *watches;     // as run_options.watch has set them
    const run_transmitter *transmitters;
    int transmitter_count;  // 0 unless run_options.transmits
    int steps, solves;      // so far
} run_now;

// Called for every accepted step (the start is one) and for every event, at its time, when all
// has settled after it. Either may be NULL. A step that answers false ends the run.
typedef struct run_hooks {
    void *ctx;
    bool (*step)(void *ctx, const run_now *now);
    void (*event)(void *ctx, const run_now *now, const run_event *e);
    // Of a coarse run: whether it matters when in a step this change of a status or a function has
    // come. What doesn't is told at the end of the step. NULL: always.
    bool (*asks)(void *ctx, const run_event *e);
} run_hooks;

typedef struct run run;

// From `from`, settled, its batteries at rest; `list` in order of time. The solver and the list
// must outlive the run; nobody else uses the solver meanwhile.
status run_make(solver *s, const state *from, const run_options *o, const happening *list,
                int count, run **made);
void run_free(run *r);
// Goes on for at most `steps` accepted steps; false once it has ended.
bool run_advance(run *r, const run_hooks *hooks, int steps);
const run_now *run_where(const run *r);
// What this part draws at its first instant, in amps at nominal volts; 0: no more than ever.
double run_starts_with(const run *r, int which);
// Now, with these parts in their first instant. Valid until the run goes on.
const struct solution *run_first_instant(run *r, const int *parts, int count);
// It has lasted long enough to count: it settles from there, so what has dropped out comes back at
// its restart volts, and what takes its time to start takes it. What changes by it is told, and a
// step is handed over.
void run_dip(run *r, const run_hooks *hooks, const int *parts, int count);
// Whether an item of the circuit has so much more than the volts at which it is off. False of what
// has a battery of its own or hangs on a converter.
bool run_has_volts(const struct item_rule *rule, const struct solution *s, double more);
// The same, whether or not it has a battery of its own to go on with.
bool run_is_supplied(const struct item_rule *rule, const struct solution *s, double more);
// Whether an item waits for its `restarts-in` to be over.
bool run_restarts(const run *r, int part);
// The same of a coarse run.
status run_make_coarse(solver *s, const state *from, const run_options *o, const happening *list,
                       int count, run **made);
// A coarse run, settling by settling: what follows from the last job's solution (NULL: at first),
// up to the next job, valid until the next call; NULL: it has ended. Only devices make events of
// their own, each in a step of at most `resolution`; when a status or a function changes is found
// between the ends of a step. Lights and watches aren't looked at, and what
// is told as settled isn't read: no node is known to be live.
const job *run_go_on(run *r, const run_hooks *hooks, const solution *solved);
// Begins anew, as run_make does, with the figures that the solver's circuit has now. Nothing is
// allocated.
void run_again(run *r, const state *from, double health, bool pessimistic);
// No step goes beyond this time until it is told another; run_advance does nothing there.
void run_pause(run *r, double at);
// From now on positions, faults and conditions are these. A breaker that goes from out to in is
// pushed in, one that goes out is pulled. What changes by it is told, and a step is handed over.
void run_change(run *r, const run_hooks *hooks, const state *asked);

#endif
