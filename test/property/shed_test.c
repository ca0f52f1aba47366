// What is switched off against brute force: every choice among twelve hands weighed and run, the
// cheapest that lasts is the answer. And what must never be offered isn't, on the demo aircraft.
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "study/shed.h"
#include "support/failing_memory.h"
#include "support/fleet_states.h"

static const char TWELVE_HANDS[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 22 mohm}\n"
    "  master: {switch: BAT, from: battery, to: bus}\n"
    "  bus: {bus: BUS}\n"
    "  alternator: {alternator: 60 A, to: bus, field-from: field-switch, field: 2 A}\n"
    "  field-switch: {switch: ALT, from: bus}\n"
    "  engine: {engine: four cylinders}\n"
    "  com: {radio: 1.5 A, from: bus, breaker: 5 A COM, place: row 1 no 1"
    ", own-switch: yes, gives: communication}\n"
    "  nav-1: {radio: 1 A, from: bus, breaker: 5 A NAV1, place: row 1 no 2"
    ", own-switch: yes, gives: vor}\n"
    "  nav-2: {radio: 1.2 A, from: bus, breaker: 5 A NAV2, place: row 1 no 3"
    ", own-switch: yes, gives: vor}\n"
    "  gps: {display: 2 A, from: bus, breaker: 5 A GPS, place: row 1 no 4"
    ", own-switch: yes, gives: gps}\n"
    "  strobes: {lamp: 4 A, from: bus, breaker: 10 A STROBE, place: row 1 no 5"
    ", switch: STROBE, gives: beacon}\n"
    "  position: {lamp: 3 A, from: bus, breaker: 5 A POS, place: row 1 no 6"
    ", switch: NAV LT, gives: position-lights}\n"
    "  pitot: {heater: 8 A, from: bus, breaker: 15 A PITOT, place: row 1 no 7"
    ", switch: PITOT, gives: pitot-heat}\n"
    "  cabin: {heater: 2.5 A, from: bus, breaker: 5 A CABIN, place: row 1 no 8"
    "}\n"
    "  clock: {equipment: 0.6 A, from: bus, breaker: 5 A CLOCK, place: row 1 no 9"
    ", gives: time}\n"
    "  charger: {equipment: 1.6 A, from: bus, breaker: 5 A USB, place: row 1 no 10"
    "}\n"
    "  fan: {motor: 0.9 A, from: bus, breaker: 5 A FAN, place: row 1 no 11"
    ", gives-partly: vor}\n"
    "  landing: {lamp: 6 A, from: bus, breaker: 15 A LANDING, place: row 1 no 12"
    ", switch: LANDING, gives: landing-light}\n"
    "  flap-lever: {switch: FLAP, from: bus, positions: {UP: 0 %, FULL: 100 %}}\n"
    "  flaps: {motor: 9 A, from: flap-lever, travel: 10 s, gives: flaps}\n"
    "phases:\n"
    "  cruise: {engine: 2400 rpm, airborne: yes, temperature: 10 C,"
    " on: [master, field-switch, com, nav-1, nav-2, gps, strobes.switch, position.switch,"
    " pitot.switch]}\n";

enum { SHEETBEND = 2 };  // in fleet_names

static int compare(const shed_cost *a, const shed_cost *b) {
    int x[] = {a->bared, a->lost, a->reduced, a->spares, a->breakers, a->steps};
    int y[] = {b->bared, b->lost, b->reduced, b->spares, b->breakers, b->steps};
    for (int i = 0; i < 6; i++)
        if (x[i] != y[i])
            return x[i] - y[i];
    return 0;
}

static unsigned choice_of(const shed *found, const shed_candidate *list, int count) {
    unsigned choice = 0;
    for (int i = 0; i < found->step_count; i++)
        for (int k = 0; k < count; k++)
            if (list[k].part == found->steps[i].part)
                choice |= 1u << k;
    return choice;
}

// The cheapest of all choices that lasts, with what the question wants in hand.
static bool brute_force(const subject *s, const shed_question *q, const shed_candidate *list,
                        int count, shed_cost *best) {
    bool possible = false;
    for (unsigned c = 0; c < 1u << count; c++) {
        shed_cost cost;
        double amps;
        bool lasts = false;
        if (!shed_weigh(s->solver, q, list, c, &cost, &amps) ||
            (possible && compare(&cost, best) >= 0))
            continue;
        assert_true(shed_lasts(s->solver, q, list, c, &lasts));
        if (lasts)
            *best = cost;
        possible = possible || lasts;
    }
    return possible;
}

