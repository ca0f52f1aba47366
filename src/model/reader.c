// Small things that all reading needs: findings, joining texts, looking up ids.
#include "model/reader.h"

#include <string.h>

#include "base/number.h"

bool reader_failed(const reader *r) {
    return r->keep->failed || r->scratch->failed || r->out->memory.failed;
}

void say_error(reader *r, span where, const char *code, const char *hint, const char *a,
               const char *b, const char *c, const char *d) {
    findings_say(r->out, SEVERITY_ERROR, where, code, hint, a, b, c, d, NULL);
}

void say_warning(reader *r, span where, const char *code, const char *hint, const char *a,
                 const char *b, const char *c, const char *d) {
    findings_say(r->out, SEVERITY_WARNING, where, code, hint, a, b, c, d, NULL);
}

void say_note(reader *r, span where, const char *code, const char *hint, const char *a,
              const char *b, const char *c, const char *d) {
    findings_say(r->out, SEVERITY_NOTE, where, code, hint, a, b, c, d, NULL);
}

const char *join(reader *r, const char *const parts[]) {
    size_t length = 0;
    for (int i = 0; parts[i]; i++)
        length += strlen(parts[i]);
    char *made = arena_new(r->scratch, length + 1, 1);
    if (!made)
        return "";
    char *at = made;
    for (int i = 0; parts[i]; i++) {
        size_t n = strlen(parts[i]);
        memcpy(at, parts[i], n);
        at += n;
    }
    *at = 0;
    return made;
}

const char *number_words(reader *r, double value) {
    char digits[400];
    // Six digits: conversions such as 0.1 * 3600 / 3600 must not show their rounding.
    int n = number_write_digits(digits, value, 6);
    bool point = memchr(digits, '.', (size_t)n) != NULL;
    while (point && n > 1 && (digits[n - 1] == '0' || digits[n - 1] == '.')) {
        bool done = digits[n - 1] == '.';
        n--;
        if (done)
            break;
    }
    const char *made = arena_text(r->scratch, digits, (size_t)n);
    return made ? made : "";
}

int near_enough(size_t length) {
    if (length <= 3)
        return 1;
    return length / 3 > 2 ? (int)(length / 3) : 2;
}

const char *with_article(reader *r, const char *word) {
    // An abbreviation is named by its letters: an l-e-d.
    bool vowel = (word[0] && strchr("aeiou", word[0])) || strcmp(word, "led") == 0;
    return join(r, (const char *const[]){vowel ? "an " : "a ", word, NULL});
}

bool fields_by_kind(reader *r) {
    int count = field_count(), assumed = 0;
    r->field_of = arena_new(r->scratch, (size_t)KIND_COUNT * KEY_COUNT, sizeof(void *));
    r->assumed = arena_new(r->scratch, (size_t)KIND_COUNT * (size_t)count, sizeof(void *));
    r->assumed_from = arena_new(r->scratch, KIND_COUNT + 1, sizeof *r->assumed_from);
    r->whose = arena_new(r->scratch, (size_t)KIND_COUNT * KEY_COUNT, sizeof *r->whose);
    if (!r->field_of || !r->assumed || !r->assumed_from || !r->whose)
        return false;
    for (int k = 0; k < KIND_COUNT; k++) {
        r->assumed_from[k] = assumed;
        for (int i = 0; i < count; i++) {
            const field *f = field_at(i);
            if (!(f->kinds >> k & 1))
                continue;
            const field **row = &r->field_of[k * KEY_COUNT + (int)f->key];
            if (!*row)
                *row = f;
            if (f->assumed)
                r->assumed[assumed++] = f;
        }
    }
    r->assumed_from[KIND_COUNT] = assumed;
    return true;
}

const field *reader_field(const reader *r, part_kind kind, part_key key) {
    return r->field_of[(int)kind * KEY_COUNT + (int)key];
}

int find_id(const reader *r, const char *id, size_t length) {
    return name_find(&r->ids, id, length);
}

// COM 1, Com_1 for com-1: the same but for what an id can't have.
static bool same_but_form(const char *written, const char *id) {
    for (; *written && *id; written++, id++) {
        char c = *written;
        if (c >= 'A' && c <= 'Z')
            c = (char)(c - 'A' + 'a');
        if ((c == ' ' || c == '_' ? '-' : c) != *id)
            return false;
    }
    return *written == *id;
}

