// Every question with the n-th allocation failing, for every n: the answer says that there is no
// memory, nothing is leaked, and with enough memory the answer is the same as ever.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "deadbus.h"

typedef struct counting_memory {
    long left;  // allocations that still succeed; negative: all
    long made;
    size_t held;
} counting_memory;

static void *counting_resize(void *ctx, void *block, size_t old_size, size_t new_size) {
    counting_memory *m = ctx;
    if (new_size == 0) {
        free(block);
        m->held -= old_size;
        return NULL;
    }
    if (m->left == 0)
        return NULL;
    void *moved = realloc(block, new_size);
    if (!moved)
        return NULL;
    if (m->left > 0)
        m->left--;
    m->made++;
    m->held += new_size - old_size;
    return moved;
}

static char *bytes_of(const char *name, size_t *length) {
    char path[512];
    snprintf(path, sizeof path, "%s/%s", DEADBUS_SOURCE_DIR, name);
    FILE *f = fopen(path, "rb");
    assert_non_null(f);
    char *bytes = malloc(1 << 20);
    *length = fread(bytes, 1, 1 << 20, f);
    fclose(f);
    return bytes;
}

typedef struct question_case {
    const char *file, *command;
    const char *options[8];
} question_case;

static deadbus_question question_of(const question_case *c, const char *bytes, size_t length) {
    deadbus_question q = {.command = c->command,
                          .file_name = c->file,
                          .file = bytes,
                          .file_length = length,
                          .options = c->options};
    while (c->options[q.option_count])
        q.option_count++;
    return q;
}

static void run_starved(const question_case *c) {
    size_t length = 0;
    char *bytes = bytes_of(c->file, &length);
    deadbus_question q = question_of(c, bytes, length);
    counting_memory all = {.left = -1};
    deadbus_memory memory = {counting_resize, &all};
    deadbus_answer whole;
    deadbus_exit usual = deadbus_ask(&memory, &q, &whole);
    long needed = all.made;
    for (long n = 0; n < needed; n++) {
        counting_memory few = {.left = n};
        memory.ctx = &few;
        deadbus_answer answer;
        deadbus_exit e = deadbus_ask(&memory, &q, &answer);
        if (e != DEADBUS_NO_MEMORY)
            fail_msg("%s %s: allocation %ld failed and the exit is %d", c->command, c->file, n,
                     (int)e);
        deadbus_forget(&answer);
        if (few.held != 0)
            fail_msg("%s %s: allocation %ld failed and %zu bytes leak", c->command, c->file, n,
                     few.held);
    }
    memory.ctx = &all;
    deadbus_forget(&whole);
    assert_int_equal(all.held, 0);
    counting_memory exact = {.left = needed};
    memory.ctx = &exact;
    deadbus_answer again;
    assert_int_equal(deadbus_ask(&memory, &q, &again), usual);
    deadbus_forget(&again);
    assert_int_equal(exact.held, 0);
    print_message("%s %s: %ld allocations\n", c->command, c->file, needed);
    free(bytes);
}

static const question_case CASES[] = {
    {"aircraft/bowline.yaml", "check", {NULL}},
    {"aircraft/bowline.yaml", "check", {"--json"}},
    {"aircraft/bowline.yaml", "show", {NULL}},
    {"aircraft/bowline.yaml", "show", {"--faults"}},
    {"aircraft/bowline.yaml", "show", {"--json"}},
    {"aircraft/bowline.yaml", "show", {"--csv"}},
    {"aircraft/bowline.yaml", "state", {"--phase", "cruise", "--fail", "alternator=dead"}},
    {"aircraft/clove.yaml",
     "state",
     {"--phase", "approach", "--fail", "left-bus=short", "--fail", "right-alternator=low",
      "--json"}},
    {"aircraft/sheetbend.yaml", "draw", {"--phase", "cruise", "--fail", "alternator=dead"}},
    {"aircraft/bowline.yaml", "state", {"--phase", "nowhere", "--fail", "alternator=broken"}},
    {"README.md", "check", {NULL}},
    {"aircraft/bowline.yaml", "schema", {NULL}},
};

static void every_question(void **ignored) {
    (void)ignored;
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
        run_starved(&CASES[i]);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_question)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
