// Settling of small circuits built by hand, against closed forms and a dense solver written here.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/circuit_builder.h"
#include "support/random_circuit.h"
#include "support/settled_check.h"

#define LEAK 1e-9
// A source's current is a difference of numbers near emf / ohms, thousands of amps: about 1e-12 A
// of it is rounding, which shows where nothing but the leak draws.
#define ROUNDING_WATTS (1e-12 * 34)

typedef struct bench_top {
    builder b;
    circuit *c;
    solution *start, *result;
} bench_top;

static bench_top *build(void) {
    bench_top *t = calloc(1, sizeof *t);
    assert_non_null(t);
    t->b = builder_make(4, 28.5);
    return t;
}

static bool balanced(const settled_check *k) {
    return k->imbalance <= 1e-9 || k->imbalance * k->watts <= ROUNDING_WATTS;
}

static void prepare(bench_top *t) {
    if (t->c)
        return;
    t->c = builder_finish(&t->b);
    t->start = builder_solution(&t->b, t->c);
    t->result = builder_solution(&t->b, t->c);
}

static void run(bench_top *t) {
    prepare(t);
    job j = {.params = t->b.params, .start = t->start};
    settle(t->c, &j, t->result);
    if (t->result->settled == SETTLED_CHATTERS)
        return;
    settled_check k = check_settled(t->c, &j, t->result);
    assert_int_equal(k.broken_rules, 0);
    assert_true(k.residual <= 1e-9);
    assert_true(balanced(&k));
}

// The next settling starts where this one ended.
static void go_on(bench_top *t) { solution_copy(t->c, t->result, t->start); }

static void end(bench_top *t) {
    builder_free(&t->b);
    free(t);
}

static double volts(const bench_top *t, int node) { return t->result->volts[node]; }

static void set(bench_top *t, int slot, double value) { t->b.params[slot] = value; }

// ---- linear networks against Gauss with row exchange
// ---------------------------------------------
enum { DENSE_MOST = 40 };

static void solve_dense(double a[DENSE_MOST][DENSE_MOST], double *x, int n) {
    for (int k = 0; k < n; k++) {
        int best = k;
        for (int i = k + 1; i < n; i++)
            best = fabs(a[i][k]) > fabs(a[best][k]) ? i : best;
        for (int j = 0; j < n; j++) {
            double t = a[k][j];
            a[k][j] = a[best][j];
            a[best][j] = t;
        }
        double t = x[k];
        x[k] = x[best];
        x[best] = t;
        for (int i = k + 1; i < n; i++) {
            double f = a[i][k] / a[k][k];
            for (int j = k; j < n; j++)
                a[i][j] -= f * a[k][j];
            x[i] -= f * x[k];
        }
    }
    for (int k = n - 1; k >= 0; k--) {
        for (int j = k + 1; j < n; j++)
            x[k] -= a[k][j] * x[j];
        x[k] /= a[k][k];
    }
}

static void add_dense(double a[DENSE_MOST][DENSE_MOST], int from, int to, double g) {
    int ends[2] = {from - 1, to - 1};
    for (int i = 0; i < 2; i++) {
        if (ends[i] < 0)
            continue;
        a[ends[i]][ends[i]] += g;
        if (ends[1 - i] >= 0)
            a[ends[i]][ends[1 - i]] -= g;
    }
}

static void linear_networks_agree_with_a_dense_solver(void **ignored) {
    (void)ignored;
    uint64_t seed = 5;
    for (int trial = 0; trial < 300; trial++) {
        bench_top *t = build();
        int n = 2 + (int)(random_bits(&seed) % (DENSE_MOST - 2));
        double a[DENSE_MOST][DENSE_MOST] = {{0}}, x[DENSE_MOST] = {0};
        for (int i = 0; i < n; i++) {
            build_node(&t->b);
            add_dense(a, i + 1, 0, LEAK);
        }
        for (int i = 0; i < 2 * n; i++) {
            int from = (int)(random_bits(&seed) % (uint64_t)(n + 1));
            int to = (int)(random_bits(&seed) % (uint64_t)(n + 1));
            double g = pow(10, 4 * random_unit(&seed) - 1);
            if (from == to)
                continue;
            build_conductance(&t->b, from, to, g, i % 3 - 1);
            add_dense(a, from, to, g);
        }
        for (int i = 0; i < 3; i++) {
            int node = 1 + (int)(random_bits(&seed) % (uint64_t)n);
            build_source(&t->b, node, 10 + i, 0.05, SIGNAL_ALWAYS);
            add_dense(a, node, 0, 20);
            x[node - 1] += 20 * (10 + i);
        }
        run(t);
        solve_dense(a, x, n);
        for (int i = 0; i < n; i++)
            assert_true(fabs(volts(t, i + 1) - x[i]) < 1e-9);
        end(t);
    }
}

