// docs/checks.md is written from the figures: what is checked against the outside, and what isn't
// yet. With DEADBUS_WRITE set it is rewritten instead of compared.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "reference/support/check_values.h"

enum { PAGE_MOST = 1 << 18, TEST_COUNT = 7 };

static const char *const TESTS[TEST_COUNT] = {
    "wire_figures_test",     "battery_figures_test",   "circuit_figures_test", "load_figures_test",
    "handbook_figures_test", "discharge_figures_test", "heating_figures_test"};

static const char INTRO[] =
    "# What is checked against the outside\n"
    "\n"
    "For teaching only. The approved flight manual, the maintenance manual, local rules and "
    "licensed people come before anything\n"
    "computed here, and before any figure on this page.\n"
    "\n"
    "Written by `checks_page_test` from `test/reference/figures/`; not by hand. Each row is a "
    "figure from a published source, a\n"
    "worked example or own arithmetic, with the test that holds the program to it. *seen*: the "
    "figure was read in a text (the\n"
    "source says where second hand); *memory*: recalled, not looked up; *derived* and *computed*: "
    "own arithmetic on the inputs\n"
    "named. The numbers are those of our collection of check values; a point and a digit count "
    "the figures of one row.\n"
    "\n"
    "Beside these stand checks without a table: ngspice and KLU as other solvers, the facts of "
    "the trade (common practice, no\n"
    "source), all modes of small networks. They are in `test/reference` too.\n"
    "\n";

static void tolerance(text *t, const check_value *r) {
    if (r->how == COMPARE_IS && r->tolerance > 0) {
        text_put(t, " ± ");
        text_put(t, r->tolerance_text);
    }
}

static const char *bound(comparison how) {
    return how == COMPARE_AT_LEAST ? "at least " : how == COMPARE_AT_MOST ? "at most " : "";
}

static void add_row(text *t, const check_value *r) {
    text_all(t, "| ", r->id, " | ", r->quantity, " | ", bound(r->how), r->value_text, NULL);
    text_all(t, r->unit[0] ? " " : "", r->unit, NULL);
    tolerance(t, r);
    text_all(t, " | ", r->source, "; ", r->place, " | ", r->seen, " | `", r->check, "` | ", r->note,
             " |\n", NULL);
}

// Figures of one row of the collection: a point and a digit come after its number.
static bool same_row(const check_value *a, const check_value *b) {
    size_t n = strcspn(a->id, ".");
    return n == strcspn(b->id, ".") && memcmp(a->id, b->id, n) == 0;
}

static bool stands_in(const check_values *v, int count, const check_value *r) {
    for (int k = 0; k < count; k++)
        if (same_row(&v->rows[k], r))
            return true;
    return false;
}

// How many rows of the collection: figures of one row count once.
static int distinct(const check_values *v) {
    int count = 0;
    for (int i = 0; i < v->count; i++)
        count += !stands_in(v, i, &v->rows[i]);
    return count;
}

// Rows of test `to` that an earlier one has figures of too.
static int seen_before(int to) {
    static check_values v, earlier;
    int count = 0;
    check_values_open(&v, TESTS[to]);
    for (int i = 0; i < v.count; i++) {
        bool again = stands_in(&v, i, &v.rows[i]), before = false;
        for (int k = 0; k < to && !before; k++) {
            check_values_open(&earlier, TESTS[k]);
            before = stands_in(&earlier, earlier.count, &v.rows[i]);
            check_values_close(&earlier);
        }
        count += before && !again;
    }
    check_values_close(&v);
    return count;
}

static int checked(text *t) {
    int rows = 0;
    for (int i = 0; i < TEST_COUNT; i++) {
        check_values v;
        check_values_open(&v, TESTS[i]);
        int here = distinct(&v);
        rows += here - seen_before(i);
        text_put(t, "## ");
        text_put(t, TESTS[i]);
        text_put(t, "\n\n");
        text_int(t, here);
        text_put(t, " rows, ");
        text_int(t, v.count);
        text_put(t, " figures.\n\n| row | what | value | source | known | test | note |\n"
                    "|---|---|---|---|---|---|---|\n");
        for (int k = 0; k < v.count; k++)
            add_row(t, &v.rows[k]);
        text_put(t, "\n");
        check_values_close(&v);
    }
    return rows;
}

static char *whole_file(const char *path) {
    char *bytes = calloc(1, PAGE_MOST);
    assert_non_null(bytes);
    FILE *f = fopen(path, "rb");
    if (f) {
        size_t n = fread(bytes, 1, PAGE_MOST - 1, f);
        bytes[n] = 0;
        fclose(f);
    }
    return bytes;
}

// One column of a line of not_used.csv; quotes keep a comma.
static char *column(char **at) {
    bool quoted = **at == '"';
    char *start = *at + quoted;
    char *end = quoted ? strchr(start, '"') : start + strcspn(start, ",");
    assert_non_null(end);
    char *next = quoted ? end + 1 : end;
    bool more = *next == ',';
    *end = 0;
    *at = more ? next + 1 : next;
    return start;
}

static int not_used(text *t) {
    char *bytes = whole_file(DEADBUS_TEST_DIR "/reference/figures/not_used.csv");
    int sum = 0, line_number = 0;
    text_put(t, "## Not used yet\n\n| rows | count | what | why |\n|---|---|---|---|\n");
    for (char *line = bytes, *next; *line; line = next) {
        size_t n = strcspn(line, "\n");
        next = line + n + (line[n] == '\n');
        line[n] = 0;
        if (line_number++ == 0)
            continue;
        char *rows = column(&line), *count = column(&line), *what = column(&line);
        char *why = column(&line);
        text_all(t, "| ", rows, " | ", count, " | ", what, " | ", why, " |\n", NULL);
        sum += atoi(count);
    }
    free(bytes);
    return sum;
}

static void page_is_as_the_figures(void **x) {
    (void)x;
    text t = text_make(allocator_default());
    text_put(&t, INTRO);
    int used = checked(&t);
    int left = not_used(&t);
    text_put(&t, "\n");
    text_int(&t, used);
    text_put(&t, " rows are checked, ");
    text_int(&t, left);
    text_put(&t, " are not.\n");
    const char *path = DEADBUS_SOURCE_DIR "/docs/checks.md";
    if (getenv("DEADBUS_WRITE")) {
        FILE *f = fopen(path, "wb");
        assert_non_null(f);
        fputs(text_get(&t), f);
        assert_int_equal(fclose(f), 0);
    }
    char *page = whole_file(path);
    assert_string_equal(page, text_get(&t));
    free(page);
    text_free(&t);
}

// No figure is counted twice, in whatever file it stands.
static void rows_stand_once(void **x) {
    (void)x;
    static check_values v[TEST_COUNT];
    for (int i = 0; i < TEST_COUNT; i++)
        check_values_open(&v[i], TESTS[i]);
    for (int i = 0; i < TEST_COUNT; i++)
        for (int k = 0; k < v[i].count; k++)
            for (int j = i; j < TEST_COUNT; j++)
                for (int m = j == i ? k + 1 : 0; m < v[j].count; m++)
                    if (strcmp(v[i].rows[k].id, v[j].rows[m].id) == 0)
                        fail_msg("%s stands twice", v[i].rows[k].id);
    for (int i = 0; i < TEST_COUNT; i++)
        check_values_close(&v[i]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(page_is_as_the_figures),
        cmocka_unit_test(rows_stand_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
