#include "support/drawn.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "draw/columns.h"
#include "model/part_words.h"

static char *read_file(const char *path, size_t *length) {
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char *bytes = malloc(1 << 20);
    assert_non_null(bytes);
    *length = fread(bytes, 1, (1 << 20) - 1, f);
    bytes[*length] = 0;
    fclose(f);
    return bytes;
}

drawn drawn_solve_bytes(const char *bytes, size_t length, const char *fail, fault_kind kind) {
    drawn s = {0};
    findings found = findings_make(allocator_default());
    assert_int_equal(aircraft_read(allocator_default(), bytes, length, &s.aircraft, &found),
                     STATUS_OK);
    assert_int_equal(solver_make(allocator_default(), s.aircraft, &found, &s.solver), STATUS_OK);
    s.setting = calloc((size_t)s.aircraft->part_count + 1, sizeof *s.setting);
    state asked = {.setting = s.setting};
    state_of_phase(s.aircraft, s.aircraft->phase_count - 1, &asked);
    int failed = fail ? aircraft_part(s.aircraft, fail) : -1;
    if (failed >= 0)
        asked.faults[asked.fault_count++] = (fault){failed, kind};
    assert_int_equal(
        solver_outcome(s.solver, &asked, (outcome_options){.explain = true}, &s.outcome),
        STATUS_OK);
    findings_free(&found);
    return s;
}

drawn drawn_solve(const char *path, const char *fail, fault_kind kind) {
    size_t length;
    char *bytes = read_file(path, &length);
    drawn s = drawn_solve_bytes(bytes, length, fail, kind);
    free(bytes);
    return s;
}

void drawn_forget(drawn *s) {
    outcome_free(s->outcome);
    solver_free(s->solver);
    aircraft_free(s->aircraft);
    free(s->setting);
}

// ---- XML ----------------------------------------
// Elements nest and close, attributes are quoted, nothing stands unescaped.
static void check_tag(const char **at, char stack[64][32], int *depth, const char *where) {
    const char *s = *at + 1;
    bool closing = *s == '/';
    s += closing;
    char name[32];
    size_t n = strcspn(s, " />\n");
    if (n == 0 || n >= sizeof name)
        fail_msg("%s: a tag without a name", where);
    memcpy(name, s, n);
    name[n] = 0;
    s += n;
    bool empty = false;
    while (*s && *s != '>') {
        if (*s == '"') {
            s = strchr(s + 1, '"');
            assert_non_null(s);
        } else if (*s == '<') {
            fail_msg("%s: < inside a tag", where);
        }
        empty = *s == '/';
        s++;
    }
    assert_int_equal(*s, '>');
    if (closing) {
        assert_true(*depth > 0);
        (*depth)--;
        assert_string_equal(stack[*depth], name);
    } else if (!empty) {
        assert_true(*depth < 63);
        strcpy(stack[(*depth)++], name);
    }
    *at = s + 1;
}

static void check_xml(const char *s, const char *where) {
    char stack[64][32];
    int depth = 0, roots = 0;
    size_t bad;
    assert_true(utf8_valid(s, strlen(s), &bad));
    while (*s) {
        if (*s == '<') {
            roots += depth == 0;
            check_tag(&s, stack, &depth, where);
            continue;
        }
        if (*s == '&') {
            size_t n = strcspn(s, "; <");
            if (s[n] != ';')
                fail_msg("%s: a bare &", where);
        }
        s++;
    }
    assert_int_equal(depth, 0);
    assert_int_equal(roots, 1);
}

static void assert_no_outside(const char *svg) {
    // The one address allowed is the name of the XML namespace itself.
    const char *first = strstr(svg, "http");
    assert_non_null(first);
    assert_null(strstr(first + 4, "http"));
    assert_null(strstr(svg, "<script"));
    assert_null(strstr(svg, "@import"));
    // A symbol may name a shape of its own drawing.
    for (const char *s = strstr(svg, "href"); s; s = strstr(s + 1, "href"))
        assert_int_equal(strncmp(s, "href=\"#", 7), 0);
}

