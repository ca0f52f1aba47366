// `check`: is the file right, what do its figures rest on, and what is assumed?
#include <string.h>

#include "ask/ask_commands.h"
#include "ask/check_phases.h"
#include "ask/check_weights.h"
#include "ask/confirmed.h"
#include "base/stable_sort.h"
#include "circuit/bare_feeders.h"
#include "circuit/solver.h"
#include "model/field_table.h"
#include "part/raised.h"
#include "report/figure_form.h"
#include "report/wrap.h"

enum { BASES = BASIS_SURVEY + 1 };

// A figure that no one wrote.
typedef struct assumption {
    int part;
    const char *name;    // what it is called in the answer
    const field *field;  // the row that says what is assumed; NULL: none
    int row;             // its place in the table
    const figure *figure;
} assumption;

typedef struct tally {
    int figures[BASES], connections[BASES];
    assumption *assumed;
    int assumed_count, capacity;
    weights weights;
} tally;

// Whatever is assumed by the same rule goes together, in the table's order.
static int by_rule(const void *x, const void *y, const void *ctx) {
    (void)ctx;
    const assumption *p = x;
    const assumption *q = y;
    return p->row != q->row ? p->row - q->row : strcmp(p->name, q->name);
}

static int row_of(const field *row) {
    int i = 0;
    while (i < field_count() && field_at(i) != row)
        i++;
    return i;
}

static assumption assumption_of(const aircraft *a, int which, const part_value *v) {
    const part *p = &a->parts[which];
    assumption made = {.part = which, .figure = &v->as.figure};
    if (p->implied == IMPLIED_WIRE && v->key == KEY_RESISTANCE) {
        // What is assumed of an item's own wire stands in the row of the item's `wire:`.
        made.name = "wire";
        made.field = field_find(a->parts[p->host].kind, KEY_WIRE);
    } else {
        made.name = v->key == KEY_VALUE ? kind_word(p->kind) : key_word(v->key);
        made.field = field_find(p->kind, v->key);
    }
    made.row = row_of(made.field);
    return made;
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
        t->assumed[t->assumed_count++] = assumption_of(a, which, v);
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
    stable_sort(t->assumed, (size_t)t->assumed_count, sizeof *scratch, scratch, by_rule, NULL);
    return STATUS_OK;
}

// How the figure comes about, and who says so.
static void put_rule(const assumption *x, text *out) {
    const field *f = x->field;
    if (f && !f->assumed && f->fallback)
        text_all(out, f->fallback, "; ", NULL);
    text_put(out, f && f->source ? f->source : "a design choice, no source");
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

static void put_range(const assumption *first, int count, text *out) {
    double low = first->figure->value;
    double high = low;
    for (int i = 1; i < count; i++) {
        double value = first[i].figure->value;
        low = value < low ? value : low;
        high = value > high ? value : high;
    }
    figure_form(low, first->figure->unit, out);
    if (high > low) {
        text_put(out, " to ");
        figure_form(high, first->figure->unit, out);
    }
}

// One paragraph for all that is assumed by the same rule, the parts listed below it.
static void put_assumptions(const aircraft *a, const tally *t, text *out) {
    text words = text_make(out->memory);
    for (int i = 0; i < t->assumed_count;) {
        const assumption *x = &t->assumed[i];
        int end = i + 1;
        while (end < t->assumed_count && by_rule(x, &t->assumed[end], NULL) == 0)
            end++;
        size_t line = out->length;
        text_all(out, "  ", x->name, NULL);
        put_range(x, end - i, &words);
        text_put(&words, ": ");
        put_rule(x, &words);
        wrap_words(out, line, 20, text_get(&words));
        text_free(&words);
        for (; i < end; i++)
            text_all(&words, a->parts[t->assumed[i].part].id, i + 1 < end ? ", " : "", NULL);
        wrap_words(out, out->length, 22, text_get(&words));
        out->failed = out->failed || words.failed;
        text_free(&words);
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
    weights_text(a, &t->weights, out);
    text_char(out, '\n');
    wrap_words(out, out->length, 0, caution_line);
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
        json_field(out, ",", "key", x->name);
        json_field(out, ",", "figure", text_get(&shown));
        text_char(out, ',');
        json_key(out, "value");
        json_number(out, x->figure->value);
        text_char(out, ',');
        json_key(out, "rule");
        if (x->field && !x->field->assumed && x->field->fallback)
            json_string(out, x->field->fallback);
        else
            text_put(out, "null");
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

static void answer_json(const aircraft *a, const ask_options *o, const findings *f, const tally *t,
                        text *out) {
    (void)o;
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
        text_put(out, ",\"weights\":");
        weights_json(a, &t->weights, out);
    }
    json_field(out, ",", "caution", caution_line);
    text_put(out, "}\n");
}

// What only the solved circuit shows is a finding as well: bases that don't settle or lack
// something, readings by hand that differ from the solved ones, feeders that nothing protects.
static status settle_bases(const aircraft *a, arena *memory, findings *f, weights *w) {
    solver *made = NULL;
    status s = solver_make(memory->memory, a, f, &made);
    if (s == STATUS_OK)
        s = confirmed_all(made, a, memory, f);
    if (s == STATUS_OK)
        s = check_phases(made, a, memory, f);
    if (s == STATUS_OK)
        s = bare_feeders_find(made, memory, f);
    raised_find(a, f);
    if (s == STATUS_OK)
        s = weights_find(made, a, memory, w);
    solver_free(made);
    return s;
}

typedef void check_writer(const aircraft *a, const ask_options *o, const findings *f,
                          const tally *t, text *out);

static status answer(const aircraft *a, const ask_options *o, check_writer *write, text *out,
                     findings *f, deadbus_exit *exit) {
    arena scratch = arena_make(o->memory.memory);
    tally t = {0};
    status s = STATUS_OK;
    if (a)
        s = settle_bases(a, &scratch, f, &t.weights);
    if (s == STATUS_LIMIT || s == STATUS_BAD_FILE)
        s = STATUS_OK;  // its findings are the answer
    if (a && s == STATUS_OK)
        s = count_all(a, &scratch, &t);
    if (s == STATUS_OK) {
        findings_sort(f);
        write(a, o, f, &t, out);
        if (f->errors)
            *exit = DEADBUS_NO;
    }
    arena_free(&scratch);
    return s;
}

status check_in_words(const aircraft *a, const ask_options *o, text *out, findings *f,
                      deadbus_exit *exit) {
    return answer(a, o, answer_text, out, f, exit);
}

status check_in_json(const aircraft *a, const ask_options *o, text *out, findings *f,
                     deadbus_exit *exit) {
    return answer(a, o, answer_json, out, f, exit);
}
