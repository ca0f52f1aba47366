#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>

#include <string.h>

#include "base/arena.h"
#include "support/failing_memory.h"

static void blocks_are_zeroed_apart_and_aligned(void **unused) {
    (void)unused;
    failing_memory memory = {.fail_at = -1};
    arena a = arena_make(failing_allocator(&memory));
    unsigned char *made[300];
    for (size_t i = 0; i < 300; i++) {
        size_t alignment = (size_t)1 << (i % 7);
        made[i] = arena_new_aligned(&a, i, 7, alignment);
        assert_non_null(made[i]);
        assert_int_equal((uintptr_t)made[i] % (alignment < 16 ? 16 : alignment), 0);
        for (size_t k = 0; k < i * 7; k++)
            assert_int_equal(made[i][k], 0);
        memset(made[i], (int)i, i * 7);
    }
    for (size_t i = 0; i < 300; i++)
        for (size_t k = 0; k < i * 7; k++)
            assert_int_equal(made[i][k], (unsigned char)i);
    assert_false(a.failed);
    arena_free(&a);
    assert_int_equal(memory.blocks_out, 0);
    assert_int_equal(memory.bytes_out, 0);
}

static void too_much_is_refused(void **unused) {
    (void)unused;
    failing_memory memory = {.fail_at = -1};
    arena a = arena_make(failing_allocator(&memory));
    assert_non_null(arena_new(&a, 0, 8));
    assert_null(arena_new(&a, SIZE_MAX / 2, 4));
    assert_true(a.failed);
    arena_free(&a);
    assert_false(a.failed);
    assert_null(arena_new(&a, 1, SIZE_MAX - 8));
    assert_true(a.failed);
    assert_null(arena_text(&a, "x", SIZE_MAX));
    arena_free(&a);
    assert_int_equal(memory.blocks_out, 0);
}

// What an ordinary user of an arena does; false as soon as there is no memory.
static bool fill(arena *a) {
    int *items = NULL;
    int capacity = 0;
    for (int i = 0; i < 5000; i++) {
        int *grown = arena_grow(a, items, &capacity, i + 1, sizeof *items);
        if (!grown)
            return false;
        items = grown;
        items[i] = i;
        if (i % 50 == 0 && !arena_text(a, "a word", 6))
            return false;
    }
    for (int i = 0; i < 5000; i++)
        assert_int_equal(items[i], i);
    return arena_new(a, 100, 1000) != NULL;
}

static void survives_each_failing_request(void **unused) {
    (void)unused;
    bool done = false;
    for (long n = 0; !done; n++) {
        assert_true(n < 1000);
        failing_memory memory = {.fail_at = n};
        arena a = arena_make(failing_allocator(&memory));
        done = fill(&a);
        assert_int_equal(a.failed, !done);
        arena_free(&a);
        assert_int_equal(memory.blocks_out, 0);
        assert_int_equal(memory.bytes_out, 0);
    }
}

static void default_memory_works(void **unused) {
    (void)unused;
    allocator a = allocator_default();
    char *block = memory_new(a, 100);
    assert_non_null(block);
    assert_int_equal(block[99], 0);
    memory_free(a, block, 100);
    assert_null(memory_new(a, 0));
    memory_free(a, NULL, 0);
    arena made = arena_make(a);
    assert_string_equal(arena_text(&made, "hello there", 5), "hello");
    arena_free(&made);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blocks_are_zeroed_apart_and_aligned),
        cmocka_unit_test(too_much_is_refused),
        cmocka_unit_test(survives_each_failing_request),
        cmocka_unit_test(default_memory_works),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
