// What a run keeps. Private to the files run*.c.
#ifndef DEADBUS_TIMELINE_RUN_STATE_H
#define DEADBUS_TIMELINE_RUN_STATE_H

#include <float.h>

#include "circuit/solver_state.h"
#include "circuit/verdict_block.h"
#include "part/heating.h"
#include "timeline/run.h"

#define SHORTEST_STEP 1e-3
#define LONGEST_STEP  600.0
#define FIRST_STEP    30.0
#define SAME_MOMENT   1e-9
#define ABOVE         DBL_TRUE_MIN  // volts: any
#define LIMITED       1e-6  // a battery that takes all but this share of the most is held by that

enum { FIRST_INSTANT_PATCHES = 5 };  // of one part, at most

// A byte that an event is when it changes.
typedef struct mark_owner {
    run_event_kind kind;
    int part;
} mark_owner;

typedef struct charge_condition {
    int input, condition, battery;
} charge_condition;

// A `for` of a condition: what it waits for, and since when that has held. Or an item that takes
// its time to start: its rule, since when it has had its supply, and since when it hasn't. Or an
// item with a battery of its own: since when it has lived on that, and for how long before.
typedef struct run_timer {
    int input, signal;
    int rule;                     // NOWHERE: a `for`
    bool reserve;                 // its own battery's time
    double seconds, since, lost;  // since < 0: it doesn't hold; lost < 0: it does
    double used;                  // of a reserve, seconds; nothing is ever put back
    bool over;                    // of a reserve: it isn't run down
} run_timer;

// In a coarse run: a radio as it was last settled transmitting, per rule and, behind them, for
// transmitting itself.
typedef struct run_talk {
    double *before, *left;  // volts without it; above what is needed, with it
    int stamp;              // of what was bound then
    bool relieved;          // others had gone off meanwhile
    bool known, speaks;     // speaks: somebody does, in this phase
} run_talk;

// What draws its share of the time. It begins with a run of its own whenever it gets its supply.
typedef struct run_cycle {
    int part, rule;
    double every, duty;  // seconds; outside 0..1 in this phase: it doesn't cycle
    double since;        // when it last started; < 0: it has no supply
    bool on, paused;     // paused: at least once since it has had its supply
    bool moved;          // to be told
    bool stale;          // without supply it went back to on: not bound yet
} run_cycle;

// A comparison of volts that the verdict rests on: while all of them and all devices stay as they
// are, so does the verdict.
typedef struct threshold {
    int a, b;      // nodes
    double limit;  // volts[a] - volts[b] at or above this; ABOVE: one feed above another
    int rule;
    bool holds;
} threshold;

// One end of a step: a settled circuit and all that goes with it.
typedef struct run_end {
    view view;  // its job has whole parameters, for whoever reads
    job job;    // what is settled: the bound parameters, patched
    patch *patches;
    battery_charge *charge;    // battery_count
    battery_law *law, *shown;  // as it is; as the circuit was shown it
    double *amps;
    double *heat;   // breaker_count
    double *ratio;  // breaker_count: amps over rating, if `rated`
    bool rated;
    double *transmit_volts;  // transmitter_count
    uint8_t *marks;  // mark_count; the verdict's from first_status_mark to first_transmit_mark
} run_end;

// A battery at the end of a step, if its current goes straight to `amps`, and what an amp more or
// less at that end makes of it.
typedef struct outlook {
    battery_span span;  // of the step
    battery_charge charge;
    battery_law law;
    double amps;
    double emf_slope, ohms_slope, accepts_slope;
} outlook;

// Which end the verdict in place is of.
typedef enum judged_end { JUDGED_NEITHER, JUDGED_NOW, JUDGED_TRIAL } judged_end;

// Volts at a time about an event, for telling when it comes.
typedef struct run_point {
    bool known;
    double at;      // seconds from now
    double *volts;  // node_count
} run_point;

// What the job under way is for, in a coarse run.
typedef enum coarse_stage {
    COARSE_BEGINS,
    COARSE_CHANGES,
    COARSE_TRIES,
    COARSE_TURNS,
    COARSE_TALKS
} coarse_stage;

// What a coarse run needs its verdict for. It needs no new one where something merely comes back.
typedef struct run_asks {
    uint8_t *uses;  // function_count x rule_count: the function rests on it
    uint8_t *both;  // per rule: coming back counts, too
    uint8_t *idle;  // per rule: what becomes of it changes nothing that is asked
} run_asks;

// Ends of a step, and what lies between them where statuses change.
typedef struct between {
    solution *solutions;           // CROSSINGS_MOST
    double *volts;                 // their volts
    double shares[VERDICT_SLOTS];  // of the way
    int count;
} between;

// The circuit, all its devices held as they are.
typedef struct run_frozen {
    circuit circuit;
    power_load *powers;
    comparator *comparators;
} run_frozen;

