// From the bytes of a file to an aircraft: the order of the passes.
#include <string.h>

#include "base/hash.h"
#include "base/stable_sort.h"
#include "model/reader.h"

static int by_id(const void *a, const void *b, const void *ctx) {
    const part *parts = ctx;
    return strcmp(parts[*(const int *)a].id, parts[*(const int *)b].id);
}

// Few and nearly in order: each is carried to its place.
static void sort_by_key(part_value *values, int count) {
    for (int i = 1; i < count; i++) {
        int to = i;
        while (to > 0 && values[to - 1].key > values[i].key)
            to--;
        if (to == i)
            continue;
        part_value moved = values[i];
        memmove(values + to + 1, values + to, (size_t)(i - to) * sizeof *values);
        values[to] = moved;
    }
}

// Drafts become parts; supplies and conditions find their final place.
static void finish_parts(reader *r) {
    aircraft *a = r->a;
    size_t count = (size_t)(r->count ? r->count : 1);
    part *parts = arena_new(r->keep, count, sizeof *parts);
    int *order = arena_new(r->keep, count, sizeof *order);
    int *scratch = arena_new(r->scratch, count, sizeof *scratch);
    if (!parts || !order || !scratch)
        return;
    for (int i = 0; i < r->count; i++) {
        draft *d = &r->drafts[i];
        sort_by_key(d->values, d->value_count);
        d->part.values = d->values;
        d->part.value_count = d->value_count;
        parts[i] = d->part;
        order[i] = i;
    }
    stable_sort(order, (size_t)r->count, sizeof *order, scratch, by_id, parts);
    a->parts = parts;
    a->part_count = r->count;
    a->by_id = order;
    a->conditions = r->conditions;
    a->condition_count = r->condition_count;
    supply *supplies = arena_new(r->keep, (size_t)r->supply_count + 1, sizeof *supplies);
    for (int i = 0; i < r->supply_count && supplies; i++)
        supplies[i] = (supply){.name = r->supplies[i].name,
                               .makers = r->supplies[i].makers,
                               .count = r->supplies[i].count};
    a->supplies = supplies;
    a->supply_count = r->supply_count;
}

static const file_mark AIRCRAFT_FILE = {
    .key = "deadbus",
    .other_key = "scenario",
    .isnt = "this isn't an aircraft file",
    .is_other = "this is a scenario, not an aircraft file",
    .is_version = "this file is version ",
    .hint = "the aircraft comes first, then the scenario",
};

static void check_sections(reader *r) {
    static const char *const SECTIONS[] = {"deadbus",   "aircraft", "papers",    "parts", "seen",
                                           "functions", "together", "questions", "phases"};
    enum { COUNT = sizeof SECTIONS / sizeof SECTIONS[0] };
    for (const node *n = r->tree.root->first; n; n = n->next) {
        bool known = n->key->length == 0;
        const char *nearest = NULL;
        for (int i = 0; i < COUNT && !known; i++) {
            known = strcmp(SECTIONS[i], n->key->text) == 0;
            int most = near_enough(n->key->length);
            if (!nearest && text_distance(SECTIONS[i], n->key->text, most) <= most)
                nearest = SECTIONS[i];
        }
        if (known)
            continue;
        const char *hint =
            nearest
                ? join(r, (const char *const[]){"did you mean `", nearest, "`?", NULL})
                : "the sections are aircraft, papers, parts, seen, functions, together, questions, "
                  "phases";
        say_error(r, n->key->span, "unknown-section", hint, "'", n->key->text, "' is not a section",
                  NULL);
    }
    if (!node_entry(r->tree.root, "parts") && !r->tree.broken)
        say_error(r, (span){.line = 1, .column = 1}, "no-parts", "", "the file has no `parts:`",
                  NULL, NULL, NULL);
}

static void read_all(reader *r) {
    status s = yaml_tree_read(r->scratch, r->a->source, r->a->source_length, r->out, &r->tree);
    if (s == STATUS_NO_MEMORY)
        r->scratch->failed = true;  // maybe the parser's own memory, which no arena knows of
    if (s != STATUS_OK || read_version(r, r->tree.root, &AIRCRAFT_FILE) == VERSION_REFUSED)
        return;
    check_sections(r);
    read_header(r);
    read_lines(r);
    read_supplies(r);
    if (reader_failed(r))
        return;
    read_values(r);
    if (reader_failed(r))
        return;
    fill_defaults(r);
    read_together(r);
    finish_parts(r);
    if (reader_failed(r))
        return;
    read_papers(r);
    read_functions(r);
    read_questions(r);
    read_phases(r);
    r->a->conditions = r->conditions;
    r->a->condition_count = r->condition_count;
    if (reader_failed(r))
        return;
    check_parts(r);
    check_odd(r);
    check_network(r);
    check_protection(r);
    check_conditions(r);
    check_panel(r);
}

status aircraft_read(allocator memory, const char *source, size_t length, aircraft **made,
                     findings *out) {
    *made = NULL;
    aircraft *a = memory_new(memory, sizeof *a);
    if (!a)
        return STATUS_NO_MEMORY;
    a->memory = arena_make(memory);
    a->name = a->tail = a->note = "";
    // A file that is too large is refused before it is copied.
    size_t kept = length > YAML_LARGEST ? 0 : length;
    a->source = arena_text(&a->memory, source, kept);
    a->source_length = kept;
    a->fingerprint = a->source ? hash_of(a->source, kept) : 0;
    arena scratch = arena_make(memory);
    reader r = {.a = a, .keep = &a->memory, .scratch = &scratch, .out = out};
    int before = out->errors;
    if (length > YAML_LARGEST)
        findings_say(out, SEVERITY_ERROR, (span){.line = 1, .column = 1}, "too-large", "",
                     "this file is larger than 4 MB: it isn't an aircraft file", NULL);
    else if (a->source)
        read_all(&r);
    status s = STATUS_OK;
    if (reader_failed(&r))
        s = STATUS_NO_MEMORY;
    else if (out->errors > before || r.tree.broken || a->phase_count == 0)
        s = STATUS_BAD_FILE;
    arena_free(&scratch);
    if (s != STATUS_OK) {
        aircraft_free(a);
        a = NULL;
    }
    findings_sort(out);
    if (out->memory.failed && s != STATUS_NO_MEMORY) {
        aircraft_free(a);
        a = NULL;
        s = STATUS_NO_MEMORY;
    }
    *made = a;
    return s;
}