const char *nearest_id(reader *r, const char *id) {
    int best = near_enough(strlen(id)) + 1;
    const char *nearest = NULL;
    if (r->out->count > MOST_HINTS)
        return NULL;
    for (int i = 0; i < r->count; i++) {
        implied im = r->drafts[i].part.implied;
        if (im == IMPLIED_WIRE || im == IMPLIED_STRAP)
            continue;
        if (same_but_form(id, r->drafts[i].part.id))
            return r->drafts[i].part.id;
        int distance = text_distance(id, r->drafts[i].part.id, best - 1);
        if (distance < best) {
            best = distance;
            nearest = r->drafts[i].part.id;
        }
    }
    // A line that couldn't be read has a name all the same.
    for (uint32_t i = 0; i < r->tree.lost.capacity; i++) {
        const char *name = r->tree.lost.slots[i].name;
        int distance = name ? text_distance(id, name, best - 1) : best;
        if (distance < best) {
            best = distance;
            nearest = name;
        }
    }
    return nearest;
}

int need_id(reader *r, const node *n, size_t start, size_t length) {
    int part = find_id(r, n->text + start, length);
    if (part >= 0) {
        return part;
    }
    if (name_find(&r->tree.lost, n->text + start, length) >= 0)
        return -1;  // its own line has been complained about
    const char *id = arena_text(r->scratch, n->text + start, length);
    if (!id)
        return -1;
    const char *nearest = nearest_id(r, id);
    const char *hint =
        nearest ? join(r, (const char *const[]){"did you mean '", nearest, "'?", NULL})
                : join(r, (const char *const[]){"add a line for it, as `", id,
                                                ": {bus: ...}`, or whatever it is", NULL});
    say_error(r, node_part(n, start, length), "unknown-id", hint, "'", id, "' is never declared",
              NULL);
    return -1;
}

const node *written_node(const draft *d, part_key key) {
    if (!key_set_has(&d->written_keys, key))
        return NULL;
    for (int i = 0; i < d->written_count; i++) {
        if (d->written[i].key == key)
            return d->written[i].value;
    }
    return NULL;
}

part_value *draft_value(draft *d, part_key key) {
    if (!key_set_has(&d->part.keys, key))
        return NULL;
    for (int i = 0; i < d->value_count; i++) {
        if (d->values[i].key == key)
            return &d->values[i];
    }
    return NULL;
}

// For what is written, what will be assumed, and one that follows from others.
static bool make_room(reader *r, draft *d) {
    int count = d->written_count + 1;
    const int *from = r->assumed_from + d->part.kind;
    for (int i = from[0]; i < from[1]; i++)
        count += !key_set_has(&d->written_keys, r->assumed[i]->key);
    d->values = arena_new(r->keep, (size_t)count, sizeof *d->values);
    d->value_capacity = d->values ? count : 0;
    return d->values != NULL;
}

part_value *add_value(reader *r, draft *d, part_key key, value_type type, span where) {
    if (!d->values && !make_room(r, d))
        return NULL;
    part_value *v =
        arena_grow(r->keep, d->values, &d->value_capacity, d->value_count + 1, sizeof *v);
    if (!v)
        return NULL;
    d->values = v;
    v = &d->values[d->value_count++];
    key_set_add(&d->part.keys, key);
    *v = (part_value){.key = key, .type = type, .span = where};
    return v;
}

int position_named(const positions *p, const char *label, size_t length) {
    for (int i = 0; i < p->count; i++) {
        if (strlen(p->labels[i]) == length && memcmp(p->labels[i], label, length) == 0)
            return i;
    }
    return -1;
}

static const char *const OFF_ON[] = {"OFF", "ON"};
static const positions PLAIN_SWITCH = {.sort = POSITIONS_CONTACTS, .count = 2, .labels = OFF_ON};

const positions *places_for(reader *r, int part) {
    draft *d = &r->drafts[part];
    if (d->places.count)
        return &d->places;
    if (d->part.kind == KIND_SWITCH)
        return &PLAIN_SWITCH;
    // A moving thing without places of its own has those of its selector.
    static const part_key LINKS[] = {KEY_FOLLOWS, KEY_FROM};
    for (int i = 0; i < 2; i++) {
        const node *n = written_node(d, LINKS[i]);
        if (!n || n->type != NODE_TEXT)
            continue;
        int selector = find_id(r, n->text, n->length);
        if (selector >= 0 && r->drafts[selector].part.kind == KIND_SWITCH &&
            r->drafts[selector].places.count && r->drafts[selector].places.sort == POSITIONS_PLACES)
            return &r->drafts[selector].places;
    }
    return NULL;
}

int supply_number(reader *r, const char *name, size_t length) {
    return name_find(&r->supply_names, name, length);
}
