// Scenarios played on the demo fleet: moments, answers, things that move, what a phase changes, and
// wires that keep their heat from one reset to the next.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "report/run_report.h"
#include "support/fleet_states.h"
#include "timeline/scenario_play.h"

typedef struct played {
    subject s;
    scenario *sc;
    scenario_log *log;
} played;

static void play(played *p, const char *words) {
    findings f = findings_make(allocator_default());
    assert_true(subject_open_fleet(&p->s, 0));
    status read =
        scenario_read(allocator_default(), p->s.aircraft, words, strlen(words), &p->sc, &f);
    if (read != STATUS_OK) {
        text t = text_make(allocator_default());
        findings_write(&f, "scenario", &t);
        fail_msg("%s", text_get(&t));
    }
    findings_free(&f);
    assert_int_equal(scenario_play(p->s.solver, p->sc, &p->log), STATUS_OK);
}

static void put_away(played *p) {
    scenario_log_free(p->log);
    scenario_free(p->sc);
    subject_close(&p->s);
}

// The nth line of this kind; without words: there aren't so many. `at`: its time.
static const log_line *line_of(const played *p, const char *what, int nth, double *at) {
    static const log_line NONE = {"", -1, -1, "", false};
    *at = -1;
    for (int i = 0; i < p->log->entry_count; i++) {
        const log_entry *e = &p->log->entries[i];
        for (int k = 0; k < e->line_count; k++) {
            if (strcmp(e->lines[k].what, what) != 0 || nth-- > 0)
                continue;
            *at = e->at;
            return &e->lines[k];
        }
    }
    return &NONE;
}

static void moments(void **x) {
    (void)x;
    played p;
    play(&p, "scenario: 1\n"
             "title: moments\n"
             "start: {phase: cruise}\n"
             "happens:\n"
             "  - {at: 30 s after low-volts lit, say: second}\n"
             "  - {at: 10 s, say: first, fail: {alternator: dead}}\n"
             "  - {at: low-volts lit, say: lit}\n"
             "  - {at: alternator above 100 A, say: never}\n"
             "ends: {at: 5 min}\n");
    double first, lit, told, second, end;
    assert_string_equal(line_of(&p, "says", 0, &first)->words, "first");
    assert_true(fabs(first - 10.0) < 1e-6);
    assert_string_not_equal(line_of(&p, "lit", 0, &lit)->words, "");
    assert_string_equal(line_of(&p, "says", 1, &told)->words, "lit");
    assert_true(told == lit && lit > 12.0);
    assert_string_equal(line_of(&p, "says", 2, &second)->words, "second");
    assert_true(fabs(second - lit - 30.0) < 1e-6);
    assert_string_equal(line_of(&p, "says", 3, &end)->words, "");
    assert_string_not_equal(line_of(&p, "end", 0, &end)->words, "");
    assert_true(fabs(end - 300.0) < 1e-6 && fabs(p.log->ended - 300.0) < 1e-6);
    put_away(&p);
}

static void answers(void **x) {
    (void)x;
    played p;
    play(&p, "scenario: 1\n"
             "title: answers\n"
             "start: {phase: cruise, charge: 90 %}\n"
             "happens:\n"
             "  - at: 20 s\n"
             "    ask: What now?\n"
             "    about: [low-volts, communication, battery]\n"
             "    answered: 15 s\n"
             "    how-long-until: low-volts lit\n"
             "    fail: {alternator: dead}\n"
             "  - {at: 25 s, ask: Never?, how-long-until: communication lost}\n"
             "ends: {at: 60 s}\n");
    assert_int_equal(p.log->answer_count, 2);
    const log_answer *a = &p.log->answers[0];
    double lit;
    assert_string_not_equal(line_of(&p, "lit", 0, &lit)->words, "");
    assert_true(fabs(a->asked - 20.0) < 1e-6 && fabs(a->looked - 35.0) < 1e-6);
    assert_true(fabs(a->how_long - (lit - 20.0)) < 1e-6);
    assert_int_equal(a->fact_count, 3);
    assert_string_equal(a->facts[0].words, "lit");
    assert_string_equal(a->facts[1].words, "kept");
    // 15 s of 15 A are 0.6 % of its 10 Ah; the 20 s before put 0.06 % in.
    assert_string_equal(a->facts[2].words, "89 %");
    assert_true(p.log->answers[1].how_long < 0);
    put_away(&p);
}

