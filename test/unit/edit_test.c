// An edit changes only the bytes of what it sets.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/edit.h"
#include "support/failing_memory.h"

static const char SOURCE[] =
    "deadbus: 1\r\n"
    "aircraft: {nominal: 28 V}   # volts\r\n"
    "parts:\r\n"
    "  battery:   {battery: 24 V, capacity: 10 Ah at 1 h}  # \xC3\xA9 new\r\n"
    "  hot-fuse:  {fuse: 3 A, from: battery}\r\n"
    "  clock:\r\n"
    "    equipment: 6 mA   # measured once\r\n"
    "    from: hot-fuse\r\n"
    "  # end\r\n";

static edit_field one(part_key key, const char *const *value) {
    return (edit_field){.key = key, .values = value, .count = 1};
}

static void expect_set(const char *id, part_key key, const char *value, const char *old,
                       const char *new_text) {
    text out = text_make(allocator_default());
    findings f = findings_make(allocator_default());
    assert_int_equal(
        edit_set(allocator_default(), SOURCE, strlen(SOURCE), id, one(key, &value), &out, &f),
        STATUS_OK);
    char expected[1024];
    const char *at = strstr(SOURCE, old);
    assert_non_null(at);
    snprintf(expected, sizeof expected, "%.*s%s%s", (int)(at - SOURCE), SOURCE, new_text,
             at + strlen(old));
    assert_string_equal(text_get(&out), expected);
    text_free(&out);
    findings_free(&f);
}

static void only_the_value_changes(void **unused) {
    (void)unused;
    expect_set("battery", KEY_CAPACITY, "8 Ah at 1 h measured 2026-03-02", "10 Ah at 1 h",
               "8 Ah at 1 h measured 2026-03-02");
    expect_set("battery", KEY_VALUE, "25 V", "24 V", "25 V");
    expect_set("clock", KEY_VALUE, "7 mA", "6 mA", "7 mA");
    expect_set("clock", KEY_FROM, "battery", "from: hot-fuse", "from: battery");
    expect_set("hot-fuse", KEY_LABEL, "HOT, #1", "from: battery}",
               "from: battery, label: \"HOT, #1\"}");
    expect_set("clock", KEY_NOTE, "quartz", "from: hot-fuse\r\n",
               "from: hot-fuse\r\n    note: quartz\r\n");
}

static void what_cannot_be_set_is_said(void **unused) {
    (void)unused;
    const char *value = "1 A";
    text out = text_make(allocator_default());
    findings f = findings_make(allocator_default());
    assert_int_equal(edit_set(allocator_default(), SOURCE, strlen(SOURCE), "radio",
                              one(KEY_VALUE, &value), &out, &f),
                     STATUS_BAD_REQUEST);
    assert_int_equal(f.errors, 1);
    text_free(&out);
    findings_free(&f);
}

static void new_line_stands_in_order_beside_its_neighbor(void **unused) {
    (void)unused;
    const char *draws[] = {"2 A"};
    const char *from[] = {"hot-fuse"};
    const char *gives[] = {"time", "date"};
    const char *label[] = {"ONE: TWO"};
    const edit_field fields[] = {
        {.key = KEY_LABEL, .values = label, .count = 1},
        {.key = KEY_GIVES, .values = gives, .count = 2},
        {.key = KEY_FROM, .values = from, .count = 1, .list = true},
        {.key = KEY_VALUE, .values = draws, .count = 1},
    };
    edit_line line = {.id = "gps", .kind = KIND_EQUIPMENT, .fields = fields, .count = 4};
    text out = text_make(allocator_default());
    findings f = findings_make(allocator_default());
    assert_int_equal(
        edit_add(allocator_default(), SOURCE, strlen(SOURCE), "battery", line, &out, &f),
        STATUS_OK);
    assert_non_null(strstr(text_get(&out),
                           "# \xC3\xA9 new\r\n"
                           "  gps:       {equipment: 2 A, from: [hot-fuse], gives: [time, date], "
                           "label: \"ONE: TWO\"}\r\n"
                           "  hot-fuse:"));
    text_free(&out);
    findings_free(&f);
}

static void wide_line_takes_a_key_a_line(void **unused) {
    (void)unused;
    char wide[121];
    memset(wide, 'x', 120);
    wide[120] = 0;
    const char *draws[] = {"2 A"};
    const char *note[] = {wide};
    const edit_field fields[] = {{.key = KEY_NOTE, .values = note, .count = 1},
                                 {.key = KEY_VALUE, .values = draws, .count = 1}};
    text out = text_make(allocator_default());
    edit_write_line(&out,
                    (edit_line){.id = "gps", .kind = KIND_EQUIPMENT, .fields = fields, .count = 2},
                    2, 14, "\n");
    char expected[256];
    snprintf(expected, sizeof expected, "  gps:\n    equipment: 2 A\n    note: %s", wide);
    assert_string_equal(text_get(&out), expected);
    text_free(&out);
}

static void written_back_byte_for_byte(void **unused) {
    (void)unused;
    findings f = findings_make(allocator_default());
    aircraft *a = NULL;
    assert_int_equal(aircraft_read(allocator_default(), SOURCE, strlen(SOURCE), &a, &f), STATUS_OK);
    text out = text_make(allocator_default());
    assert_int_equal(aircraft_write(a, &out), STATUS_OK);
    assert_int_equal(out.length, strlen(SOURCE));
    assert_memory_equal(out.data, SOURCE, out.length);
    text_free(&out);
    aircraft_free(a);
    findings_free(&f);
}

static void memory_may_end_anywhere(void **unused) {
    (void)unused;
    const char *value = "7 mA";
    for (long n = 0;; n++) {
        failing_memory m = {.fail_at = n};
        text out = text_make(failing_allocator(&m));
        findings f = findings_make(failing_allocator(&m));
        status s = edit_set(failing_allocator(&m), SOURCE, strlen(SOURCE), "clock",
                            one(KEY_VALUE, &value), &out, &f);
        text_free(&out);
        findings_free(&f);
        assert_int_equal(m.blocks_out, 0);
        if (s == STATUS_OK)
            break;
        assert_int_equal(s, STATUS_NO_MEMORY);
        assert_true(n < 10000);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_the_value_changes),
        cmocka_unit_test(what_cannot_be_set_is_said),
        cmocka_unit_test(new_line_stands_in_order_beside_its_neighbor),
        cmocka_unit_test(wide_line_takes_a_key_a_line),
        cmocka_unit_test(written_back_byte_for_byte),
        cmocka_unit_test(memory_may_end_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