// ---- sources ------------------------------------------------------------------------------------
static void an_alternator_regulates_then_limits(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    int bus = build_node(&t->b);
    build_source(&t->b, bus, 24, 0.02, SIGNAL_ALWAYS);
    build_alternator(&t->b, bus, 28, 0.004, 60, SIGNAL_ALWAYS);
    int k = build_conductance(&t->b, bus, 0, 0.1, SIGNAL_ALWAYS);
    int load = t->b.conductances[k].slot;
    run(t);  // limited: 60 A are shared by the battery being charged and the load
    assert_true(fabs(volts(t, bus) - (60 + 24 / 0.02) / (1 / 0.02 + 0.1 + LEAK)) < 1e-9);
    set(t, t->b.piecewises[0].slot, 1 / 0.5);  // a battery that takes less
    set(t, t->b.piecewises[0].slot + 1, -24 / 0.5);
    run(t);  // regulating
    assert_true(fabs(volts(t, bus) - (28 / 0.004 + 24 / 0.5) / (250 + 2 + 0.1 + LEAK)) < 1e-9);
    set(t, load, 10);
    run(t);  // limited again, the battery helps
    assert_true(fabs(volts(t, bus) - (60 + 24 / 0.5) / (2 + 10 + LEAK)) < 1e-9);
    end(t);
}

static void diodes_take_the_higher_source(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    int a = build_node(&t->b), b = build_node(&t->b), out = build_node(&t->b);
    build_source(&t->b, a, 28, 0.1, SIGNAL_ALWAYS);
    build_source(&t->b, b, 24, 0.1, SIGNAL_ALWAYS);
    build_diode(&t->b, a, out, 0.7, 0.02);
    build_diode(&t->b, b, out, 0.7, 0.02);
    build_conductance(&t->b, out, 0, 0.5, SIGNAL_ALWAYS);
    run(t);
    assert_true(fabs(volts(t, out) - 27.3 / (1 + 0.12 * 0.5)) < 1e-6);
    assert_int_equal(t->result->piece[2], 1);
    assert_int_equal(t->result->piece[3], 0);
    end(t);
}

static void an_alternator_goes_on_without_its_battery(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    int bus = build_node(&t->b);
    signal_base s = builder_signals(&t->b, 1, 0);
    build_source(&t->b, bus, 24, 0.02, 0);
    int excited = s.comparator + build_comparator(&t->b, (comparator){QUANTITY_VOLTS, bus, 0, 1, 12,
                                                                      6, SIGNAL_ALWAYS, 2, -1});
    build_alternator(&t->b, bus, 28, 0.004, 60, excited);
    int power = build_power(&t->b, bus, 0, 1000, 18, 19, SIGNAL_ALWAYS);
    run(t);
    go_on(t);
    set(t, 0, 0);  // the battery is gone
    run(t);
    assert_int_equal(t->result->settled, SETTLED_YES);
    double v = (28 + sqrt(28 * 28 - 4 * 0.004 * 1000)) / 2;
    assert_true(fabs(volts(t, bus) - v) < 1e-6);
    set(t, t->b.powers[power].slot, 2000);  // 71 A of 60: nothing can hold it
    run(t);
    assert_int_equal(t->result->settled, SETTLED_COLLAPSED);
    assert_int_equal(t->result->dropped[0], 1);
    solution_cold(t->c, t->start);  // nothing excites it from cold
    run(t);
    assert_true(fabs(volts(t, bus)) < 1e-6);
    end(t);
}

