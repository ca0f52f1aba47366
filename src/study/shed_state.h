// What the files shed*.c share. Only for them.
#ifndef DEADBUS_STUDY_SHED_STATE_H
#define DEADBUS_STUDY_SHED_STATE_H

#include "study/moment.h"
#include "study/shed.h"
#include "study/spares.h"
#include "timeline/run.h"

void shed_count_losses(const shed_question *q, const moment *before, const moment *after,
                       shed_cost *cost, bool *takes);

// Functions that must stay and are given, of which `after` has more ways to be lost by one item's
// failing than `before`, none before. `which` (function_count) or NULL: them.
int shed_count_spares(const shed_question *q, const int *before, const int *after, int count,
                      int *bared, int *which);

// Positions of the choice.
void shed_choose(state *s, const shed_candidate *list, unsigned choice);
// Whether with that choice the light and all that moves still work as the sources are lost.
bool shed_reserve_works(solver *s, const shed_question *q, const shed_candidate *list,
                        unsigned choice, arena *m, bool *works);
// Seconds from the loss on from which the last of the reserve is used: from then on what must stay
// may be weak (nobody need transmit while flaps run), but not lost.
double shed_reserve_moves_at(const shed_question *q);
// Appends to `events` (room for SHED_RESERVE_EVENTS) what is done with the reserve, in order of
// time, before `q->needed` is over. Their number.
enum { SHED_RESERVE_EVENTS = 1 + SHED_STEPS_MOST + 4 * SHED_CYCLES_MOST };
int shed_reserve_events(const shed_question *q, const shed_candidate *list, unsigned choice,
                        happening *events);

#endif