// 9 s from end to end at 28 V, by the aircraft's file, and slower at fewer: 7 A in an armature of
// 28 V / 30 A leave the rest to turn it. A breaker pulled on the way stops them there.
static void flaps_travel(void **x) {
    (void)x;
    played p;
    play(&p, "scenario: 1\n"
             "title: flaps\n"
             "start: {phase: cruise}\n"
             "happens:\n"
             "  - {at: 10 s, set: {flap-switch: FULL}}\n"
             "  - {at: 30 s, set: {flap-switch: UP}}\n"
             "  - {at: 33 s, set: {flap-breaker: out}}\n"
             "  - {at: 40 s, set: {flap-breaker: in}}\n"
             "record: [flaps amps, flaps]\n"
             "ends: {at: 60 s}\n");
    const double lost = 7 * 28.0 / 30;
    double runs = 0, ways = 0;
    for (int i = 1; i < p.log->row_count; i++) {
        const double *now = &p.log->values[2 * i], *before = now - 2;
        double h = p.log->times[i] - p.log->times[i - 1];
        double volts = 0.5 * (now[1] + before[1]);
        bool turns = now[0] + before[0] > 10;
        runs += turns ? h : 0;
        ways += turns ? h / 9 * (volts - lost) / (28 - lost) : 0;
        if (p.log->times[i] < 10 || (p.log->times[i] > 19.4 && p.log->times[i] < 30))
            assert_true(now[0] < 0.1);
    }
    printf("%.3f s for %.4f ways\n", runs, ways);
    assert_true(fabs(ways - 2.0) < 0.005);
    assert_true(runs > 18.1 && runs < 19.0);
    put_away(&p);
}

// What the pilot has switched off stays off though the next phase has it on as the last one had.
static void a_phase_keeps_what_was_shed(void **x) {
    (void)x;
    played p;
    play(&p, "scenario: 1\n"
             "title: phases\n"
             "start: {phase: cruise}\n"
             "happens:\n"
             "  - {at: 10 s, set: {strobes: off}}\n"
             "  - {at: 20 s, phase: approach}\n"
             "record: [strobes amps, landing-light amps]\n"
             "ends: {at: 30 s}\n");
    int last = p.log->row_count - 1;
    assert_true(p.log->values[0] > 1 && p.log->values[1] < 0.1);
    assert_true(p.log->values[2 * last] < 0.1 && p.log->values[2 * last + 1] > 1);
    put_away(&p);
}

static double warmth(const log_line *l) {
    const char *digits = strpbrk(l->words, "0123456789");
    assert_non_null(digits);
    return atof(digits);
}

// Against small steps of T' = i^2 (234.5 + T) / (226 S)^2 - (T - air) / 60 s along the trace's
// amps, S = 1.309 mm2 of 16 AWG (0.0508 in of solid copper); constants as in docs/physics.md.
static double by_hand(const played *p, double until) {
    const double area = 1.309, air = 15;
    double celsius = air;
    for (int i = 1; i < p->log->row_count && p->log->times[i] <= until; i++) {
        double from = p->log->times[i - 1], h = (p->log->times[i] - from) / 1000;
        for (int k = 0; k < 1000; k++) {
            double share = (k + 0.5) / 1000;
            double amps = p->log->values[i - 1] * (1 - share) + p->log->values[i] * share;
            double warms = amps * amps / (226 * area * 226 * area);
            celsius += h * (warms * (234.5 + celsius) - (celsius - air) / 60);
        }
    }
    return celsius;
}

