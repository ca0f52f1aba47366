// The words of a question; wrong ones are in test/cli/usage.sh.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <string.h>

#include "ask/command_help.h"
#include "ask/options.h"
#include "support/failing_memory.h"

#define COUNT(array) ((int)(sizeof(array) / sizeof((array)[0])))

static void all_options_are_read(void **unused) {
    (void)unused;
    const char *words[] = {"--phase",
                           "cruise",
                           "--set=flap-switch=TAKE-OFF",
                           "--fail",
                           "alternator=dead",
                           "--set",
                           "icing=yes",
                           "--charge",
                           "35 %",
                           "--temperature",
                           "14F",
                           "--before-trip",
                           "--json",
                           "--fail",
                           "main-bus=short"};
    ask_options o;
    findings f = findings_make(allocator_default());
    assert_int_equal(options_read(allocator_default(), COMMAND_STATE, words, COUNT(words), &o, &f),
                     STATUS_OK);
    assert_int_equal(f.count, 0);
    assert_string_equal(o.phase, "cruise");
    assert_int_equal(o.set_count, 2);
    assert_string_equal(o.sets[0].id, "flap-switch");
    assert_string_equal(o.sets[0].word, "TAKE-OFF");
    assert_string_equal(o.sets[1].id, "icing");
    assert_int_equal(o.fail_count, 2);
    assert_string_equal(o.fails[1].id, "main-bus");
    assert_string_equal(o.fails[1].word, "short");
    assert_true(o.charge == 0.35);
    assert_true(o.given[OPTION_TEMPERATURE] && o.temperature == -10);
    assert_true(o.before_trip && o.json && !o.csv && !o.faults);
    options_free(&o);
    findings_free(&f);
}

static void what_is_not_given_is_told_apart(void **unused) {
    (void)unused;
    ask_options o;
    findings f = findings_make(allocator_default());
    assert_int_equal(options_read(allocator_default(), COMMAND_DRAW, NULL, 0, &o, &f), STATUS_OK);
    assert_null(o.phase);
    assert_true(o.charge == -1 && !o.given[OPTION_TEMPERATURE]);
    assert_int_equal(o.width, 0);
    assert_int_equal(o.theme, THEME_LIGHT);
    options_free(&o);
    const char *words[] = {
        "--temperature", "\342\210\22210\302\260C", "--width", "800px", "--theme=print", "-o", "-"};
    assert_int_equal(options_read(allocator_default(), COMMAND_DRAW, words, COUNT(words), &o, &f),
                     STATUS_OK);
    assert_true(o.temperature == -10);
    assert_int_equal(o.width, 800);
    assert_int_equal(o.theme, THEME_PRINT);
    options_free(&o);
    findings_free(&f);
}

// Every option of every command, alone: known there, and refused elsewhere.
static void options_belong_to_their_commands(void **unused) {
    (void)unused;
    static const char *const values[OPTION_COUNT] = {
        [OPTION_PHASE] = "cruise",     [OPTION_SET] = "a=on",     [OPTION_FAIL] = "a=dead",
        [OPTION_CHARGE] = "80%",       [OPTION_WIDTH] = "800",    [OPTION_THEME] = "dark",
        [OPTION_TEMPERATURE] = "-10C", [OPTION_OUTPUT] = "file",  [OPTION_QUESTION] = "{}",
        [OPTION_KEEP] = "flaps",       [OPTION_SHED] = "a=off",   [OPTION_NOTICED] = "5min",
        [OPTION_WITHIN] = "3h",        [OPTION_FLIGHTS] = "1000", [OPTION_SEED] = "7",
        [OPTION_PAPER] = "letter",     [OPTION_FORM] = "svg",     [OPTION_NEED] = "45min",
        [OPTION_AT] = "12min",
    };
    for (int c = 0; c < COMMAND_COUNT; c++)
        for (int i = 0; i < OPTION_COUNT; i++) {
            const option_info *option = option_at((option_id)i);
            assert_int_equal(option->value != NULL, values[i] != NULL);
            const char *words[] = {option->name, values[i]};
            ask_options o;
            findings f = findings_make(allocator_default());
            status s =
                options_read(allocator_default(), (command_id)c, words, values[i] ? 2 : 1, &o, &f);
            bool here = option_of_command(option, (command_id)c);
            assert_int_equal(s, here ? STATUS_OK : STATUS_BAD_REQUEST);
            assert_int_equal(f.errors, !here);
            options_free(&o);
            findings_free(&f);
        }
}

static void near_names_are_found(void **unused) {
    (void)unused;
    assert_string_equal(command_nearest("stat"), "state");
    assert_string_equal(command_nearest("chekc"), "check");
    assert_null(command_nearest("xyzzy"));
    assert_null(command_nearest(NULL));
    assert_string_equal(option_nearest("--phaze", COMMAND_STATE), "--phase");
    assert_string_equal(option_nearest("-temprature", COMMAND_STATE), "--temperature");
    assert_string_equal(option_nearest("--fault", COMMAND_SHOW), "--faults");
    assert_null(option_nearest("--frobnicate", -1));
    assert_null(option_nearest("-", -1));
}

static void each_failing_request_is_survived(void **unused) {
    (void)unused;
    const char *words[] = {"--phase", "cruise", "--set",  "a=on",    "--set",
                           "b=off",   "--fail", "c=dead", "--phaze", "x"};
    static const char *const topics[] = {"", "state", "man", "bash", "zsh", "fish"};
    bool done = false;
    for (long n = 0; !done; n++) {
        assert_true(n < 2000);
        failing_memory memory = {.fail_at = n};
        allocator a = failing_allocator(&memory);
        ask_options o;
        findings f = findings_make(a);
        status s = options_read(a, COMMAND_STATE, words, COUNT(words), &o, &f);
        assert_true(s == STATUS_NO_MEMORY || s == STATUS_BAD_REQUEST);
        done = s == STATUS_BAD_REQUEST;
        options_free(&o);
        findings_free(&f);
        for (int i = 0; i < COUNT(topics); i++) {
            text out = text_make(a);
            assert_true(help_write(topics[i], &out));
            done = done && !out.failed;
            text_free(&out);
        }
        assert_int_equal(memory.blocks_out, 0);
        assert_int_equal(memory.bytes_out, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_options_are_read),
        cmocka_unit_test(what_is_not_given_is_told_apart),
        cmocka_unit_test(options_belong_to_their_commands),
        cmocka_unit_test(near_names_are_found),
        cmocka_unit_test(each_failing_request_is_survived),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
