// A sort that keeps equal items in the order they came in, the same on every machine.
#ifndef DEADBUS_BASE_STABLE_SORT_H
#define DEADBUS_BASE_STABLE_SORT_H

#include <stddef.h>

// Negative: a before b; 0: equal; positive: b before a.
typedef int (*sort_order)(const void *a, const void *b, const void *ctx);

// `scratch`: as large as the items, same alignment; its content is lost. NULL: sorts in place,
// slower (for short lists, or when there is no memory).
void stable_sort(void *items, size_t count, size_t size, void *scratch, sort_order order,
                 const void *ctx);

#endif
