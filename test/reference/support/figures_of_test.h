// The values of a test program all of whose tests share one file of them.
#ifndef DEADBUS_TEST_FIGURES_OF_TEST_H
#define DEADBUS_TEST_FIGURES_OF_TEST_H

#include "reference/support/check_values.h"

extern const char *const figures_name;  // of the program, which defines it
extern check_values values;             // while its tests run

// Set-up and tear-down of its group of tests; and its last test.
int open_values(void **x);
int close_values(void **x);
void all_rows_are_used(void **x);

#endif
