// Two wells and a battery in time: the exact step against small ones, what is conserved, and the
// order of things. No values from outside here.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "part/battery_model.h"

static const well_fit FITS[] = {FIT_ONE_HOUR, FIT_TWENTY_HOURS, FIT_NICKEL, FIT_SINGLE};
enum { FIT_COUNT = 4 };

static double distance(well_charge a, well_charge b) {
    return fabs(a.free - b.free) + fabs(a.bound - b.bound);
}

// The differential equations themselves, by a method of second order in small steps.
static well_charge integrated(const wells *w, well_charge q, double amps, double ramp,
                              double seconds) {
    enum { STEPS = 20000 };
    double h = seconds / STEPS;
    for (int i = 0; i < STEPS; i++) {
        double middle = amps + ramp * (i + 0.5) * h;
        double whole = q.free + q.bound;
        double half = q.free + 0.5 * h * (w->rate * (w->share * whole - q.free) - middle);
        double whole_half = whole - 0.5 * h * (amps + ramp * (i + 0.25) * h);
        double free = q.free + h * (w->rate * (w->share * whole_half - half) - middle);
        q.bound += q.free - free - h * middle;
        q.free = free;
    }
    return q;
}

static void ramp_is_exact(void **x) {
    (void)x;
    double worst = 0;
    for (int f = 0; f < FIT_COUNT; f++) {
        wells w = wells_of_label(FITS[f], 36000);
        for (int i = 0; i < 12; i++) {
            well_charge q = {.free = 9000 + 500 * i, .bound = FITS[f] == FIT_SINGLE ? 0 : 4000};
            double seconds = i % 2 ? 600 : 30, amps = 12 - i, ramp = 0.004 * (i - 6);
            double off = distance(wells_after(&w, q, amps, ramp, seconds),
                                  integrated(&w, q, amps, ramp, seconds));
            worst = off > worst ? off : worst;
        }
    }
    printf("exact step against 20,000 small ones: worst %.1e C of 36,000\n", worst);
    assert_true(worst < 1e-3);
}

static void steps_add_up(void **x) {
    (void)x;
    for (int f = 0; f < FIT_COUNT; f++) {
        wells w = wells_of_label(FITS[f], 36000);
        well_charge start = wells_rested(&w, 0.8), q = start;
        double h = 1e-3, t = 0, amps = 8, ramp = 0.01;
        while (t < 400) {  // from a millisecond up: over both forms of the means
            q = wells_after(&w, q, amps + ramp * t, ramp, h);
            t += h;
            h *= 1.7;
        }
        assert_true(distance(q, wells_after(&w, start, amps, ramp, t)) < 1e-8);
        double given = amps * t + 0.5 * ramp * t * t;
        assert_true(fabs(start.free + start.bound - q.free - q.bound - given) < 1e-8);
    }
}

static void wells_level_out(void **x) {
    (void)x;
    for (int f = 0; f < FIT_COUNT; f++) {
        wells w = wells_of_label(FITS[f], 36000);
        well_charge q = wells_rested(&w, 0.6);
        assert_true(distance(wells_after(&w, q, 0, 0, 3600), q) < 1e-9);  // level: nothing flows
        well_charge drawn = wells_after(&w, q, 30, 0, 60);
        well_charge later = wells_after(&w, drawn, 0, 0, 1800);
        assert_true(later.free >= drawn.free - 1e-9);  // it recovers
        assert_true(later.free <= w.share * (later.free + later.bound) + 1e-9);
        double most = wells_most_amps(&w, q, 300);
        assert_true(fabs(wells_after(&w, q, most, 0, 300).free) < 1e-7);
        for (double amps = 1; amps < 60; amps *= 1.3) {
            double seconds = wells_seconds(&w, amps);
            assert_true(fabs(wells_after(&w, wells_rested(&w, 1), amps, 0, seconds).free) < 1e-5);
            assert_true(seconds > wells_seconds(&w, amps * 1.1));
        }
    }
}

// ---- a battery
static battery_model model_of(const char *line, battery_aging aging) {
    char source[512];
    snprintf(source, sizeof source,
             "deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n  battery: {battery: %s}\n"
             "  light: {lamp: 1 W, from: battery, breaker: 5 A L}\nphases:\n  rest: {}\n",
             line);
    findings f = findings_make(allocator_default());
    aircraft *a = NULL;
    status r = aircraft_read(allocator_default(), source, strlen(source), &a, &f);
    findings_free(&f);
    assert_int_equal(r, STATUS_OK);
    battery_model m = battery_model_of(&a->parts[aircraft_part(a, "battery")], aging);
    aircraft_free(a);
    return m;
}

static const char *const LINES[] = {"24 V, capacity: 10 Ah at 1 h",
                                    "24 V, capacity: 10 Ah at 20 h, chemistry: flooded-lead-acid",
                                    "24 V, capacity: 10 Ah, chemistry: nickel-cadmium",
                                    "26.4 V, capacity: 10 Ah, chemistry: lithium-iron-phosphate"};
