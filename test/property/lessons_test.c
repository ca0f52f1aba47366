// Every lesson on its aeroplane: what the batteries gave, by their amps, is what their charge fell
// by, and what all elements took together is nothing, at every step and over the whole; times never
// fall; every question is answered or the run ended before.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <dirent.h>

#include "part/battery_model.h"
#include "support/case_files.h"
#include "support/fleet_states.h"
#include "support/settled_power.h"
#include "timeline/scenario_play.h"

enum { BATTERIES_MOST = 6, LESSONS_LEAST = 12 };

static void charge_balances(const scenario_log *log, const scenario *sc, const char *name) {
    const aircraft *a = log->aircraft;
    int wide = sc->record_count;
    double outside = sc->has_temperature ? sc->temperature : a->phases[sc->phase].temperature;
    for (int b = 0; b < wide; b += 2) {
        battery_model m = battery_model_of(&a->parts[sc->records[b].part],
                                           (battery_aging){.celsius = outside,
                                                           .health = sc->health,
                                                           .pessimistic = sc->pessimistic});
        double given = 0, first = log->values[b + 1];
        for (int i = 1; i < log->row_count; i++) {
            double h = log->times[i] - log->times[i - 1];
            assert_true(h >= 0);
            given += 0.5 * h * (log->values[i * wide + b] + log->values[(i - 1) * wide + b]);
        }
        double fell = (first - log->values[(log->row_count - 1) * wide + b + 1]) * m.wells.full;
        if (fabs(given - fell) > 1e-9 * m.wells.full)
            fail_msg("%s: %s gave %.9g C by its amps, %.9g C by its charge", name,
                     a->parts[sc->records[b].part].id, given, fell);
    }
}

typedef struct books {
    bool begun;
    double at, power, moved;  // one step ago: watts, and those of their sizes
    double energy, gross;     // joules
    double worst;             // share of the power of a step
    int steps;
} books;

static bool keep_books(void *ctx, const run_now *now) {
    books *b = ctx;
    double power, moved;
    settled_power(now->settled, &power, &moved);
    if (b->begun) {
        double h = now->at - b->at;
        b->energy += 0.5 * h * (power + b->power);
        b->gross += 0.5 * h * (moved + b->moved);
    }
    // Where next to nothing flows, against a watt; what chatters isn't settled.
    if (now->settled->solution->settled != SETTLED_CHATTERS)
        b->worst = fmax(b->worst, fabs(power) / fmax(moved, 1));
    b->begun = true;
    b->at = now->at;
    b->power = power;
    b->moved = moved;
    b->steps++;
    return true;
}

static void energy_balances(const books *b, const char *name) {
    printf("%s: %d steps, power off by %.1e, energy by %.1e\n", name, b->steps, b->worst,
           fabs(b->energy) / b->gross);
    if (!(b->gross > 0 && b->worst < 1e-9 && fabs(b->energy) < 1e-9 * b->gross))
        fail_msg("%s: power off by %.3g, energy by %.3g", name, b->worst, b->energy / b->gross);
}

static void play_one(const char *name) {
    char path[512];
    size_t length;
    snprintf(path, sizeof path, "%s/lessons/%.100s", DEADBUS_SOURCE_DIR, name);
    char *words = case_file_needed(path, &length);
    subject s;
    assert_true(subject_open_fleet(&s, lesson_fleet(words)));
    findings f = findings_make(allocator_default());
    scenario *sc = NULL;
    status read = scenario_read(allocator_default(), s.aircraft, words, length, &sc, &f);
    if (read != STATUS_OK || f.count > 0)
        fail_msg("%s has findings", name);
    findings_free(&f);
    scenario_record records[2 * BATTERIES_MOST];
    sc->records = records;
    sc->record_count = 0;
    for (int i = 0; i < s.aircraft->part_count && sc->record_count < 2 * BATTERIES_MOST; i++) {
        if (s.aircraft->parts[i].kind != KIND_BATTERY)
            continue;
        records[sc->record_count++] = (scenario_record){i, RECORD_AMPS};
        records[sc->record_count++] = (scenario_record){i, RECORD_CHARGE};
    }
    scenario_log *log = NULL;
    books b = {0};
    run_hooks also = {.ctx = &b, .step = keep_books};
    assert_int_equal(scenario_play_told(s.solver, sc, &also, &log), STATUS_OK);
    charge_balances(log, sc, name);
    energy_balances(&b, name);
    int asked = 0;
    for (int i = 0; i < sc->step_count; i++)
        asked += sc->steps[i].question.ask != NULL;
    // A lesson whose question never comes, or comes too late to be answered, teaches nothing.
    if (asked == 0 || log->answer_count != asked)
        fail_msg("%s: %d of %d questions came", name, log->answer_count, asked);
    for (int i = 0; i < log->answer_count; i++)
        if (log->answers[i].question->about_count > 0 && log->answers[i].looked < 0)
            fail_msg("%s: '%s' isn't answered", name, log->answers[i].question->ask);
    scenario_log_free(log);
    scenario_free(sc);
    subject_close(&s);
    free(words);
}

static void every_lesson(void **x) {
    (void)x;
    DIR *d = opendir(DEADBUS_SOURCE_DIR "/lessons");
    assert_non_null(d);
    int count = 0;
    for (struct dirent *e = readdir(d); e; e = readdir(d)) {
        size_t n = strlen(e->d_name);
        if (n > 5 && strcmp(e->d_name + n - 5, ".yaml") == 0) {
            play_one(e->d_name);
            count++;
        }
    }
    closedir(d);
    printf("%d lessons\n", count);
    assert_true(count >= LESSONS_LEAST);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_lesson)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
