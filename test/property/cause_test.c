// Causes: with one deviation, walking back through the circuit must arrive at that deviation for
// every item it takes; with two, repairing what is blamed must give the item back.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/rng.h"
#include "circuit/solver.h"
#include "support/repairs.h"

#define AIRCRAFT_DIR DEADBUS_SOURCE_DIR "/aircraft"

static const char *const FLEET[] = {"bowline", "reef", "sheetbend", "clove", "halyard"};
enum { FLEET_COUNT = 5, PAIRS = 400 };

typedef struct bench {
    aircraft *aircraft;
    solver *solver;
    findings findings;
    state state;
} bench;

static void bench_open(bench *b, const char *name) {
    char path[256];
    snprintf(path, sizeof path, "%s/%s.yaml", AIRCRAFT_DIR, name);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    static char bytes[1 << 20];
    size_t length = fread(bytes, 1, sizeof bytes, f);
    fclose(f);
    allocator memory = allocator_default();
    b->findings = findings_make(memory);
    assert_int_equal(aircraft_read(memory, bytes, length, &b->aircraft, &b->findings), STATUS_OK);
    assert_int_equal(solver_make(memory, b->aircraft, &b->findings, &b->solver), STATUS_OK);
    b->state = (state){0};
    b->state.setting = calloc((size_t)b->aircraft->part_count + 1, sizeof(double));
}

static void bench_close(bench *b) {
    free(b->state.setting);
    solver_free(b->solver);
    aircraft_free(b->aircraft);
    findings_free(&b->findings);
}

static outcome *ask(bench *b) {
    outcome *o = NULL;
    assert_int_equal(solver_outcome(b->solver, &b->state, (outcome_options){.explain = true}, &o),
                     STATUS_OK);
    return o;
}

static int faults_of(const aircraft *a, fault *list, int most) {
    int count = 0;
    for (int i = 0; i < a->part_count; i++) {
        uint32_t kinds = kind_faults(a->parts[i].kind, a->parts[i].electric);
        for (int k = 1; k < FAULT_COUNT; k++)
            if ((kinds >> k & 1u) && count < most)
                list[count++] = (fault){i, (fault_kind)k};
    }
    return count;
}

static void single_failures_are_traced(void **ignored) {
    (void)ignored;
    static fault list[4096];
    int items = 0, missed = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        bench b;
        bench_open(&b, FLEET[n]);
        int count = faults_of(b.aircraft, list, 4096);
        for (int phase = 0; phase < b.aircraft->phase_count; phase++) {
            for (int i = 0; i < count; i++) {
                state_of_phase(b.aircraft, phase, &b.state);
                b.state.faults[0] = list[i];
                b.state.fault_count = 1;
                outcome *o = ask(&b);
                for (int p = 0; p < b.aircraft->part_count; p++) {
                    const part_outcome *x = &o->parts[p];
                    if (!item_lost(x->status) || x->status == x->base_status)
                        continue;
                    items++;
                    assert_int_equal(x->cause_count, 1);
                    assert_int_equal(x->causes[0], list[i].part);
                    if (x->traced == list[i].part)
                        continue;
                    missed++;
                    if (missed <= 200 && getenv("CAUSE_VERBOSE"))
                        fprintf(stderr, "%s %s: %s=%s takes %s (%s), traced %s: %s\n", FLEET[n],
                                b.aircraft->phases[phase].name, b.aircraft->parts[list[i].part].id,
                                fault_word(list[i].kind), b.aircraft->parts[p].id,
                                item_status_word(x->status),
                                x->traced < 0 ? "nothing" : b.aircraft->parts[x->traced].id,
                                x->reason);
                }
                outcome_free(o);
            }
        }
        bench_close(&b);
    }
    print_message("single failures: %d lost items, %d not traced\n", items, missed);
    assert_int_equal(missed, 0);
}

static void pairs_are_restored_by_repair(void **ignored) {
    (void)ignored;
    static fault list[4096];
    for (int n = 0; n < FLEET_COUNT; n++) {
        bench b;
        bench_open(&b, FLEET[n]);
        int count = faults_of(b.aircraft, list, 4096);
        rng r = rng_make(2026u + (unsigned)n);
        for (int i = 0; i < PAIRS; i++) {
            int phase = (int)rng_below(&r, (uint64_t)b.aircraft->phase_count);
            state_of_phase(b.aircraft, phase, &b.state);
            b.state.faults[0] = list[rng_below(&r, (uint64_t)count)];
            b.state.faults[1] = list[rng_below(&r, (uint64_t)count)];
            if (b.state.faults[0].part == b.state.faults[1].part)
                continue;
            b.state.fault_count = 2;
            outcome *o = ask(&b);
            for (int p = 0; p < b.aircraft->part_count; p++) {
                const part_outcome *x = &o->parts[p];
                if (!item_lost(x->status) || x->status == x->base_status)
                    continue;
                assert_true(x->cause_count >= 1);
                assert_true(repair_gives_back(b.solver, &b.state, o, p));
            }
            outcome_free(o);
        }
        bench_close(&b);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(single_failures_are_traced),
        cmocka_unit_test(pairs_are_restored_by_repair),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
