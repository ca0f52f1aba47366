// An allocator for tests: its n-th request fails, and it counts what is still out.
#ifndef DEADBUS_TEST_FAILING_MEMORY_H
#define DEADBUS_TEST_FAILING_MEMORY_H

#include <stdlib.h>

#include "base/arena.h"

typedef struct failing_memory {
    long requests;    // so far
    long fail_at;     // the request that fails, and all after it; -1: none
    long blocks_out;  // not yet given back
    size_t bytes_out;
} failing_memory;

static inline void *failing_resize(void *ctx, void *block, size_t old_size, size_t new_size) {
    failing_memory *m = ctx;
    if (new_size == 0) {
        if (block) {
            m->blocks_out--;
            m->bytes_out -= old_size;
        }
        free(block);
        return NULL;
    }
    if (m->fail_at >= 0 && m->requests++ >= m->fail_at)
        return NULL;
    void *moved = realloc(block, new_size);
    if (moved) {
        m->blocks_out += block == NULL;
        m->bytes_out += new_size - old_size;
    }
    return moved;
}

static inline allocator failing_allocator(failing_memory *m) {
    return (allocator){.resize = failing_resize, .ctx = m};
}

#endif
