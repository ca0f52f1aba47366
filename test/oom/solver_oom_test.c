// Compiling, settling, explaining and sweeping survive the n-th request for memory failing, for
// every n; and a solver that failed for want of memory answers as before once there is some again.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuit/sweep.h"
#include "support/failing_memory.h"
#include "timeline/run.h"

enum { REQUESTS_MOST = 100000 };

static const char *const FILES[] = {"changeover", "shedding", "over-volts-latch"};
enum { FILE_COUNT = sizeof FILES / sizeof FILES[0] };

static aircraft *read_small(const char *name) {
    char path[512];
    snprintf(path, sizeof path, "%s/test/case/small/%s.yaml", DEADBUS_SOURCE_DIR, name);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char source[8192];
    size_t length = fread(source, 1, sizeof source, f);
    fclose(f);
    assert_true(length < sizeof source);
    findings out = findings_make(allocator_default());
    aircraft *a = NULL;
    assert_int_equal(aircraft_read(allocator_default(), source, length, &a, &out), STATUS_OK);
    findings_free(&out);
    return a;
}

static solver *solver_with(failing_memory *m, const aircraft *a) {
    findings f = findings_make(allocator_default());
    solver *s = NULL;
    assert_int_equal(solver_make(failing_allocator(m), a, &f, &s), STATUS_OK);
    findings_free(&f);
    return s;
}

static void making_survives(void **unused) {
    (void)unused;
    for (int i = 0; i < FILE_COUNT; i++) {
        aircraft *a = read_small(FILES[i]);
        long n = 0;
        for (;; n++) {
            failing_memory m = {.fail_at = n};
            findings f = findings_make(failing_allocator(&m));
            solver *s = NULL;
            status r = solver_make(failing_allocator(&m), a, &f, &s);
            assert_int_equal(r == STATUS_OK, s != NULL);
            solver_free(s);
            findings_free(&f);
            assert_int_equal(m.blocks_out, 0);
            assert_int_equal(m.bytes_out, 0);
            if (m.requests <= n)
                break;
            assert_int_equal(r, STATUS_NO_MEMORY);
            assert_true(n < REQUESTS_MOST);
        }
        assert_true(n > 0);
        aircraft_free(a);
    }
}

// The last phase, with whatever fails first in the file: something to explain.
static void ask_last_phase(const aircraft *a, state *s, double *settings) {
    *s = (state){.setting = settings};
    state_of_phase(a, a->phase_count - 1, s);
    for (int i = 0; i < a->part_count && s->fault_count == 0; i++)
        if (kind_faults(a->parts[i].kind, a->parts[i].electric) >> FAULT_DEAD & 1u)
            s->faults[s->fault_count++] = (fault){i, FAULT_DEAD};
    assert_int_equal(s->fault_count, 1);
}

static void same_outcome(const outcome *x, const outcome *y) {
    assert_int_equal(x->settled, y->settled);
    for (int i = 0; i < x->aircraft->function_count; i++)
        assert_int_equal(x->functions[i].status, y->functions[i].status);
    for (int i = 0; i < x->aircraft->part_count; i++) {
        const part_outcome *p = &x->parts[i], *q = &y->parts[i];
        assert_int_equal(p->status, q->status);
        assert_true(memcmp(&p->volts, &q->volts, sizeof p->volts) == 0);
        assert_true(memcmp(&p->amps, &q->amps, sizeof p->amps) == 0);
    }
}