// ---- loads --------------------------------------------------------------------------------------
// 24 V behind 0.1 ohm: v = (E + sqrt(E^2 - 4 R P)) / 2, at most 1440 W (closed form; own
// arithmetic).
static void constant_power_up_to_the_nose_and_beyond(void **ignored) {
    (void)ignored;
    const double watts[] = {600, 1200, 1400, 1439, 1439.9, 1440.5, 1441, 1500, 4000};
    for (int i = 0; i < 9; i++) {
        for (int start = 0; start < 3; start++) {
            bench_top *t = build();
            t->b.params[t->b.slot_top] = 24;
            int n = build_node(&t->b);
            build_source(&t->b, n, 24, 0.1, SIGNAL_ALWAYS);
            build_power(&t->b, n, 0, watts[i], 9, 9.5, SIGNAL_ALWAYS);
            t->c = builder_finish(&t->b);
            t->start = builder_solution(&t->b, t->c);
            t->result = builder_solution(&t->b, t->c);
            t->start->dropped[0] = start == 0;
            t->start->volts[n] = start == 2 ? 24 : 0;
            run(t);
            double square = 24 * 24 - 4 * 0.1 * watts[i];
            if (square > 0) {
                assert_int_equal(t->result->settled, SETTLED_YES);
                assert_true(fabs(volts(t, n) - (24 + sqrt(square)) / 2) < 1e-6);
            } else {
                assert_int_equal(t->result->settled, SETTLED_COLLAPSED);
                assert_true(fabs(volts(t, n) - 24) < 1e-6);
            }
            if (i == 0)
                assert_true(fabs(volts(t, n) - 21.1652) < 1e-4);
            end(t);
        }
    }
}

static void a_load_behind_an_open_switch_goes_off(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    int bus = build_node(&t->b), item = build_node(&t->b);
    build_source(&t->b, bus, 24, 0.02, SIGNAL_ALWAYS);
    build_conductance(&t->b, bus, item, 100, 0);
    build_power(&t->b, item, 0, 100, 18, 19, SIGNAL_ALWAYS);
    run(t);
    assert_true(volts(t, item) > 23 && !t->result->dropped[0]);
    go_on(t);
    set(t, 0, 0);
    run(t);
    assert_true(fabs(volts(t, item)) < 1e-6 && t->result->dropped[0]);
    go_on(t);
    set(t, 0, 1);
    run(t);
    assert_true(volts(t, item) > 23 && !t->result->dropped[0]);
    end(t);
}

// The lamp's law is solved by bisection here.
static void lamps_follow_their_power_law(void **ignored) {
    (void)ignored;
    for (double emf = 0.5; emf < 34; emf += 1.7) {
        bench_top *t = build();
        t->b.params[t->b.slot_top] = 34;
        int n = build_node(&t->b);
        build_source(&t->b, n, emf, 0.5, SIGNAL_ALWAYS);
        build_lamp(&t->b, n, 0, 3.5, 28, SIGNAL_ALWAYS);
        run(t);
        double low = 0, high = emf;
        for (int i = 0; i < 200; i++) {
            double v = (low + high) / 2, u = v / 28;
            double amps = 3.5 * (u < 0.05 ? pow(0.05, 0.55) * u / 0.05 : pow(u, 0.55));
            if ((emf - v) / 0.5 - LEAK * v > amps)
                low = v;
            else
                high = v;
        }
        assert_true(fabs(volts(t, n) - low) < 1e-8);
        end(t);
    }
}

// ---- relays, latches, breakers ------------------------------------------------------------------
static void a_contactor_picks_up_and_holds(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    int supply = build_node(&t->b), load = build_node(&t->b);
    signal_base s = builder_signals(&t->b, 1, 0);
    int source = build_source(&t->b, supply, 16, 0.05, SIGNAL_ALWAYS);
    int closed = s.comparator + build_comparator(&t->b, (comparator){QUANTITY_VOLTS, supply, 0, 1,
                                                                     17, 6, SIGNAL_ALWAYS, 2, -1});
    build_conductance(&t->b, supply, load, 1000, closed);
    build_conductance(&t->b, load, 0, 0.5, SIGNAL_ALWAYS);
    const double emf[] = {16, 18, 10, 6.2, 5.8, 16};
    const bool expected[] = {false, true, true, true, false, false};
    for (int i = 0; i < 6; i++) {
        set(t, t->b.piecewises[source].slot + 1, -emf[i] / 0.05);
        run(t);
        assert_int_equal(t->result->comparator[0], expected[i]);
        assert_int_equal(volts(t, load) > 1, expected[i]);
        go_on(t);
    }
    end(t);
}

