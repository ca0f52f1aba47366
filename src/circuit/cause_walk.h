// From a part that has lost its work back to the deviation that took it: the cause, and the clauses
// of a sentence on the way.
#ifndef DEADBUS_CIRCUIT_CAUSE_WALK_H
#define DEADBUS_CIRCUIT_CAUSE_WALK_H

#include "base/text.h"
#include "circuit/judge.h"

enum { WALK_STEPS = 16 };

typedef struct cause_walk {
    const settled_state *base, *now;
    const settled_state *first;  // before any breaker had opened; NULL: the same as now
    const int *deviation;        // per part: the part to blame for its fault or position, NOWHERE
    uint8_t *visited;            // per part, scratch
    int *way;                    // per node, scratch
    text said;                   // clauses so far, joined
    int clauses, steps;
    int cause;  // the deviation found, NOWHERE
    int last;   // the part named last, NOWHERE
} cause_walk;

// Walks back from a part that doesn't do its work (item, light, supply's maker...). Sets w->cause
// and w->said.
void cause_of_part(cause_walk *w, int part);

// Steps of the walk, in files of their own.
void walk_part(cause_walk *w,
               int part);  // why doesn't this part do in `now` what it did in `base`?
void walk_dead_node(cause_walk *w, int node);  // why is this node dead?
void walk_low_node(cause_walk *w, int node);   // why is it lower than in the base?
void walk_weak_node(cause_walk *w, int node);  // why has it too few volts in the base itself?
// What conducts far worse on the way by which it was fed, or a point there that has failed. False:
// nothing that leads to a cause.
bool walk_worse_way(cause_walk *w, int node);
void walk_risen_node(cause_walk *w, int node);  // why is it live though dead in the base?
void walk_return(cause_walk *w, int node);      // why doesn't it reach the airframe?
void walk_outflow(cause_walk *w,
                  int node);  // what is open on the way its current took in the base?
void walk_condition(cause_walk *w, int index);  // what made this condition change?
void walk_loads_below(cause_walk *w,
                      int part);       // what below this path draws more than in the base?
void walk_high_source(cause_walk *w);  // which source drives the volts too high?

// A breaker or fuse, opened by itself and not told yet, that parts this dead node from what is live
// next to it: the second way, closed as well. NOWHERE: none.
int blown_on_way(cause_walk *w, int node);

// A deviation in words: "alternator has failed", "BAT switch is off".
void deviation_words(const settled_state *now, int who, text *t);

// A deviation ends the walk: it is the cause.
void walk_blame(cause_walk *w, int part);

// One clause; `part` NOWHERE: no name before `what`.
void walk_say(cause_walk *w, int part, const char *what);

#endif
