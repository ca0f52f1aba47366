// Full outcomes of the five demo aircraft per second on one core: bound, settled with protection,
// every item and function judged. And one `deadbus state` as a whole process.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#ifdef DEADBUS_PROGRAM
#    include <fcntl.h>
#    include <spawn.h>
#    include <sys/wait.h>
#    include <unistd.h>
#endif

#include "circuit/sweep.h"
#include "measured.h"
#include "support/fleet_states.h"

enum { COMBINATIONS = 4000, TOGETHER = 4, RUNS = 9, PROCESSES = 41 };

typedef struct tally {
    long outcomes, sum, iterations, rounds;
} tally;

static void take(void *ctx, const sweep_result *r) {
    tally *t = ctx;
    t->outcomes++;
    t->iterations += r->solution->iterations;
    t->rounds += r->solution->rounds;
    // So that nothing can be left out.
    t->sum += verdict_block_item(r->verdicts, 0, r->slot).status +
              verdict_block_function(r->verdicts, 0, r->slot);
}

static void draw_singles(const sweep *w, combination *list) {
    for (int i = 0; i < COMBINATIONS; i++)
        list[i] = (combination){.count = 1, .deviations = {i % sweep_deviation_count(w)}};
}

static void draw_random(const sweep *w, combination *list) {
    rng r = rng_make(1);
    for (int i = 0; i < COMBINATIONS; i++) {
        list[i] = (combination){.count = 1 + (int)rng_below(&r, TOGETHER)};
        for (int j = 0; j < list[i].count; j++)
            list[i].deviations[j] = (int)rng_below(&r, (uint64_t)sweep_deviation_count(w));
    }
}

static double best_run(sweep *w, int lanes, const combination *list, tally *t) {
    double best = INFINITY;
    for (int run = 0; run < RUNS; run++) {
        *t = (tally){0};
        double start = seconds_now();
        sweep_run(w, lanes, list, COMBINATIONS, take, t);
        best = fmin(best, seconds_now() - start);
    }
    return best;
}

static void bench_list(sweep *w, const char *aircraft, const char *set, const combination *list) {
    double scalar = 0;
    for (int lanes = 1; lanes <= 8; lanes *= 2) {
        tally t;
        double each = best_run(w, lanes, list, &t) / COMBINATIONS;
        scalar = lanes == 1 ? each : scalar;
        measured f = {.value = 1 / each,
                      .unit = "outcomes/s",
                      .lanes = lanes,
                      .against = lanes > 1 ? "1 lane" : NULL,
                      .ratio = scalar / each};
        snprintf(f.name, sizeof f.name, "%s, %s", aircraft, set);
        char remark[96];
        snprintf(remark, sizeof remark, "%.2f us, %.2f iterations, %.3f rounds", each * 1e6,
                 (double)t.iterations / (double)t.outcomes, (double)t.rounds / (double)t.outcomes);
        measured_add(&f, remark);
    }
}

static void bench_aircraft(int index) {
    subject s;
    sweep *w = NULL;
    if (!subject_open_fleet(&s, index) ||
        sweep_make(s.solver, aircraft_phase(s.aircraft, "cruise"), &w) != STATUS_OK)
        exit(1);
    char title[120];
    snprintf(title, sizeof title, "%s: %d nodes, %d items, %d deviations in cruise",
             fleet_names[index], s.solver->made->circuit.node_count, sweep_verdict(w)->rule_count,
             sweep_deviation_count(w));
    measured_title(title);
    combination *list = need_many(COMBINATIONS, sizeof *list);
    draw_singles(w, list);
    bench_list(w, fleet_names[index], "single failures", list);
    draw_random(w, list);
    bench_list(w, fleet_names[index], "1 to 4 deviations", list);
    free(list);
    sweep_free(w);
    subject_close(&s);
}

// ---- a whole process ----------------------------------------------------------------------------
#ifdef DEADBUS_PROGRAM

static double seconds_by_the_wall(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double run_state(const char *path) {
    char program[] = DEADBUS_PROGRAM, command[] = "state", fail[] = "--fail";
    char fault[] = "battery=dead", file[512];
    snprintf(file, sizeof file, "%s", path);
    char *words[] = {program, command, file, fail, fault, NULL};
    char *environment[] = {NULL};
    posix_spawn_file_actions_t quiet;
    pid_t child;
    int status = 1;
    posix_spawn_file_actions_init(&quiet);
    posix_spawn_file_actions_addopen(&quiet, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&quiet, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    double start = seconds_by_the_wall();
    bool ran = posix_spawn(&child, program, &quiet, NULL, words, environment) == 0 &&
               waitpid(child, &status, 0) == child;
    double taken = seconds_by_the_wall() - start;
    posix_spawn_file_actions_destroy(&quiet);
    if (!ran || !WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        fprintf(stderr, "%s doesn't answer\n", program);
        exit(1);
    }
    return taken;
}

static int compare_seconds(const void *x, const void *y) {
    const double *a = x, *b = y;
    return (*a > *b) - (*a < *b);
}

static void bench_processes(void) {
    measured_title("deadbus state FILE --fail battery=dead, from start to end of the process");
    for (int i = 0; i < FLEET_COUNT; i++) {
        double taken[PROCESSES];
        char path[512], remark[64];
        snprintf(path, sizeof path, "%s/aircraft/%s.yaml", DEADBUS_SOURCE_DIR, fleet_names[i]);
        for (int k = 0; k < PROCESSES; k++)
            taken[k] = run_state(path);
        qsort(taken, PROCESSES, sizeof *taken, compare_seconds);
        measured f = {.value = taken[PROCESSES / 2] * 1e3, .unit = "ms"};
        snprintf(f.name, sizeof f.name, "%s, state as a process", fleet_names[i]);
        snprintf(remark, sizeof remark, "median of %d; quickest %.2f ms", PROCESSES,
                 taken[0] * 1e3);
        measured_add(&f, remark);
    }
}

#else
static void bench_processes(void) {}
#endif

int main(void) {
    for (int i = 0; i < FLEET_COUNT; i++)
        bench_aircraft(i);
    bench_processes();
    measured_end();
    return 0;
}