static void a_contactor_on_a_weak_source_chatters(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    int supply = build_node(&t->b), load = build_node(&t->b);
    signal_base s = builder_signals(&t->b, 1, 0);
    build_source(&t->b, supply, 24, 1, SIGNAL_ALWAYS);
    int closed = s.comparator + build_comparator(&t->b, (comparator){QUANTITY_VOLTS, supply, 0, 1,
                                                                     17, 6, SIGNAL_ALWAYS, 2, -1});
    build_conductance(&t->b, supply, load, 1000, closed);
    build_conductance(&t->b, load, 0, 10, SIGNAL_ALWAYS);
    run(t);
    assert_int_equal(t->result->settled, SETTLED_CHATTERS);
    assert_int_equal(t->result->flips[0], 1);
    assert_true(t->result->iterations < 100);
    double low = 24 / (1 + 1 / (0.1 + 0.001));
    assert_true(fabs(t->result->lowest[supply] - low) < 1e-3);
    assert_true(fabs(t->result->highest[supply] - 24) < 1e-3);
    assert_true(fabs(t->result->lowest[load]) < 1e-3);
    end(t);
}

// A generator that stops is a winding, which drags the bus down until its cut-out opens: loads that
// dropped out meanwhile come back.
static void loads_come_back_once_a_cut_out_has_opened(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    t->b.params[t->b.slot_top] = 12.7;
    int bus = build_node(&t->b), generator = build_node(&t->b);
    signal_base s = builder_signals(&t->b, 1, 1);
    build_source(&t->b, bus, 12.7, 0.02, SIGNAL_ALWAYS);
    int closed = s.gate + build_gate(&t->b, GATE_NOT, s.memory, 0);
    int path = build_conductance(&t->b, generator, bus, 1000, closed);
    build_conductance(&t->b, generator, 0, 30, SIGNAL_ALWAYS);
    build_power(&t->b, bus, 0, 50, 9, 9.5, SIGNAL_ALWAYS);
    comparator reverse = {QUANTITY_CONDUCTANCE_AMPS, path, 0, -1, 2, 2, SIGNAL_ALWAYS, 2, -1};
    int back = s.comparator + build_comparator(&t->b, reverse);
    build_memory(&t->b, (memory){MEMORY_LATCH, back, -1, SIGNAL_ALWAYS});
    prepare(t);
    t->start->dropped[0] = 0;  // it works while the generator turns
    t->start->volts[bus] = 14;
    run(t);
    assert_int_equal(t->result->latched[0], 1);
    assert_true(volts(t, bus) > 12.5);
    assert_int_equal(t->result->dropped[0], 0);
    assert_int_equal(t->result->settled, SETTLED_YES);
    end(t);
}

// A relay whose coil has lost its volts rests on another source: what hangs on it had dropped out
// before that, and works again if that source can carry it.
static void loads_come_back_once_a_relay_has_changed_over(void **ignored) {
    (void)ignored;
    for (int weak = 0; weak < 2; weak++) {
        bench_top *t = build();
        t->b.params[t->b.slot_top] = 24;
        int supply = build_node(&t->b), other = build_node(&t->b), bus = build_node(&t->b);
        signal_base s = builder_signals(&t->b, 1, 0);
        build_conductance(&t->b, supply, 0, 1, SIGNAL_ALWAYS);  // dead
        build_source(&t->b, other, 24, weak ? 5 : 0.05, SIGNAL_ALWAYS);
        comparator coil = {QUANTITY_VOLTS, supply, 0, 1, 17, 6, SIGNAL_ALWAYS, 2, -1};
        int pulled = s.comparator + build_comparator(&t->b, coil);
        build_conductance(&t->b, supply, bus, 1000, pulled);
        int rests = s.gate + build_gate(&t->b, GATE_NOT, pulled, 0);
        build_conductance(&t->b, other, bus, 1000, rests);
        build_power(&t->b, bus, 0, 50, 18, 19.5, SIGNAL_ALWAYS);
        prepare(t);
        t->start->comparator[0] = 1;
        t->start->dropped[0] = 0;
        t->start->volts[supply] = t->start->volts[bus] = 28;
        run(t);
        assert_int_equal(t->result->comparator[0], 0);
        assert_true(volts(t, bus) > 23);
        assert_int_equal(t->result->dropped[0], weak);
        assert_int_equal(t->result->settled, weak ? SETTLED_COLLAPSED : SETTLED_YES);
        end(t);
    }
}

