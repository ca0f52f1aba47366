// What acts in a run beside the circuit: items that take their time to start.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/solver.h"
#include "timeline/scenario_play.h"

typedef struct played {
    aircraft *aircraft;
    solver *solver;
    scenario *sc;
    scenario_log *log;
} played;

static void play(played *p, const char *file, const char *words) {
    findings f = findings_make(allocator_default());
    text t = text_make(allocator_default());
    allocator memory = allocator_default();
    status made = aircraft_read(memory, file, strlen(file), &p->aircraft, &f);
    if (made == STATUS_OK)
        made = solver_make(memory, p->aircraft, &f, &p->solver);
    if (made == STATUS_OK)
        made = scenario_read(memory, p->aircraft, words, strlen(words), &p->sc, &f);
    findings_write(&f, "file", &t);
    if (made != STATUS_OK)
        fail_msg("%s", text_get(&t));
    text_free(&t);
    findings_free(&f);
    assert_int_equal(scenario_play(p->solver, p->sc, &p->log), STATUS_OK);
}

static void put_away(played *p) {
    scenario_log_free(p->log);
    scenario_free(p->sc);
    solver_free(p->solver);
    aircraft_free(p->aircraft);
}

// When the nth line of this kind about this part or function is written; -1: never. `words` may be
// NULL.
static double when(const played *p, const char *what, const char *id, int nth, const char **words) {
    int part = aircraft_part(p->aircraft, id);
    for (int i = 0; i < p->log->entry_count; i++) {
        const log_entry *e = &p->log->entries[i];
        for (int k = 0; k < e->line_count; k++) {
            const log_line *l = &e->lines[k];
            bool about = l->part >= 0 && l->part == part;
            if (part < 0 && l->function >= 0)
                about = strcmp(p->aircraft->functions[l->function].name, id) == 0;
            if (!about || strcmp(l->what, what) != 0 || nth-- > 0)
                continue;
            if (words != NULL)
                *words = l->words;
            return e->at;
        }
    }
    return -1;
}

static bool near(double a, double b) { return fabs(a - b) < 2e-3; }

// ---- starting again ----------------------------------------------------------------------------
static const char GLASS[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery:   {battery: 24 V, capacity: 40 Ah at 1 h}\n"
    "  main:      {bus: MAIN, from: battery}\n"
    "  master:    {switch: MASTER, from: main}\n"
    "  sensor:    {equipment: 0.5 A, from: master, breaker: 2 A SENS, restarts-in: 60 s}\n"
    "  display:   {display: 3 A, from: master, breaker: 5 A DSPL, restarts-in: 40 s, gives: speed}\n"
    "  autopilot: {equipment: 1 A, from: main, breaker: 5 A AP, needs: sensor, gives: following}\n"
    "phases:\n"
    "  cruise: {on: master}\n";

static void an_item_starts_again(void **x) {
    (void)x;
    played p;
    play(&p, GLASS,
         "scenario: 1\n"
         "title: starts\n"
         "start: {phase: cruise}\n"
         "happens:\n"
         "  - {at: 10 s, set: {display.breaker: out}}\n"
         "  - {at: 13 s, set: {display.breaker: in}}\n"
         // while it starts: anew
         "  - {at: 33 s, set: {display.breaker: out}}\n"
         "  - {at: 35 s, set: {display.breaker: in}}\n"
         // what needs a sensor waits for it, though it has kept its own supply
         "  - {at: 100 s, set: {sensor.breaker: out}}\n"
         "  - {at: 101 s, set: {sensor.breaker: in}}\n"
         // too short to be noticed
         "  - {at: 200 s, set: {display.breaker: out}}\n"
         "  - {at: 200.02 s, set: {display.breaker: in}}\n"
         "ends: {at: 5 min}\n");
    const char *words = "";
    assert_true(near(when(&p, "off", "display", 0, NULL), 10));
    assert_true(near(when(&p, "restarts", "display", 0, &words), 13));
    assert_non_null(strstr(words, "starts again, ready in 40 s"));
    assert_true(near(when(&p, "off", "display", 1, NULL), 33));
    assert_true(near(when(&p, "restarts", "display", 1, NULL), 35));
    assert_true(near(when(&p, "on", "display", 0, NULL), 75));
    assert_true(near(when(&p, "lost", "speed", 0, NULL), 10));
    assert_true(near(when(&p, "kept", "speed", 0, NULL), 75));
    assert_true(near(when(&p, "no-data", "autopilot", 0, NULL), 100));
    assert_true(near(when(&p, "on", "autopilot", 0, NULL), 161));
    assert_true(near(when(&p, "kept", "following", 0, NULL), 161));
    assert_true(near(when(&p, "off", "display", 2, NULL), 200));
    assert_true(near(when(&p, "on", "display", 1, NULL), 200.02));
    assert_true(when(&p, "restarts", "display", 2, NULL) < 0);
    put_away(&p);
}

// Nothing has been on: it starts, and an instant answer knows of no waiting.
static void an_item_that_was_off_starts(void **x) {
    (void)x;
    played p;
    play(&p, GLASS,
         "scenario: 1\n"
         "title: first\n"
         "start: {phase: cruise, set: {master: off}}\n"
         "happens:\n"
         "  - {at: 20 s, set: {master: on}}\n"
         "ends: {at: 2 min}\n");
    const char *words = "";
    assert_true(near(when(&p, "restarts", "display", 0, &words), 20));
    assert_non_null(strstr(words, "starts, ready in 40 s"));
    assert_true(near(when(&p, "on", "display", 0, NULL), 60));
    state asked = {.setting = calloc((size_t)p.aircraft->part_count + 1, sizeof(double))};
    assert_non_null(asked.setting);
    state_of_phase(p.aircraft, 0, &asked);
    asked.charge = -1;
    outcome *o = NULL;
    assert_int_equal(solver_outcome(p.solver, &asked, (outcome_options){0}, &o), STATUS_OK);
    assert_int_equal(o->parts[aircraft_part(p.aircraft, "display")].status, ITEM_ON);
    outcome_free(o);
    free(asked.setting);
    put_away(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_item_starts_again),
        cmocka_unit_test(an_item_that_was_off_starts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