static void as_brute_force_finds(void **x) {
    (void)x;
    subject s;
    assert_true(subject_open_bytes(&s, "twelve hands", TWELVE_HANDS, strlen(TWELVE_HANDS)));
    const aircraft *a = s.aircraft;
    arena m = arena_make(allocator_default());
    state asked = {.setting = arena_new(&m, (size_t)a->part_count + 1, sizeof(double))};
    bool *stays = arena_new(&m, (size_t)a->function_count + 1, sizeof(bool));
    assert_true(asked.setting != NULL && stays != NULL);
    state_of_phase(a, 0, &asked);
    for (int i = 0; i < a->function_count && stays != NULL; i++)
        stays[i] = strcmp(a->functions[i].name, "communication") == 0;
    static const double needs[] = {600, 2000};
    for (size_t n = 0; n < sizeof needs / sizeof *needs; n++) {
        shed_question q = {.asked = &asked, .noticed = 120, .needed = needs[n], .must_stay = stays};
        shed_candidate list[SHED_STEPS_MOST] = {0};
        shed_reserve reserve;
        assert_int_equal(shed_reserve_find(s.solver, &q, &m, &reserve), STATUS_OK);
        assert_true(reserve.light && reserve.cycle_count == 1);
        q.reserve = &reserve;
        int kept_back, count = shed_candidates(s.solver, &q, &m, list, &kept_back);
        assert_true(count > 8 && count <= SHED_STEPS_MOST);
        shed_cost best = {0}, empty_handed = {0};
        bool possible = brute_force(&s, &q, list, count, &best);
        shed_question without = q;
        without.reserve = NULL;
        assert_true(brute_force(&s, &without, list, count, &empty_handed));
        // Ten minutes leave enough; of the longer time the light and the flaps take their part.
        assert_true(n == 0 || compare(&empty_handed, &best) < 0);
        shed found;
        assert_int_equal(shed_find(s.solver, &q, &m, &found), STATUS_OK);
        printf("%.0f s: %s, %d steps, brute force %d lost %d steps\n", needs[n],
               found.possible ? "possible" : "impossible", found.step_count, best.lost, best.steps);
        assert_int_equal(found.possible, possible);
        if (!possible)
            continue;
        shed_cost cost;
        double amps;
        bool lasts = false;
        unsigned choice = choice_of(&found, list, count);
        assert_true(shed_weigh(s.solver, &q, list, choice, &cost, &amps));
        assert_int_equal(compare(&cost, &best), 0);
        assert_true(shed_lasts(s.solver, &q, list, choice, &lasts) && lasts);
    }
    arena_free(&m);
    subject_close(&s);
}

// What no answer may hold, by name: the battery's and the sources' ways, the engine's.
static bool taboo(const aircraft *a, int part, bool cloud) {
    static const char *const always[] = {
        "battery-switch",    "battery-contactor", "key",
        "boost-pump.switch", "field-breaker",     "alternator-breaker"};
    const char *id = a->parts[part].id;
    for (size_t i = 0; i < sizeof always / sizeof *always; i++)
        if (strcmp(id, always[i]) == 0)
            return true;
    return cloud && strcmp(id, "avionics-master") == 0;
}

static void nothing_forbidden_is_offered(void **x) {
    (void)x;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        const aircraft *a = s.aircraft;
        arena m = arena_make(allocator_default());
        state asked = {.setting = arena_new(&m, (size_t)a->part_count + 1, sizeof(double))};
        bool *stays = arena_new(&m, (size_t)a->function_count + 1, sizeof(bool));
        assert_true(asked.setting != NULL && stays != NULL);
        for (int p = 0; p < 2 * a->phase_count; p++) {
            state_of_phase(a, p / 2, &asked);
            asked.cloud = p % 2;
            if (!asked.airborne)
                continue;
            shed_question q = {.asked = &asked, .noticed = 60, .needed = 600, .must_stay = stays};
            shed_candidate list[SHED_STEPS_MOST];
            int kept_back, count = shed_candidates(s.solver, &q, &m, list, &kept_back);
            assert_true(count >= 0);
            for (int k = 0; k < count; k++) {
                const part *c = &a->parts[list[k].part];
                if (taboo(a, list[k].part, asked.cloud))
                    fail_msg("%s: %s is offered", fleet_names[i], c->id);
                assert_true(c->hand && (c->kind != KIND_BREAKER || c->reach == REACH_SEAT));
                assert_true(list[k].saves > 0);
            }
        }
        arena_free(&m);
        subject_close(&s);
    }
}

static int step_at(const aircraft *a, const shed *found, const char *id) {
    for (int i = 0; i < found->step_count; i++)
        if (strcmp(a->parts[found->steps[i].part].id, id) == 0)
            return i;
    return -1;
}