static void over_voltage_latches_until_the_switch_is_cycled(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    t->b.params[t->b.slot_top] = 34;
    int bus = build_node(&t->b);
    signal_base s = builder_signals(&t->b, 1, 1);
    build_source(&t->b, bus, 24, 0.05, SIGNAL_ALWAYS);
    int over = s.comparator + build_comparator(&t->b, (comparator){QUANTITY_VOLTS, bus, 0, 1, 30,
                                                                   29, SIGNAL_ALWAYS, 3, -1});
    int latch = s.memory + build_memory(&t->b, (memory){MEMORY_LATCH, over, -1, 0});
    int healthy = s.gate + build_gate(&t->b, GATE_NOT, latch, 0);
    int runs = s.gate + build_gate(&t->b, GATE_AND, healthy, 0);
    int k = build_alternator(&t->b, bus, 34, 0.004, 200, runs);
    build_conductance(&t->b, bus, 0, 1, SIGNAL_ALWAYS);
    run(t);
    assert_int_equal(t->result->latched[0], 1);
    assert_true(volts(t, bus) < 24);
    go_on(t);
    set(t, t->b.piecewises[k].slot + 6, -28 / 0.004);  // set right again: stays latched
    set(t, t->b.piecewises[k].slot, 28 - 200 * 0.004);
    set(t, t->b.piecewises[k].slot + 1, 28);
    run(t);
    assert_int_equal(t->result->latched[0], 1);
    go_on(t);
    set(t, 0, 0);
    run(t);
    assert_int_equal(t->result->latched[0], 0);
    go_on(t);
    set(t, 0, 1);
    run(t);
    assert_true(volts(t, bus) > 27);
    end(t);
}

// A short behind two breakers in series and a light load: the smaller one has the larger ratio.
static void the_breaker_with_the_largest_ratio_opens(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    int bus = build_node(&t->b), feeder = build_node(&t->b), item = build_node(&t->b);
    build_source(&t->b, bus, 24, 0.02, SIGNAL_ALWAYS);
    int large = build_breaker(&t->b, bus, feeder, 30, 200, SIGNAL_ALWAYS);
    int small = build_breaker(&t->b, feeder, item, 5, 33, SIGNAL_ALWAYS);
    int shorted = build_conductance(&t->b, item, 0, 0, 1);
    build_power(&t->b, feeder, 0, 100, 18, 19, SIGNAL_ALWAYS);
    build_conductance(&t->b, item, 0, 0.1, SIGNAL_ALWAYS);
    run(t);
    assert_int_equal(t->result->trip_count, 0);
    go_on(t);
    set(t, t->b.conductances[shorted].slot, 200);
    run(t);
    assert_int_equal(t->result->trip_count, 1);
    assert_int_equal(t->result->trips[0], small);
    assert_int_equal(t->result->tripped[large], 0);
    assert_int_equal(t->result->rounds, 2);
    assert_int_equal(t->result->settled, SETTLED_YES);
    assert_true(volts(t, feeder) > 23 && fabs(volts(t, item)) < 1e-6);
    assert_int_equal(t->result->dropped[0], 0);  // dropped out while shorted, on again
    job j = {.params = t->b.params, .start = t->start, .keep_breakers = true};
    settle(t->c, &j, t->result);
    assert_int_equal(t->result->trip_count, 0);
    assert_true(volts(t, feeder) < 18);
    end(t);
}

// Three times its rating opens before twice, the same ratio in the order of the breakers, and 1.3
// times the rating stays.
static void overloaded_breakers_open_by_ratio_then_order(void **ignored) {
    (void)ignored;
    bench_top *t = build();
    const double rating[] = {10, 20, 5, 5}, amps[] = {20, 26, 15, 15};
    const int order[] = {2, 3, 0};
    int bus = build_node(&t->b), item[4];
    build_source(&t->b, bus, 24, 0.001, SIGNAL_ALWAYS);
    for (int i = 0; i < 4; i++) {
        item[i] = build_node(&t->b);
        assert_int_equal(build_breaker(&t->b, bus, item[i], rating[i], 1000, SIGNAL_ALWAYS), i);
        build_conductance(&t->b, item[i], 0, amps[i] / 24, SIGNAL_ALWAYS);
    }
    run(t);
    assert_int_equal(t->result->settled, SETTLED_YES);
    assert_int_equal(t->result->rounds, 4);
    assert_int_equal(t->result->trip_count, 3);
    for (int i = 0; i < 3; i++)
        assert_int_equal(t->result->trips[i], order[i]);
    for (int i = 0; i < 4; i++) {
        assert_int_equal(t->result->tripped[i], i != 1);
        assert_int_equal(volts(t, item[i]) > 23, i == 1);
    }
    end(t);
}

