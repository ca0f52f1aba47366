// Thousands of random states of the five demo aircraft: the current law, the power balance, each
// device's own rule, positive pivots; and the same bits whatever the number of lanes.
#include <inttypes.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/kernel.h"
#include "support/fleet_states.h"
#include "support/settled_check.h"

// The last bit of a voltage of 16 to 32 V is 3.6e-15 V; through the smallest resistance, 0.1 mohm,
// that is 3.6e-11 A. Where less than 36 mA flows in all, a sum of currents can't be told closer
// than that.
#define ROUNDING_AMPS 3.6e-11
#define MOST_VOLTS    34.0

enum { STATES = 4000, HASHED = 4096, FAULTS_MOST = 3 };

static bool check_state(const subject *s, double *residual, double *imbalance) {
    const circuit *c = &s->solver->made->circuit;
    settled_check k = check_settled(c, &s->view.settled.job, &s->view.solution);
    double amps_off = k.residual * k.largest_amps, watts_off = k.imbalance * k.watts;
    if (amps_off > ROUNDING_AMPS)
        *residual = fmax(*residual, k.residual);
    if (watts_off > ROUNDING_AMPS * MOST_VOLTS)
        *imbalance = fmax(*imbalance, k.imbalance);
    bool good = k.broken_rules == 0 && (k.residual <= 1e-9 || amps_off <= ROUNDING_AMPS) &&
                (k.imbalance <= 1e-9 || watts_off <= ROUNDING_AMPS * MOST_VOLTS);
    if (!good)
        print_message("%s\n    residual %.2e, imbalance %.2e, %d rules (%s)\n", subject_words(s),
                      k.residual, k.imbalance, k.broken_rules,
                      k.first_broken ? k.first_broken : "-");
    return good;
}

static void every_state_obeys_the_laws(void **ignored) {
    (void)ignored;
    int bad = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        subject s;
        assert_true(subject_open_fleet(&s, n));
        double residual = 0, imbalance = 0;
        int chattering = 0, collapsed = 0;
        for (int i = 0; i < STATES; i++) {
            subject_draw(&s, 77u + (unsigned)n, i, FAULTS_MOST);
            subject_settle(&s);
            if (s.view.solution.settled == SETTLED_CHATTERS) {
                chattering++;  // nothing settles: lowest and highest are told instead
                continue;
            }
            collapsed += s.view.solution.settled == SETTLED_COLLAPSED;
            bad += !check_state(&s, &residual, &imbalance);
        }
        print_message("%s: %d states, %d chattering, %d collapsed; current law %.1e, power %.1e, "
                      "pivots not positive: %ld\n",
                      fleet_names[n], STATES, chattering, collapsed, residual, imbalance,
                      s.solver->work->bad_pivots);
        assert_int_equal(s.solver->work->bad_pivots, 0);
        subject_close(&s);
    }
    assert_int_equal(bad, 0);
}

// ---- same bits ----------------------------------------------------------------------------------
typedef struct hashes {
    const circuit *c;
    uint64_t *of;  // per state: answers come in any order
} hashes;

static void take(void *ctx, int index, const solution *s) {
    hashes *h = ctx;
    h->of[index] = hash_solution(h->c, s, (uint64_t)index);
}

static uint64_t hash_fleet(subject *s, int lanes, const job *jobs, uint64_t *scratch) {
    hashes h = {&s->solver->made->circuit, scratch};
    solve_many(s->solver->work, lanes, jobs, HASHED, take, &h);
    uint64_t hash = 0;
    for (int i = 0; i < HASHED; i++)
        hash = (hash ^ scratch[i]) * 0x9fb21c651e98df25u;
    return hash;
}

static void draw_jobs(subject *s, unsigned seed, job *jobs) {
    int params = s->solver->made->circuit.param_count;
    double *block = arena_new(&s->memory, (size_t)HASHED * (size_t)params, sizeof *block);
    assert_non_null(block);
    for (int i = 0; i < HASHED; i++) {
        double *mine = block + (size_t)i * (size_t)params;
        subject_draw(s, seed, i, FAULTS_MOST);
        bind_state(s->solver->made, &s->view.asked, s->base_amps, s->view.faults, mine);
        jobs[i] = (job){.params = mine, .start = s->start};
    }
}

static uint64_t expected_hash(const char *name) {
    FILE *f = fopen(DEADBUS_SOURCE_DIR "/test/reference/state_hashes.txt", "r");
    char word[64];
    uint64_t hash = 0, found = 0;
    while (f && fscanf(f, "%63s %" SCNx64, word, &hash) == 2)
        found = strcmp(word, name) == 0 ? hash : found;
    if (f)
        fclose(f);
    return found;
}

// One number an aircraft, kept in a file: gcc, clang and WebAssembly builds compare with the same.
// `STATE_HASHES=print` prints new lines after a change of the aircraft or of the method.
static void lanes_and_compilers_give_the_same_bits(void **ignored) {
    (void)ignored;
    job *jobs = calloc(HASHED, sizeof *jobs);
    uint64_t *scratch = calloc(HASHED, sizeof *scratch);
    assert_true(jobs && scratch);
    int different = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        subject s;
        assert_true(subject_open_fleet(&s, n));
        draw_jobs(&s, 4096u + (unsigned)n, jobs);
        uint64_t first = hash_fleet(&s, 1, jobs, scratch);
        for (int lanes = 2; lanes <= 8; lanes *= 2)
            assert_int_equal(hash_fleet(&s, lanes, jobs, scratch), first);
        if (getenv("STATE_HASHES"))
            print_message("%s %016" PRIx64 "\n", fleet_names[n], first);
        different += first != expected_hash(fleet_names[n]);
        subject_close(&s);
    }
    free(jobs);
    free(scratch);
    assert_int_equal(different, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_state_obeys_the_laws),
        cmocka_unit_test(lanes_and_compilers_give_the_same_bits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
