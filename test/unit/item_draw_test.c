// What an item draws by its figures, and the share of it that counts in a state.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "part/item_draw.h"

static const char SOURCE[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery:  {battery: 24 V}\n"
    "  main:     {breaker: 60 A, from: battery, to: bus}\n"
    "  bus:      {bus: BUS}\n"
    "  amps:     {equipment: 2 A, from: bus, breaker: 5 A A}\n"
    "  watts:    {equipment: 56 W, from: bus, breaker: 5 A B}\n"
    "  at-volts: {equipment: 4 A at 14 V, from: bus, breaker: 5 A C}\n"
    "  lamp:     {lamp: 24 W at 24 V, from: bus, breaker: 5 A D}\n"
    "  half:     {heater: 6 A, from: bus, breaker: 10 A E, duty: 50 %}\n"
    "  own:      {equipment: 1 A, from: bus, breaker: 5 A F, own-switch: PWR}\n"
    "  radio:    {radio: 1 A, transmit: 5 A, from: bus, breaker: 10 A G}\n"
    "  fan:      {motor: 4 A, from: bus, breaker: 5 A H, positions: {OFF: 0 A, LOW: 1 A, HIGH: 4 "
    "A}}\n"
    "  selector: {switch: FLAP, from: bus, positions: {UP: 0 %, HALF: 50 %, FULL: 100 %}}\n"
    "  flaps:    {motor: 8 A, from: selector, travel: 9 s}\n"
    "  dimmer:   {dimmer: PANEL, from: bus}\n"
    "  glow:     {lamp: 14 W, from: dimmer}\n"
    "seen:\n"
    "  meter:    {voltmeter: 20 to 32 V, reads: bus, from: bus}\n"
    "phases:\n"
    "  rest: {}\n"
    "  busy: {duty: {radio: 25 %, half: 20 %, flaps: 10 %}}\n";

typedef struct bench {
    aircraft *a;
    state s;
} bench;

static bench b;

static int part_named(const char *id) {
    int index = aircraft_part(b.a, id);
    if (index < 0)
        fail_msg("there is no %s", id);
    return index;
}

static double share(const char *id) { return item_share(b.a, &b.s, part_named(id), -1, -1); }
static const part *line(const char *id) { return &b.a->parts[part_named(id)]; }

static int begin(void **x) {
    (void)x;
    allocator memory = allocator_default();
    findings f = findings_make(memory);
    status r = aircraft_read(memory, SOURCE, strlen(SOURCE), &b.a, &f);
    findings_free(&f);
    if (r != STATUS_OK)
        return -1;
    b.s = (state){.setting = calloc((size_t)b.a->part_count + 1, sizeof(double))};
    return b.s.setting ? 0 : -1;
}

static int end(void **x) {
    (void)x;
    free(b.s.setting);
    aircraft_free(b.a);
    return 0;
}

static int rest(void **x) {
    (void)x;
    state_of_phase(b.a, 0, &b.s);
    return 0;
}

static void figures(void **x) {
    (void)x;
    static const struct {
        const char *id;
        double volts, amps, watts;
    } CASES[] = {{"amps", 28, 2, 56},
                 {"watts", 28, 2, 56},
                 {"at-volts", 14, 4, 56},
                 {"lamp", 24, 1, 24},
                 {"glow", 28, 0.5, 14}};
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        assert_true(fabs(item_figure_volts(b.a, line(CASES[i].id)) - CASES[i].volts) < 1e-12);
        assert_true(fabs(item_amps(b.a, line(CASES[i].id)) - CASES[i].amps) < 1e-12);
        assert_true(fabs(item_watts(b.a, line(CASES[i].id)) - CASES[i].watts) < 1e-12);
    }
    assert_true(item_amps(b.a, line("meter")) == 0.010);  // not the ends of its scale
}

static void duty(void **x) {
    (void)x;
    assert_true(share("amps") == 1);
    assert_true(fabs(share("half") - 0.5) < 1e-12);
    assert_true(item_duty(b.a, &b.s, part_named("amps")) < 0);  // nothing says so
    state_of_phase(b.a, 1, &b.s);
    assert_true(fabs(share("half") - 0.2) < 1e-12);  // the phase before the line
    assert_true(fabs(item_duty(b.a, &b.s, part_named("half")) - 0.2) < 1e-12);
}

static void own_switch(void **x) {
    (void)x;
    assert_true(share("own") == 0);
    b.s.setting[part_named("own")] = 1;
    assert_true(share("own") == 1);
}

// A quarter of the time 5 A, else 1 A: 2 A on average.
static void transmitting(void **x) {
    (void)x;
    assert_true(share("radio") == 1);
    state_of_phase(b.a, 1, &b.s);
    assert_true(fabs(share("radio") - 2) < 1e-12);
}

static void settings(void **x) {
    (void)x;
    static const double SHARES[] = {0, 0.25, 1};
    for (int i = 0; i < 3; i++) {
        b.s.setting[part_named("fan")] = i;
        assert_true(fabs(item_share(b.a, &b.s, part_named("fan"), part_named("fan"), -1) -
                         SHARES[i]) < 1e-12);
    }
}

static double flap_share(void) {
    return item_share(b.a, &b.s, part_named("flaps"), part_named("selector"), -1);
}

// It draws while it is under way, else its share of the time.
static void moving(void **x) {
    (void)x;
    int flaps = part_named("flaps"), selector = part_named("selector");
    assert_false(item_moving(b.a, &b.s, flaps, selector));
    assert_true(flap_share() == 0);
    b.s.setting[selector] = 1;
    assert_true(item_moving(b.a, &b.s, flaps, selector));
    assert_true(flap_share() == 1);
    b.s.setting[flaps] = 0.5;
    assert_false(item_moving(b.a, &b.s, flaps, selector));
    b.s.setting[flaps] = 0.75;
    assert_true(item_moving(b.a, &b.s, flaps, selector));
    assert_false(item_moving(b.a, &b.s, flaps, -1));
    assert_false(item_moving(b.a, &b.s, flaps, flaps));
    assert_false(item_moving(b.a, &b.s, flaps, part_named("dimmer")));  // has no places
    state_of_phase(b.a, 1, &b.s);
    assert_true(fabs(flap_share() - 0.1) < 1e-12);
}

static void dimmed(void **x) {
    (void)x;
    int dimmer = part_named("dimmer");
    for (int i = 0; i <= 10; i++) {
        b.s.setting[dimmer] = i / 10.0;
        double got = item_share(b.a, &b.s, part_named("glow"), -1, dimmer);
        assert_true(fabs(got - i / 10.0) < 1e-12);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(figures, rest),    cmocka_unit_test_setup(duty, rest),
        cmocka_unit_test_setup(own_switch, rest), cmocka_unit_test_setup(transmitting, rest),
        cmocka_unit_test_setup(settings, rest),   cmocka_unit_test_setup(moving, rest),
        cmocka_unit_test_setup(dimmed, rest),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
