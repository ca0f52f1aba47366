// `check`: is the file right, what do its figures rest on, and what is assumed?
#include <string.h>

#include "ask/ask_commands.h"
#include "base/stable_sort.h"
#include "circuit/outcome.h"
#include "model/field_table.h"
#include "report/figure_form.h"

enum { BASES = BASIS_SURVEY + 1, WIDTH = 79 };

// A figure that no one wrote.
typedef struct assumption {
    int part;
    part_key key;
    const field *field;  // NULL: not in the table
    const figure *figure;
} assumption;

typedef struct tally {
    int figures[BASES], connections[BASES];
    assumption *assumed;
    int assumed_count, capacity;
} tally;

// What stands for the key in the answer: a part's own value goes by its kind.
static const char *name_of(const aircraft *a, const assumption *x) {
    return x->key == KEY_VALUE ? kind_word(a->parts[x->part].kind) : key_word(x->key);
}

static int by_meaning(const void *x, const void *y, const void *ctx) {
    const aircraft *a = ctx;
    const assumption *p = x;
    const assumption *q = y;
    if (p->key != q->key)
        return (int)p->key - (int)q->key;
    int names = strcmp(name_of(a, p), name_of(a, q));
    if (names)
        return names;
    if (p->figure->unit != q->figure->unit)
        return (int)p->figure->unit - (int)q->figure->unit;
    double d = p->figure->value - q->figure->value;
    return d < 0 ? -1 : d > 0;
}

static status count_part(const aircraft *a, int which, arena *memory, tally *t) {
    const part *p = &a->parts[which];
    if (p->electric && p->implied == IMPLIED_NO)
        t->connections[p->connected]++;
    for (int i = 0; i < p->value_count; i++) {
        const part_value *v = &p->values[i];
        if (v->type == VALUE_WIRE)
            t->figures[v->as.wire.basis]++;
        if (v->type != VALUE_FIGURE)
            continue;
        t->figures[v->as.figure.basis]++;
        if (v->as.figure.basis != BASIS_ASSUMED)
            continue;
        assumption *grown =
            arena_grow(memory, t->assumed, &t->capacity, t->assumed_count + 1, sizeof *t->assumed);
        if (!grown)
            return STATUS_NO_MEMORY;
        t->assumed = grown;
        t->assumed[t->assumed_count++] = (assumption){.part = which,
                                                      .key = v->key,
                                                      .field = field_find(p->kind, v->key),
                                                      .figure = &v->as.figure};
    }
    return STATUS_OK;
}

static status count_all(const aircraft *a, arena *memory, tally *t) {
    for (int i = 0; i < a->part_count; i++) {
        status s = count_part(a, i, memory, t);
        if (s != STATUS_OK)
            return s;
    }
    assumption *scratch = arena_new(memory, (size_t)t->assumed_count, sizeof *scratch);
    if (!scratch)
        return STATUS_NO_MEMORY;
    stable_sort(t->assumed, (size_t)t->assumed_count, sizeof *scratch, scratch, by_meaning, a);
    return STATUS_OK;
}

static const char *source_of(const assumption *x) {
    return x->field && x->field->source ? x->field->source : "design choice, no source";
}

// ---- text ---------------------------------------------------------------------------------------

static void put_count(text *out, int count, const char *one, const char *many) {
    text_int(out, count);
    text_all(out, " ", count == 1 ? one : many, NULL);
}

static void put_bases(text *out, const char *title, const int counts[BASES]) {
    int all = 0;
    for (int b = 0; b < BASES; b++)
        all += counts[b];
    if (all == 0)
        return;
    text_all(out, "\n", title, "\n", NULL);
    for (int b = BASES - 1; b >= 0; b--) {
        if (counts[b] == 0)
            continue;
        size_t start = out->length;
        text_all(out, "  ", basis_word((basis)b), NULL);
        text_pad(out, start, 12);
        text_int(out, counts[b]);
        text_char(out, '\n');
    }
}

// One line for all that assume the same, the parts listed below it.
static void put_assumptions(const aircraft *a, const tally *t, text *out) {
    for (int i = 0; i < t->assumed_count;) {
        const assumption *x = &t->assumed[i];
        int end = i + 1;
        while (end < t->assumed_count && by_meaning(x, &t->assumed[end], a) == 0)
            end++;
        size_t start = out->length;
        text_all(out, "  ", name_of(a, x), NULL);
        text_pad(out, start, 18);
        text_char(out, ' ');
        figure_form(x->figure->value, x->figure->unit, out);
        text_pad(out, start, 32);
        text_all(out, " ", source_of(x), "\n", NULL);
        size_t line = out->length;
        text_put(out, "     ");
        for (; i < end; i++) {
            const char *id = a->parts[t->assumed[i].part].id;
            if (out->length - line + 2 + strlen(id) > WIDTH) {
                text_char(out, '\n');
                line = out->length;
                text_put(out, "     ");
            }
            text_all(out, " ", id, i + 1 < end ? "," : "", NULL);
        }
        text_char(out, '\n');
    }
}

static void put_head(const aircraft *a, const ask_options *o, const findings *f, text *out) {
    if (a) {
        text_put(out, a->name && *a->name ? a->name : o->file_name);
        if (a->tail && *a->tail)
            text_all(out, " (", a->tail, ")", NULL);
        text_put(out, ", ");
        figure_form(a->nominal, UNIT_VOLT, out);
        text_put(out, ": ");
    } else {
        text_all(out, *o->file_name ? o->file_name : "the file", ": ", NULL);
    }
    put_count(out, f->errors, "error", "errors");
    text_put(out, ", ");
    put_count(out, f->warnings, "warning", "warnings");
    text_put(out, ", ");
    put_count(out, f->notes, "note", "notes");
    text_char(out, '\n');
}

