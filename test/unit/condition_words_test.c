// The words of conditions: each of the table is read, and a slip is answered with the nearest.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "model/condition_table.h"
#include "model/part_words.h"

static status read_with(const char *condition, findings *f) {
    char bytes[1200];
    snprintf(bytes, sizeof bytes,
             "deadbus: 1\n"
             "aircraft: {name: Test, nominal: 28 V}\n"
             "parts:\n"
             "  battery: {battery: 24 V}\n"
             "  part-switch: {switch: S, from: battery, to: main-bus}\n"
             "  main-bus: {bus: MAIN BUS}\n"
             "  part-breaker: {breaker: 5 A, from: main-bus}\n"
             "  part-engine: {engine: four cylinders}\n"
             "  flap-switch: {switch: FLAP, from: part-breaker, positions: {UP: 0 %%, FULL: 100 "
             "%%}}\n"
             "  part-motor: {motor: 5 A, from: flap-switch, travel: 9 s}\n"
             "  lamp: {light: L, from: part-breaker, lit-when: %s}\n",
             condition);
    aircraft *a = NULL;
    status s = aircraft_read(allocator_default(), bytes, strlen(bytes), &a, f);
    aircraft_free(a);
    return s;
}

static void all_are_read(void **unused) {
    (void)unused;
    for (int i = 0; outside_word_at(i); i++) {
        findings f = findings_make(allocator_default());
        assert_int_equal(read_with(outside_word_at(i)->word, &f), STATUS_OK);
        findings_free(&f);
        assert_non_null(strstr(outside_words, outside_word_at(i)->word));
    }
    for (int i = 0; status_word_at(i); i++) {
        const status_word *w = status_word_at(i);
        bool moves = w->kinds >> KIND_MOTOR & 1, engine = w->kinds >> KIND_ENGINE & 1;
        const char *who = engine                         ? "part-engine"
                          : moves                        ? "part-motor"
                          : w->kinds >> KIND_BREAKER & 1 ? "part-breaker"
                                                         : "part-switch";
        char condition[64];
        snprintf(condition, sizeof condition, "%s %s", who, w->word);
        findings f = findings_make(allocator_default());
        if (read_with(condition, &f) != STATUS_OK)
            fail_msg("%s: %s", condition, f.count ? f.items[0].text : "");
        findings_free(&f);
    }
}

static void expect_hint(const char *condition, const char *hint) {
    findings f = findings_make(allocator_default());
    assert_int_equal(read_with(condition, &f), STATUS_BAD_FILE);
    text t = text_make(allocator_default());
    findings_write(&f, "file", &t);
    if (!strstr(text_get(&t), hint))
        fail_msg("'%s' isn't in: %s", hint, text_get(&t));
    text_free(&t);
    findings_free(&f);
}

static void nearest(void **unused) {
    (void)unused;
    expect_hint("stall", "did you mean 'stall-near'?");
    expect_hint("airbourne", "did you mean 'airborne'?");
    expect_hint("iceing", "did you mean 'icing'?");
    expect_hint("main-buss below 20 V", "did you mean 'main-bus'?");
    expect_hint("pressed", "words that need no line: airborne, night, day, cloud, icing, "
                           "stall-near, always, never");
    assert_null(outside_word_near("xy", 0));
}

static void ids_are_said(void **unused) {
    (void)unused;
    static const char *const IDS[][2] = {{"fuel-pressure", "fuel pressure"},
                                         {"usb-sockets", "USB sockets"},
                                         {"second-gps", "second GPS"},
                                         {"gpsy", "gpsy"},
                                         {"a--b-", "a  b "},
                                         {"", ""}};
    for (size_t i = 0; i < sizeof IDS / sizeof *IDS; i++) {
        text t = text_make(allocator_default());
        words_of_id(IDS[i][0], &t);
        assert_string_equal(text_get(&t), IDS[i][1]);
        text_free(&t);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ids_are_said),
        cmocka_unit_test(all_are_read),
        cmocka_unit_test(nearest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
