#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "support/failing_memory.h"

static void writes_one_after_another(void **unused) {
    (void)unused;
    text t = text_make(allocator_default());
    assert_string_equal(text_get(&t), "");
    text_put(&t, "volts ");
    text_number(&t, 27.93);
    text_char(&t, ' ');
    text_int(&t, INT64_MIN);
    text_char(&t, ' ');
    text_int(&t, 0);
    text_all(&t, " a", "", "b", NULL);
    text_put_n(&t, "xyz", 2);
    assert_string_equal(text_get(&t), "volts 27.93 -9223372036854775808 0 abxy");
    assert_int_equal(t.length, strlen(text_get(&t)));
    t.length = 0;  // to be written anew, even if nothing is written
    assert_string_equal(text_get(&t), "");
    text_free(&t);
    text_fixed(&t, -0.001, 2);
    text_char(&t, ' ');
    text_digits(&t, 28, 3);
    assert_string_equal(text_get(&t), "0.00 28.0");
    text_free(&t);
}

static void pads_by_characters(void **unused) {
    (void)unused;
    text t = text_make(allocator_default());
    text_put(&t, "x|");
    size_t from = t.length;
    text_put(&t, "\xC2\xB0"
                 "C");
    text_pad(&t, from, 5);
    text_put(&t, "|");
    text_pad(&t, from, 3);  // already wider
    assert_string_equal(text_get(&t), "x|\xC2\xB0"
                                      "C   |");
    text_free(&t);
}

static void expect_json(const char *s, const char *expected) {
    text t = text_make(allocator_default());
    json_string(&t, s);
    assert_string_equal(text_get(&t), expected);
    text_free(&t);
}

static void json_escapes(void **unused) {
    (void)unused;
    expect_json("", "\"\"");
    expect_json("plain", "\"plain\"");
    expect_json("a\"b\\c", "\"a\\\"b\\\\c\"");
    expect_json("\n\t\r\b\f\x01\x1f\x7f", "\"\\n\\t\\r\\b\\f\\u0001\\u001f\\u007f\"");
    expect_json("</script>", "\"<\\/script>\"");
    expect_json("a/b", "\"a/b\"");
    expect_json("\xC2\xB5\xF0\x9F\x98\x80", "\"\xC2\xB5\xF0\x9F\x98\x80\"");
    expect_json("a\xFF"
                "b\xC2",
                "\"a\xEF\xBF\xBD"
                "b\xEF\xBF\xBD\"");
    expect_json("\xED\xA0\x80", "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"");
}

static void json_numbers(void **unused) {
    (void)unused;
    const struct {
        double value;
        const char *expected;
    } cases[] = {
        {0, "0"},
        {-0.0, "0"},
        {0.1, "0.1"},
        {28, "28"},
        {1000000, "1000000"},
        {1.0 / 3, "0.333333333333"},
        {-27.5, "-27.5"},
        {NAN, "null"},
        {INFINITY, "null"},
        {1e-9, "0.000000001"},
        {2.0 / 3 * 1e6, "666666.666667"},
        {1e15, "1000000000000000"},
    };
    text t = text_make(allocator_default());
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        text_free(&t);
        json_number(&t, cases[i].value);
        assert_string_equal(text_get(&t), cases[i].expected);
    }
    text_free(&t);
    json_key(&t, "a \"b\"");
    assert_string_equal(text_get(&t), "\"a \\\"b\\\"\":");
    text_free(&t);
}

static void xml_escapes(void **unused) {
    (void)unused;
    text t = text_make(allocator_default());
    xml_text(&t, "<a b=\"1\" c='2'>&\n\x02\xFF\xC2\xB0");
    assert_string_equal(text_get(&t), "&lt;a b=&quot;1&quot; c=&#39;2&#39;&gt;&amp;&#10;"
                                      "\xEF\xBF\xBD\xEF\xBF\xBD\xC2\xB0");
    text_free(&t);
}

static void utf8_is_told(void **unused) {
    (void)unused;
    const char *good[] = {"", "a", "\xC2\x80", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xF4\x8F\xBF\xBF"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
        assert_true(utf8_valid(good[i], strlen(good[i]), NULL));
    // Overlong, surrogate, too large, lone, cut short (Unicode, table 3-7).
    const char *wrong[] = {"\xC0\x80",         "\xC1\xBF",     "\xE0\x9F\xBF", "\xED\xA0\x80",
                           "\xF4\x90\x80\x80", "\xF5\x80\x80", "\x80",         "\xE2\x82"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char s[16] = "ab";
        memcpy(s + 2, wrong[i], strlen(wrong[i]));
        size_t bad = 99;
        assert_false(utf8_valid(s, strlen(s), &bad));
        assert_int_equal(bad, 2);
    }
    assert_int_equal(utf8_columns("\xC2\xB5"
                                  "A\xE2\x82\xAC",
                                  6),
                     3);
}

static void distances(void **unused) {
    (void)unused;
    assert_int_equal(text_distance("main-bus", "main-bus", 3), 0);
    assert_int_equal(text_distance("main-bus", "mian-bus", 3), 1);
    assert_int_equal(text_distance("flap", "flaps", 3), 1);
    assert_int_equal(text_distance("flap", "lap", 3), 1);
    assert_int_equal(text_distance("flap", "flop", 3), 1);
    assert_int_equal(text_distance("", "abc", 3), 3);
    assert_int_equal(text_distance("abcdef", "uvwxyz", 2), 3);
    assert_int_equal(text_distance("kitten", "sitting", 9), 3);
    // A swap in the last two letters, after a row that already stands at the limit.
    assert_int_equal(text_distance("xab", "ba", 2), 2);
    assert_true(text_equal("a", "a") && !text_equal("a", "b") && !text_equal(NULL, NULL));
}

static void survives_each_failing_request(void **unused) {
    (void)unused;
    bool done = false;
    for (long n = 0; !done; n++) {
        assert_true(n < 100);
        failing_memory memory = {.fail_at = n};
        text t = text_make(failing_allocator(&memory));
        for (int i = 0; i < 2000; i++) {
            json_string(&t, "one \"line\"\n");
            xml_text(&t, "<b>");
            text_number(&t, i / 7.0);
            text_pad(&t, t.length, 3);
        }
        done = !t.failed;
        assert_int_equal(strlen(text_get(&t)), t.length);
        text_free(&t);
        assert_int_equal(memory.blocks_out, 0);
        assert_int_equal(memory.bytes_out, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(writes_one_after_another),
        cmocka_unit_test(pads_by_characters),
        cmocka_unit_test(json_escapes),
        cmocka_unit_test(json_numbers),
        cmocka_unit_test(xml_escapes),
        cmocka_unit_test(utf8_is_told),
        cmocka_unit_test(distances),
        cmocka_unit_test(survives_each_failing_request),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
