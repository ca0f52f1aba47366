// Memory for the module, in place of the C library's: short, because every page carries it. The
// core asks in blocks that it keeps in arenas or gives back soon, so lists of equal sizes are
// enough.
// Blocks are of certain sizes, four between two powers of two. A freed block waits in the list of
// its size; nothing is joined, and the memory only grows.
#include <stddef.h>
#include <stdint.h>
#include <string.h>

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *block, size_t size);
void free(void *block);

enum { HEADER = 8, SMALLEST = 16, KINDS = 4 * 27, PAGE = 65536 };

typedef struct waiting {
    struct waiting *next;
} waiting;

static waiting *lists[KINDS];
static uintptr_t fresh, end;  // what has never been given out

extern char __heap_base;  // where the linker ends the program's own data

// The size of a kind: a power of two and its quarters, in whole 16s so that every block can hold
// vectors.
static size_t size_of(unsigned kind) {
    size_t base = (size_t)SMALLEST << (kind / 4);
    size_t size = base + base / 4 * (kind % 4);
    return (size + 15) & ~(size_t)15;
}

// The smallest kind that holds so many bytes; KINDS: none does.
static unsigned kind_of(size_t size) {
    // Sizes above SMALLEST << n, up to the next power of two, are of kinds from 4 n on.
    unsigned kind = size > SMALLEST ? 4 * (27 - (unsigned)__builtin_clzl(size - 1)) : 0;
    while (kind < KINDS && size_of(kind) < size)
        kind++;
    return kind < KINDS ? kind : KINDS;
}

static void *grown(size_t size) {
    if (fresh == 0) {
        fresh = ((uintptr_t)&__heap_base + 15) & ~(uintptr_t)15;
        end = (uintptr_t)__builtin_wasm_memory_size(0) * PAGE;
    }
    size_t whole = size + 16;  // the header, and what keeps the block at a multiple of 16
    if (whole > end - fresh) {
        size_t pages = (whole - (end - fresh) + PAGE - 1) / PAGE;
        if (__builtin_wasm_memory_grow(0, pages) == (size_t)-1)
            return NULL;
        end += pages * PAGE;
    }
    char *block = (char *)fresh + 16;
    fresh += whole;
    return block;
}

void *malloc(size_t size) {
    unsigned kind = kind_of(size);
    if (kind == KINDS)
        return NULL;
    void *block = lists[kind];
    if (block)
        lists[kind] = lists[kind]->next;
    else
        block = grown(size_of(kind));
    if (block)
        memcpy((char *)block - HEADER, &kind, sizeof kind);
    return block;
}

static unsigned kind_at(const void *block) {
    unsigned kind;
    memcpy(&kind, (const char *)block - HEADER, sizeof kind);
    return kind;
}

void free(void *block) {
    if (!block)
        return;
    unsigned kind = kind_at(block);
    waiting *first = block;
    first->next = lists[kind];
    lists[kind] = first;
}

void *calloc(size_t count, size_t size) {
    if (size != 0 && count > PTRDIFF_MAX / size)
        return NULL;
    void *block = malloc(count * size);
    if (block)
        memset(block, 0, count * size);
    return block;
}

void *realloc(void *block, size_t size) {
    if (!block)
        return malloc(size);
    size_t room = size_of(kind_at(block));
    if (size <= room)
        return block;
    void *moved = malloc(size);
    if (moved) {
        memcpy(moved, block, room);
        free(block);
    }
    return moved;
}