enum { CROSSINGS_MOST = VERDICT_SLOTS - 1 };

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
    run_cycle *cycles;
    int cycle_count;
    trip_law *trip_laws;  // breaker_count
    uint8_t *cold;        // breakers whose heat isn't followed: in a coarse run
    uint8_t *tripped;
    mark_owner *owners;
    int mark_count, first_trip_mark, first_drop_mark, first_status_mark, first_watch_mark;
    int first_transmit_mark;
    run_transmitter *transmitters;
    int transmitter_count;
    int *heavies, heavy_count;  // rules of other items that draw part of the time in some phase
    // per mark: changes within a second from `since`, and whether it is passed over
    uint8_t *changes, *ignored;
    double *since;
    uint8_t *seen;          // marks that the events told so far lead to
    uint8_t *last_told;     // per mark: what the last event of its own led to
    solution before, over;  // over: the last trial that an event was in
    solution transmitting;  // and of a first instant
    patch *start_patches;
    uint8_t *transmit_was;  // scratch of the marks of transmitters
    double *plain;  // parameters by positions and faults alone, as bound for what was asked then
    state plain_asked;
    bool has_plain;
    double *bound;    // the same with timers, cycles, and what is held off
    bool same_bound;  // they have been settled with
    int bound_stamp;  // counts up with each change of them
    verdict_block *block;
    bool block_begun;  // with them
    judged_end judged;
    bool read;     // `now` has been read since it was judged
    bool ignores;  // some of `ignored` is set
    bool trial_differs;
    const item_verdict *items;
    const uint8_t *functions;
    uint8_t *devices;  // marks of the devices that it was made of
    threshold *thresholds;
    int threshold_count;
    const uint8_t *skips;  // per rule: it has none of them; NULL: none is skipped
    bool rests;            // they are of the verdict in place
    outlook *ahead;        // of each battery in the last trial
    double *ramp;          // amps per second of each battery in the last step
    uint8_t *lit;          // scratch of the watches
    double last_step;      // seconds of the last step, in which the ramp was
    double at, length, bound_top, pause, finest;
    bool shortened;  // the step under way, for its error: the next is no longer than it
    // The last three before the event, and, where no device differs there, the first beyond it;
    // when a trial was last beyond an event that hasn't come yet (before now: none), how often the
    // next step has been aimed at that, and how often in a row at one that is merely expected.
    run_point oldest, older, newer, beyond;
    double over_at;
    int aims, foreseen;
    int steps, solves;
    bool started, ended;
    run_now told;
    // A coarse run: the step under way.
    coarse_stage stage;
    double aim;
    run_talk *talks;  // transmitter_count
    job talk_job;
    int talker;
    bool talk_begun;     // what is mute from the beginning isn't told
    double volts_rate;   // in the last step without a change
    bool turns;          // a device changes at the end that the step under way has come to
    bool talk_relieved;  // a load has gone, at the last end
    bool talk_differs;   // a device is otherwise than at the last end
    int first_told;
    between between;
    run_frozen frozen;
    run_asks asks;
};

// run.c, for run_coarse.c
void run_begin(run *r);  // `now` has been settled for the first time
void run_look(run *r);
void run_hand_over(run *r, const run_hooks *h);
void run_open_breaker(run *r, int breaker);
void run_settle_from(run *r, const run_hooks *h, const solution *start);
int run_fastest_breaker(const run *r);  // opens before anything else could move; NOWHERE: none
void run_after_event(run *r);           // a device has changed, or what is asked
// Those that are due change what is asked; true if any.
bool run_take_happenings(run *r);
double run_room(const run *r);
// The length from here on.
double run_shorter_step(run *r, double seconds, double error, double tolerated);
void run_next_length(run *r, double seconds, double error, double tolerated);

// run_crossings.c: tells what the verdict's thresholds make of the way to the trial; judges that.
bool run_make_between(run *r);
void run_tell_crossings(run *r, const run_hooks *h);
// When the volts had gone that share of the way of the step that was accepted last.
double run_passed_at(const run *r, double share);
// Of the step under way: seconds until that share of the way is behind, and the other way round.
double run_time_of_way(const run *r, double share);
double run_way_at(const run *r, double seconds);
double run_volts_rate(const run *r);  // volts a second, of the battery whose volts change most

// run_frozen.c: a coarse run's trials are settled with r->frozen.circuit
bool run_make_frozen(run *r);
void run_freeze(run *r);  // as the circuit's figures are now
// Cuts the step under way where the first device gets to its threshold; false: none does.
bool run_cut_trial(run *r);

// run_timers.c
void run_find_timers(run *r);
void run_forget_timers(run *r);  // as when they were found
// At the start what holds has held for long.
void run_start_timers(run *r);
void run_bind_timers(const run *r, double *params);
// Looks at what now holds.
void run_look_timers(run *r);
// Seconds until the next is over, or something goes on or off; < 0: none runs.
double run_next_timer(const run *r);
bool run_timer_due(const run *r);  // one is over now
// Those whose time has come are over; true if any.
bool run_take_timers(run *r);
void run_interrupt(run *r, const solution *s);  // items without their volts there start anew

