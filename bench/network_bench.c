// How fast generated networks settle, with every load's verdict, and how fast the linear step is
// beside KLU on the same matrices.
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <klu.h>

#include "circuit/kernel.h"
#include "measured.h"
#include "support/random_circuit.h"

#define LEAK 1e-9

// Nodes of the loads, and what was counted over all states.
typedef struct total {
    const int *loads;
    int load_count;
    long iterations, rounds, kept, weak;
} total;

#define WORKS_VOLTS 20.5
#define OFF_VOLTS   9.0

static void count(void *ctx, int index, const solution *s) {
    (void)index;
    total *t = ctx;
    t->iterations += s->iterations;
    t->rounds += s->rounds;
    for (int i = 0; i < t->load_count; i++) {
        double v = s->lowest[t->loads[i]];
        t->kept += v >= WORKS_VOLTS;
        t->weak += v < WORKS_VOLTS && v >= OFF_VOLTS;
    }
}

// Best of several runs: seconds a job.
static double time_jobs(work *w, int lanes, const job *jobs, int jobs_count, total *t) {
    double best = INFINITY;
    double begun = seconds_now();
    for (int run = 0; run < 3 || (seconds_now() - begun < 0.3 && run < 50); run++) {
        t->iterations = t->rounds = t->kept = t->weak = 0;
        double start = seconds_now();
        solve_many(w, lanes, jobs, jobs_count, count, t);
        best = fmin(best, (seconds_now() - start) / jobs_count);
    }
    return best;
}

// ---- settling -----------------------------------------------------------------------------------
typedef enum state_set { RANDOM_STATES, SINGLE_FAULTS, PAIRS } state_set;
static const char *const set_names[] = {"random faulted states", "single faults",
                                        "pairs of faults"};

static job *draw_jobs(const random_circuit *r, state_set set, int jobs_count, const solution *base,
                      patch *patches) {
    size_t most = (size_t)random_patches_most(r);
    job *jobs = need_many((size_t)jobs_count, sizeof *jobs);
    for (int i = 0; i < jobs_count; i++) {
        patch *own = patches + (size_t)i * most;
        int n = set == RANDOM_STATES ? random_state(r, 99, i, own)
                                     : random_faults(r, 99, i, set == PAIRS ? 2 : 1, own);
        jobs[i] = (job){.params = r->b.params, .patches = own, .patch_count = n, .start = base};
    }
    return jobs;
}

// Every node that feeds a load: constant power, lamp or resistor to the airframe.
static int *list_loads(const random_circuit *r, int *load_count) {
    const circuit *c = r->c;
    int *list =
        need_many((size_t)(c->power_count + c->lamp_count + c->conductance_count), sizeof *list);
    int n = 0;
    for (int k = 0; k < c->power_count; k++)
        list[n++] = c->powers[k].a;
    for (int k = 0; k < c->lamp_count; k++)
        list[n++] = c->lamps[k].a;
    for (int k = 0; k < c->conductance_count; k++) {
        if (c->conductances[k].b == 0 && r->b.params[c->conductances[k].slot] > 0)
            list[n++] = c->conductances[k].a;
    }
    *load_count = n;
    return list;
}

// `klu`: seconds that KLU needs for one refactor and solve of this network. Returns seconds a state
// and node in the widest lanes that the processor has.
static double bench_settling(int nodes, state_set set, int jobs_count, double klu) {
    random_circuit *r = random_circuit_make(nodes, 7);
    solution *cold = builder_solution(&r->b, r->c), *base = builder_solution(&r->b, r->c);
    job first = {.params = r->b.params, .start = cold};
    work *w = need(work_new(allocator_default(), r->c));
    solve_one(w, &first, base);
    patch *patches =
        need_many((size_t)jobs_count * (size_t)random_patches_most(r), sizeof *patches);
    job *jobs = draw_jobs(r, set, jobs_count, base, patches);
    total t = {0};
    int *loads = list_loads(r, &t.load_count);
    t.loads = loads;
    double a_node = 0;
    for (int lanes = 1; lanes <= 8; lanes *= 2) {
        double each = time_jobs(w, lanes, jobs, jobs_count, &t);
        if (lanes == solve_lanes_best())
            a_node = each / r->c->node_count;
        double iterations = (double)t.iterations / jobs_count;
        measured f = {.value = 1 / each,
                      .unit = "outcomes/s",
                      .lanes = lanes,
                      .against = "KLU refactor+solve in each iteration",
                      .ratio = iterations * klu / each};
        snprintf(f.name, sizeof f.name, "%d nodes, %s", nodes, set_names[set]);
        char remark[120];
        snprintf(remark, sizeof remark, "%.4g us, %.1f ns a node; %.2f iterations, %.3f rounds",
                 each * 1e6, each * 1e9 / r->c->node_count, iterations,
                 (double)t.rounds / jobs_count);
        measured_add(&f, remark);
    }
    work_free(w);
    free(loads);
    free(patches);
    free(jobs);
    random_circuit_free(r);
    return a_node;
}

