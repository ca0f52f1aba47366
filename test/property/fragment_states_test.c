// What real aeroplanes contain, each fragment in a small aeroplane of its own, does more than read:
// random states of it settle by the laws that the demo aircraft are held to, and every command has
// a well-formed answer about each of its faults.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/kernel.h"
#include "support/fragment_files.h"
#include "support/subject_laws.h"
#include "support/whole_answers.h"

enum { STATES = 400, FAULTS_AT_ONCE = 2, FILE_ROOM = 1 << 16 };

static char all[FILE_ROOM];
static fragment pieces[FRAGMENTS_MOST];
static int piece_count;

static int split_fragments(void **unused) {
    (void)unused;
    FILE *f = fopen(DEADBUS_TEST_DIR "/case/fragments.yaml", "rb");
    if (!f)
        return -1;
    size_t length = fread(all, 1, sizeof all - 1, f);
    fclose(f);
    piece_count = fragments_split(all, pieces, FRAGMENTS_MOST);
    return length < sizeof all - 1 && piece_count > 50 ? 0 : -1;
}

// With a phase in which the engine runs and the usual switches are on, unless it has its own.
static void file_of(int i, text *t) {
    *t = text_make(allocator_default());
    fragment_file(&pieces[0], &pieces[i], t);
    if (!strstr(text_get(t), "\nphases:"))
        text_put(t, "phases:\n"
                    "  parked: {on: []}\n"
                    "  cruise: {airborne: yes, engine: 2400 rpm, "
                    "on: [battery-switch, alternator-switch]}\n");
}

static void states_of_fragments_obey_the_laws(void **unused) {
    (void)unused;
    int bad = 0, chattering = 0, live = 0;
    laws_met most = {0};
    for (int i = 1; i < piece_count; i++) {
        text file;
        file_of(i, &file);
        subject s;
        assert_true(subject_open_bytes(&s, pieces[i].name, text_get(&file), file.length));
        int before = bad;
        for (int n = 0; n < STATES; n++) {
            subject_draw(&s, 611u + (unsigned)i, n, FAULTS_AT_ONCE);
            subject_settle(&s);
            if (s.view.solution.settled == SETTLED_CHATTERS) {
                chattering++;  // nothing settles: lowest and highest are told instead
                continue;
            }
            live += s.view.solution.settled == SETTLED_YES;
            bad += !subject_obeys(&s, &most);
        }
        if (bad > before)
            print_message("%s: %d states break a law\n", pieces[i].name, bad - before);
        assert_int_equal(s.solver->work->bad_pivots, 0);
        subject_close(&s);
        text_free(&file);
    }
    print_message("%d states settled, %d chatter\n", live, chattering);
    assert_int_equal(bad, 0);
    assert_true(live > piece_count * STATES / 2);
}

static void every_fault_of_every_fragment_is_answered(void **unused) {
    (void)unused;
    static const char *const plain[][2] = {
        {"check", NULL},    {"check", "--json"}, {"show", NULL},      {"show", "--csv"},
        {"show", "--json"}, {"state", NULL},     {"state", "--json"}, {"draw", NULL}};
    int asked = 0;
    for (int i = 1; i < piece_count; i++) {
        text file;
        file_of(i, &file);
        asking k = {pieces[i].name, &file, 0};
        for (size_t n = 0; n < sizeof plain / sizeof plain[0]; n++)
            ask_whole(&k, plain[n][0], plain[n][1], NULL);
        subject s;
        assert_true(subject_open_bytes(&s, pieces[i].name, text_get(&file), file.length));
        ask_every_fault(&k, s.aircraft);
        subject_close(&s);
        text_free(&file);
        asked += k.asked;
    }
    print_message("%d questions\n", asked);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(states_of_fragments_obey_the_laws),
        cmocka_unit_test(every_fault_of_every_fragment_is_answered),
    };
    return cmocka_run_group_tests(tests, split_fragments, NULL);
}
