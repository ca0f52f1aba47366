// The verdict on up to sixteen settled states of one circuit at once: status of every item, value
// of every function. Nearly all of it is logic on a byte a state, so sixteen cost little more than
// one.
#ifndef DEADBUS_CIRCUIT_VERDICT_BLOCK_H
#define DEADBUS_CIRCUIT_VERDICT_BLOCK_H

#include "circuit/verdict.h"

enum { VERDICT_SLOTS = 16 };

// What judging finds for one item.
typedef struct item_verdict {
    uint8_t status;     // item_status
    uint8_t available;  // works, or would if it were switched on or asked for
    uint8_t wanted;
} item_verdict;

typedef struct verdict_block verdict_block;

// NULL: no memory. `c` must outlive it.
verdict_block *verdict_block_make(arena *memory, const compiled *c);

// Empties the block; its states will have these parameters, each with patches of its own. They must
// stay as they are until the next call.
void verdict_block_begin(verdict_block *b, const double *params);
// Empties the block for more states of the same parameters.
void verdict_block_clear(verdict_block *b);
// Takes a state in, returns its slot; at most VERDICT_SLOTS. Job and solution must stay as they are
// until the block is emptied.
int verdict_block_add(verdict_block *b, const job *j, const solution *s);
int verdict_block_count(const verdict_block *b);
void verdict_block_judge(verdict_block *b);

// After judging, of one slot.
item_verdict verdict_block_item(const verdict_block *b, int rule, int slot);
uint8_t verdict_block_function(const verdict_block *b, int function, int slot);  // function_status
// All of them, in the order of the rules and of the functions. Each valid until the next call of
// the same.
const item_verdict *verdict_block_items(verdict_block *b, int slot);
const uint8_t *verdict_block_functions(verdict_block *b, int slot);
// Parts that still give a function; at most `most`, *count from 0.
void verdict_block_givers(const verdict_block *b, int function, int slot, int *parts, int *count,
                          int most);

#endif