// ---- the linear step ----------------------------------------------------------------------------
// The same network with every device replaced by a conductance or a source. With relays = 0 it
// settles in one iteration, and all of it is static: a state is brought in, stepped once, handed
// out. With more, relays pull each other in one after the other, and a gate that hangs on the first
// (though it is always true) closes all conductances: so many iterations more, each of which
// assembles, factors and solves the whole network.
static circuit *linear_copy(const random_circuit *r, builder *b, int relays) {
    const circuit *c = r->c;
    *b = builder_make(0, 28.5);
    b->node_count = c->node_count;
    signal_base signals = builder_signals(b, relays, 0);
    for (int k = 0; k < relays; k++)
        build_comparator(b,
                         (comparator){.of = QUANTITY_VOLTS,
                                      .a = 1,
                                      .sign = 1,
                                      .set = 1,
                                      .reset = 0.5,
                                      .enable = k == 0 ? SIGNAL_ALWAYS : signals.comparator + k - 1,
                                      .level = 2});
    int closed = SIGNAL_ALWAYS;
    if (relays > 0) {
        build_gate(b, GATE_NOT, signals.comparator, SIGNAL_ALWAYS);
        closed = signals.gate + build_gate(b, GATE_OR, signals.comparator, signals.gate);
    }
    for (int k = 0; k < c->conductance_count; k++) {
        const conductance *d = &c->conductances[k];
        build_conductance(b, d->a, d->b, r->b.params[d->slot], closed);
    }
    for (int k = 0; k < c->power_count; k++)
        build_conductance(b, c->powers[k].a, c->powers[k].b, r->b.params[c->powers[k].slot] / 784,
                          closed);
    for (int k = 0; k < c->lamp_count; k++)
        build_conductance(b, c->lamps[k].a, c->lamps[k].b, r->b.params[c->lamps[k].slot] / 28,
                          closed);
    for (int k = 0; k < c->piecewise_count; k++) {
        const double table[2] = {20, c->piecewises[k].b == 0 ? -20 * 25.0 : 0};
        build_piecewise(b, c->piecewises[k].a, c->piecewises[k].b, SIGNAL_ALWAYS, 1, table);
    }
    return builder_finish(b);
}

typedef struct matrix {
    int n, entries;
    int *start, *row;
    int (*place)[4];  // per branch: aa, bb, ab, ba; -1 none
    double *value;
} matrix;

static int place_of(const matrix *m, int row, int column) {
    for (int t = m->start[column]; t < m->start[column + 1]; t++) {
        if (m->row[t] == row)
            return t;
    }
    return -1;
}

typedef struct ends {
    int a, b;
} ends;

static ends branch(const circuit *c, int k) {
    if (k < c->conductance_count)
        return (ends){c->conductances[k].a - 1, c->conductances[k].b - 1};
    const piecewise *d = &c->piecewises[k - c->conductance_count];
    return (ends){d->a - 1, d->b - 1};
}

static int compare_pairs(const void *x, const void *y) {
    const int *a = x, *b = y;
    return a[0] != b[0] ? (a[0] > b[0]) - (a[0] < b[0]) : (a[1] > b[1]) - (a[1] < b[1]);
}