static void outcomes_survive(void **unused) {
    (void)unused;
    static const outcome_options plain = {.explain = false}, explained = {.explain = true};
    for (int i = 0; i < FILE_COUNT * 2; i++) {
        aircraft *a = read_small(FILES[i / 2]);
        failing_memory m = {.fail_at = -1};
        solver *s = solver_with(&m, a);
        long solver_blocks = m.blocks_out;
        double *settings = calloc((size_t)a->part_count, sizeof *settings);
        state asked;
        ask_last_phase(a, &asked, settings);
        outcome *whole = NULL;
        assert_int_equal(solver_outcome(s, &asked, i % 2 ? explained : plain, &whole), STATUS_OK);
        long whole_blocks = m.blocks_out;
        assert_true(whole_blocks > solver_blocks);
        for (long n = 0;; n++) {
            m.fail_at = n;
            m.requests = 0;
            outcome *o = NULL;
            status r = solver_outcome(s, &asked, i % 2 ? explained : plain, &o);
            assert_int_equal(r == STATUS_OK, o != NULL);
            if (r == STATUS_OK)
                same_outcome(o, whole);
            outcome_free(o);
            assert_int_equal(m.blocks_out, whole_blocks);
            if (m.requests <= n)
                break;
            assert_int_equal(r, STATUS_NO_MEMORY);
            assert_true(n < REQUESTS_MOST);
        }
        outcome_free(whole);
        solver_free(s);
        assert_int_equal(m.bytes_out, 0);
        free(settings);
        aircraft_free(a);
    }
}

static void count_result(void *ctx, const sweep_result *r) {
    assert_non_null(r->solution);
    ++*(int *)ctx;
}

// Running takes no memory at all.
static void run_every_deviation(sweep *w, failing_memory *m) {
    int count = sweep_deviation_count(w), results = 0;
    assert_true(count > 0);
    combination *list = calloc((size_t)count, sizeof *list);
    for (int i = 0; i < count; i++)
        list[i] = (combination){.count = 1, .deviations = {i}};
    m->fail_at = 0;
    m->requests = 0;
    sweep_run(w, 1, list, count, count_result, &results);
    assert_int_equal(m->requests, 0);
    assert_int_equal(results, count);
    free(list);
}

static void sweeps_survive(void **unused) {
    (void)unused;
    for (int i = 0; i < FILE_COUNT; i++) {
        aircraft *a = read_small(FILES[i]);
        failing_memory m = {.fail_at = -1};
        solver *s = solver_with(&m, a);
        long solver_blocks = m.blocks_out;
        for (long n = 0, done = 0; !done; n++) {
            m.fail_at = n;
            m.requests = 0;
            sweep *w = NULL;
            status r = sweep_make(s, a->phase_count - 1, &w);
            assert_int_equal(r == STATUS_OK, w != NULL);
            done = m.requests <= n;
            assert_int_equal(r, done ? STATUS_OK : STATUS_NO_MEMORY);
            if (w)
                run_every_deviation(w, &m);
            sweep_free(w);
            assert_int_equal(m.blocks_out, solver_blocks);
            assert_true(n < REQUESTS_MOST);
        }
        solver_free(s);
        assert_int_equal(m.bytes_out, 0);
        aircraft_free(a);
    }
}

// A run asks for all its memory when it is made; going on asks for none.
static void running_survives(void **unused) {
    (void)unused;
    for (int i = 0; i < FILE_COUNT; i++) {
        aircraft *a = read_small(FILES[i]);
        double *settings = calloc((size_t)a->part_count + 1, sizeof *settings);
        assert_non_null(settings);
        state asked;
        ask_last_phase(a, &asked, settings);
        failing_memory m = {.fail_at = -1};
        solver *s = solver_with(&m, a);
        run_options o = {.lasts = 7200, .tolerance = 0.0005, .health = 1};
        long before = m.blocks_out;
        for (long n = 0;; n++) {
            m.requests = 0;
            m.fail_at = n;
            run *r = NULL;
            status made = run_make(s, &asked, &o, NULL, 0, &r);
            assert_int_equal(made == STATUS_OK, r != NULL);
            long asked_for = m.requests;
            m.fail_at = m.requests;  // whatever is asked for from here on fails
            while (r != NULL && run_advance(r, &(run_hooks){0}, 50)) {
            }
            assert_int_equal(m.requests, asked_for);
            run_free(r);
            assert_int_equal(m.blocks_out, before);
            if (made == STATUS_OK)
                break;
            assert_int_equal(made, STATUS_NO_MEMORY);
            assert_true(n < REQUESTS_MOST);
        }
        m.fail_at = -1;
        solver_free(s);
        free(settings);
        aircraft_free(a);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(making_survives),
        cmocka_unit_test(running_survives),
        cmocka_unit_test(outcomes_survive),
        cmocka_unit_test(sweeps_survive),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
