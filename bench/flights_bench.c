// Many flights without their sources, on one thread: what `endurance --flights` spends a flight, in
// lanes and one by one.
#include <stdio.h>
#include <stdlib.h>

#include "circuit/solve.h"
#include "measured.h"
#include "study/flights.h"
#include "support/fleet_states.h"

#define FOUR_HOURS 14400.0
enum { FLIGHTS = 2000 };

static double time_flights(const subject *s, const state *from, int lanes) {
    arena m = arena_make(allocator_default());
    endurance found;
    bool *stays = need_many((size_t)s->aircraft->function_count, sizeof *stays);
    for (int i = 0; i < s->aircraft->function_count; i++)
        stays[i] = true;
    flights_question q = {.about = {.asked = from, .lasts = FOUR_HOURS, .must_stay = stays},
                          .flights = FLIGHTS,
                          .lanes = lanes,
                          .seed = 7};
    if (endurance_find(s->solver, &q.about, &m, &found) != STATUS_OK)
        exit(1);
    double start = seconds_now();
    if (flights_find(allocator_default(), s->aircraft, &q, &m, &found) != STATUS_OK)
        exit(1);
    double took = seconds_now() - start;
    free(stays);
    arena_free(&m);
    return took / FLIGHTS;
}

static void bench_aircraft(int index) {
    subject s;
    if (!subject_open_fleet(&s, index))
        exit(1);
    int phase = aircraft_phase(s.aircraft, "cruise"), best = solve_lanes_best();
    state from = {.setting = need_many((size_t)s.aircraft->part_count + 1, sizeof(double))};
    state_of_phase(s.aircraft, phase >= 0 ? phase : 0, &from);
    double alone = time_flights(&s, &from, 1), together = time_flights(&s, &from, best);
    measured f = {.value = alone * 1e3, .unit = "ms/flight", .lanes = 1};
    snprintf(f.name, sizeof f.name, "%s, flights", fleet_names[index]);
    measured_add(&f, NULL);
    f.value = together * 1e3;
    f.lanes = best;
    f.against = "one lane";
    f.ratio = alone / together;
    measured_add(&f, NULL);
    free(from.setting);
    subject_close(&s);
}

int main(void) {
    measured_title("2000 flights of up to 4 h without their sources, one thread");
    for (int i = 0; i < FLEET_COUNT; i++)
        bench_aircraft(i);
    measured_end();
    return 0;
}