// ---- geometry ----------------------------------------
static bool overlap(double a1, double a2, double b1, double b2) {
    return a1 < b2 - 0.5 && b1 < a2 - 0.5;
}

static int check_labels(const picture *p, const char *where) {
    int wrong = 0;
    for (int i = 0; i < p->label_count; i++) {
        const label_shape *a = &p->labels[i];
        if (a->left < 0 || a->right > p->width + 0.5 || a->bottom > p->height) {
            print_error("%s: '%s' leaves the page\n", where, a->text);
            wrong++;
        }
        for (int k = i + 1; k < p->label_count; k++) {
            const label_shape *b = &p->labels[k];
            if (overlap(a->left, a->right, b->left, b->right) &&
                overlap(a->top, a->bottom, b->top, b->bottom)) {
                print_error("%s: '%s' on '%s' at %g,%g\n", where, a->text, b->text, a->x, a->y);
                wrong++;
            }
        }
    }
    return wrong;
}

static void ends(const wire_shape *w, double *x1, double *y1, double *x2, double *y2) {
    *x1 = w->x1 < w->x2 ? w->x1 : w->x2;
    *x2 = w->x1 < w->x2 ? w->x2 : w->x1;
    *y1 = w->y1 < w->y2 ? w->y1 : w->y2;
    *y2 = w->y1 < w->y2 ? w->y2 : w->y1;
}

static int check_wires(const picture *p, const char *where) {
    int wrong = 0;
    for (int i = 0; i < p->wire_count; i++) {
        double x1, y1, x2, y2;
        ends(&p->wires[i], &x1, &y1, &x2, &y2);
        assert_true(x1 == x2 || y1 == y2);
        for (int k = 0; k < p->label_count; k++) {
            const label_shape *b = &p->labels[k];
            if (overlap(x1 - 1.7, x2 + 1.7, b->left, b->right) &&
                overlap(y1 - 1.7, y2 + 1.7, b->top, b->bottom)) {
                print_error("%s: a wire at %g,%g to %g,%g through '%s'\n", where, x1, y1, x2, y2,
                            b->text);
                wrong++;
            }
        }
        for (int k = 0; k < p->bar_count; k++) {
            const bar_shape *b = &p->bars[k];
            bool through = (x1 == x2 && x1 > b->x && x1 < b->x + b->width && y1 < b->y &&
                            y2 > b->y + b->height) ||
                           (y1 == y2 && y1 > b->y && y1 < b->y + b->height && x1 < b->x &&
                            x2 > b->x + b->width);
            if (through) {
                print_error("%s: a wire at %g,%g to %g,%g through a bar\n", where, x1, y1, x2, y2);
                wrong++;
            }
        }
        for (int k = 0; k < p->wire_count; k++) {
            double a1, b1, a2, b2;
            ends(&p->wires[k], &a1, &b1, &a2, &b2);
            if (y1 == y2 && a1 == a2 && a1 > x1 && a1 < x2 && y1 > b1 && y1 < b2) {
                print_error("%s: wires cross at %g,%g\n", where, a1, y1);
                wrong++;
            }
        }
    }
    return wrong;
}

static int check_symbols(const picture *p, const char *where) {
    int wrong = 0;
    for (int i = 0; i < p->symbol_count; i++) {
        const symbol_shape *s = &p->symbols[i];
        const symbol_form *f = symbol_form_of(s->id);
        // The ink's core: turned symbols have their sides swapped.
        double half = f->reach ? f->reach : 8, tall = f->above < f->below ? f->above : f->below;
        double dx = s->turns % 2 ? tall : half, dy = s->turns % 2 ? half : tall;
        for (int k = 0; k < p->label_count; k++) {
            const label_shape *b = &p->labels[k];
            if (overlap(s->x - dx, s->x + dx, b->left, b->right) &&
                overlap(s->y - dy, s->y + dy, b->top, b->bottom)) {
                print_error("%s: %s at %d,%d on '%s'\n", where, symbol_word(s->id), s->x, s->y,
                            b->text);
                wrong++;
            }
        }
    }
    return wrong;
}

