#include "reference/support/figures_of_test.h"

check_values values;

int open_values(void **x) {
    (void)x;
    check_values_open(&values, figures_name);
    return 0;
}

int close_values(void **x) {
    (void)x;
    check_values_close(&values);
    return 0;
}

void all_rows_are_used(void **x) {
    (void)x;
    check_values_all_used(&values);
}
