// The question that eight bytes stand for, asked of the file that follows them: the command, its
// form, and for a state a phase, positions and faults in the file's own words. Shared by the fuzz
// target and by the test that asks again what it once found.
#ifndef DEADBUS_TEST_FUZZ_QUESTION_H
#define DEADBUS_TEST_FUZZ_QUESTION_H

#include <stdint.h>

#include "ask/state_asker.h"
#include "base/text.h"
#include "fuzz/fuzz_answer.h"

enum { FUZZ_CHOICES = 8, FUZZ_WORDS = 24, FUZZ_WORD_ROOM = 256 };

// Which choice each of the eight bytes makes.
enum {
    CHOOSE_COMMAND,
    CHOOSE_PHASE,
    CHOOSE_SET_PART,
    CHOOSE_SET_WORD,
    CHOOSE_FAIL_PART,
    CHOOSE_FAIL_KIND,
    CHOOSE_MORE,  // further faults and positions, in steps through the parts
    CHOOSE_FORM,
};

typedef struct fuzz_words {
    const char *list[FUZZ_WORDS];
    int count;
    char room[FUZZ_WORDS][FUZZ_WORD_ROOM];
} fuzz_words;

static inline void fuzz_word(fuzz_words *w, const char *a, const char *b, const char *c) {
    if (w->count == FUZZ_WORDS)
        return;
    snprintf(w->room[w->count], FUZZ_WORD_ROOM, "%s%s%s", a, b, c);
    w->list[w->count] = w->room[w->count];
    w->count++;
}

static inline void fuzz_set_word(fuzz_words *w, const aircraft *a, int which, unsigned choice) {
    static const char *const anyhow[] = {"on", "off", "50%", "0%", "-1", "2400 rpm", "", "in"};
    text all = text_make(allocator_default());
    position_words(a, which, &all);
    char word[FUZZ_WORD_ROOM] = "";
    const char *from = text_get(&all);
    for (unsigned skip = choice % 6; skip > 0 && strstr(from, ", "); skip--)
        from = strstr(from, ", ") + 2;
    size_t length = strcspn(from, ",");
    if (length > 0 && length < sizeof word && choice % 7 != 6)
        memcpy(word, from, length);
    else
        strcpy(word, anyhow[choice / 7 % 8]);
    fuzz_word(w, "--set", "", "");
    fuzz_word(w, a->parts[which].id, "=", word);
    text_free(&all);
}

static inline void fuzz_fail_word(fuzz_words *w, const aircraft *a, int which, unsigned choice) {
    const part *p = &a->parts[which];
    uint32_t can = kind_faults(p->kind, p->electric);
    int kind = (int)(choice % FAULT_COUNT);
    // Mostly a fault that the part can have; one that it can't is for the complaint.
    for (int i = 0; can && choice < 240 && i < FAULT_COUNT && !(can >> kind & 1); i++)
        kind = (kind + 1) % FAULT_COUNT;
    fuzz_word(w, "--fail", "", "");
    fuzz_word(w, p->id, "=", fault_word((fault_kind)kind));
}

static inline void fuzz_state_words(fuzz_words *w, const aircraft *a, const uint8_t *choice) {
    if (choice[CHOOSE_PHASE] < 224) {
        fuzz_word(w, "--phase", "", "");
        fuzz_word(w, a->phases[choice[CHOOSE_PHASE] % a->phase_count].name, "", "");
    }
    int sets = choice[CHOOSE_MORE] & 3, fails = choice[CHOOSE_MORE] >> 2 & 3;
    int step = 1 + (choice[CHOOSE_MORE] >> 4);
    int at = choice[CHOOSE_SET_PART];
    for (int i = 0; i < sets; i++, at += step)
        fuzz_set_word(w, a, at % a->part_count, choice[CHOOSE_SET_WORD] + (unsigned)i * 5);
    at = choice[CHOOSE_FAIL_PART];
    for (int i = 0; i < fails; i++, at += step)
        fuzz_fail_word(w, a, at % a->part_count,
                       (choice[CHOOSE_FAIL_KIND] + (unsigned)i * 9) & 255);
    static const char *const conditions[][2] = {
        {"--charge", "0%"},        {"--charge", "37.5%"},         {"--temperature", "-40C"},
        {"--temperature", "140F"}, {"--set", "icing=yes"},        {"--set", "night=yes"},
        {"--set", "airspeed=0"},   {"--set", "stall-near=maybe"},
    };
    unsigned form = choice[CHOOSE_FORM];
    if (form >> 4 < 8) {
        fuzz_word(w, conditions[form >> 4][0], "", "");
        fuzz_word(w, conditions[form >> 4][1], "", "");
    }
}