static void wires_keep_their_heat(void **x) {
    (void)x;
    played p;
    play(&p, "scenario: 1\n"
             "title: resets\n"
             "start: {phase: approach, temperature: 15 C}\n"
             "happens:\n"
             "  - {at: 10 s, fail: {landing-light.wire: short}}\n"
             "  - {at: 70 s, set: {landing-light.breaker: in}}\n"
             "record: [landing-light.wire amps]\n"
             "ends: {at: 90 s}\n");
    double at, last = 0;
    for (int i = 0; i < 2; i++) {
        const log_line *hot = line_of(&p, "hot", i, &at);
        assert_string_not_equal(hot->words, "");
        assert_true(fabs(warmth(hot) - by_hand(&p, at)) < 0.75);
        assert_true(warmth(hot) > last);
        last = warmth(hot);
    }
    // Told beforehand, with its amps, each time that they flow; the warmer the sooner.
    double first;
    const log_line *ahead = line_of(&p, "warms", 0, &first), *again = line_of(&p, "warms", 1, &at);
    assert_true(first == 10 && at == 70);
    assert_true(fabs(warmth(ahead) - 184) < 10 && fabs(warmth(again) - 184) < 10);
    assert_non_null(
        strstr(ahead->words, "it would be at 105 C, the limit of plain insulation, in "));
    assert_string_equal(line_of(&p, "warms", 2, &at)->words, "");
    assert_string_not_equal(line_of(&p, "trips", 1, &at)->words, "");
    assert_string_equal(line_of(&p, "trips", 2, &at)->words, "");
    put_away(&p);
}

// A hand holds what springs back until the scenario sets it otherwise, and that is told.
static void what_springs_back_is_held(void **x) {
    (void)x;
    played p;
    double at;
    play(&p, "scenario: 1\n"
             "title: starts\n"
             "start: {phase: start, set: {key: BOTH}}\n"
             "happens:\n"
             "  - {at: 1 s, set: {key: START}}\n"
             "  - {at: 3 s, set: {key: BOTH}}\n"
             "record: [starter amps]\n"
             "ends: {at: 5 s}\n");
    assert_string_equal(line_of(&p, "set", 0, &at)->words, "Magneto key: BOTH.");
    assert_string_equal(
        line_of(&p, "set", 1, &at)->words,
        "Magneto key: held at START from here on; let go, it springs back to BOTH.");
    assert_string_equal(line_of(&p, "set", 2, &at)->words, "Magneto key: BOTH.");
    bool turned = false;
    for (int i = 0; i < p.log->row_count; i++) {
        bool held = p.log->times[i] > 1.1 && p.log->times[i] < 2.9;
        turned = turned || held;
        assert_true(!held || p.log->values[i] > 50);
    }
    assert_true(turned && p.log->values[p.log->row_count - 1] < 1);
    put_away(&p);
}

static void the_same_twice(void **x) {
    (void)x;
    static const char WORDS[] = "scenario: 1\n"
                                "title: twice\n"
                                "start: {phase: night-cruise, charge: 40 %, case: low}\n"
                                "happens: [{at: 1 min, fail: {alternator: dead}}]\n"
                                "ends: {at: 40 min}\n";
    text made[2] = {text_make(allocator_default()), text_make(allocator_default())};
    for (int i = 0; i < 2; i++) {
        played p;
        play(&p, WORDS);
        run_json(p.log, "caution", &made[i]);
        put_away(&p);
    }
    assert_string_equal(text_get(&made[0]), text_get(&made[1]));
    text_free(&made[0]);
    text_free(&made[1]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(moments),
        cmocka_unit_test(answers),
        cmocka_unit_test(flaps_travel),
        cmocka_unit_test(a_phase_keeps_what_was_shed),
        cmocka_unit_test(wires_keep_their_heat),
        cmocka_unit_test(what_springs_back_is_held),
        cmocka_unit_test(the_same_twice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