static matrix make_matrix(const circuit *c) {
    int branches = c->conductance_count + c->piecewise_count, n = c->node_count - 1;
    int(*pairs)[2] = need(calloc((size_t)(2 * branches + n), sizeof *pairs));
    int count = 0;
    for (int i = 0; i < n; i++, count++)
        pairs[count][0] = pairs[count][1] = i;
    for (int k = 0; k < branches; k++) {
        ends e = branch(c, k);
        if (e.a < 0 || e.b < 0)
            continue;
        pairs[count][0] = pairs[count + 1][1] = e.a;
        pairs[count][1] = pairs[count + 1][0] = e.b;
        count += 2;
    }
    qsort(pairs, (size_t)count, sizeof *pairs, compare_pairs);
    matrix m = {.n = n};
    m.start = need(calloc((size_t)n + 1, sizeof(int)));
    m.row = need(calloc((size_t)count, sizeof(int)));
    m.value = need(calloc((size_t)count, sizeof(double)));
    m.place = need(calloc((size_t)branches, sizeof *m.place));
    for (int i = 0; i < count; i++) {
        if (i > 0 && compare_pairs(pairs[i], pairs[i - 1]) == 0)
            continue;
        m.row[m.entries++] = pairs[i][1];
        m.start[pairs[i][0] + 1] = m.entries;
    }
    for (int k = 0; k < branches; k++) {
        ends e = branch(c, k);
        m.place[k][0] = e.a < 0 ? -1 : place_of(&m, e.a, e.a);
        m.place[k][1] = e.b < 0 ? -1 : place_of(&m, e.b, e.b);
        m.place[k][2] = e.a < 0 || e.b < 0 ? -1 : place_of(&m, e.a, e.b);
        m.place[k][3] = e.a < 0 || e.b < 0 ? -1 : place_of(&m, e.b, e.a);
    }
    free(pairs);
    return m;
}

static void fill_matrix(const circuit *c, const double *params, matrix *m, double *rhs) {
    memset(m->value, 0, (size_t)m->entries * sizeof(double));
    memset(rhs, 0, (size_t)m->n * sizeof(double));
    for (int i = 0; i < m->n; i++)
        m->value[place_of(m, i, i)] += LEAK;
    for (int k = 0; k < c->conductance_count + c->piecewise_count; k++) {
        bool source = k >= c->conductance_count;
        int slot = source ? c->piecewises[k - c->conductance_count].slot : c->conductances[k].slot;
        for (int i = 0; i < 4; i++) {
            if (m->place[k][i] >= 0)
                m->value[m->place[k][i]] += i < 2 ? params[slot] : -params[slot];
        }
        ends e = branch(c, k);
        if (source && e.a >= 0)
            rhs[e.a] -= params[slot + 1];
    }
}

typedef struct klu_run {
    double seconds, difference;  // refactor and solve of one state; largest difference of a voltage
} klu_run;

static klu_run time_klu(const circuit *c, const double *params, const solution *s) {
    matrix m = make_matrix(c);
    double *rhs = need(calloc((size_t)m.n, sizeof(double)));
    double *x = need(calloc((size_t)m.n, sizeof(double)));
    klu_common common;
    klu_defaults(&common);
    fill_matrix(c, params, &m, rhs);
    klu_symbolic *symbolic = need(klu_analyze(m.n, m.start, m.row, &common));
    klu_numeric *numeric = need(klu_factor(m.start, m.row, m.value, symbolic, &common));
    klu_run r = {INFINITY, 0};
    int repeats = 200000 / m.n + 1;
    for (int run = 0; run < 7; run++) {
        double start = seconds_now();
        for (int i = 0; i < repeats; i++) {
            klu_refactor(m.start, m.row, m.value, symbolic, numeric, &common);
            memcpy(x, rhs, (size_t)m.n * sizeof(double));
            klu_solve(symbolic, numeric, m.n, 1, x, &common);
        }
        r.seconds = fmin(r.seconds, (seconds_now() - start) / repeats);
    }
    for (int i = 0; i < m.n; i++)
        r.difference = fmax(r.difference, fabs(x[i] - s->volts[i + 1]));
    klu_free_numeric(&numeric, &common);
    klu_free_symbolic(&symbolic, &common);
    free(m.start);
    free(m.row);
    free(m.value);
    free(m.place);
    free(rhs);
    free(x);
    return r;
}

