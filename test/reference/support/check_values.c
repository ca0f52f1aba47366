#include "reference/support/check_values.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

enum { COLUMNS = 12, FILE_MOST = 1 << 18 };

static const char HEAD[] =
    "id,check,quantity,given,value,unit,how,tolerance,seen,source,place,note";

// One line into its columns, in place. Quotes keep a comma.
static int split(char *line, char *out[COLUMNS]) {
    int count = 0;
    while (count < COLUMNS) {
        bool quoted = *line == '"';
        line += quoted;
        out[count++] = line;
        char *end = quoted ? strchr(line, '"') : line + strcspn(line, ",");
        if (!end)
            return -1;
        char *next = quoted ? end + 1 : end;
        bool last = *next == 0;
        *end = 0;
        if (last)
            return count;
        line = next + 1;
    }
    return -1;
}

static double number(const char *text, char **end) {
    double x = strtod(text, end);
    if (*end == text)
        fail_msg("not a number: %s", text);
    return x;
}

static void read_row(check_value *r, char *column[COLUMNS]) {
    char *end = NULL;
    *r = (check_value){.id = column[0],
                       .check = column[1],
                       .quantity = column[2],
                       .unit = column[5],
                       .seen = column[8],
                       .source = column[9],
                       .place = column[10],
                       .note = column[11],
                       .value_text = column[4],
                       .tolerance_text = column[7]};
    for (char *p = column[3]; *p && r->given_count < GIVEN_MOST; p = end + (*end == ' '))
        r->given[r->given_count++] = number(p, &end);
    r->value = number(column[4], &end);
    r->how = strcmp(column[6], "is") == 0         ? COMPARE_IS
             : strcmp(column[6], "at least") == 0 ? COMPARE_AT_LEAST
                                                  : COMPARE_AT_MOST;
    r->tolerance = number(column[7], &end);
    if (strcmp(end, " %") == 0)
        r->tolerance *= fabs(r->value) / 100;
    if (!*r->source || !*r->seen || !*r->check)
        fail_msg("%s has no source", r->id);
}

// A row made wrong on purpose, to see that its test notices: DEADBUS_WRONG=ID, DEADBUS_WRONG_BY a
// share of the value (for rows that only say within which bounds something lies).
static void make_wrong(check_value *r) {
    const char *id = getenv("DEADBUS_WRONG");
    if (!id || strcmp(id, r->id) != 0)
        return;
    const char *share = getenv("DEADBUS_WRONG_BY");
    double by = 3 * r->tolerance + (share ? atof(share) : 1e-3) * fabs(r->value) + 1e-6;
    r->value += r->how == COMPARE_AT_MOST    ? -3 * fabs(r->value) - by
                : r->how == COMPARE_AT_LEAST ? 3 * fabs(r->value) + by
                                             : by;
}

void check_values_open(check_values *v, const char *name) {
    char path[512];
    snprintf(path, sizeof path, "%s/reference/figures/%s.csv", DEADBUS_TEST_DIR, name);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    *v = (check_values){.bytes = calloc(1, FILE_MOST)};
    assert_non_null(v->bytes);
    size_t length = fread(v->bytes, 1, FILE_MOST - 1, f);
    fclose(f);
    assert_in_range(length, 1, FILE_MOST - 2);
    int line_number = 0;
    for (char *line = v->bytes, *next; *line; line = next) {
        size_t n = strcspn(line, "\n");
        next = line + n + (line[n] == '\n');
        line[n] = 0;
        if (line_number++ == 0) {
            assert_string_equal(line, HEAD);
            continue;
        }
        char *column[COLUMNS];
        if (split(line, column) != COLUMNS)
            fail_msg("%s, line %d: not %d columns", name, line_number, COLUMNS);
        assert_in_range(v->count, 0, ROWS_MOST - 1);
        read_row(&v->rows[v->count], column);
        make_wrong(&v->rows[v->count++]);
    }
}

void check_values_close(check_values *v) {
    free(v->bytes);
    v->bytes = NULL;
}

void check_value_holds(check_value *r, double got) {
    r->used++;
    bool holds = r->how == COMPARE_AT_LEAST  ? got >= r->value - r->tolerance
                 : r->how == COMPARE_AT_MOST ? got <= r->value + r->tolerance
                                             : fabs(got - r->value) <= r->tolerance;
    if (!holds)
        fail_msg("%s (%s): %.12g %s, got %.12g, tolerance %g. %s, %s", r->id, r->quantity, r->value,
                 r->unit, got, r->tolerance, r->source, r->place);
}

check_value *check_value_row(check_values *v, const char *id) {
    for (int i = 0; i < v->count; i++)
        if (strcmp(v->rows[i].id, id) == 0)
            return &v->rows[i];
    fail_msg("there is no row %s", id);
    return NULL;
}

void check_value_named(check_values *v, const char *id, double got) {
    check_value_holds(check_value_row(v, id), got);
}

void check_values_all_used(const check_values *v) {
    assert_true(v->count > 0);
    for (int i = 0; i < v->count; i++)
        if (v->rows[i].used == 0)
            fail_msg("%s is checked by nothing", v->rows[i].id);
}

check_value *check_value_next(check_values *v, const char *check, check_value *after) {
    for (check_value *r = after ? after + 1 : v->rows; r < v->rows + v->count; r++)
        if (strcmp(r->check, check) == 0)
            return r;
    return NULL;
}
