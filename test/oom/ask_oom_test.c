// Every entry point with the n-th allocation failing, for every n, alone and with all that follow:
// the answer says that there is no memory, nothing is leaked, and with just enough memory the
// answer is the same as ever.
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "deadbus.h"

typedef struct counting_memory {
    long left;  // allocations that still succeed; negative: all
    bool once;  // one fails, those after it succeed: a failure must not be forgotten meanwhile
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
    if (m->left == 0) {
        m->left = m->once ? -1 : 0;
        return NULL;
    }
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

// A question of deadbus_ask, or with `command` "help" a topic of deadbus_help.
typedef struct question_case {
    const char *file, *command;
    const char *options[8];  // the last is no option: the scenario of `run`
} question_case;

enum { SCENARIO = 7 };

// One question and what it needs.
typedef struct question {
    const question_case *from;
    deadbus_question asked;
} question;

static deadbus_exit put(const question *q, counting_memory *m, deadbus_answer *answer) {
    deadbus_memory memory = {counting_resize, m};
    if (strcmp(q->from->command, "help") == 0)
        return deadbus_help(&memory, q->from->options[0], answer);
    return deadbus_ask(&memory, &q->asked, answer);
}

static void run_short_of(const question *q, long n, bool once) {
    counting_memory few = {.left = n, .once = once};
    deadbus_answer answer;
    deadbus_exit e = put(q, &few, &answer);
    const char *command = q->from->command, *file = q->from->file;
    const char *how = once ? "alone" : "and all after it";
    if (e != DEADBUS_NO_MEMORY || answer.exit != e || answer.out || answer.messages)
        fail_msg("%s %s: allocation %ld failed %s and the exit is %d", command, file, n, how,
                 (int)e);
    deadbus_forget(&answer);
    if (few.held != 0)
        fail_msg("%s %s: allocation %ld failed %s and %zu bytes leak", command, file, n, how,
                 few.held);
}

static const char empty_page[] = "<title><!--title--></title><body><!--aeroplane--></body>";

static void run_starved(const question_case *c) {
    size_t length = 0;
    char *bytes = c->file[0] ? bytes_of(c->file, &length) : NULL;
    question q = {c,
                  {.command = c->command,
                   .file_name = c->file,
                   .file = bytes,
                   .file_length = length,
                   .options = c->options,
                   .empty_page = empty_page,
                   .empty_page_length = sizeof empty_page - 1}};
    char *played =
        c->options[SCENARIO] ? bytes_of(c->options[SCENARIO], &q.asked.scenario_length) : NULL;
    q.asked.scenario = played;
    while (c->options[q.asked.option_count])
        q.asked.option_count++;
    counting_memory all = {.left = -1};
    deadbus_answer whole;
    deadbus_exit usual = put(&q, &all, &whole);
    long needed = all.made;
    assert_int_not_equal(usual, DEADBUS_NO_MEMORY);
    assert_true(needed > 0);
    for (long n = 0; n < needed; n++) {
        run_short_of(&q, n, false);
        run_short_of(&q, n, true);
    }
    counting_memory exact = {.left = needed};
    deadbus_answer again;
    assert_int_equal(put(&q, &exact, &again), usual);
    assert_string_equal(again.out, whole.out);
    assert_string_equal(again.messages, whole.messages);
    deadbus_forget(&again);
    deadbus_forget(&whole);
    assert_int_equal(exact.held, 0);
    assert_int_equal(all.held, 0);
    print_message("%s %s %s: %ld allocations\n", c->command, c->file,
                  c->options[0] ? c->options[0] : "", needed);
    free(bytes);
    free(played);
}

static void run_all(const question_case *cases, size_t count) {
    for (size_t i = 0; i < count; i++)
        run_starved(&cases[i]);
}

static void checks(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"aircraft/bowline.yaml", "check", {NULL}},
        {"aircraft/bowline.yaml", "check", {"--json"}},
        {"test/case/bad/many-mistakes.yaml", "check", {NULL}},
        {"test/case/bad/many-mistakes.yaml", "check", {"--json"}},
        {"test/case/bad/island.yaml", "check", {NULL}},
        {"test/case/solved/other-volts.yaml", "check", {NULL}},
        {"test/case/solved/bare-feeders.yaml", "check", {NULL}},
        {"README.md", "check", {NULL}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void lists(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"aircraft/bowline.yaml", "show", {NULL}},
        {"aircraft/bowline.yaml", "show", {"--faults"}},
        {"aircraft/bowline.yaml", "show", {"--json"}},
        {"aircraft/bowline.yaml", "show", {"--csv"}},
        {"aircraft/reef.yaml", "show", {"--normal"}},
        {"test/case/bad/many-mistakes.yaml", "show", {NULL}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void states(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"aircraft/bowline.yaml", "state", {"--phase", "cruise", "--fail", "alternator=dead"}},
        {"aircraft/bowline.yaml",
         "state",
         {"--set", "flap-switch=UP", "--set", "night=yes", "--before-trip", "--charge=50%"}},
        {"aircraft/clove.yaml",
         "state",
         {"--phase", "approach", "--fail", "left-bus=short", "--fail", "right-alternator=low",
          "--json"}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void endurances(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"aircraft/bowline.yaml",
         "endurance",
         {"--within", "40s", "--noticed=20s", "--shed", "gps=off", "--keep", "communication"}},
        {"aircraft/reef.yaml", "endurance", {"--within", "20s", "--json"}},
        {"aircraft/reef.yaml", "shed", {NULL}},
        {"aircraft/reef.yaml", "endurance", {"--keep", "comunication", "--shed", "night=yes"}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void scenarios(void **ignored) {
    (void)ignored;
    static const char *const SHORT = "test/case/short-scenario.yaml";
    const question_case cases[] = {
        {"aircraft/reef.yaml", "run", {[SCENARIO] = SHORT}},
        {"aircraft/reef.yaml", "run", {"--json", [SCENARIO] = SHORT}},
        {"aircraft/reef.yaml", "run", {"--csv", [SCENARIO] = SHORT}},
        {"aircraft/reef.yaml", "run", {[SCENARIO] = "test/case/bad-scenario/many-mistakes.yaml"}},
        {"aircraft/reef.yaml", "run", {NULL}},
        {"aircraft/reef.yaml", "state", {"--at", "20s", "--json", [SCENARIO] = SHORT}},
        {"aircraft/reef.yaml", "draw", {"--at", "20s", [SCENARIO] = SHORT}},
        {"", "schema", {"--scenario"}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void drawings(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"aircraft/sheetbend.yaml", "draw", {"--phase", "cruise", "--fail", "alternator=dead"}},
        {"aircraft/reef.yaml", "draw", {"--width", "390", "--theme", "print"}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void mistakes_in_the_question(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"aircraft/bowline.yaml", "state", {"--phase", "nowhere", "--fail", "alternator=broken"}},
        {"aircraft/bowline.yaml",
         "state",
         {"--set", "flap-switch=SIDEWAYS", "--set", "main-bus=on", "--fail", "flops=dead"}},
        {"aircraft/bowline.yaml", "state", {"--fase", "cruise", "--width=9", "--charge", "200%"}},
        {"aircraft/bowline.yaml", "schema", {NULL}},
        {"aircraft/bowline.yaml", "chek", {NULL}},
        {"", "state", {NULL}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void without_a_file(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"", "schema", {NULL}},       {"", "help", {"", NULL}},     {"", "help", {"state", NULL}},
        {"", "help", {"man", NULL}},  {"", "help", {"bash", NULL}}, {"", "help", {"zsh", NULL}},
        {"", "help", {"fish", NULL}}, {"", "help", {"stat", NULL}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void in_json(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {
        {"aircraft/reef.yaml",
         "ask",
         {"--question", "{\"ask\":\"state\",\"fail\":[\"generator=dead\"]}", NULL}},
        {"test/case/bad/many-mistakes.yaml", "ask", {"--question", "{\"ask\":\"check\"}", NULL}},
        {"aircraft/reef.yaml", "ask", {"--question", "{\"ask\":[1,\"x\"]}", NULL}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

static void pages(void **ignored) {
    (void)ignored;
    static const question_case cases[] = {{"aircraft/reef.yaml", "page", {NULL}}};
    run_all(cases, sizeof cases / sizeof cases[0]);
}

// A card runs its batteries down: a small aeroplane, for the sake of time.
static void cards(void **ignored) {
    (void)ignored;
    static const char *const SMALL = "test/case/card/small.yaml";
    const question_case cases[] = {
        {SMALL, "card", {NULL}},
        {SMALL, "card", {"--json"}},
        {SMALL, "card", {"--paper", "half-letter", "--form", "html"}},
        {SMALL, "card", {"--form", "svg"}},
        {SMALL, "card", {"--form", "pdf"}},
    };
    run_all(cases, sizeof cases / sizeof cases[0]);
}

// Memory fails while an open aircraft is asked: the next question gets the usual answer.
static void an_open_aircraft(void **ignored) {
    (void)ignored;
    size_t length;
    char *bytes = bytes_of("aircraft/reef.yaml", &length);
    static const char question[] = "{\"ask\":\"state\",\"fail\":[\"generator=dead\"]}";
    deadbus_question fresh = {.file = bytes, .file_length = length};
    deadbus_answer usual;
    deadbus_ask_json(NULL, &fresh, question, sizeof question - 1, &usual);
    bool whole = false;
    for (long n = 0; !whole; n += n < 60 ? 1 : 17) {
        counting_memory few = {.left = n, .once = true};
        deadbus_memory memory = {counting_resize, &few};
        deadbus_opened *opened = NULL;
        deadbus_exit e = deadbus_open(&memory, bytes, length, &opened);
        if (e == DEADBUS_NO_MEMORY) {
            assert_null(opened);
        } else {
            deadbus_question about = {.opened = opened};
            deadbus_answer answer;
            for (int i = 0; i < 3; i++) {
                whole = few.left > 0;
                if (i == 2)
                    few.left = -1;
                e = deadbus_ask_json(&memory, &about, question, sizeof question - 1, &answer);
                if (e != DEADBUS_NO_MEMORY)
                    assert_string_equal(answer.out, usual.out);
                deadbus_forget(&answer);
            }
            assert_int_not_equal(e, DEADBUS_NO_MEMORY);
        }
        deadbus_close(opened);
        assert_int_equal(few.held, 0);
    }
    deadbus_forget(&usual);
    free(bytes);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(checks),         cmocka_unit_test(lists),
        cmocka_unit_test(states),         cmocka_unit_test(endurances),
        cmocka_unit_test(scenarios),      cmocka_unit_test(drawings),
        cmocka_unit_test(without_a_file), cmocka_unit_test(mistakes_in_the_question),
        cmocka_unit_test(in_json),        cmocka_unit_test(pages),
        cmocka_unit_test(cards),          cmocka_unit_test(an_open_aircraft),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
