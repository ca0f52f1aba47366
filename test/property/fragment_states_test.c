// What real aeroplanes contain, each fragment in a small aeroplane of its own, does more than read:
// random states of it settle by the laws that the demo aircraft are held to, and every command has
// a well-formed answer about each of its faults.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/kernel.h"
#include "deadbus.h"
#include "fuzz/well_formed.h"
#include "support/fleet_states.h"
#include "support/fragment_files.h"
#include "support/settled_check.h"

// See settled_test.c: less than this can't be told in voltages of 32 V through 0.1 mohm.
#define ROUNDING_AMPS 3.6e-11
#define MOST_VOLTS    34.0

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

static bool obeys(const subject *s) {
    settled_check k =
        check_settled(&s->solver->made->circuit, &s->view.settled.job, &s->view.solution);
    bool currents = k.residual <= 1e-9 || k.residual * k.largest_amps <= ROUNDING_AMPS;
    bool powers = k.imbalance <= 1e-9 || k.imbalance * k.watts <= ROUNDING_AMPS * MOST_VOLTS;
    if (!currents || !powers || k.broken_rules)
        print_message("%s\n    residual %.2e, imbalance %.2e, %d rules (%s)\n", subject_words(s),
                      k.residual, k.imbalance, k.broken_rules,
                      k.first_broken ? k.first_broken : "-");
    return currents && powers && k.broken_rules == 0;
}

static void states_of_fragments_obey_the_laws(void **unused) {
    (void)unused;
    int bad = 0, chattering = 0, live = 0;
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
            bad += !obeys(&s);
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

typedef struct asking {
    const char *name;
    const text *file;
    int asked;
} asking;

static void ask(asking *k, const char *command, const char *option, const char *value) {
    const char *const options[] = {option, value};
    deadbus_question q = {.command = command,
                          .file_name = k->name,
                          .file = text_get(k->file),
                          .file_length = k->file->length,
                          .options = options,
                          .option_count = value    ? 2
                                          : option ? 1
                                                   : 0};
    deadbus_answer a;
    deadbus_exit e = deadbus_ask(NULL, &q, &a);
    if (e != DEADBUS_DONE)
        fail_msg("%s: %s %s %s ends with %d: %s", k->name, command, option ? option : "",
                 value ? value : "", (int)e, a.messages);
    bool whole = well_formed_utf8(a.out, a.out_length) && a.out_length > 0;
    if (option && strcmp(option, "--json") == 0)
        whole = whole && well_formed_json(a.out, a.out_length);
    if (strcmp(command, "draw") == 0)
        whole = whole && well_formed_xml(a.out);
    if (!whole)
        fail_msg("%s: the answer of %s %s %s isn't whole", k->name, command, option ? option : "",
                 value ? value : "");
    deadbus_forget(&a);
    k->asked++;
}

static void ask_faults(asking *k, const aircraft *a) {
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        uint32_t can = p->fitted & FITTED_ABSENT ? 0 : kind_faults(p->kind, p->electric);
        for (int kind = 1; kind < FAULT_COUNT; kind++) {
            char pair[128];
            if (!(can >> kind & 1u))
                continue;
            snprintf(pair, sizeof pair, "--fail=%s=%s", p->id, fault_word((fault_kind)kind));
            ask(k, "state", pair, NULL);
        }
    }
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
            ask(&k, plain[n][0], plain[n][1], NULL);
        subject s;
        assert_true(subject_open_bytes(&s, pieces[i].name, text_get(&file), file.length));
        ask_faults(&k, s.aircraft);
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
