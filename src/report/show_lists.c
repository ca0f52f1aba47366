// What the map has beside buses: the ground side, what needs no volts, functions, supplies, and the
// breakers by their place.
#include <string.h>

#include "model/part_words.h"
#include "report/outcome_parts.h"
#include "report/show_report.h"
#include "report/wrap.h"

enum { LIST_AT = 26, CELL_WIDTH = 18, CELLS = 4 };

static void put_line(const aircraft *a, int which, const text *words, text *out) {
    size_t line = out->length;
    text name = text_make(out->memory);
    part_short_name(a, which, &name);
    wrap_left(out, line, 2, text_get(&name));
    wrap_words(out, line, LIST_AT, text_get(words));
    out->failed = out->failed || name.failed;
    text_free(&name);
}

// ---- ground side --------------------------------------------------------------------------------
// Where a part returns other than by the airframe: through its own line's end, or a coil's.
typedef struct returning {
    int by_coil, by_itself;  // parts; PART_NONE
} returning;

static returning return_of(const part *p) {
    returning r = {PART_NONE, PART_NONE};
    const reference_list *coil = part_references(p, KEY_COIL_TO), *to = part_references(p, KEY_TO);
    if (coil && coil->count > 0)
        r.by_coil = coil->items[0].part;
    if (kind_class(p->kind) == CLASS_ITEM && to && to->count > 0)
        r.by_itself = to->items[0].part;
    else if (kind_class(p->kind) == CLASS_ITEM && p->ground >= 0)
        r.by_itself = p->ground;
    return r;
}

static void returns_through(const aircraft *a, int which, const returning *of, text *t) {
    int said = 0;
    for (int i = 0; i < a->part_count; i++) {
        if (of[i].by_coil != which && of[i].by_itself != which)
            continue;
        text_put(t, said++ ? ", " : "");
        text_put(t, of[i].by_coil == which ? "coil of " : "");
        part_short_name(a, i, t);
    }
}

