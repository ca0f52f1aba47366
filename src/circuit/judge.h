// Judging a settled circuit: every part's volts, amps and status. No solving here.
#ifndef DEADBUS_CIRCUIT_JUDGE_H
#define DEADBUS_CIRCUIT_JUDGE_H

#include "circuit/verdict_block.h"
#include "model/outcome.h"

// Ends of the parts that carry what is live on: `paths` closed ones, then diodes that pass.
typedef struct passage {
    int a, b;
} passage;

typedef struct passage_list {
    int paths, count;
    passage *list;  // room for all conductances and piecewises
} passage_list;

// A settled state with all that was asked, and scratch for reading it.
typedef struct settled_state {
    const compiled *made;
    const state *asked;
    job job;
    const solution *solution;
    uint8_t *signals;        // circuit_signal_count
    uint8_t *live;           // node_count: a path of closed parts from a live source, and 0.5 V
    uint8_t *fed;            // node_count: live, and fed by more than batteries
    uint8_t *reached;        // node_count: scratch
    passage_list *passages;  // as last read
    const uint32_t *faults;  // per part
} settled_state;

enum { LIVE_MILLIVOLTS = 500 };

// Fills signals, live, fed and passages from job and solution.
void settled_read(settled_state *s);

// Which nodes closed parts lead to from one source alone, as last read; false if that source isn't
// alive.
bool settled_reach(const settled_state *s, int source, uint8_t *reached);
bool signal_at(const settled_state *s, int signal);  // SIGNAL_ALWAYS: true
bool comparator_enabled(const settled_state *s, const comparator *h);
double element_siemens(const settled_state *s, int k);  // conductance k as it is now
bool diode_passes(const settled_state *s, int k);       // piecewise k of ROLE_DIODE is whole
double part_amps(const settled_state *s, int part);     // signed as in the format
// Of an item or battery: across it; of everything else its point to the airframe.
double part_volts(const settled_state *s, int part);
double across(const settled_state *s, int a, int b);

// Volts, amps and flags of every part (not item statuses). Uses `reached`.
void judge_parts(const settled_state *s, part_outcome *parts);
// Status of every item, taken alone: off where nothing feeds it, unused where its own switch is
// off. `block` (scratch) is left with this one state in slot 0.
void judge_items(const settled_state *s, verdict_block *block, part_outcome *parts);
// Node at which the item is judged: its inside, or above the topmost switch on its branch that is
// off or that no condition closes now. NOWHERE if it isn't electric.
int judged_node(const settled_state *s, int part);
void judge_supplies(const settled_state *s, bool *supplies);
// `block` as judge_items left it for the same state.
void judge_functions(const settled_state *s, verdict_block *block, function_outcome *functions);
int judge_sources(const settled_state *s, const part_outcome *parts, source_outcome *sources);

#endif