static void for_attitude(const aircraft *a, bool *stays, bool *attitude) {
    for (int i = 0; i < a->function_count; i++) {
        attitude[i] = strcmp(a->functions[i].name, "attitude") == 0;
        stays[i] = attitude[i] || strcmp(a->functions[i].name, "communication") == 0;
    }
}

// Common practice, no source: in cloud the last spare of attitude is kept as long as anything else
// can be switched off; where it is taken all the same, it goes last and is said.
static void the_last_spare_of_attitude_goes_last(void **x) {
    (void)x;
    subject s;
    assert_true(subject_open_fleet(&s, SHEETBEND));
    const aircraft *a = s.aircraft;
    arena m = arena_make(allocator_default());
    state asked = {.setting = arena_new(&m, (size_t)a->part_count + 1, sizeof(double))};
    bool *stays = arena_new(&m, (size_t)a->function_count + 1, sizeof(bool));
    bool *attitude = arena_new(&m, (size_t)a->function_count + 1, sizeof(bool));
    assert_true(asked.setting != NULL);
    if (stays == NULL || attitude == NULL)
        fail_msg("no memory");
    else
        for_attitude(a, stays, attitude);
    for (int p = 0; p < a->phase_count; p++)
        if (strcmp(a->phases[p].name, "cruise") == 0)
            state_of_phase(a, p, &asked);
    assert_true(asked.airborne);
    asked.cloud = true;
    shed_question q = {.asked = &asked, .noticed = 300, .needed = 1380, .must_stay = stays};
    shed found;
    q.needs_spare = attitude;
    assert_int_equal(shed_find(s.solver, &q, &m, &found), STATUS_OK);
    assert_true(found.step_count > 4);
    assert_int_equal(step_at(a, &found, "standby-attitude.breaker"), -1);
    // Where nobody asks for the spare, the standby is a small thing without a function.
    q.needs_spare = NULL;
    q.needed = 3600;
    assert_int_equal(shed_find(s.solver, &q, &m, &found), STATUS_OK);
    int at = step_at(a, &found, "standby-attitude.breaker");
    assert_int_equal(at, found.step_count - 1);
    assert_int_equal(found.steps[at].bare_count, 1);
    assert_string_equal(a->functions[found.steps[at].bares[0]].name, "attitude");
    arena_free(&m);
    subject_close(&s);
}

static const char TWO_HANDS[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 22 mohm}\n"
    "  bus: {bus: BUS, from: battery}\n"
    "  com: {radio: 1.5 A, from: bus, own-switch: yes, gives: communication}\n"
    "  gps: {display: 2 A, from: bus, own-switch: yes, gives: gps}\n"
    "  heater: {heater: 8 A, from: bus, own-switch: yes, gives: warmth}\n"
    "phases:\n"
    "  cruise: {airborne: yes, temperature: 10 C, on: [com, gps, heater]}\n";

static void failing_memory_is_survived(void **x) {
    (void)x;
    subject s;
    assert_true(subject_open_bytes(&s, "two hands", TWO_HANDS, strlen(TWO_HANDS)));
    failing_memory memory = {.fail_at = -1};
    solver *failing = NULL;
    findings f = findings_make(allocator_default());
    assert_int_equal(solver_make(failing_allocator(&memory), s.aircraft, &f, &failing), STATUS_OK);
    long held = memory.blocks_out, n = 0;
    double setting[64] = {0};
    bool stays[8] = {true};
    assert_true(s.aircraft->part_count < 64 && s.aircraft->function_count < 8);
    state asked = {.setting = setting};
    state_of_phase(s.aircraft, 0, &asked);
    shed_question q = {.asked = &asked, .noticed = 60, .needed = 4000, .must_stay = stays};
    for (status done = STATUS_NO_MEMORY; done != STATUS_OK; n++) {
        shed found;
        memory.requests = 0;
        memory.fail_at = n;
        arena keep = arena_make(failing_allocator(&memory));
        done = shed_find(failing, &q, &keep, &found);
        assert_true(done == STATUS_OK || done == STATUS_NO_MEMORY);
        if (done == STATUS_OK)
            assert_true(found.possible && found.step_count == 1);
        arena_free(&keep);
        assert_int_equal(memory.blocks_out, held);
    }
    printf("%ld requests\n", n);
    assert_true(n > 50);
    solver_free(failing);
    findings_free(&f);
    subject_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_brute_force_finds),
        cmocka_unit_test(nothing_forbidden_is_offered),
        cmocka_unit_test(the_last_spare_of_attitude_goes_last),
        cmocka_unit_test(failing_memory_is_survived),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
