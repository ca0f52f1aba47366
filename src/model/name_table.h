// A table from names to numbers, in an arena. Order never depends on the hash: it only finds.
#ifndef DEADBUS_MODEL_NAME_TABLE_H
#define DEADBUS_MODEL_NAME_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

typedef struct name_slot {
    const char *name;  // NULL: free; not copied
    uint32_t length;
    int value;
} name_slot;

// Zero-initialised it is empty and ready.
typedef struct name_table {
    name_slot *slots;
    uint32_t capacity;
    uint32_t count;
} name_table;

// Room for so many names at once. False: no memory.
bool name_reserve(name_table *t, arena *memory, int count);
// -1: not there.
int name_find(const name_table *t, const char *name, size_t length);
// Returns the value already there, or `value` after adding it. -1: no memory. Values are 0 or more.
int name_add(name_table *t, arena *memory, const char *name, size_t length, int value);

#endif
