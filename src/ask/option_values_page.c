// The values of the options that a student's page asks with; its module takes this in place of
// option_values_all.c.
#include "ask/option_values.h"

void option_take_value(const option_reading *r, option_id id) {
    (void)option_value_of_state(r, id);
}
