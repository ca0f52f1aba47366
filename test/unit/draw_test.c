// Every aircraft that a person can write is drawn whole: valid XML, every electric part named,
// no label on another, no wire through a bar or a label, and the same bytes twice.
#include <dirent.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "circuit/solver.h"
#include "draw/board_words.h"
#include "draw/columns.h"
#include "draw/text_width.h"
#include "model/part_words.h"
#include "support/failing_memory.h"

static const char caution[] = "For teaching; the approved handbook comes first.";
static const int widths[] = {1750, 1400, 1120, 700, 390, 320};
enum { WIDTHS = sizeof widths / sizeof *widths, FILES_MOST = 64, WORDS = 512 };

typedef struct solved {
    aircraft *aircraft;
    solver *solver;
    outcome *outcome;
    double *setting;
} solved;

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

// The last phase, with `fail` (an id, or NULL) failed as `kind`.
static solved solve(const char *path, const char *fail, fault_kind kind) {
    solved s = {0};
    size_t length;
    char *bytes = read_file(path, &length);
    findings found = findings_make(allocator_default());
    status result = aircraft_read(allocator_default(), bytes, length, &s.aircraft, &found);
    if (result != STATUS_OK)
        fail_msg("%s does not read", path);
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
    free(bytes);
    return s;
}

static void forget(solved *s) {
    outcome_free(s->outcome);
    solver_free(s->solver);
    aircraft_free(s->aircraft);
    free(s->setting);
}