// ---- all widths, many states of a generated network
// ----------------------------------------------
enum { STATES = 3000 };

typedef struct collected {
    const circuit *c;
    const job *jobs;
    uint64_t hash[STATES];
    int bad, kinds[3];
} collected;

static void collect(void *ctx, int index, const solution *s) {
    collected *k = ctx;
    k->hash[index] = hash_solution(k->c, s, 1);
    k->kinds[s->settled]++;
    if (s->settled == SETTLED_CHATTERS)
        return;
    settled_check is = check_settled(k->c, &k->jobs[index], s);
    k->bad += is.broken_rules != 0 || is.residual > 1e-9 || !balanced(&is);
}

static void generated_networks_settle_alike_in_all_lanes(void **ignored) {
    (void)ignored;
    const int nodes[] = {60, 119, 500};
    for (int n = 0; n < 3; n++) {
        random_circuit *r = random_circuit_make(nodes[n], 7);
        solution *cold = builder_solution(&r->b, r->c), *base = builder_solution(&r->b, r->c);
        job j = {.params = r->b.params, .start = cold};
        settle(r->c, &j, base);
        assert_int_equal(base->settled, SETTLED_YES);
        int most = random_patches_most(r), count = n == 2 ? STATES / 10 : STATES;
        job *jobs = calloc((size_t)count, sizeof *jobs);
        patch *patches = calloc((size_t)count * (size_t)most, sizeof *patches);
        collected *got = calloc(2, sizeof *got);
        work *w = work_new(allocator_default(), r->c);
        assert_true(jobs && patches && got && w);
        for (int i = 0; i < count; i++) {
            patch *own = patches + (size_t)i * (size_t)most;
            int patch_count =
                i % 2 ? random_state(r, 3, i, own) : random_faults(r, 3, i, 1 + i % 3, own);
            jobs[i] = (job){r->b.params, own, patch_count, base, i % 11 == 0, NULL, 0};
        }
        for (int lanes = 1; lanes <= 8; lanes *= 2) {
            collected *k = &got[lanes > 1];
            *k = (collected){.c = r->c, .jobs = jobs};
            solve_many(w, lanes, jobs, count, collect, k);
            assert_int_equal(k->bad, 0);
            assert_int_equal(k->kinds[0] + k->kinds[1] + k->kinds[2], count);
            assert_memory_equal(k->hash, got[0].hash, (size_t)count * sizeof(uint64_t));
        }
        assert_true(got[0].kinds[SETTLED_YES] > count / 2);
        work_free(w);
        free(got);
        free(patches);
        free(jobs);
        random_circuit_free(r);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(linear_networks_agree_with_a_dense_solver),
        cmocka_unit_test(an_alternator_regulates_then_limits),
        cmocka_unit_test(diodes_take_the_higher_source),
        cmocka_unit_test(an_alternator_goes_on_without_its_battery),
        cmocka_unit_test(constant_power_up_to_the_nose_and_beyond),
        cmocka_unit_test(a_load_behind_an_open_switch_goes_off),
        cmocka_unit_test(lamps_follow_their_power_law),
        cmocka_unit_test(a_contactor_picks_up_and_holds),
        cmocka_unit_test(a_contactor_on_a_weak_source_chatters),
        cmocka_unit_test(loads_come_back_once_a_cut_out_has_opened),
        cmocka_unit_test(loads_come_back_once_a_relay_has_changed_over),
        cmocka_unit_test(over_voltage_latches_until_the_switch_is_cycled),
        cmocka_unit_test(the_breaker_with_the_largest_ratio_opens),
        cmocka_unit_test(overloaded_breakers_open_by_ratio_then_order),
        cmocka_unit_test(generated_networks_settle_alike_in_all_lanes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
