// Many flights, a few with each question: asked often enough, the answer is the one that is given
// at once; other words begin anew; and no memory that is missing loses any.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "deadbus.h"
#include "support/failing_memory.h"

static const char FILE_OF_ALL[] =
    "deadbus: 1\n"
    "aircraft: {nominal: 28 V}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 10 Ah at 1 h, resistance: 22 mohm}\n"
    "  radio:   {equipment: 120 W, from: battery, works-above: 20.5 V, breaker: 10 A}\n"
    "phases:\n"
    "  cruise: {temperature: 10 C}\n";

static void is_given_at_once(deadbus_opened *o, const char *question, deadbus_answer *answer) {
    deadbus_question about = {.opened = o};
    assert_int_equal(deadbus_ask_json(NULL, &about, question, strlen(question), answer),
                     DEADBUS_DONE);
}

// How often it was asked until it was answered.
static int ask_on(deadbus_opened *o, const char *question, int flights, deadbus_answer *answer) {
    deadbus_question about = {.opened = o, .flights_at_once = flights};
    for (int asked = 1;; asked++) {
        assert_int_equal(deadbus_ask_json(NULL, &about, question, strlen(question), answer),
                         DEADBUS_DONE);
        if (strstr(answer->out, "\"flown\":") == NULL)
            return asked;
        assert_true(asked < 100);
        deadbus_forget(answer);
    }
}

static deadbus_opened *open_it(const deadbus_memory *memory) {
    deadbus_opened *o = NULL;
    deadbus_exit exit = deadbus_open(memory, FILE_OF_ALL, sizeof FILE_OF_ALL - 1, &o);
    assert_true(exit == DEADBUS_DONE || (memory != NULL && exit == DEADBUS_NO_MEMORY));
    return o;
}

static void asked_on_it_is_the_same(void **x) {
    (void)x;
    static const char *const questions[] = {
        "{\"ask\":\"endurance\",\"flights\":\"130\"}",
        "{\"ask\":\"endurance\",\"flights\":\"130\",\"shed\":{\"radio.breaker\":\"out\"}}",
        "{\"ask\":\"endurance\",\"flights\":\"130\",\"charge\":\"50%\"}",
    };
    deadbus_opened *o = open_it(NULL);
    for (int i = 0; i < 3; i++) {
        deadbus_answer once, on;
        is_given_at_once(o, questions[i], &once);
        assert_int_equal(ask_on(o, questions[i], 50, &on), 3);
        assert_string_equal(once.out, on.out);
        deadbus_forget(&once);
        deadbus_forget(&on);
    }
    deadbus_close(o);
}

static int flown_of(const deadbus_answer *answer) {
    const char *at = strstr(answer->out, "\"flown\":");
    int flown = 0;
    assert_non_null(at);
    assert_int_equal(sscanf(at, "\"flown\":%d", &flown), 1);
    return flown;
}

static void other_words_begin_anew(void **x) {
    (void)x;
    static const char *const seeds[] = {"1", "1", "2", "1"};
    static const int flown[] = {10, 20, 10, 10};
    deadbus_opened *o = open_it(NULL);
    for (int i = 0; i < 4; i++) {
        char question[100];
        deadbus_question about = {.opened = o, .flights_at_once = 10};
        deadbus_answer answer;
        snprintf(question, sizeof question,
                 "{\"ask\":\"endurance\",\"flights\":\"130\",\"seed\":\"%s\"}", seeds[i]);
        assert_int_equal(deadbus_ask_json(NULL, &about, question, strlen(question), &answer),
                         DEADBUS_DONE);
        assert_int_equal(flown_of(&answer), flown[i]);
        deadbus_forget(&answer);
    }
    deadbus_close(o);  // what has been begun goes with it
}

static void failing_memory_is_survived(void **x) {
    (void)x;
    static const char question[] = "{\"ask\":\"endurance\",\"flights\":\"100\"}";
    bool answered = false;
    long n = 0;
    for (; !answered; n++) {
        failing_memory m = {.fail_at = n};
        deadbus_memory memory = {failing_resize, &m};
        deadbus_opened *o = open_it(&memory);
        deadbus_exit exit = DEADBUS_NO_MEMORY;
        for (int asked = 0; o != NULL && asked < 2; asked++) {
            deadbus_question about = {.opened = o, .flights_at_once = 60};
            deadbus_answer answer;
            exit = deadbus_ask_json(&memory, &about, question, sizeof question - 1, &answer);
            answered = exit == DEADBUS_DONE && strstr(answer.out, "\"flown\":") == NULL;
            deadbus_forget(&answer);
        }
        assert_true(exit == DEADBUS_DONE || exit == DEADBUS_NO_MEMORY);
        deadbus_close(o);
        assert_true(m.blocks_out == 0 && m.bytes_out == 0);
    }
    printf("%ld requests\n", n);
    assert_true(n > 50);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(asked_on_it_is_the_same),
        cmocka_unit_test(other_words_begin_anew),
        cmocka_unit_test(failing_memory_is_survived),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
