#include "model/name_table.h"

#include <string.h>

static uint32_t hash(const char *name, size_t length) {
    uint32_t h = 2166136261u;
    for (size_t i = 0; i < length; i++)
        h = (h ^ (unsigned char)name[i]) * 16777619u;
    return h;
}

static name_slot *slot_of(const name_table *t, const char *name, size_t length) {
    uint32_t mask = t->capacity - 1;
    for (uint32_t i = hash(name, length) & mask;; i = (i + 1) & mask) {
        name_slot *s = &t->slots[i];
        if (!s->name || (s->length == length && memcmp(s->name, name, length) == 0))
            return s;
    }
}

int name_find(const name_table *t, const char *name, size_t length) {
    if (t->capacity == 0)
        return -1;
    const name_slot *s = slot_of(t, name, length);
    return s->name ? s->value : -1;
}

static bool grow(name_table *t, arena *memory, uint32_t capacity) {
    name_table larger = {.capacity = capacity};
    larger.slots = arena_new(memory, larger.capacity, sizeof *larger.slots);
    if (!larger.slots)
        return false;
    for (uint32_t i = 0; i < t->capacity; i++) {
        if (t->slots[i].name)
            *slot_of(&larger, t->slots[i].name, t->slots[i].length) = t->slots[i];
    }
    larger.count = t->count;
    *t = larger;
    return true;
}

bool name_reserve(name_table *t, arena *memory, int count) {
    uint32_t capacity = 16;
    while (capacity / 2 < (uint32_t)count)
        capacity *= 2;
    return capacity <= t->capacity || grow(t, memory, capacity);
}

int name_add(name_table *t, arena *memory, const char *name, size_t length, int value) {
    uint32_t wanted = t->capacity ? t->capacity * 2 : 16;
    if (t->count * 2 >= t->capacity && !grow(t, memory, wanted))
        return -1;
    name_slot *s = slot_of(t, name, length);
    if (s->name)
        return s->value;
    *s = (name_slot){.name = name, .length = (uint32_t)length, .value = value};
    t->count++;
    return value;
}
