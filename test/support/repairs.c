#include "support/repairs.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

bool item_lost(item_status s) { return s == ITEM_OFF || s == ITEM_WEAK || s == ITEM_NO_DATA; }

static bool blamed(const part_outcome *x, int part) {
    for (int k = 0; k < x->cause_count; k++)
        if (x->causes[k] == part)
            return true;
    return false;
}

bool repair_gives_back(solver *s, const state *asked, const outcome *o, int part) {
    const part_outcome *x = &o->parts[part];
    state repaired = *asked;
    repaired.fault_count = 0;
    for (int i = 0; i < asked->fault_count; i++)
        if (!blamed(x, asked->faults[i].part))
            repaired.faults[repaired.fault_count++] = asked->faults[i];
    assert_true(repaired.fault_count < asked->fault_count);
    outcome *again = NULL;
    assert_int_equal(solver_outcome(s, &repaired, (outcome_options){0}, &again), STATUS_OK);
    item_status now = again->parts[part].status;
    outcome_free(again);
    return !item_lost(now) || now == x->base_status;
}
