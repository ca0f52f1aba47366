#include "support/subject_laws.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "support/settled_check.h"

// The last bit of a voltage of 16 to 32 V is 3.6e-15 V; through the smallest resistance, 0.1 mohm,
// that is 3.6e-11 A. Where less than 36 mA flows in all, a sum of currents can't be told closer
// than that.
#define ROUNDING_AMPS 3.6e-11
#define MOST_VOLTS    34.0

bool subject_obeys(const subject *s, laws_met *most) {
    const circuit *c = &s->solver->made->circuit;
    settled_check k = check_settled(c, &s->view.settled.job, &s->view.solution);
    double amps_off = k.residual * k.largest_amps, watts_off = k.imbalance * k.watts;
    if (amps_off > ROUNDING_AMPS)
        most->residual = fmax(most->residual, k.residual);
    if (watts_off > ROUNDING_AMPS * MOST_VOLTS)
        most->imbalance = fmax(most->imbalance, k.imbalance);
    bool good = k.broken_rules == 0 && (k.residual <= 1e-9 || amps_off <= ROUNDING_AMPS) &&
                (k.imbalance <= 1e-9 || watts_off <= ROUNDING_AMPS * MOST_VOLTS);
    if (!good)
        print_message("%s\n    residual %.2e, imbalance %.2e, %d rules (%s)\n", subject_words(s),
                      k.residual, k.imbalance, k.broken_rules,
                      k.first_broken ? k.first_broken : "-");
    return good;
}
