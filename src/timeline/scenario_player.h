// What playing a scenario keeps. Private to the files scenario_*.c of this room.
#ifndef DEADBUS_TIMELINE_SCENARIO_PLAYER_H
#define DEADBUS_TIMELINE_SCENARIO_PLAYER_H

#include "circuit/snapshot.h"
#include "circuit/solver_state.h"
#include "timeline/run.h"
#include "timeline/scenario_play.h"

#define NOT_YET (-1.0)

// A thing with places under way: its motor turns and its selector stands elsewhere.
typedef struct mover {
    int part, selector;
    double seconds;  // end to end, at the volts of its motor's figure
    int works;       // rule whose item must work for it to move; -1: by hand or gravity
    int motor;       // whose speed is its own: itself, or what makes what it needs; NOWHERE
    double speed;    // of that, over the one at those volts, as last looked at
} mover;

// What draws more as it starts than it does then.
typedef struct starter {
    int part;
    double runs_with, amps;  // its figure; now
    double lasts;            // seconds of its first instant
} starter;

// A wire whose gauge the file gives.
typedef struct warm_wire {
    int part;
    int level;  // of the limits of insulation, how many it has passed
    double area_mm2, celsius, amps;
    bool told;  // that what it carries takes it to the limit of plain insulation
} warm_wire;

// A question that waits for its answer.
typedef struct waiting {
    int answer;    // index into the log's
    double looks;  // seconds; NOT_YET: has looked
    int until;     // watch; -1: doesn't wait for one
} waiting;

typedef struct player {
    solver *solver;
    const aircraft *aircraft;
    const scenario *scenario;
    scenario_log *log;
    arena *memory;  // of the log
    arena scratch;
    run *run;
    run_hooks hooks;
    const run_hooks *also;  // NULL: nobody else is told
    state asked;            // scratch: the next state
    double *due;            // per step: when; NOT_YET: its watch hasn't held
    bool *done;             // per step
    double *held_at;        // per watch: when it first held
    waiting *waits;
    int wait_count;
    starter *starters;
    int starter_count;
    int *starting, starting_count;  // parts that start at this instant
    int *lasting, lasting_count;    // of these, those that others don't ride through
    bool dipped;                    // something has dropped out by that: not dealt with yet
    warm_wire *wires;
    int wire_count;
    double air, warmed_at;  // celsius; seconds
    mover *movers;
    int mover_count;
    bool stopped;
    // the entry that is open
    log_line *lines;
    int line_count, line_room;
    double open_at;
    bool open;
    // growing arrays of the log
    log_entry *entries;
    log_answer *answers;
    double *times, *values;
    int entry_room, answer_room, time_room, value_room;
    // what was seen last, per part: "" not yet
    const char **last_reading;
    double *last_figure;
    // sources as they were
    part_outcome *parts;
    source_outcome *sources, *before;
    int source_count;
    bool sources_known;
    uint8_t *contacts;  // per part: relay or contactor that was closed
} player;

// ---- scenario_changes.c: into p->asked
void player_apply(player *p, const scenario_change *c);

// ---- scenario_watches.c
void player_watch(void *ctx, const run_probe *at, uint8_t *watches);

// ---- scenario_lines.c: what is written down
void player_line(player *p, const char *what, int part, int function, bool by_hand,
                 const char *words, ...);
void player_event(void *ctx, const run_now *now, const run_event *e);
void player_change_line(player *p, const scenario_change *c);
void player_radio_line(player *p, const run_transmitter *t, bool mute);
// `limit`: of an insulation class, just passed; 0: only told how warm it is.
void player_wire_line(player *p, int part, double celsius, double limit);
// What it carries takes it to that limit within `seconds`.
void player_heats_line(player *p, const warm_wire *w, double limit, double seconds);
void player_contacts(player *p, const run_now *now);
bool player_contact_closed(const settled_state *s, int part);
void player_sources(player *p, const run_now *now);
// Closes the open entry with what is seen now. `always`: also when nothing has happened.
void player_close(player *p);
void player_answer_now(player *p, log_answer *a);

bool player_is_seen(const player *p, int which);  // lights, sounders, meters: told as sights

// ---- scenario_starts.c
void player_find_starters(player *p);
void player_starts(player *p, const run_now *now);
void player_dip(player *p);  // what has dropped out at a start comes back, as it can

// ---- scenario_wires.c
void player_find_wires(player *p);
void player_cool_wires(player *p, double celsius);  // all of them at this temperature
void player_warm_wires(player *p, const run_now *now);
int player_warmest_wire(const player *p);  // worth a word; -1: none

// ---- scenario_travel.c
void player_find_movers(player *p);
// Seconds until the next place along the way of something that moves; < 0: nothing moves.
double player_travel_in(player *p, const run_now *now);
// Puts what has moved for `seconds` where it is; true if that changes anything.
bool player_travel(player *p, const run_now *now, double seconds);

#endif
