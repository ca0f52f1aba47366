// An item with a battery of its own goes on by itself for as long as that lasts; what its supply
// gives counts again at once.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "support/fleet_states.h"
#include "timeline/run.h"

static const char FILE_TEXT[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 12 Ah at 1 h, charge: 90 %}\n"
    "  master:  {switch: BAT, from: battery, to: bus}\n"
    "  bus:     {bus: BUS}\n"
    "  display: {display: 1 A, from: bus, breaker: 5 A DSPL, own-battery: 10 min}\n"
    "  sensor:  {equipment: 0.2 A, from: bus, breaker: 2 A SENS, needs: display}\n"
    "  tablet:  {display: tablet, carried: yes, own-battery: 30 min}\n"
    "  switched: {display: 1 A, from: bus, breaker: 3 A SW, own-switch: SW, own-battery: 10 min}\n"
    "phases:\n"
    "  on: {on: [master, switched]}\n";

typedef struct flight {
    subject s;
    arena m;
    state from;
    run *r;
} flight;

static item_status status_at(flight *f, const char *part, double at) {
    const run_hooks none = {0};
    run_pause(f->r, at);
    while (run_advance(f->r, &none, 1000) && run_where(f->r)->at < at) {
    }
    assert_true(run_where(f->r)->at >= at);
    int rule = f->s.solver->made->verdict->rule_of[aircraft_part(f->s.aircraft, part)];
    return run_where(f->r)->items[rule].status;
}

static void begin(flight *f, const happening *list, int count) {
    *f = (flight){.m = arena_make(allocator_default())};
    assert_true(subject_open_bytes(&f->s, "reserve", FILE_TEXT, sizeof FILE_TEXT - 1));
    f->from.setting = arena_new(&f->m, (size_t)f->s.aircraft->part_count + 1, sizeof(double));
    state_of_phase(f->s.aircraft, 0, &f->from);
    run_options o = {.lasts = 7200, .tolerance = 0.0005, .resolution = 0.001, .health = 1.0};
    assert_int_equal(run_make(f->s.solver, &f->from, &o, list, count, &f->r), STATUS_OK);
}

static void end(flight *f) {
    run_free(f->r);
    arena_free(&f->m);
    subject_close(&f->s);
}

static void lasts_as_long_as_it_says(void **x) {
    (void)x;
    flight f;
    happening list[] = {{.at = 60, .part = 1, .setting = 0}};
    begin(&f, list, 1);
    assert_int_equal(status_at(&f, "display", 59), ITEM_ON);
    assert_int_equal(status_at(&f, "sensor", 59), ITEM_ON);
    assert_int_equal(status_at(&f, "display", 659.9), ITEM_ON);
    assert_int_equal(status_at(&f, "sensor", 659.9), ITEM_OFF);  // it has no battery
    assert_int_equal(status_at(&f, "display", 660.1), ITEM_OFF);
    assert_int_equal(status_at(&f, "tablet", 1799.9), ITEM_ON);  // nothing else ever feeds it
    assert_int_equal(status_at(&f, "tablet", 1800.1), ITEM_OFF);
    end(&f);
}

// Four minutes without supply, then a while with it: six are left, whatever the while.
static void only_what_is_left(void **x) {
    (void)x;
    flight f;
    happening list[] = {{.at = 60, .part = 1, .setting = 0},
                        {.at = 300, .part = 1, .setting = 1},
                        {.at = 1000, .part = 1, .setting = 0},
                        {.at = 2000, .part = 1, .setting = 1}};
    begin(&f, list, 4);
    assert_int_equal(status_at(&f, "display", 299), ITEM_ON);
    assert_int_equal(status_at(&f, "display", 999), ITEM_ON);
    assert_int_equal(status_at(&f, "display", 1359.9), ITEM_ON);
    assert_int_equal(status_at(&f, "display", 1360.1), ITEM_OFF);
    assert_int_equal(status_at(&f, "display", 1999), ITEM_OFF);
    assert_int_equal(status_at(&f, "display", 2001), ITEM_ON);
    assert_int_equal(status_at(&f, "sensor", 2001), ITEM_ON);
    end(&f);
}

// Switched off it takes nothing from its battery.
static void switched_off(void **x) {
    (void)x;
    flight f;
    begin(&f, NULL, 0);
    int part = aircraft_part(f.s.aircraft, "switched");
    end(&f);
    happening list[] = {{.at = 60, .part = 1, .setting = 0},
                        {.at = 120, .part = part, .setting = 0},
                        {.at = 1120, .part = part, .setting = 1}};
    begin(&f, list, 3);
    assert_int_equal(status_at(&f, "switched", 1119), ITEM_UNUSED);
    assert_int_equal(status_at(&f, "switched", 1121), ITEM_ON);
    assert_int_equal(status_at(&f, "switched", 1659.9), ITEM_ON);
    assert_int_equal(status_at(&f, "switched", 1660.1), ITEM_OFF);
    end(&f);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lasts_as_long_as_it_says),
        cmocka_unit_test(only_what_is_left),
        cmocka_unit_test(switched_off),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
