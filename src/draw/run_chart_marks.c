// What is marked on a scenario's chart: of all that happened the few things that a person would
// point at.
#include <string.h>

#include "draw/run_chart_parts.h"
#include "model/part_words.h"

#define NEAR_PIXELS 22.0  // marks closer than this are one

// The less, the more it is worth a word; 0: not marked.
static int weight(const log_line *l) {
    static const struct {
        const char *what;
        int weight;
    } WEIGHTS[] = {{"fails", 1},      {"repaired", 1}, {"trips", 2},     {"hot", 2},
                   {"set", 3},        {"phase", 3},    {"exhausted", 4}, {"opens", 4},
                   {"over-volts", 4}, {"limited", 5},  {"lit", 5},       {"out", 5},
                   {"closes", 6},     {"mute", 6},     {"lost", 7},      {"off", 8},
                   {"chatters", 8},   {"reduced", 10}, {"says", 11}};
    for (size_t i = 0; i < sizeof WEIGHTS / sizeof WEIGHTS[0]; i++)
        if (text_equal(l->what, WEIGHTS[i].what))
            return WEIGHTS[i].weight;
    return 0;
}

enum { MARKED = 8, WORDS_OF_A_MARK = 2, ENTRIES_OF_A_MARK = 64 };

static bool marked(const log_entry *e) {
    for (int i = 0; i < e->line_count; i++) {
        int w = weight(&e->lines[i]);
        if (w > 0 && w <= MARKED)
            return true;
    }
    return false;
}

// Lines of a mark in the order of their weight; the same kind in the order of time.
static int heaviest(const log_entry *first, int count, int above, int skip,
                    const log_line **found) {
    int least = 0, n = 0;
    for (int e = 0; e < count; e++)
        for (int i = 0; i < first[e].line_count; i++) {
            int w = weight(&first[e].lines[i]);
            if (w > above && w <= MARKED && (least == 0 || w < least))
                least = w;
        }
    for (int e = 0; e < count && least > 0; e++)
        for (int i = 0; i < first[e].line_count; i++)
            if (weight(&first[e].lines[i]) == least && n++ == skip)
                *found = &first[e].lines[i];
    return n;
}

static const char *words_of(chart *c, const log_entry *first, int count) {
    text t = text_make(c->memory.memory);
    int total = 0, told = 0, above = 0;
    for (int e = 0; e < count; e++)
        for (int i = 0; i < first[e].line_count; i++) {
            int w = weight(&first[e].lines[i]);
            total += w > 0 && w <= MARKED;
        }
    while (told < WORDS_OF_A_MARK && told < total) {
        const log_line *l = NULL;
        int n = heaviest(first, count, above, 0, &l);
        if (n == 0)
            break;
        for (int skip = 0; skip < n && told < WORDS_OF_A_MARK; skip++) {
            heaviest(first, count, above, skip, &l);
            text_all(&t, told ? " " : "", l->words, NULL);
            told++;
        }
        above = weight(l);
    }
    if (total > told) {
        text_put(&t, " And ");
        text_int(&t, total - told);
        text_put(&t, " more.");
    }
    const char *kept = arena_text(&c->memory, text_get(&t), t.length);
    if (t.failed)
        c->memory.failed = true;
    text_free(&t);
    return kept ? kept : "";
}

void chart_find_marks(chart *c) {
    const scenario_log *log = c->log;
    c->marks = arena_new(&c->memory, (size_t)log->entry_count + 1, sizeof *c->marks);
    for (int i = 0; c->marks && i < log->entry_count;) {
        const log_entry *e = &log->entries[i];
        if (!marked(e)) {
            i++;
            continue;
        }
        int count = 1;
        double x = chart_x(c, e->at);
        while (i + count < log->entry_count && count < ENTRIES_OF_A_MARK &&
               chart_x(c, log->entries[i + count].at) - x < NEAR_PIXELS)
            count++;
        c->marks[c->mark_count++] = (chart_mark){e->at, x, words_of(c, e, count)};
        i += count;
    }
}
