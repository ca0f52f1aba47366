#include "support/flight_study.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void begin_study(study *y) {
    const aircraft *a = y->s.aircraft;
    y->memory = arena_make(allocator_default());
    y->asked = (state){.setting = arena_new(&y->memory, (size_t)a->part_count + 1, sizeof(double))};
    y->stays = arena_new(&y->memory, (size_t)a->function_count + 1, sizeof(bool));
    assert_true(y->asked.setting != NULL && y->stays != NULL);
    state_of_phase(a, 0, &y->asked);
    for (int i = 0; i < a->function_count; i++)
        y->stays[i] = true;
}

void study_open(study *y, const char *text) {
    assert_true(subject_open_bytes(&y->s, "flights", text, strlen(text)));
    begin_study(y);
}

void study_open_fleet(study *y, int index) {
    assert_true(subject_open_fleet(&y->s, index));
    begin_study(y);
    state_of_phase(y->s.aircraft, aircraft_phase(y->s.aircraft, "cruise"), &y->asked);
}

flights_question study_question(const study *y, int flights) {
    return (flights_question){.about = {.asked = &y->asked, .lasts = 14400, .must_stay = y->stays},
                              .flights = flights,
                              .seed = 7};
}

void study_find(study *y, const flights_question *q) {
    assert_int_equal(endurance_find(y->s.solver, &q->about, &y->memory, &y->found), STATUS_OK);
    assert_int_equal(flights_find(allocator_default(), y->s.aircraft, q, &y->memory, &y->found),
                     STATUS_OK);
}

void study_close(study *y) {
    arena_free(&y->memory);
    subject_close(&y->s);
}