enum { LINE_COUNT = 4 };
static const battery_aging NEW = {.celsius = 25, .health = 1};

static void volts_fall_to_nothing(void **x) {
    (void)x;
    for (int i = 0; i < LINE_COUNT; i++) {
        battery_model m = model_of(LINES[i], NEW);
        battery_charge q = battery_rested(&m, 1);
        double emf = battery_law_now(&m, q, 0).emf;
        double ohms = battery_law_now(&m, q, 0).ohms;
        int steps = 0;
        while (!battery_exhausted(&m, q)) {
            assert_true(steps++ < 20000);
            q = battery_after(&m, q, 9, 9, 1);
            battery_law now = battery_law_now(&m, q, 0);
            assert_true(now.emf <= emf && now.emf >= 0 && now.ohms >= ohms - 1e-12);
            emf = now.emf;
            ohms = now.ohms;
        }
        assert_true(emf < 1);  // the knee has taken what the table leaves
    }
}

// Most of the sag comes in the first minute, all of it stays within the common figure, and it goes
// when the load goes.
static void sag_of_the_first_minute(void **x) {
    (void)x;
    battery_model m = model_of(LINES[0], NEW);
    battery_charge q = battery_rested(&m, 0.9);
    q = battery_after(&m, q, 15, 15, 60);
    assert_true(q.sag > 0.05 * m.cells && q.sag < 0.1 * m.cells);
    battery_charge parts = battery_rested(&m, 0.9);
    for (int i = 0; i < 60; i++)
        parts = battery_after(&m, parts, 15, 15, 1);
    assert_true(fabs(parts.sag - q.sag) < 1e-12);
    q = battery_after(&m, q, 0, 0, 120);
    assert_true(q.sag < 0.01);
}

static void age_and_cold_take_capacity(void **x) {
    (void)x;
    double before = model_of(LINES[0], (battery_aging){.celsius = 60, .health = 1}).wells.full;
    assert_true(before == model_of(LINES[0], NEW).wells.full);
    for (int t = 24; t >= -50; t--) {
        double usual = cell_capacity_factor(t, false);
        assert_true(usual <= cell_capacity_factor(t + 1, false));
        assert_true(usual >= cell_capacity_factor(t, true) && usual >= 0.2);
    }
    battery_model old = model_of(LINES[0], (battery_aging){.celsius = 0, .health = 0.8});
    assert_true(fabs(old.wells.full - 0.64 * before) < 1e-9);
    assert_true(battery_law_now(&old, battery_rested(&old, 0.5), 0).ohms >
                battery_law_now(&old, battery_rested(&old, 0.9), 0).ohms);
}

// At rest, without sag and away from the knee, it is the battery of the instant answers.
static void rested_as_the_instant_answer(void **x) {
    (void)x;
    for (int i = 0; i < LINE_COUNT; i++) {
        char source[512];
        snprintf(source, sizeof source,
                 "deadbus: 1\naircraft: {nominal: 28 V}\nparts:\n  battery: {battery: %s}\n"
                 "  light: {lamp: 1 W, from: battery, breaker: 5 A L}\nphases:\n  rest: {}\n",
                 LINES[i]);
        findings f = findings_make(allocator_default());
        aircraft *a = NULL;
        assert_int_equal(aircraft_read(allocator_default(), source, strlen(source), &a, &f),
                         STATUS_OK);
        const part *p = &a->parts[aircraft_part(a, "battery")];
        battery_model m = battery_model_of(p, NEW);
        for (int percent = 1; percent <= 100; percent++) {
            static const uint32_t FAULTS[] = {0, 1u << FAULT_WEAK, 1u << FAULT_SHORTED_CELL,
                                              1u << FAULT_DEAD, 1u << FAULT_OPEN};
            for (int k = 0; k < 5; k++) {
                battery_law instant = battery_law_rested(p, percent / 100.0, 25, FAULTS[k]);
                battery_law now =
                    battery_law_now(&m, battery_rested(&m, percent / 100.0), FAULTS[k]);
                double knee =
                    FAULTS[k] == 1u << FAULT_DEAD ? 0 : 0.01 * m.cells * (100.0 / percent - 1);
                double left = instant.emf - knee;
                assert_true(fabs((left > 0 ? left : 0) - now.emf) < 1e-9);
                assert_true(fabs(instant.ohms - now.ohms) < 1e-12);
                if (k == 0)
                    assert_true(fabs(instant.accepts - now.accepts) < 1e-9);
            }
        }
        aircraft_free(a);
        findings_free(&f);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ramp_is_exact),
        cmocka_unit_test(steps_add_up),
        cmocka_unit_test(wells_level_out),
        cmocka_unit_test(volts_fall_to_nothing),
        cmocka_unit_test(sag_of_the_first_minute),
        cmocka_unit_test(age_and_cold_take_capacity),
        cmocka_unit_test(rested_as_the_instant_answer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