// Faces: the needle on its scale, the normal band too, and no words where it swings.
static int check_gauges(const picture *p, const char *where) {
    int wrong = 0;
    for (int i = 0; i < p->gauge_count; i++) {
        const gauge_shape *g = &p->gauges[i];
        assert_true(g->needle >= 0 && g->needle <= 1 && g->ticks > 0 && g->longer > 0);
        assert_true(g->band_low >= 0 && g->band_low <= g->band_high && g->band_high <= 1);
        for (int k = 0; k < p->label_count; k++) {
            const label_shape *b = &p->labels[k];
            double x = 0.6 * g->radius, top = g->y - 0.9 * g->radius, low = g->y - g->radius / 2;
            if (overlap(g->x - x, g->x + x, b->left, b->right) &&
                overlap(top, low, b->top, b->bottom)) {
                print_error("%s: '%s' on the face of a meter\n", where, b->text);
                wrong++;
            }
        }
    }
    return wrong;
}

// ---- whole ----------------------------------------
// The label as it may stand: escaped, its first letter raised, wrapped (then the row's title has
// it whole).
static bool named(const char *svg, const char *label) {
    text t = text_make(allocator_default());
    xml_text(&t, label);
    bool found = strstr(svg, text_get(&t)) != NULL;
    if (!found && t.length && t.data[0] >= 'a' && t.data[0] <= 'z') {
        t.data[0] = (char)(t.data[0] - 'a' + 'A');
        found = strstr(svg, t.data) != NULL;
    }
    text_free(&t);
    return found;
}

static int check_parts(const aircraft *a, const char *svg, const char *where) {
    int wrong = 0;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (!p->electric || p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP)
            continue;
        char label[128];
        text words = text_make(allocator_default());
        words_of_id(p->id, &words);
        snprintf(label, sizeof label, "%s",
                 strcmp(p->label, p->id) == 0 ? text_get(&words) : p->label);
        text_free(&words);
        char lowered[128];
        snprintf(lowered, sizeof lowered, "%s", label);
        for (char *c = lowered + (*lowered != 0); *c; c++)
            if (*c >= 'A' && *c <= 'Z')
                *c = (char)(*c - 'A' + 'a');
        if (!named(svg, label) && !(p->kind == KIND_BUS && named(svg, lowered))) {
            print_error("%s: %s (%s) is not named\n", where, p->id, label);
            wrong++;
        }
    }
    return wrong;
}

int drawn_check(const drawn *s, int width, theme_id theme_wanted, const char *where) {
    columns_options options = {.width = width, .theme = theme_wanted, .caution = DRAWN_CAUTION};
    arena memory = arena_make(allocator_default());
    const picture *p = columns_picture(&memory, s->outcome, options);
    assert_non_null(p);
    int wrong = check_labels(p, where) + check_wires(p, where) + check_symbols(p, where);
    wrong += check_gauges(p, where);
    arena_free(&memory);
    text first = text_make(allocator_default()), second = text_make(allocator_default());
    assert_int_equal(columns_write(s->outcome, options, &first), STATUS_OK);
    assert_int_equal(columns_write(s->outcome, options, &second), STATUS_OK);
    assert_string_equal(text_get(&first), text_get(&second));
    check_xml(text_get(&first), where);
    assert_no_outside(text_get(&first));
    assert_true(named(text_get(&first), "For teaching;"));
    wrong += check_parts(s->aircraft, text_get(&first), where);
    text_free(&first);
    text_free(&second);
    return wrong;
}