static inline void fuzz_draw_words(fuzz_words *w, unsigned form) {
    static const char *const widths[] = {"", "200", "390px", "794", "10000", "201", "1123", "600"};
    static const char *const themes[] = {"", "light", "dark", "print"};
    if (form & 7) {
        fuzz_word(w, "--width", "", "");
        fuzz_word(w, widths[form & 7], "", "");
    }
    if (form >> 3 & 3) {
        fuzz_word(w, "--theme", "", "");
        fuzz_word(w, themes[form >> 3 & 3], "", "");
    }
}

static inline void fuzz_card_words(fuzz_words *w, unsigned form) {
    static const char *const papers[] = {"a5", "half-letter", "a4", "letter"};
    static const char *const forms[] = {"text", "html", "svg", "svg"};
    if ((form & 0x0C) == 0x0C) {
        fuzz_word(w, "--json", "", "");
        return;
    }
    fuzz_word(w, "--form", "", "");
    fuzz_word(w, forms[form >> 2 & 3], "", "");
    fuzz_word(w, "--paper", "", "");
    fuzz_word(w, papers[form & 3], "", "");
}

static inline void fuzz_ask_bytes(const uint8_t *data, size_t size) {
    static const char *const commands[] = {"check", "show", "state", "draw", "card"};
    static const char *const show_forms[] = {"", "--json", "--csv", "--faults"};
    if (size < FUZZ_CHOICES)
        return;
    const char *file = (const char *)data + FUZZ_CHOICES;
    size_t length = size - FUZZ_CHOICES;
    unsigned command = data[CHOOSE_COMMAND] & 3, form = data[CHOOSE_FORM];
    if ((data[CHOOSE_COMMAND] & 0x1F) == 0x1F)
        command = 4;
    fuzz_words w = {.count = 0};
    if (command == 0 && form & 1)
        fuzz_word(&w, "--json", "", "");
    if (command == 1 && form & 3)
        fuzz_word(&w, show_forms[form & 3], "", "");
    if (command == 2 || command == 3) {
        aircraft *a = NULL;
        findings found = findings_make(allocator_default());
        if (aircraft_read(allocator_default(), file, length, &a, &found) == STATUS_OK)
            fuzz_state_words(&w, a, data);
        findings_free(&found);
        aircraft_free(a);
    }
    if (command == 2 && form & 1)
        fuzz_word(&w, "--json", "", "");
    if (command == 2 && (form & 6) == 2)
        fuzz_word(&w, "--before-trip", "", "");
    // How long it lasts, seldom and briefly: a run is many settlings.
    bool runs = command == 2 && (form & 0x1E) == 0x1E;
    if (runs)
        fuzz_word(&w, "--within", "20s", "");
    if (command == 3)
        fuzz_draw_words(&w, form);
    if (command == 4)
        fuzz_card_words(&w, form);
    deadbus_question q = {.command = runs ? "endurance" : commands[command],
                          .file_name = "fuzz.yaml",
                          .file = file,
                          .file_length = length,
                          .options = w.list,
                          .option_count = w.count,
                          .color = form >> 7 & 1};
    fuzz_ask(&q, (data[CHOOSE_COMMAND] & 0xE0) == 0xE0);
}

#endif