static void ground_side(const aircraft *a, text *out) {
    arena scratch = arena_make(out->memory);
    returning *of = arena_new(&scratch, (size_t)a->part_count + 1, sizeof *of);
    for (int i = 0; of && i < a->part_count; i++)
        of[i] = return_of(&a->parts[i]);
    bool any = false;
    for (int i = 0; of && i < a->part_count; i++) {
        text words = text_make(out->memory);
        returns_through(a, i, of, &words);
        if (words.length) {
            if (!any)
                wrap_heading(out, "On the ground side (returns through)");
            any = true;
            put_line(a, i, &words, out);
        }
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
    out->failed = out->failed || scratch.failed;
    arena_free(&scratch);
}

// ---- without volts ------------------------------------------------------------------------------
static void put_names(const char *word, const text_list *list, text *t) {
    if (!list || list->count == 0)
        return;
    text_put(t, t->length ? "; " : "");
    text_put(t, word);
    for (int i = 0; i < list->count; i++) {
        text_put(t, i ? ", " : " ");
        words_of_id(list->items[i], t);
    }
}

// A route or need without the word "works", which is what a bare name means there.
static void need_words(const aircraft *a, int need, text *t) {
    text full = text_make(t->memory);
    condition_words(a, need, &full);
    for (const char *s = text_get(&full); *s;) {
        const char *drop = strncmp(s, " works", 6) == 0     ? " works"
                           : strncmp(s, " present", 8) == 0 ? " present"
                                                            : NULL;
        if (drop)
            s += strlen(drop);
        else
            text_char(t, *s++);
    }
    t->failed = t->failed || full.failed;
    text_free(&full);
}

static void put_needs(const aircraft *a, const part *p, text *t) {
    const part_value *v = part_value_of(p, KEY_NEEDS);
    if (!v || v->type != VALUE_CONDITIONS || v->as.conditions.count == 0)
        return;
    text_put(t, t->length ? "; needs " : "needs ");
    for (int i = 0; i < v->as.conditions.count; i++) {
        text_put(t, i ? ", " : "");
        need_words(a, v->as.conditions.items[i], t);
    }
}

static void put_turned_by(const aircraft *a, const part *p, text *t) {
    int by = part_id(p, KEY_TURNED_BY);
    if (by < 0)
        return;
    text_put(t, t->length ? "; turned by " : "turned by ");
    part_short_name(a, by, t);
}

static void put_own_battery(const part *p, text *t) {
    const figure *f = part_figure(p, KEY_OWN_BATTERY);
    if (!f)
        return;
    text_put(t, t->length ? "; own battery, " : "own battery, ");
    if (f->value >= 3600)
        words_figure(t, f->value / 3600, f->value == (double)(int)(f->value / 3600) * 3600 ? 0 : 1,
                     "h");
    else
        words_figure(t, f->value / 60, 0, "min");
}

static bool without_volts(const part *p) {
    part_class c = kind_class(p->kind);
    bool own = part_value_of(p, KEY_OWN_BATTERY) != NULL;
    return (c == CLASS_DRY || c == CLASS_ITEM) && (!p->electric || own) &&
           p->section == SECTION_PARTS;
}

static void dry_parts(const aircraft *a, text *out) {
    bool any = false;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (!without_volts(p))
            continue;
        if (!any)
            wrap_heading(out, "Without the aeroplane's volts");
        any = true;
        text words = text_make(out->memory);
        put_turned_by(a, p, &words);
        put_needs(a, p, &words);
        put_own_battery(p, &words);
        put_names("makes", part_names(p, KEY_MAKES), &words);
        put_names("gives", part_names(p, KEY_GIVES), &words);
        put_names("gives partly", part_names(p, KEY_GIVES_PARTLY), &words);
        put_line(a, i, &words, out);
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
}

// ---- supplies, functions ------------------------------------------------------------------------
static void put_parts(const aircraft *a, const int *parts, int count, const char *suffix, text *t) {
    for (int i = 0; i < count; i++) {
        text_put(t, t->length ? ", " : "");
        part_short_name(a, parts[i], t);
        text_put(t, suffix);
    }
}

static void put_routes(const aircraft *a, const int *routes, int count, const char *suffix,
                       text *t) {
    for (int i = 0; i < count; i++) {
        text_put(t, t->length ? ", or " : "");
        need_words(a, routes[i], t);
        text_put(t, suffix);
    }
}

static void put_named(const char *id, const text *words, text *out) {
    size_t line = out->length;
    text name = text_make(out->memory);
    words_of_id(id, &name);
    wrap_left(out, line, 2, text_get(&name));
    wrap_words(out, line, LIST_AT, text_get(words));
    out->failed = out->failed || name.failed;
    text_free(&name);
}

static void supplies(const aircraft *a, text *out) {
    if (a->supply_count)
        wrap_heading(out, "Supplies, and what makes them");
    for (int i = 0; i < a->supply_count; i++) {
        text words = text_make(out->memory);
        put_parts(a, a->supplies[i].makers, a->supplies[i].count, "", &words);
        put_named(a->supplies[i].name, &words, out);
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
}

static void functions(const aircraft *a, text *out) {
    if (a->function_count)
        wrap_heading(out, "Functions, and what gives them");
    for (int i = 0; i < a->function_count; i++) {
        const function *f = &a->functions[i];
        text words = text_make(out->memory);
        if (f->routed) {
            put_routes(a, f->kept_by.items, f->kept_by.count, "", &words);
            put_routes(a, f->partly_by.items, f->partly_by.count, " (partly)", &words);
        } else {
            put_parts(a, f->gives.items, f->gives.count, "", &words);
            put_parts(a, f->gives_partly.items, f->gives_partly.count, " (partly)", &words);
        }
        put_named(f->name, &words, out);
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
}

// ---- what isn't settled -------------------------------------------------------------------------
bool show_unsettled(const part *p) {
    const reference_list *from = part_references(p, KEY_FROM);
    return from && from->count == 1 && from->items[0].terminal == TERMINAL_NONE;
}

static void put_candidates(const aircraft *a, const part *p, text *t) {
    const reference_list *from = part_references(p, KEY_PERHAPS_FROM);
    text_put(t, from && from->count > 0 ? "from one of: " : "from a point not known yet");
    for (int i = 0; from && i < from->count; i++) {
        text_put(t, i ? ", " : "");
        if (from->items[i].part >= 0)
            part_name(a, from->items[i].part, t);
        else
            text_put(t, "the airframe");
    }
}

static void put_question(const aircraft *a, const question *q, text *t) {
    text_put(t, "found on ");
    part_name(a, q->found, t);
    text_put(t, ", but on ");
    part_name(a, q->but, t);
    if (q->by)
        text_all(t, " by ", q->by, NULL);
}

static void unsettled(const aircraft *a, text *out) {
    bool any = false;
    for (int i = 0; i < a->part_count + a->question_count; i++) {
        const question *q = i < a->part_count ? NULL : &a->questions[i - a->part_count];
        if (!q && !show_unsettled(&a->parts[i]))
            continue;
        if (!any)
            wrap_heading(out, "Not settled yet");
        any = true;
        text words = text_make(out->memory);
        if (q)
            put_question(a, q, &words);
        else
            put_candidates(a, &a->parts[i], &words);
        put_line(a, q ? q->part : i, &words, out);
        out->failed = out->failed || words.failed;
        text_free(&words);
    }
}

void show_lists(const aircraft *a, text *out) {
    ground_side(a, out);
    dry_parts(a, out);
    supplies(a, out);
    functions(a, out);
    unsettled(a, out);
}

// ---- breakers by place --------------------------------------------------------------------------
static bool protects(const part *p) {
    return p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
}

static const char *panel_of(const part *p) { return p->panel ? p->panel : ""; }

static bool same_row(const part *x, const part *y) {
    return x->row == y->row && text_equal(panel_of(x), panel_of(y));
}

// The next breaker of a row of the grid after number `after`; -1: that was the last.
static int next_in_row(const aircraft *a, const part *like, int after) {
    int best = -1;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (!protects(p) || p->number <= after || !same_row(p, like))
            continue;
        if (best < 0 || p->number < a->parts[best].number)
            best = i;
    }
    return best;
}

static void cell(const aircraft *a, int which, text *t) {
    const part *p = &a->parts[which];
    text_int(t, p->number);
    text_char(t, ' ');
    part_short_name(a, which, t);
    const figure *rating = part_figure(p, KEY_VALUE);
    if (rating) {
        text_char(t, ' ');
        text_number(t, rating->value);
    }
    if (p->fitted & FITTED_COLLARED)
        text_put(t, " (collared)");
}

static void row_of_grid(const aircraft *a, const part *like, text *out) {
    text words = text_make(out->memory);
    size_t line = out->length;
    words.length = 0;
    if (panel_of(like)[0])
        text_all(&words, panel_of(like), like->row ? " " : "", NULL);
    if (like->row) {
        text_put(&words, "row ");
        text_int(&words, like->row);
    }
    wrap_left(out, line, 2, text_get(&words));
    size_t start = words.length > 7 ? 2 + words.length + 2 : 10;
    size_t cells = (WRAP_COLUMNS - start) / CELL_WIDTH, n = 0;
    for (int at = next_in_row(a, like, 0); at >= 0;
         at = next_in_row(a, like, a->parts[at].number)) {
        if (n && n % cells == 0) {
            text_char(out, '\n');
            line = out->length;
        }
        words.length = 0;
        cell(a, at, &words);
        wrap_left(out, line, start + (n % cells) * CELL_WIDTH, text_get(&words));
        n++;
    }
    text_char(out, '\n');
    out->failed = out->failed || words.failed;
    text_free(&words);
}

static bool row_done(const aircraft *a, int which) {
    for (int i = 0; i < which; i++)
        if (protects(&a->parts[i]) && a->parts[i].number > 0 &&
            same_row(&a->parts[i], &a->parts[which]))
            return true;
    return false;
}

void show_places(const aircraft *a, text *out) {
    bool any = false;
    for (int i = 0; i < a->part_count; i++) {
        if (!protects(&a->parts[i]) || a->parts[i].number <= 0 || row_done(a, i))
            continue;
        if (!any)
            wrap_heading(out, "Breakers and fuses by place");
        any = true;
        row_of_grid(a, &a->parts[i], out);
    }
    text words = text_make(out->memory);
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (!protects(p) || p->number > 0)
            continue;
        text_put(&words, words.length ? ", " : "Not in the grid: ");
        part_short_name(a, i, &words);
        const figure *rating = part_figure(p, KEY_VALUE);
        if (rating) {
            text_char(&words, ' ');
            text_number(&words, rating->value);
        }
        if (p->reach == REACH_TOOLS)
            text_put(&words, part_value_of(p, KEY_REACH) ? " (out of reach)" : " (no place)");
    }
    if (words.length) {
        text_char(&words, '.');
        if (!any)
            wrap_heading(out, "Breakers and fuses by place");
        wrap_words(out, out->length, 2, text_get(&words));
    }
    out->failed = out->failed || words.failed;
    text_free(&words);
}
