#include "base/arena.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

struct arena_block {
    arena_block *previous;
    size_t size;  // of the whole block, this header included
    size_t used;  // from the start of the block
};

enum { FIRST_BLOCK = 4096, LARGEST_BLOCK = 1 << 20, USUAL_ALIGNMENT = 16 };

static void *default_resize(void *ctx, void *block, size_t old_size, size_t new_size) {
    (void)ctx;
    (void)old_size;
    if (new_size == 0) {
        free(block);
        return NULL;
    }
    return realloc(block, new_size);
}

allocator allocator_default(void) { return (allocator){.resize = default_resize, .ctx = NULL}; }

void *memory_new(allocator a, size_t size) {
    if (size == 0)
        return NULL;
    void *block = a.resize(a.ctx, NULL, 0, size);
    if (block)
        memset(block, 0, size);
    return block;
}

void memory_free(allocator a, void *block, size_t size) {
    if (block)
        a.resize(a.ctx, block, size, 0);
}

arena arena_make(allocator memory) { return (arena){.memory = memory}; }

// Offset in the block at which an aligned object of `size` bytes fits, or SIZE_MAX.
static size_t place_in(const arena_block *b, size_t size, size_t alignment) {
    uintptr_t start = (uintptr_t)b + b->used;
    size_t gap = (size_t)(-start & (alignment - 1));
    size_t left = b->size - b->used;
    return gap <= left && size <= left - gap ? b->used + gap : SIZE_MAX;
}

static arena_block *add_block(arena *a, size_t size, size_t alignment) {
    size_t least = sizeof(arena_block) + alignment;
    if (size > SIZE_MAX / 2 - least)
        return NULL;
    least += size;
    size_t wanted = FIRST_BLOCK;
    if (a->last)
        wanted = a->last->size < LARGEST_BLOCK / 2 ? a->last->size * 2 : LARGEST_BLOCK;
    if (wanted < least)
        wanted = least;
    arena_block *b = a->memory.resize(a->memory.ctx, NULL, 0, wanted);
    if (!b)
        return NULL;
    *b = (arena_block){.previous = a->last, .size = wanted, .used = sizeof(arena_block)};
    a->last = b;
    return b;
}

void *arena_new_aligned(arena *a, size_t count, size_t size, size_t alignment) {
    if (alignment < USUAL_ALIGNMENT)
        alignment = USUAL_ALIGNMENT;
    if (size != 0 && count > SIZE_MAX / size) {
        a->failed = true;
        return NULL;
    }
    // An empty array still gets a place of its own, so that NULL always means "no memory".
    size_t bytes = count == 0 || size == 0 ? 1 : count * size;
    size_t at = a->last ? place_in(a->last, bytes, alignment) : SIZE_MAX;
    if (at == SIZE_MAX) {
        if (!add_block(a, bytes, alignment)) {
            a->failed = true;
            return NULL;
        }
        at = place_in(a->last, bytes, alignment);
    }
    char *made = (char *)a->last + at;
    a->last->used = at + bytes;
    memset(made, 0, bytes);
    return made;
}

void *arena_new(arena *a, size_t count, size_t size) {
    return arena_new_aligned(a, count, size, USUAL_ALIGNMENT);
}

char *arena_text(arena *a, const char *text, size_t length) {
    if (length == SIZE_MAX) {
        a->failed = true;
        return NULL;
    }
    char *copy = arena_new(a, length + 1, 1);
    if (copy && length)
        memcpy(copy, text, length);
    return copy;
}

void arena_free(arena *a) {
    arena_block *b = a->last;
    while (b) {
        arena_block *previous = b->previous;
        a->memory.resize(a->memory.ctx, b, b->size, 0);
        b = previous;
    }
    a->last = NULL;
    a->failed = false;
}

void *arena_grow(arena *a, void *items, int *capacity, int wanted, size_t size) {
    if (items && wanted <= *capacity)
        return items;
    int room = *capacity < 8 ? 8 : *capacity;
    while (room < wanted) {
        if (room > INT32_MAX / 2) {
            a->failed = true;
            return NULL;
        }
        room *= 2;
    }
    void *grown = arena_new(a, (size_t)room, size);
    if (!grown)
        return NULL;
    if (items && *capacity > 0)
        memcpy(grown, items, (size_t)*capacity * size);
    *capacity = room;
    return grown;
}