static int all_files(char paths[FILES_MOST][WORDS]) {
    static const char *const folders[] = {DEADBUS_SOURCE_DIR "/aircraft",
                                          DEADBUS_TEST_DIR "/case/draw"};
    int count = 0;
    for (int i = 0; i < 2; i++) {
        DIR *d = opendir(folders[i]);
        assert_non_null(d);
        for (struct dirent *e; (e = readdir(d)) && count < FILES_MOST;) {
            size_t n = strlen(e->d_name);
            if (n > 5 && strcmp(e->d_name + n - 5, ".yaml") == 0)
                snprintf(paths[count++], WORDS, "%s/%s", folders[i], e->d_name);
        }
        closedir(d);
    }
    assert_true(count >= 5);
    return count;
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

static int check_one(const solved *s, int width, theme_id theme_wanted, const char *where) {
    columns_options options = {.width = width, .theme = theme_wanted, .caution = caution};
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

static int check_all(const char *fail, fault_kind kind, theme_id theme_wanted) {
    static char paths[FILES_MOST][WORDS];
    int count = all_files(paths), wrong = 0;
    for (int i = 0; i < count; i++) {
        solved s = solve(paths[i], fail, kind);
        for (int w = 0; w < WIDTHS; w++) {
            char where[WORDS + 32];
            snprintf(where, sizeof where, "%s %d", strrchr(paths[i], '/') + 1, widths[w]);
            wrong += check_one(&s, widths[w], theme_wanted, where);
        }
        forget(&s);
    }
    return wrong;
}

static void every_aircraft_is_drawn_whole(void **unused) {
    (void)unused;
    assert_int_equal(check_all(NULL, FAULT_NONE, THEME_ID_LIGHT), 0);
}

static void every_aircraft_without_its_alternator(void **unused) {
    (void)unused;
    assert_int_equal(check_all("alternator", FAULT_DEAD, THEME_ID_DARK), 0);
}

static void every_aircraft_with_its_main_bus_shorted(void **unused) {
    (void)unused;
    assert_int_equal(check_all("main-bus", FAULT_SHORT, THEME_ID_PRINT), 0);
}

// Width 0 in print: the program looks for the sheet itself.
static void every_aircraft_on_its_sheet(void **unused) {
    (void)unused;
    static char paths[FILES_MOST][WORDS];
    static const char *const failed[] = {NULL, "alternator", "main-bus"};
    static const fault_kind kinds[] = {FAULT_NONE, FAULT_DEAD, FAULT_SHORT};
    int count = all_files(paths), wrong = 0;
    for (int i = 0; i < count; i++)
        for (int f = 0; f < 3; f++) {
            solved s = solve(paths[i], failed[f], kinds[f]);
            char where[WORDS + 32];
            snprintf(where, sizeof where, "%s sheet %d", strrchr(paths[i], '/') + 1, f);
            wrong += check_one(&s, 0, THEME_ID_PRINT, where);
            forget(&s);
        }
    assert_int_equal(wrong, 0);
}

// One A4 sheet on its side, on which type of 15 units is 7 pt (2.47 mm) or more.
static void demo_aircraft_fit_one_sheet(void **unused) {
    (void)unused;
    static const char *const names[] = {"bowline", "reef", "sheetbend", "clove", "halyard"};
    static const char *const dead[] = {NULL, "alternator", "generator", "left-alternator"};
    for (int i = 0; i < 5; i++)
        for (int f = 0; f < 4; f++) {
            char path[WORDS];
            snprintf(path, sizeof path, "%s/aircraft/%s.yaml", DEADBUS_SOURCE_DIR, names[i]);
            solved s = solve(path, dead[f], FAULT_DEAD);
            arena memory = arena_make(allocator_default());
            const picture *p = columns_picture(
                &memory, s.outcome, (columns_options){.theme = THEME_ID_PRINT, .caution = caution});
            assert_non_null(p);
            double millimetres = 297.0 / p->width;
            if (p->height > p->width * 210 / 297 || 15 * millimetres < 7 * 25.4 / 72)
                fail_msg("%s: %d by %d", names[i], p->width, p->height);
            for (int k = 0; k < p->label_count; k++)
                assert_true(p->labels[k].size >= 15);
            arena_free(&memory);
            forget(&s);
        }
}

// The figures of a column and their sum, as a reader adds them: in tenths, exactly. A bus without
// volts feeds nothing, though its items may have another feed.
static void add_up(const char *path, const char *shorted) {
    solved s = solve(path, shorted, FAULT_SHORT);
    arena memory = arena_make(allocator_default());
    const topology *t = topology_make(&memory, s.aircraft, 3);
    assert_non_null(t);
    const board *b = board_make(&memory, t, s.outcome);
    assert_non_null(b);
    for (int k = 0; k < t->strip_count; k++) {
        int sum = 0;
        double amps = 0;
        for (int r = 0; r < t->strips[k].row_count; r++) {
            const row_view *v = &b->rows[t->strips[k].first_row + r];
            bool adds = v->numeric && v->amps > 0;
            sum += adds ? v->tenths : 0;
            amps += adds ? v->amps : 0;
            // Rounding moves no figure by a tenth or more.
            if (adds)
                assert_true(v->tenths > v->amps * 10 - 1 && v->tenths < v->amps * 10 + 1);
        }
        assert_int_equal(sum, b->strips[k].total);
        assert_true(sum > amps * 10 - 1 && sum < amps * 10 + 1);
        int bus = t->strips[k].part;
        if (bus >= 0 && s.aircraft->parts[bus].kind == KIND_BUS &&
            fabs(s.outcome->parts[bus].volts) < 0.1)
            assert_int_equal(sum, 0);
    }
    arena_free(&memory);
    forget(&s);
}

static void columns_add_up(void **unused) {
    (void)unused;
    static char paths[FILES_MOST][WORDS];
    static const char *const shorted[] = {NULL, "main-bus", "essential-bus", "engine-bus"};
    int count = all_files(paths);
    for (int i = 0; i < count; i++)
        for (int n = 0; n < 4; n++)
            add_up(paths[i], shorted[n]);
}

// What stands at a feeder is what its column adds up to; both are the real amps but for rounding.
static void feeders_agree_with_columns(void **unused) {
    (void)unused;
    static char paths[FILES_MOST][WORDS];
    int count = all_files(paths), compared = 0;
    for (int i = 0; i < count; i++) {
        solved s = solve(paths[i], NULL, FAULT_NONE);
        arena memory = arena_make(allocator_default());
        const topology *t = topology_make(&memory, s.aircraft, 3);
        assert_non_null(t);
        const board *b = board_make(&memory, t, s.outcome);
        assert_non_null(b);
        for (int g = 0; g < t->group_count; g++)
            for (int k = 0; k < t->groups[g].count; k++) {
                const run *r = &t->groups[g].members[k];
                int end = r->strips[r->count];
                if (end < 0 || b->feeds[end] < 0)
                    continue;
                double amps = -board_amps_from(b, r->edges[r->count - 1], r->points[r->count]);
                double rows = 0;
                for (int n = 0; n < t->strips[end].row_count; n++) {
                    const row_view *v = &b->rows[t->strips[end].first_row + n];
                    rows += v->numeric && v->amps > 0 ? v->amps : 0;
                }
                assert_true(b->feeds[end] > amps * 10 - 1 && b->feeds[end] < amps * 10 + 1);
                if (rows - amps < 0.004 && amps - rows < 0.004) {
                    assert_int_equal(b->feeds[end], b->strips[end].total);
                    compared++;
                }
            }
        arena_free(&memory);
        forget(&s);
    }
    assert_true(compared >= 8);
}

// Every part between two points is in exactly one place.
static void nothing_is_drawn_twice(void **unused) {
    (void)unused;
    static char paths[FILES_MOST][WORDS];
    int count = all_files(paths);
    for (int i = 0; i < count; i++) {
        solved s = solve(paths[i], NULL, FAULT_NONE);
        for (int columns = 1; columns <= 4; columns++) {
            arena memory = arena_make(allocator_default());
            const topology *t = topology_make(&memory, s.aircraft, columns);
            assert_non_null(t);
            int *seen = calloc((size_t)s.aircraft->part_count + 1, sizeof *seen);
            for (int r = 0; r < t->row_count; r++)
                if (t->rows[r].end == END_ITEM)
                    seen[t->rows[r].part]++;
            for (int p = 0; p < t->also_count; p++)
                seen[t->also[p]]++;
            for (int p = 0; p < s.aircraft->part_count; p++) {
                part_class c = kind_class(s.aircraft->parts[p].kind);
                bool item = (c == CLASS_ITEM || c == CLASS_UNIT) && s.aircraft->parts[p].electric;
                if (item && seen[p] != 1)
                    fail_msg("%s: %s stands %d times", paths[i], s.aircraft->parts[p].id, seen[p]);
            }
            free(seen);
            arena_free(&memory);
        }
        forget(&s);
    }
}

static void labels_are_wrapped_not_cut(void **unused) {
    (void)unused;
    const char *words = "Electroluminescentinstrumentpanellights and more";
    size_t next, done = 0, total = 0;
    while (words[done]) {
        size_t length = text_line(words + done, 60, 17, false, &next);
        assert_true(next > 0);
        assert_true(text_width_n(words + done, length, 17, false) <= 60);
        for (size_t i = 0; i < length; i++)
            total += words[done + i] != ' ';
        done += next;
    }
    assert_int_equal(total, strlen(words) - 2);
}

static void placards_that_say_the_same(void **unused) {
    (void)unused;
    assert_true(words_alike("PITOT HT", "Pitot heat"));
    assert_true(words_alike("NAV LT", "Nav lights"));
    assert_true(words_alike("TURN CRD", "Turn coordinator"));
    assert_false(words_alike("CABIN", "Outlet"));
    assert_false(words_alike("FUEL PUMP", "Boost pump"));
    assert_false(words_alike("", "Outlet"));
}

// A fan of 96 degrees: its ends lie at sin 48 = 0.7431 and cos 48 = 0.6691 of the radius (tables of
// sines, any).
static void the_fan_of_a_meter(void **unused) {
    (void)unused;
    gauge_shape g = {.x = 100, .y = 300, .radius = 100};
    const double places[] = {0, 0.5, 1}, x[] = {25.6855, 100, 174.3145},
                 y[] = {233.0869, 200, 233.0869};
    for (int i = 0; i < 3; i++) {
        double at_x, at_y;
        gauge_point(&g, places[i], 1, &at_x, &at_y);
        assert_true(at_x - x[i] < 0.001 && x[i] - at_x < 0.001);
        assert_true(at_y - y[i] < 0.001 && y[i] - at_y < 0.001);
    }
}

static void survive_no_memory(columns_options options, int dense, int step) {
    solved s = solve(DEADBUS_SOURCE_DIR "/aircraft/bowline.yaml", NULL, FAULT_NONE);
    bool done = false;
    for (int n = 0; n < 100000 && !done; n += n < dense ? 1 : step) {
        failing_memory failing = {.fail_at = n};
        text out = text_make(failing_allocator(&failing));
        status result = columns_write(s.outcome, options, &out);
        done = result == STATUS_OK;
        assert_true(done || result == STATUS_NO_MEMORY);
        text_free(&out);
        assert_int_equal(failing.blocks_out, 0);
    }
    assert_true(done);
    forget(&s);
}

static void no_memory_is_survived(void **unused) {
    (void)unused;
    survive_no_memory((columns_options){.width = 1120, .caution = caution}, 40, 37);
}

static void no_memory_for_a_sheet(void **unused) {
    (void)unused;
    survive_no_memory((columns_options){.theme = THEME_ID_PRINT, .caution = caution}, 10, 997);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(labels_are_wrapped_not_cut),
        cmocka_unit_test(placards_that_say_the_same),
        cmocka_unit_test(nothing_is_drawn_twice),
        cmocka_unit_test(columns_add_up),
        cmocka_unit_test(feeders_agree_with_columns),
        cmocka_unit_test(every_aircraft_is_drawn_whole),
        cmocka_unit_test(every_aircraft_without_its_alternator),
        cmocka_unit_test(every_aircraft_with_its_main_bus_shorted),
        cmocka_unit_test(every_aircraft_on_its_sheet),
        cmocka_unit_test(demo_aircraft_fit_one_sheet),
        cmocka_unit_test(the_fan_of_a_meter),
        cmocka_unit_test(no_memory_is_survived),
        cmocka_unit_test(no_memory_for_a_sheet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
