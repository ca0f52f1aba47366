// The map as a module of its own: what its core tells of a state is drawn as by `draw` itself, and
// it lists what `show` lists. What no core tells is refused.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "ask/ask_commands.h"
#include "ask/opened.h"
#include "ask/options.h"
#include "deadbus.h"
#include "support/failing_memory.h"
#include "support/fleet_states.h"
#include "support/random_aircraft.h"
#include "support/wrong_letters.h"

enum { STATES = 40, RANDOM = 12, FAULTS_MOST = 4, WORDS_MOST = 16, WORD_ROOM = 64 };

// The words of a drawing: a phase, faults, and now and then how wide it is and for fingers.
typedef struct drawn_words {
    char room[WORDS_MOST][WORD_ROOM];
    const char *words[WORDS_MOST];
    int count;
} drawn_words;

static void add(drawn_words *w, const char *option, const char *value, const char *more) {
    w->words[w->count++] = option;
    snprintf(w->room[w->count], WORD_ROOM, "%s%s%s", value, more ? "=" : "", more ? more : "");
    w->words[w->count] = w->room[w->count];
    w->count++;
}

static void words_of(const subject *s, int index, drawn_words *w) {
    static const char *const widths[] = {"380", "700", "1040", "1750"};
    static const char *const themes[] = {"page", "print", "light"};
    const state *asked = &s->view.asked;
    w->count = 0;
    add(w, "--phase", s->aircraft->phases[asked->phase].name, NULL);
    for (int i = 0; i < asked->fault_count; i++) {
        bool again = false;
        for (int j = 0; j < i; j++)
            again = again || asked->faults[j].part == asked->faults[i].part;
        if (!again)
            add(w, "--fail", s->aircraft->parts[asked->faults[i].part].id,
                fault_word(asked->faults[i].kind));
    }
    add(w, "--width", widths[index % 4], NULL);
    add(w, "--theme", themes[index % 3], NULL);
    if (index % 5 == 0)
        w->words[w->count++] = "--touch";
}

static text told_of(deadbus_opened *opened, const aircraft *a, const drawn_words *w) {
    findings f = findings_make(allocator_default());
    deadbus_question q = {.command = "draw"};
    ask_options o;
    text told = text_make(allocator_default());
    deadbus_exit exit = DEADBUS_DONE;
    assert_int_equal(options_read(allocator_default(), COMMAND_DRAW, w->words, w->count, &o, &f),
                     STATUS_OK);
    o.opened = opened;
    o.question = &q;
    assert_int_equal(ask_draw_told(a, &o, &told, &f, &exit), STATUS_OK);
    options_free(&o);
    findings_free(&f);
    return told;
}

static void drawn_alike(deadbus_opened *opened, const drawn_words *w, const text *told) {
    deadbus_question q = {
        .command = "draw", .opened = opened, .options = w->words, .option_count = w->count};
    deadbus_answer whole, half;
    assert_int_equal(deadbus_ask(NULL, &q, &whole), DEADBUS_DONE);
    assert_int_equal(deadbus_draw_told(NULL, opened, text_get(told), told->length, &half),
                     DEADBUS_DONE);
    if (strcmp(whole.out, half.out) != 0)
        fail_msg("%s %s: drawn otherwise from what was told", w->words[1],
                 w->count > 3 ? w->words[3] : "");
    deadbus_forget(&whole);
    deadbus_forget(&half);
}

static void listed_alike(deadbus_opened *opened) {
    const char *const json[] = {"--json"};
    deadbus_question q = {.command = "show", .opened = opened, .options = json, .option_count = 1};
    deadbus_answer whole, half;
    assert_int_equal(deadbus_ask(NULL, &q, &whole), DEADBUS_DONE);
    assert_int_equal(deadbus_show(NULL, opened, &half), DEADBUS_DONE);
    assert_string_equal(whole.out, half.out);
    deadbus_forget(&whole);
    deadbus_forget(&half);
}

static void alike(const char *name, const char *bytes, size_t length, int states) {
    subject s;
    deadbus_opened *opened;
    assert_true(subject_open_bytes(&s, name, bytes, length));
    assert_int_equal(deadbus_open(NULL, bytes, length, &opened), DEADBUS_DONE);
    listed_alike(opened);
    for (int i = 0; i < states; i++) {
        subject_draw(&s, 11, i, FAULTS_MOST);
        drawn_words w;
        words_of(&s, i, &w);
        text told = told_of(opened, opened->aircraft, &w);
        drawn_alike(opened, &w, &told);
        text_free(&told);
    }
    deadbus_close(opened);
    subject_close(&s);
}

static void demo_aircraft(void **x) {
    (void)x;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        alike(fleet_names[i], s.aircraft->source, s.aircraft->source_length, STATES);
        subject_close(&s);
    }
}

static void aircraft_that_nobody_drew(void **x) {
    (void)x;
    for (uint64_t seed = 1; seed <= RANDOM; seed++) {
        text file = text_make(allocator_default());
        random_aircraft(seed, &file);
        alike("random", text_get(&file), file.length, 3);
        text_free(&file);
    }
}

// The first of the fleet with some faults, and what its core tells of that.
typedef struct told_state {
    subject subject;
    deadbus_opened *opened;
    text told;
} told_state;

static void begin(told_state *t) {
    assert_true(subject_open_fleet(&t->subject, 0));
    const aircraft *a = t->subject.aircraft;
    assert_int_equal(deadbus_open(NULL, a->source, a->source_length, &t->opened), DEADBUS_DONE);
    subject_draw(&t->subject, 3, 7, FAULTS_MOST);
    drawn_words w;
    words_of(&t->subject, 0, &w);
    t->told = told_of(t->opened, t->opened->aircraft, &w);
}

static void end(told_state *t) {
    text_free(&t->told);
    deadbus_close(t->opened);
    subject_close(&t->subject);
}

static bool draws(const void *opened, const char *told, size_t length) {
    deadbus_answer answer;
    deadbus_exit e = deadbus_draw_told(NULL, opened, told, length, &answer);
    assert_true((e == DEADBUS_DONE) == (answer.out_length > 0));
    assert_true(e == DEADBUS_DONE || e == DEADBUS_WRONG_USAGE);
    deadbus_forget(&answer);
    return e == DEADBUS_DONE;
}

static void wrong_letters(void **x) {
    (void)x;
    told_state t;
    begin(&t);
    wrong_letters_refused(&t.told, draws, t.opened);
    end(&t);
}

static void starved(void **x) {
    (void)x;
    told_state t;
    begin(&t);
    for (int draws = 0; draws <= 1; draws++) {
        deadbus_exit e = DEADBUS_NO_MEMORY;
        for (long n = 0; e == DEADBUS_NO_MEMORY; n++) {
            failing_memory few = {.fail_at = n};
            deadbus_memory memory = {failing_resize, &few};
            deadbus_answer answer;
            e = draws ? deadbus_draw_told(&memory, t.opened, text_get(&t.told), t.told.length,
                                          &answer)
                      : deadbus_show(&memory, t.opened, &answer);
            assert_true((answer.out == NULL) == (e == DEADBUS_NO_MEMORY));
            deadbus_forget(&answer);
            assert_int_equal(few.blocks_out, 0);
            assert_int_equal(few.bytes_out, 0);
        }
        assert_int_equal(e, DEADBUS_DONE);
    }
    end(&t);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(demo_aircraft),
        cmocka_unit_test(aircraft_that_nobody_drew),
        cmocka_unit_test(wrong_letters),
        cmocka_unit_test(starved),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