// run_cycles.c: the same for what draws its share of the time
enum { DRAW_SLOTS = 12 };  // a law of four pieces and one of each other kind
int run_draw_slots(const run *r, int part, int slots[DRAW_SLOTS]);  // of what it draws; how many
// What it draws counts by its average in what is asked now: it has no cycle, and isn't on its way.
bool run_goes_by_average(const run *r, int part, double duty);
void run_find_cycles(run *r);
void run_bind_cycles(run *r, double *params);
void run_look_cycles(run *r);
double run_next_cycle(const run *r);
bool run_take_cycles(run *r);
void run_tell_cycles(run *r, const run_hooks *h);

// run_bind.c
void run_bind(run *r);  // parameters of both ends by r->now.view.asked

// run_trial.c
int run_battery_slot(const run *r, int battery);
// Settles `e` with its charges; starts from `start`.
void run_settle(run *r, run_end *e, const solution *start);
// The same in two: e->job is to be settled into e->view.solution in between.
void run_pose(run *r, run_end *e, const solution *start);
void run_take(run *r, run_end *e);
// The other end of a step of `seconds` from now, in r->trial; answers its error in volts.
double run_try(run *r, double seconds);
// The same in two; trial_differs by its devices alone.
void run_aim(run *r, double seconds);
double run_land(run *r, double seconds);
void run_land_there(run *r, double seconds);  // with the amps that stand in the trial
void run_accept(run *r, double seconds);      // trial becomes now
double run_ratio(const run *r, const run_end *e, int breaker);  // amps over rating

// run_marks.c
int run_count_marks(const run *r);
void run_name_marks(run *r);
void run_mark(run *r, run_end *e);          // fills e->marks, with a new verdict if that is needed
void run_mark_devices(run *r, run_end *e);  // those that need no verdict
void run_compare(run *r);                   // the trial with now: sets trial_differs
bool run_marks_differ(const run *r);        // the trial's from now's
bool run_would_wake(const run *r);          // such a load there is now
void run_tell_marks(run *r, const run_hooks *h);  // events between r->seen and now
void run_tell(run *r, const run_hooks *h, run_event e);
void run_forget_chatter(run *r);
// What has the volts to come back once all has settled, but not once it draws: it chatters from
// here on. True if any: to be settled anew.
bool run_hold_off(run *r, const run_hooks *h);

// run_transmit.c
void run_find_transmitters(run *r);
void run_choose_heaviest(run *r);  // by what is asked now: which item the last one is
bool run_talker_is_on(const run *r, const run_end *e, int which);
int run_count_transmit_marks(const run *r);
void run_name_transmit_marks(run *r);
void run_mark_transmitting(run *r, run_end *e);  // settles with each of them transmitting

bool run_is_asked(const item_rule *rule, const double *params);  // its switch is on, it is whole
job run_job_transmitting(run *r, run_end *e, int which);

// run_talk.c: the same for a coarse run, settling by settling
bool run_make_talks(run *r);
void run_forget_talks(run *r);
void run_talk_pass(run *r, const run_hooks *h, int which, bool breaks_down);
bool run_talk_is_due(run *r, int which);
const job *run_talk_job(run *r, int which);
void run_talk_look(run *r, const run_hooks *h, int which);  // its solution in r->transmitting
void run_talk_end(run *r);                                  // of all that one end asks for

// run_foresee.c: when the first device or status gets to its threshold, if currents go on as in
// the last step; 1e300: not in so many seconds, or nobody knows.
double run_foresee(const run *r, double seconds, double past);
// Of a step of `seconds` what doesn't end far down in the knee of a battery, where everything has
// dropped out and nothing can be learned.
double run_above_knee(const run *r, double seconds);

// run_event.c: of a step of `seconds` what is to be tried, so that it ends short of the event that
// comes next, or just beyond it, in a step of at most `finest`.
double run_step_to_event(run *r, double seconds);
double run_shorten_to_event(run *r, double seconds);  // the trial of `seconds` is beyond an event
void run_forget_points(run *r);                       // a jump lies between them and what follows
void run_pass_points(run *r, double seconds);         // before a step of `seconds` becomes now

// run_verdict.c: the verdict in place, and what it rests on
int run_count_thresholds(const run *r);
bool run_passed(const threshold *t, const double *volts);
void run_rest_on(run *r, const settled_state *s);
void run_judge(run *r, run_end *e, uint8_t *marks);  // of e, from the first status mark on
void run_open_block(run *r);                         // empty
// What the block has found for e in a slot.
void run_take_verdict(run *r, run_end *e, uint8_t *marks, int slot);
bool run_verdict_holds(const run *r, const run_end *e);

// run_asks.c: the same of a coarse run
bool run_make_asks(run *r);
// What has been found is told: what the verdict rests on from here on, which is of `e`.
void run_rest_asked(run *r, const run_hooks *h, const run_end *e);
// Whatever the verdict on `e` would be: nobody asks.
bool run_stays_judged(const run *r, const run_end *e);
void run_mark_asked(run *r);  // run_mark of `now`

#endif
