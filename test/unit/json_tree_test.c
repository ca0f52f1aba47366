// JSON read into a tree, beside the YAML reader, which reads it too.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "model/json_tree.h"

typedef struct reading_of {
    arena memory;
    findings found;
    yaml_tree tree;
} reading_of;

static reading_of read_it(const char *text,
                          status (*reads)(arena *, const char *, size_t, findings *, yaml_tree *)) {
    reading_of r = {.memory = arena_make(allocator_default()),
                    .found = findings_make(allocator_default())};
    assert_int_equal(reads(&r.memory, text, strlen(text), &r.found, &r.tree), STATUS_OK);
    return r;
}

static void forget(reading_of *r) {
    arena_free(&r->memory);
    findings_free(&r->found);
}

static void same(const node *a, const node *b) {
    assert_int_equal(a->type, b->type);
    assert_int_equal(a->count, b->count);
    assert_int_equal(a->key != NULL, b->key != NULL);
    if (a->key)
        same(a->key, b->key);
    if (a->type == NODE_TEXT) {
        assert_int_equal(a->style, b->style);
        assert_int_equal(a->length, b->length);
        assert_memory_equal(a->text, b->text, a->length + 1);
    }
    const node *x = a->first, *y = b->first;
    for (; x && y; x = x->next, y = y->next)
        same(x, y);
    assert_true(!x && !y);
}

static void as_the_yaml_reader(void **x) {
    (void)x;
    static const char *const TEXTS[] = {
        "{\"ask\":\"state\"}",
        "{\"ask\":\"state\",\"fail\":[\"a=dead\",\"b=open\"],\"set\":{\"bat\":\"OFF\"},\"n\":12.5}",
        " { \"a\" : [ true , false , -1.5e3 ] , \"b\" : { } , \"c\" : [ ] } ",
        "{\"quoted\":\"a \\\"b\\\" \\\\ \\n \\t \\u00e9 \\u20ac\",\"empty\":\"\"}",
        "{\"plain\":\"\xc3\xa9\xe2\x82\xac\xf0\x9f\x9b\xa9\"}",
        "[[[1],[2]],\"three\"]",
        "\"alone\"",
    };
    for (size_t i = 0; i < sizeof TEXTS / sizeof TEXTS[0]; i++) {
        reading_of json = read_it(TEXTS[i], json_tree_read);
        reading_of yaml = read_it(TEXTS[i], yaml_tree_read);
        if (json.found.count > 0 || yaml.found.count > 0)
            fail_msg("%s: %s", TEXTS[i], (json.found.count ? json : yaml).found.items[0].text);
        assert_non_null(json.tree.root);
        same(json.tree.root, yaml.tree.root);
        forget(&json);
        forget(&yaml);
    }
}

// What YAML 1.1 has no word for; RFC 8259, section 7.
static void escapes_of_its_own(void **x) {
    (void)x;
    reading_of json = read_it("[\"\\/ \\b\\f\\r \\ud83d\\udee9 \\uD834\\uDD1E\"]", json_tree_read);
    assert_int_equal(json.found.count, 0);
    assert_string_equal(json.tree.root->first->text, "/ \b\f\r \xf0\x9f\x9b\xa9 \xf0\x9d\x84\x9e");
    forget(&json);
}

static void what_is_no_json(void **x) {
    (void)x;
    static const char *const TEXTS[] = {
        "",
        "{",
        "{\"a\"}",
        "{\"a\":}",
        "{\"a\":1,}",
        "{a:1}",
        "[1,,2]",
        "[1 2]",
        "{} {}",
        "\"open",
        "\"bad \\x\"",
        "\"half \\u12\"",
        "\"alone \\ud83d\"",
        "\"turned \\udee9\\ud83d\"",
        "\"ends here \\u0000\"",
        "\"a\nb\"",
        "deadbus: 1\nparts: {}\n",
        "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]",
    };
    for (size_t i = 0; i < sizeof TEXTS / sizeof TEXTS[0]; i++) {
        reading_of json = read_it(TEXTS[i], json_tree_read);
        if (json.found.errors != 1 || json.tree.root)
            fail_msg("%s: %d errors", TEXTS[i], json.found.errors);
        forget(&json);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_the_yaml_reader),
        cmocka_unit_test(escapes_of_its_own),
        cmocka_unit_test(what_is_no_json),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
