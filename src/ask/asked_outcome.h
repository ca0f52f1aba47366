// What `state` and `draw` are about, solved: a state that is asked for, or a moment of a scenario.
#ifndef DEADBUS_ASK_ASKED_OUTCOME_H
#define DEADBUS_ASK_ASKED_OUTCOME_H

#include "ask/opened.h"
#include "ask/state_question.h"
#include "circuit/solver.h"

// `*made` is to be given back. An aircraft that stays open keeps the last one: a page asks for a
// state, then for its drawing. What is wrong with the question goes to `f`, with the scenario to
// o->scenario_findings. STATUS_OK, STATUS_BAD_REQUEST, STATUS_BAD_FILE or STATUS_NO_MEMORY.
status outcome_borrow(solver *s, const aircraft *a, const ask_options *o, arena *memory,
                      question_notes *notes, findings *f, outcome **made);
void outcome_return(const deadbus_opened *o, outcome *lent);

#endif