static void answer_text(const aircraft *a, const ask_options *o, const findings *f, const tally *t,
                        text *out) {
    put_head(a, o, f, out);
    if (!a) {
        text_put(out, "Nothing is computed from a file with an error.\n");
        return;
    }
    int written = 0;
    for (int i = 0; i < a->part_count; i++)
        written += a->parts[i].implied == IMPLIED_NO;
    put_count(out, written, "line", "lines");
    text_put(out, " that make ");
    put_count(out, a->part_count, "part", "parts");
    text_put(out, "; ");
    put_count(out, a->function_count, "function", "functions");
    text_put(out, "; ");
    put_count(out, a->phase_count, "phase", "phases");
    text_char(out, '\n');
    put_bases(out, "What the figures rest on", t->figures);
    put_bases(out, "What the connections rest on", t->connections);
    if (t->assumed_count) {
        text_put(out, "\nWhat is assumed, and where that comes from\n");
        put_assumptions(a, t, out);
    }
    text_all(out, "\n", caution_line, "\n", NULL);
}

// ---- JSON ---------------------------------------------------------------------------------------

static void json_field(text *out, const char *before, const char *key, const char *value) {
    text_put(out, before);
    json_key(out, key);
    json_string(out, value ? value : "");
}

static void json_count(text *out, const char *before, const char *key, int count) {
    text_put(out, before);
    json_key(out, key);
    text_int(out, count);
}

static void json_findings(const findings *f, text *out) {
    static const char *const words[] = {"error", "warning", "note"};
    text_put(out, "\"findings\":[");
    for (int i = 0; i < f->count; i++) {
        const finding *x = &f->items[i];
        json_field(out, i ? ",{" : "{", "severity", words[x->severity]);
        json_field(out, ",", "code", x->code);
        json_count(out, ",", "line", (int)x->where.line);
        json_count(out, ",", "column", (int)x->where.column);
        json_field(out, ",", "text", x->text);
        json_field(out, ",", "hint", x->hint);
        text_char(out, '}');
    }
    text_char(out, ']');
}

static void json_bases(text *out, const char *key, const int counts[BASES]) {
    text_char(out, ',');
    json_key(out, key);
    for (int b = BASES - 1; b >= 0; b--)
        json_count(out, b == BASES - 1 ? "{" : ",", basis_word((basis)b), counts[b]);
    text_char(out, '}');
}

static void json_assumptions(const aircraft *a, const tally *t, text *out) {
    text_put(out, ",\"assumed\":[");
    for (int i = 0; i < t->assumed_count; i++) {
        const assumption *x = &t->assumed[i];
        text shown = text_make(out->memory);
        figure_form(x->figure->value, x->figure->unit, &shown);
        json_field(out, i ? ",{" : "{", "part", a->parts[x->part].id);
        json_field(out, ",", "key", name_of(a, x));
        json_field(out, ",", "figure", text_get(&shown));
        text_char(out, ',');
        json_key(out, "value");
        json_number(out, x->figure->value);
        text_char(out, ',');
        json_key(out, "source");
        if (x->field && x->field->source)
            json_string(out, x->field->source);
        else
            text_put(out, "null");
        text_char(out, '}');
        out->failed = out->failed || shown.failed;
        text_free(&shown);
    }
    text_char(out, ']');
}

static void answer_json(const aircraft *a, const findings *f, const tally *t, text *out) {
    text_all(out, "{\"right\":", f->errors ? "false" : "true", NULL);
    json_count(out, ",", "errors", f->errors);
    json_count(out, ",", "warnings", f->warnings);
    json_count(out, ",", "notes", f->notes);
    text_char(out, ',');
    json_findings(f, out);
    if (a) {
        json_field(out, ",", "name", a->name);
        json_field(out, ",", "tail", a->tail);
        text_put(out, ",\"nominal\":");
        json_number(out, a->nominal);
        json_count(out, ",", "parts", a->part_count);
        json_count(out, ",", "functions", a->function_count);
        json_count(out, ",", "phases", a->phase_count);
        json_bases(out, "figures", t->figures);
        json_bases(out, "connections", t->connections);
        json_assumptions(a, t, out);
    }
    json_field(out, ",", "caution", caution_line);
    text_put(out, "}\n");
}

// A base that chatters or collapses, and figures that had to be raised, are findings as well.
static status settle_bases(const aircraft *a, allocator memory, findings *f) {
    solver *made = NULL;
    status s = solver_make(memory, a, f, &made);
    solver_free(made);
    return s;
}

status ask_check(const aircraft *a, const ask_options *o, text *out, findings *f,
                 deadbus_exit *exit) {
    allocator memory = o->memory.memory;
    arena scratch = arena_make(memory);
    tally t = {0};
    status s = STATUS_OK;
    if (a)
        s = settle_bases(a, memory, f);
    if (s == STATUS_LIMIT || s == STATUS_BAD_FILE)
        s = STATUS_OK;  // its findings are the answer
    if (a && s == STATUS_OK)
        s = count_all(a, &scratch, &t);
    if (s == STATUS_OK) {
        findings_sort(f);
        if (o->json)
            answer_json(a, f, &t, out);
        else
            answer_text(a, o, f, &t, out);
        if (f->errors)
            *exit = DEADBUS_NO;
    }
    arena_free(&scratch);
    return s;
}
