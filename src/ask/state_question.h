// From the words of a question to a state: phase, positions, faults, charge, temperature.
#ifndef DEADBUS_ASK_STATE_QUESTION_H
#define DEADBUS_ASK_STATE_QUESTION_H

#include "ask/options.h"
#include "circuit/solver.h"
#include "model/aircraft.h"
#include "model/state.h"

// What the answer has to tell about the question, one sentence each: switches that moved with
// others, that spring back, breakers that no hand can pull.
typedef struct question_notes {
    const char **items;
    int count, capacity;
} question_notes;

// The phase that is meant if none is named: cruise, else the first airborne one, else the first.
int phase_usual(const aircraft *a);

// Fills `s`, whose setting comes from `memory`. Every wrong word is an error in `f`, with what was
// expected and the nearest word there is. STATUS_OK, STATUS_BAD_REQUEST or STATUS_NO_MEMORY.
status state_of_question(const aircraft *a, const ask_options *o, arena *memory, state *s,
                         question_notes *notes, findings *f);

// What --shed makes of `asked`: fills `after`, whose setting comes from `memory`; it differs in
// positions only. As above.
status state_after_shedding(const aircraft *a, const ask_options *o, const state *asked,
                            arena *memory, state *after, question_notes *notes, findings *f);

// --keep: which functions must stay, function_count of them, in `memory`; NULL: no memory. Without
// --keep those that commonly serve to fly and to speak, as far as the aircraft has them: *assumed.
bool *functions_to_keep(const aircraft *a, const ask_options *o, arena *memory, bool *assumed,
                        findings *f);
// Night, cloud and icing keep what they need, as far as the aircraft has it.
void keep_by_conditions(const aircraft *a, const state *s, bool *keep);
// What must not lose its last spare while there is anything else to switch off: attitude at night
// and in cloud. NULL: no memory.
const bool *functions_with_spare(const aircraft *a, const state *s, arena *memory);
// In the air each of those that isn't switched on, though a hand could, is an error that says what
// to write. What the question itself switches off, or the phase has so, is a note, and taken from
// `must_stay`, unless --keep names it.
status conditions_met(const aircraft *a, const ask_options *o, solver *s, state *asked,
                      arena *memory, question_notes *notes, bool *must_stay, findings *f);

#define NOTICED_USUALLY 300.0      // seconds: common practice of load analyses, no source
#define LOOKS_USUALLY   14400.0    // seconds: how far a study looks, a choice
#define LOOKS_AT_REST   7776000.0  // the same of an aeroplane that stands with its engines still

#endif
