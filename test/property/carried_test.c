// An aircraft that a page carries answers as the one that was read: the demo aircraft, files with
// every odd text, and aeroplanes that nobody drew. Letters that are cut off or wrong are refused.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "ask/opened.h"
#include "deadbus.h"
#include "model/carried.h"
#include "support/fleet_states.h"
#include "support/random_aircraft.h"
#include "support/wrong_letters.h"

enum { RANDOM = 24, FEW = 5 };

static const char *const QUESTIONS[] = {
    "{\"ask\":\"show\"}",
    "{\"ask\":\"show\",\"normal\":true}",
    "{\"ask\":\"show\",\"faults\":true}",
    "{\"ask\":\"state\"}",
    "{\"ask\":\"state\",\"fail\":[\"battery=dead\"]}",
    "{\"ask\":\"draw\",\"theme\":\"page\"}",
    "{\"ask\":\"card\"}",
    "{\"ask\":\"endurance\",\"flights\":\"4\"}",
    "{\"ask\":\"shed\",\"need\":\"30min\"}",
};
enum { QUESTION_COUNT = sizeof QUESTIONS / sizeof QUESTIONS[0] };

typedef struct pair {
    const char *name;
    text letters;
    deadbus_opened *file, *carried;
} pair;

// The second one has the aircraft that the first one's letters make.
static pair pair_open(const char *name, const char *bytes, size_t length) {
    pair p = {.name = name, .letters = text_make(allocator_default())};
    assert_int_equal(deadbus_open(NULL, bytes, length, &p.file), DEADBUS_DONE);
    assert_int_equal(deadbus_open(NULL, bytes, length, &p.carried), DEADBUS_DONE);
    carried_write(p.file->aircraft, &p.file->file, &p.letters);
    aircraft_free(p.carried->aircraft);
    findings_free(&p.carried->file);
    p.carried->file = findings_make(allocator_default());
    assert_int_equal(carried_read(allocator_default(), text_get(&p.letters), p.letters.length,
                                  &p.carried->aircraft, &p.carried->file),
                     STATUS_OK);
    return p;
}

static void pair_close(pair *p) {
    text_free(&p->letters);
    deadbus_close(p->file);
    deadbus_close(p->carried);
}

static void same_answer(const pair *p, const char *question) {
    deadbus_question file = {.opened = p->file}, carried = {.opened = p->carried};
    deadbus_answer a, b;
    deadbus_exit e = deadbus_ask_json(NULL, &file, question, strlen(question), &a);
    assert_int_equal(deadbus_ask_json(NULL, &carried, question, strlen(question), &b), e);
    if (a.out_length != b.out_length || memcmp(a.out, b.out, a.out_length) != 0)
        fail_msg("%s answers %s otherwise when carried", p->name, question);
    assert_true(a.out_length > 0);
    deadbus_forget(&a);
    deadbus_forget(&b);
}

// Written again it is the same letters, none of which a page would mind.
static void same_letters(const pair *p) {
    text again = text_make(allocator_default());
    carried_write(p->carried->aircraft, &p->carried->file, &again);
    assert_int_equal(again.length, p->letters.length);
    assert_memory_equal(text_get(&again), text_get(&p->letters), again.length);
    for (size_t i = 0; i < again.length; i++) {
        char c = text_get(&again)[i];
        assert_true(c >= ' ' && c <= '~' && c != '<' && c != '&');
    }
    text_free(&again);
}

static void answers_alike(const char *name, const char *bytes, size_t length, int questions) {
    pair p = pair_open(name, bytes, length);
    same_letters(&p);
    for (int i = 0; i < questions; i++)
        same_answer(&p, QUESTIONS[i]);
    pair_close(&p);
}

static void demo_aircraft(void **x) {
    (void)x;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        answers_alike(fleet_names[i], s.aircraft->source, s.aircraft->source_length,
                      QUESTION_COUNT);
        subject_close(&s);
    }
}

static void aircraft_that_nobody_drew(void **x) {
    (void)x;
    for (uint64_t seed = 1; seed <= RANDOM; seed++) {
        text file = text_make(allocator_default());
        random_aircraft(seed, &file);
        answers_alike("random", text_get(&file), file.length, seed % 12 ? FEW : QUESTION_COUNT);
        text_free(&file);
    }
}

static const char ODD[] =
    "deadbus: 1\n"
    "aircraft: {name: \"</script><b>&amp; 'one' \\\"two\\\" 100 % \\u202e caf\xc3\xa9\", "
    "nominal: 28 V}\n"
    "papers: {handbook: \"by <me>\"}\n"
    "parts:\n"
    "  battery: {battery: 24 V, capacity: 17.3333 Ah at 1 h book handbook p. 7 & 8, resistance: 7 "
    "mohm}\n"
    "  main: {bus: \"100 % \xe2\x82\xac\", from: battery}\n"
    "  com: {radio: \"COM \xe2\x84\x96 1\", amps: 1.1 to 3.7 A, from: main, breaker: 5 A}\n"
    "  lamp: {lamp: 13.1 W, from: main, breaker: \"7.5 A 'x' \\u2028\"}\n"
    "phases:\n"
    "  cruise: {temperature: -12.3 C}\n";

static void odd_texts(void **x) {
    (void)x;
    findings f = findings_make(allocator_default());
    aircraft *a;
    status read = aircraft_read(allocator_default(), ODD, sizeof ODD - 1, &a, &f);
    for (int i = 0; i < f.count && read != STATUS_OK; i++)
        print_message("%u: %s\n", f.items[i].where.line, f.items[i].text);
    assert_int_equal(read, STATUS_OK);
    aircraft_free(a);
    findings_free(&f);
    answers_alike("odd", ODD, sizeof ODD - 1, QUESTION_COUNT);
}

static bool reads(const void *ctx, const char *letters, size_t length) {
    (void)ctx;
    aircraft *made;
    findings f = findings_make(allocator_default());
    status s = carried_read(allocator_default(), letters, length, &made, &f);
    assert_true((s == STATUS_OK) == (made != NULL) && (s == STATUS_OK || s == STATUS_BAD_FILE));
    aircraft_free(made);
    findings_free(&f);
    return s == STATUS_OK;
}

static void wrong_letters(void **x) {
    (void)x;
    pair p = pair_open("odd", ODD, sizeof ODD - 1);
    wrong_letters_refused(&p.letters, reads, NULL);
    assert_false(reads(NULL, "carried", 7));
    assert_false(reads(NULL, ODD, sizeof ODD - 1));
    pair_close(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(demo_aircraft),
        cmocka_unit_test(aircraft_that_nobody_drew),
        cmocka_unit_test(odd_texts),
        cmocka_unit_test(wrong_letters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
