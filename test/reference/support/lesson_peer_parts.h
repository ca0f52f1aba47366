// What the peer of a run keeps, and its parts: batteries, hands, watches, things that move.
#ifndef DEADBUS_TEST_LESSON_PEER_PARTS_H
#define DEADBUS_TEST_LESSON_PEER_PARTS_H

#include "reference/support/lesson_peer.h"

typedef struct peer_battery {
    int part, slot, chemistry, cells;
    double free, bound, sag;  // Ah, Ah, V
    double share, rate, full, one_hour;
    double ohms, celsius, amps;
    bool cut;
} peer_battery;

typedef struct peer_timer {
    int input, signal, rule;  // rule < 0: a `for`
    double seconds, since, lost;
    bool own_battery, over;  // own battery: seconds are what is left, since the last look at it
} peer_timer;

typedef struct peer {
    solver *solver;
    const aircraft *aircraft;
    const compiled *made;
    const scenario *sc;
    arena memory;
    view now;
    state asked;
    double *params;
    solution before;
    verdict_block *block;
    const item_verdict *items;
    const uint8_t *functions;
    peer_battery batteries[PEER_BATTERIES];
    int battery_count;
    peer_timer *timers;
    int timer_count;
    double *heat;
    uint8_t *tripped, *pushed;  // per breaker; pushed in at this instant
    uint8_t *flips, *held;      // per constant-power load: changes within a second; held off
    double *flips_since;
    uint8_t *stands;  // per part: motor whose rotor stands at this instant
    double *drew;     // per part: amps as last looked at
    uint8_t *was_dropped;
    uint8_t *seen, *marks;
    int mark_count;
    bool *done;
    double *held_at;
    double t, h;
    lesson_log *log;
} peer;

// ---- lesson_peer_battery.c
void peer_battery_make(peer *p, int part);
void peer_battery_put(const peer *p, const peer_battery *b, double *params);
void peer_battery_step(peer_battery *b, double seconds);
double peer_battery_charge(const peer_battery *b);
bool peer_battery_exhausted(const peer_battery *b);

// ---- lesson_peer_hands.c
void peer_apply(peer *p, const scenario_change *c);
bool peer_watch(const peer *p, int watch);
void peer_move(peer *p);
bool peer_lit(const peer *p, int rule);

#endif
