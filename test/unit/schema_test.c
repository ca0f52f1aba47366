// What is written from the table of fields is the same as what stands in the repository. With
// DEADBUS_BLESS=1 in the environment the files are written anew instead.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/field_table.h"
#include "model/scenario.h"
#include "model/schema.h"

static void compare(const char *path, const text *made) {
    if (getenv("DEADBUS_BLESS")) {
        FILE *f = fopen(path, "wb");
        assert_non_null(f);
        fwrite(text_get(made), 1, made->length, f);
        fclose(f);
        return;
    }
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char *there = malloc(made->length + 2);
    size_t n = fread(there, 1, made->length + 1, f);
    there[n] = 0;
    fclose(f);
    assert_string_equal(there, text_get(made));
    free(there);
}

static void format_page_is_current(void **unused) {
    (void)unused;
    text t = text_make(allocator_default());
    assert_int_equal(format_page_write(&t), STATUS_OK);
    compare(DEADBUS_SOURCE_DIR "/docs/format.md", &t);
    text_free(&t);
}

static void dictionary_is_current(void **unused) {
    (void)unused;
    text t = text_make(allocator_default());
    assert_int_equal(dictionary_write(&t), STATUS_OK);
    compare(DEADBUS_TEST_DIR "/fuzz/aircraft.dict", &t);
    text_free(&t);
}

static void schema_is_current(void **unused) {
    (void)unused;
    text t = text_make(allocator_default());
    assert_int_equal(schema_write(&t), STATUS_OK);
    compare(DEADBUS_TEST_DIR "/case/aircraft.schema.json", &t);
    text_free(&t);
}

static void scenario_texts_are_current(void **unused) {
    (void)unused;
    static const struct {
        status (*write)(text *out);
        const char *path;
    } TEXTS[] = {
        {scenario_page_write, DEADBUS_SOURCE_DIR "/docs/scenario.md"},
        {scenario_dictionary_write, DEADBUS_TEST_DIR "/fuzz/scenario.dict"},
        {scenario_schema_write, DEADBUS_TEST_DIR "/case/scenario.schema.json"},
    };
    for (int i = 0; i < 3; i++) {
        text t = text_make(allocator_default());
        assert_int_equal(TEXTS[i].write(&t), STATUS_OK);
        compare(TEXTS[i].path, &t);
        text_free(&t);
    }
}

// Every key stands on some kind, every kind has a value, no kind has two rows for one key.
static void table_is_whole(void **unused) {
    (void)unused;
    for (int k = 0; k < KIND_COUNT; k++)
        assert_non_null(field_find((part_kind)k, KEY_VALUE));
    for (int key = 1; key < KEY_COUNT; key++) {
        assert_true(field_kinds((part_key)key) != 0);
        uint64_t seen = 0;
        for (int i = 0; i < field_count(); i++) {
            const field *f = field_at(i);
            if ((int)f->key != key)
                continue;
            assert_true((seen & f->kinds) == 0);
            seen |= f->kinds;
            assert_true(f->doc && *f->doc && f->example && *f->example);
            if (f->units && field_written(f))
                assert_true(f->high > f->low);
            if (f->assumed && field_written(f)) {
                double scale = f->default_unit == UNIT_WATT ? 28 : 1;
                assert_true(f->default_28 >= f->low && f->default_28 <= f->high * scale);
                assert_true(f->default_14 >= f->low && f->default_14 <= f->high * scale);
            }
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(format_page_is_current), cmocka_unit_test(dictionary_is_current),
        cmocka_unit_test(schema_is_current),      cmocka_unit_test(scenario_texts_are_current),
        cmocka_unit_test(table_is_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
