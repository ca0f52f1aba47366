// Thousands of random states of the five demo aircraft: the current law, the power balance, each
// device's own rule, positive pivots; and the same bits whatever the number of lanes.
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "circuit/kernel.h"
#include "support/state_hash.h"
#include "support/subject_laws.h"

enum { STATES = 4000, FAULTS_MOST = 3 };

static void every_state_obeys_the_laws(void **ignored) {
    (void)ignored;
    int bad = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        subject s;
        assert_true(subject_open_fleet(&s, n));
        laws_met most = {0};
        int chattering = 0, collapsed = 0;
        for (int i = 0; i < STATES; i++) {
            subject_draw(&s, 77u + (unsigned)n, i, FAULTS_MOST);
            subject_settle(&s);
            if (s.view.solution.settled == SETTLED_CHATTERS) {
                chattering++;  // nothing settles: lowest and highest are told instead
                continue;
            }
            collapsed += s.view.solution.settled == SETTLED_COLLAPSED;
            bad += !subject_obeys(&s, &most);
        }
        print_message("%s: %d states, %d chattering, %d collapsed; current law %.1e, power %.1e, "
                      "pivots not positive: %ld\n",
                      fleet_names[n], STATES, chattering, collapsed, most.residual, most.imbalance,
                      s.solver->work->bad_pivots);
        assert_int_equal(s.solver->work->bad_pivots, 0);
        subject_close(&s);
    }
    assert_int_equal(bad, 0);
}

// ---- same bits ----------------------------------------------------------------------------------
// One number an aircraft, kept in a file: gcc, clang and WebAssembly builds compare with the same
// (test/wasm/settled_states.c). `STATE_HASHES=print` prints new lines after a change of the
// aircraft or of the method.
static void lanes_and_compilers_give_the_same_bits(void **ignored) {
    (void)ignored;
    int different = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        state_hasher h;
        assert_true(state_hasher_open(&h, n));
        uint64_t first = state_hash(&h, 1);
        for (int lanes = 2; lanes <= 8; lanes *= 2)
            assert_int_equal(state_hash(&h, lanes), first);
        if (getenv("STATE_HASHES"))
            print_message("%s %016" PRIx64 "\n", fleet_names[n], first);
        different += first != state_hash_expected(n);
        state_hasher_close(&h);
    }
    assert_int_equal(different, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_state_obeys_the_laws),
        cmocka_unit_test(lanes_and_compilers_give_the_same_bits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