static void add_linear(int nodes, const char *what, int lanes, double each, const klu_run *klu) {
    measured f = {.value = each * 1e6,
                  .unit = "us/state",
                  .lanes = lanes,
                  .against = "KLU refactor+solve",
                  .ratio = klu->seconds / each};
    snprintf(f.name, sizeof f.name, "%d nodes, %s", nodes, what);
    char remark[120];
    snprintf(remark, sizeof remark, "%.1f ns a node, assembly included; KLU %.4g us; %.0e V apart",
             each * 1e9 / nodes, klu->seconds * 1e6, klu->difference);
    measured_add(&f, remark);
}

// Each step of the chain of relays is an iteration; one more finds that nothing moves.
enum { RELAYS = 31 };

// Returns seconds of KLU's refactor and solve.
static double bench_linear(int nodes, const char *what, int relays) {
    random_circuit *r = random_circuit_make(nodes, 7);
    builder b;
    circuit *c = linear_copy(r, &b, relays);
    solution *cold = builder_solution(&b, c), *base = builder_solution(&b, c);
    job first = {.params = b.params, .start = cold};
    work *w = need(work_new(allocator_default(), c));
    solve_one(w, &first, base);
    klu_run klu = time_klu(c, b.params, base);
    int jobs_count = 200000 / nodes / (relays + 1) + 16, steps = relays + 1;
    const solution *start = relays > 0 ? cold : base;
    job *jobs = need_many((size_t)jobs_count, sizeof *jobs);
    patch *patches = need_many((size_t)jobs_count, sizeof *patches);
    uint64_t seed = 1;
    for (int i = 0; i < jobs_count; i++) {
        int k = (int)(random_bits(&seed) % (uint64_t)c->conductance_count);
        patches[i] = (patch){c->conductances[k].slot, random_unit(&seed)};
        jobs[i] =
            (job){.params = b.params, .patches = &patches[i], .patch_count = 1, .start = start};
    }
    for (int lanes = 1; lanes <= 8; lanes *= 2) {
        total t = {0};
        double each = time_jobs(w, lanes, jobs, jobs_count, &t);
        if (t.iterations != (long)steps * jobs_count) {
            fprintf(stderr, "%ld iterations for %d jobs\n", t.iterations, jobs_count);
            exit(1);
        }
        add_linear(nodes, what, lanes, each / steps, &klu);
    }
    work_free(w);
    free(patches);
    free(jobs);
    builder_free(&b);
    random_circuit_free(r);
    return klu.seconds;
}

int main(void) {
    static const int NODES[] = {60, 120, 500, 5000, 50000};
    static const int JOBS[] = {10000, 10000, 2000, 200, 24};
    double klu[5], smallest = 0;
    measured_title(
        "Generated networks, every device a conductance: one linear step in the settling");
    for (int i = 0; i < 5; i++)
        klu[i] = bench_linear(NODES[i], "linear step", RELAYS);
    measured_title("The same, a state brought in, stepped once, handed out");
    for (int i = 0; i < 5; i++)
        bench_linear(NODES[i], "linear state", 0);
    measured_title("Generated networks, one fault: settled, protected, each load kept or lost");
    for (int i = 0; i < 5; i++) {
        double each = bench_settling(NODES[i], SINGLE_FAULTS, JOBS[i], klu[i]);
        smallest = i == 0 ? each : smallest;
        measured f = {.value = each * 1e9,
                      .unit = "ns/node",
                      .lanes = solve_lanes_best(),
                      .against = "60 nodes",
                      .ratio = smallest / each};
        snprintf(f.name, sizeof f.name, "%d nodes, cost per node", NODES[i]);
        measured_add(&f, NULL);
    }
    measured_title("Generated network, more than one fault");
    bench_settling(120, PAIRS, JOBS[1], klu[1]);
    bench_settling(120, RANDOM_STATES, JOBS[1], klu[1]);
    measured_end();
    return 0;
}
