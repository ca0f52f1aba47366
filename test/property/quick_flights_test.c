// Quick flights beside fine ones, on the demo aircraft: lost at the same times.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "support/flight_study.h"

// Quick flights take statuses from the way between the ends of steps, and let a device change up to
// a second late. 15 s and a share: less than the minute to which it is told, and than what the
// figures are worth.
typedef struct agreement {
    int plane, flights;
    double share;
    bool spoken;  // what drops out while a radio transmits is compared, too
} agreement;

static void near(double quick, double fine, double share) {
    assert_true((quick < 0) == (fine < 0));
    if (fine >= 0 && fabs(quick - fine) > 15.0 + share * fine)
        fail_msg("%.1f s, finely %.1f s", quick, fine);
}

static void near_items(const study *q, const study *f, const agreement *g) {
    for (int k = 0; k < ENDURANCE_CASES; k++) {
        const endurance_times *x = &q->found.of[k], *y = &f->found.of[k];
        for (int i = 0; i < q->s.aircraft->part_count; i++) {
            if (q->found.counts[i]) {
                near(x->items[i], y->items[i], g->share);
                near(x->weak[i], y->weak[i], g->share);
                near(x->mute[i], y->mute[i], g->share);
                if (g->spoken)
                    near(x->off_transmitting[i], y->off_transmitting[i], g->share);
            }
            if (q->found.holds[i])
                near(x->lets_go[i], y->lets_go[i], g->share);
            if (q->found.batteries[i])
                assert_true(fabs(x->charge[i] - y->charge[i]) < 0.005);
        }
    }
}

static double first_reduced(const study *y, endurance_case k) {
    double first = INFINITY;
    for (int i = 0; i < y->s.aircraft->function_count; i++) {
        double at = y->found.of[k].reduced[i];
        if (y->found.function_counts[i] && at >= 0 && at < first)
            first = at;
    }
    return first;
}

static void near_functions(const study *q, const study *f, const agreement *g) {
    for (int k = 0; k < ENDURANCE_CASES; k++) {
        const endurance_times *x = &q->found.of[k], *y = &f->found.of[k];
        for (int i = 0; i < q->s.aircraft->function_count; i++) {
            if (!q->found.function_counts[i])
                continue;
            near(x->reduced[i], y->reduced[i], g->share);
            near(x->functions[i], y->functions[i], g->share);
        }
        // What the answer leads with.
        near(first_reduced(q, (endurance_case)k), first_reduced(f, (endurance_case)k), 0.01);
    }
}

// In one flight of Bowline's devices change some 40 times, of Clove's 240, of Sheetbend's 430:
// what has dropped out comes back as the battery rests, and drops out again. Each turn is up to a
// second late in a quick flight, and what goes last has seen them all. Most of theirs agree like
// the others'; the worst are lamps: of a door, 45 s of 25 min, and of a compass, 4 min of 44. In
// Sheetbend what a speaking radio puts off first goes in one of those turns or in another, minutes
// later, or in none: of that only whether the radio can transmit is compared.
static const agreement AGREEMENTS[] = {
    {0, 200, 0.01, true}, {1, 200, 0.01, true}, {4, 200, 0.01, true},
    {3, 100, 0.03, true}, {2, 100, 0.1, false},
};

static void quick_flights_agree_with_fine_ones(void **x) {
    (void)x;
    for (int i = 0; i < (int)(sizeof AGREEMENTS / sizeof AGREEMENTS[0]); i++) {
        const agreement *g = &AGREEMENTS[i];
        study quick, fine;
        study_open_fleet(&quick, g->plane);
        study_open_fleet(&fine, g->plane);
        flights_question q = study_question(&quick, g->flights);
        study_find(&quick, &q);
        q.about.asked = &fine.asked;
        q.about.must_stay = fine.stays;
        q.fine = true;
        study_find(&fine, &q);
        near_items(&quick, &fine, g);
        near_functions(&quick, &fine, g);
        study_close(&quick);
        study_close(&fine);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quick_flights_agree_with_fine_ones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
