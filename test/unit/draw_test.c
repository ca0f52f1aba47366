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
#include "support/drawn.h"
#include "support/failing_memory.h"
#include "support/random_aircraft.h"

static const int widths[] = {1750, 1400, 1120, 700, 390, 320};
enum {
    WIDTHS = sizeof widths / sizeof *widths,
    FILES_MOST = 64,
    WORDS = 512,
    RANDOM_AIRCRAFT = 90
};

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

static int check_all(const char *fail, fault_kind kind, theme_id theme_wanted) {
    static char paths[FILES_MOST][WORDS];
    int count = all_files(paths), wrong = 0;
    for (int i = 0; i < count; i++) {
        drawn s = drawn_solve(paths[i], fail, kind);
        for (int w = 0; w < WIDTHS; w++) {
            char where[WORDS + 32];
            snprintf(where, sizeof where, "%s %d", strrchr(paths[i], '/') + 1, widths[w]);
            wrong += drawn_check(&s, widths[w], theme_wanted, where);
        }
        drawn_forget(&s);
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

// Aeroplanes that nobody drew, at every width and on a sheet of their own.
static void random_aircraft_are_drawn_whole(void **unused) {
    (void)unused;
    static const char *const failed[] = {NULL, "alternator", "main-bus"};
    static const fault_kind kinds[] = {FAULT_NONE, FAULT_DEAD, FAULT_SHORT};
    int wrong = 0;
    for (int seed = 1; seed <= RANDOM_AIRCRAFT; seed++) {
        text file = text_make(allocator_default());
        random_aircraft((uint64_t)seed, &file);
        int f = seed % 3;
        drawn s = drawn_solve_bytes(text_get(&file), file.length, failed[f], kinds[f]);
        for (int w = 0; w <= WIDTHS; w++) {
            char where[WORDS];
            int width = w < WIDTHS ? widths[w] : 0;
            snprintf(where, sizeof where, "random %d %d", seed, width);
            wrong += drawn_check(&s, width, width ? THEME_ID_LIGHT : THEME_ID_PRINT, where);
        }
        drawn_forget(&s);
        text_free(&file);
    }
    assert_int_equal(wrong, 0);
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
            drawn s = drawn_solve(paths[i], failed[f], kinds[f]);
            char where[WORDS + 32];
            snprintf(where, sizeof where, "%s sheet %d", strrchr(paths[i], '/') + 1, f);
            wrong += drawn_check(&s, 0, THEME_ID_PRINT, where);
            drawn_forget(&s);
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
            drawn s = drawn_solve(path, dead[f], FAULT_DEAD);
            arena memory = arena_make(allocator_default());
            const picture *p = columns_picture(
                &memory, s.outcome,
                (columns_options){.theme = THEME_ID_PRINT, .caution = DRAWN_CAUTION});
            assert_non_null(p);
            double millimetres = 297.0 / p->width;
            if (p->height > p->width * 210 / 297 || 15 * millimetres < 7 * 25.4 / 72)
                fail_msg("%s: %d by %d", names[i], p->width, p->height);
            for (int k = 0; k < p->label_count; k++)
                assert_true(p->labels[k].size >= 15);
            arena_free(&memory);
            drawn_forget(&s);
        }
}

// The figures of a column and their sum, as a reader adds them: in tenths, exactly. A bus without
// volts feeds nothing, though its items may have another feed.
static void add_up(const char *path, const char *shorted) {
    drawn s = drawn_solve(path, shorted, FAULT_SHORT);
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
    drawn_forget(&s);
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
        drawn s = drawn_solve(paths[i], NULL, FAULT_NONE);
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
        drawn_forget(&s);
    }
    assert_true(compared >= 8);
}

// Every part between two points is in exactly one place.
static void nothing_is_drawn_twice(void **unused) {
    (void)unused;
    static char paths[FILES_MOST][WORDS];
    int count = all_files(paths);
    for (int i = 0; i < count; i++) {
        drawn s = drawn_solve(paths[i], NULL, FAULT_NONE);
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
        drawn_forget(&s);
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
    drawn s = drawn_solve(DEADBUS_SOURCE_DIR "/aircraft/bowline.yaml", NULL, FAULT_NONE);
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
    drawn_forget(&s);
}

static void no_memory_is_survived(void **unused) {
    (void)unused;
    survive_no_memory((columns_options){.width = 1120, .caution = DRAWN_CAUTION}, 40, 37);
}

static void no_memory_for_a_sheet(void **unused) {
    (void)unused;
    survive_no_memory((columns_options){.theme = THEME_ID_PRINT, .caution = DRAWN_CAUTION}, 10,
                      997);
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
        cmocka_unit_test(random_aircraft_are_drawn_whole),
        cmocka_unit_test(demo_aircraft_fit_one_sheet),
        cmocka_unit_test(the_fan_of_a_meter),
        cmocka_unit_test(no_memory_is_survived),
        cmocka_unit_test(no_memory_for_a_sheet),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
