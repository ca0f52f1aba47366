// Values from outside, each with its source: test/reference/figures/NAME.csv, one file a test
// program. A row's `check` is the test function that uses it.
#ifndef DEADBUS_TEST_CHECK_VALUES_H
#define DEADBUS_TEST_CHECK_VALUES_H

#include <stdbool.h>

enum { GIVEN_MOST = 6, ROWS_MOST = 400 };

typedef enum comparison { COMPARE_IS, COMPARE_AT_LEAST, COMPARE_AT_MOST } comparison;

typedef struct check_value {
    const char *id, *check, *quantity, *unit, *seen, *source, *place, *note;
    double given[GIVEN_MOST];  // the inputs, in the order that the test function says
    int given_count;
    double value;
    comparison how;
    double tolerance;  // of the value's unit; in the file also as a percentage of the value
    const char *value_text, *tolerance_text;  // as written
    int used;
} check_value;

typedef struct check_values {
    char *bytes;
    check_value rows[ROWS_MOST];
    int count;
} check_values;

// Reads figures/NAME.csv; fails the running test if it isn't well formed.
void check_values_open(check_values *v, const char *name);
void check_values_close(check_values *v);

// The row's value is what was got. Fails the running test if not; counts as used.
void check_value_holds(check_value *r, double got);
void check_value_named(check_values *v, const char *id, double got);
check_value *check_value_row(check_values *v, const char *id);
// Fails if a row was never used.
void check_values_all_used(const check_values *v);

// for_each_check(r, &values, "stranded") { ... r->given[0] ... }
check_value *check_value_next(check_values *v, const char *check, check_value *after);
#define for_each_check(r, v, check)                                                                \
    for (check_value *r = check_value_next((v), (check), (check_value *)0); r;                     \
         r = check_value_next((v), (check), r))

#endif
