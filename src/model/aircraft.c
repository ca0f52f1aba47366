// Look-ups in an aircraft that has been read.
#include "model/aircraft.h"

#include <string.h>

void aircraft_free(aircraft *a) {
    if (!a)
        return;
    arena memory = a->memory;
    arena_free(&memory);
    memory_free(memory.memory, a, sizeof *a);
}

void aircraft_revision(const aircraft *a, char made[REVISION_SIZE]) {
    static const char DIGITS[] = "0123456789abcdef";
    enum { GAP = 4, DIGIT_BITS = 4, HASH_BITS = 64 };
    for (int i = 0, shift = HASH_BITS; i < REVISION_SIZE - 1; i++) {
        if (i == GAP) {
            made[i] = ' ';
            continue;
        }
        shift -= DIGIT_BITS;
        made[i] = DIGITS[a->fingerprint >> shift & 15];
    }
    made[REVISION_SIZE - 1] = 0;
}

int aircraft_part(const aircraft *a, const char *id) {
    int low = 0;
    int high = a->part_count;
    while (low < high) {
        int middle = low + (high - low) / 2;
        int order = strcmp(a->parts[a->by_id[middle]].id, id);
        if (order == 0)
            return a->by_id[middle];
        if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return -1;
}

int aircraft_phase(const aircraft *a, const char *name) {
    for (int i = 0; i < a->phase_count; i++) {
        if (strcmp(a->phases[i].name, name) == 0)
            return i;
    }
    return -1;
}

const char *aircraft_nearest_part(const aircraft *a, const char *id) {
    size_t length = strlen(id);
    int best = length <= 3 ? 2 : length / 3 > 2 ? (int)(length / 3) + 1 : 3;
    const char *nearest = NULL;
    for (int i = 0; i < a->part_count; i++) {
        int distance = text_distance(id, a->parts[i].id, best - 1);
        if (distance < best) {
            best = distance;
            nearest = a->parts[i].id;
        }
    }
    return nearest;
}

const part_value *part_value_of(const part *p, part_key k) {
    if (!key_set_has(&p->keys, k))
        return NULL;
    for (int i = 0; i < p->value_count && p->values[i].key <= k; i++) {
        if (p->values[i].key == k)
            return &p->values[i];
    }
    return NULL;
}

static const part_value *typed(const part *p, part_key k, value_type type) {
    const part_value *v = part_value_of(p, k);
    return v && v->type == type ? v : NULL;
}

const figure *part_figure(const part *p, part_key k) {
    const part_value *v = typed(p, k, VALUE_FIGURE);
    return v ? &v->as.figure : NULL;
}

double part_number(const part *p, part_key k, double otherwise) {
    const figure *f = part_figure(p, k);
    return f ? f->value : otherwise;
}

const char *part_text(const part *p, part_key k) {
    const part_value *v = typed(p, k, VALUE_TEXT);
    return v ? v->as.text : NULL;
}

const reference_list *part_references(const part *p, part_key k) {
    const part_value *v = typed(p, k, VALUE_REFERENCES);
    return v ? &v->as.references : NULL;
}

int part_condition(const part *p, part_key k) {
    const part_value *v = typed(p, k, VALUE_CONDITION);
    return v ? v->as.condition : -1;
}

const positions *part_positions(const part *p) {
    const part_value *v = typed(p, KEY_POSITIONS, VALUE_POSITIONS);
    return v ? &v->as.positions : NULL;
}

const text_list *part_names(const part *p, part_key k) {
    const part_value *v = typed(p, k, VALUE_NAMES);
    return v ? &v->as.names : NULL;
}

int part_id(const part *p, part_key k) {
    const part_value *v = typed(p, k, VALUE_IDS);
    return v && v->as.ids.count ? v->as.ids.items[0] : -1;
}

const figure *part_draw(const part *p) {
    const figure *own =
        p->kind == KIND_CONVERTER || p->kind == KIND_VOLTMETER ? NULL : part_figure(p, KEY_VALUE);
    return own ? own : part_figure(p, KEY_AMPS);
}

bool aircraft_is_28(const aircraft *a) { return a->nominal > 20; }
