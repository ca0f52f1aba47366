// Memory. One door (the allocator hook), and arenas: many small blocks freed at once.
#ifndef DEADBUS_BASE_ARENA_H
#define DEADBUS_BASE_ARENA_H

#include <stdbool.h>
#include <stddef.h>

// resize(ctx, NULL, 0, n) allocates, resize(ctx, p, old, n) moves, resize(ctx, p, old, 0) frees and
// returns NULL. A NULL result for n > 0 means that there is no memory; the old block then stays
// valid. Blocks are aligned for any object; more (64 bytes for lanes) is asked for by
// arena_new_aligned.
typedef struct allocator {
    void *(*resize)(void *ctx, void *block, size_t old_size, size_t new_size);
    void *ctx;
} allocator;

// The C library's realloc and free. The only place in the library that calls them.
allocator allocator_default(void);

void *memory_new(allocator a, size_t size);  // zeroed; NULL if there is none (or size is 0)
void memory_free(allocator a, void *block, size_t size);

typedef struct arena_block arena_block;

// Zero-initialised with an allocator it is empty and ready. Once an allocation has failed, `failed`
// stays set until the arena is freed: a run of allocations may be checked once at its end.
typedef struct arena {
    allocator memory;
    arena_block *last;
    bool failed;
} arena;

arena arena_make(allocator memory);
void *arena_new(arena *a, size_t count, size_t size);  // zeroed, 16-byte aligned; NULL: no memory
void *arena_new_aligned(arena *a, size_t count, size_t size, size_t alignment);
char *arena_text(arena *a, const char *text, size_t length);  // copy with a final 0
void arena_free(arena *a);

// A growing array in an arena: returns `items` with room for at least `wanted` elements, moved if
// it had to grow (the old place is only given back with the arena). NULL: no memory.
void *arena_grow(arena *a, void *items, int *capacity, int wanted, size_t size);

#endif
