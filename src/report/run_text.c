// A scenario's log as a page of plain text: the time, what happens, what the pilot sees of it; the
// answers last, so that one can stop reading before them.
#include <string.h>

#include "model/part_words.h"
#include "report/outcome_parts.h"
#include "report/run_report.h"
#include "report/wrap.h"

enum { TIME_WIDTH = 7, WORDS_AT = 9, SEEN_AT = 11 };

typedef struct writer {
    const scenario_log *log;
    const aircraft *aircraft;
    text *out;
    text words;
} writer;

static void start(writer *w) {
    w->words.length = 0;
    text_put(&w->words, "");
    if (w->words.data)
        w->words.data[0] = 0;
}

static void put(writer *w, size_t line, size_t indent) {
    wrap_words(w->out, line, indent, text_get(&w->words));
}

static void labelled(writer *w, const char *label, const char *words) {
    if (!words[0])
        return;
    start(w);
    text_all(&w->words, label, ": ", words, NULL);
    put(w, w->out->length, 0);
}

static void head(writer *w) {
    const aircraft *a = w->aircraft;
    const scenario *s = w->log->scenario;
    start(w);
    text_put(&w->words, a->name && a->name[0] ? a->name : "Aeroplane without a name");
    if (a->tail && a->tail[0])
        text_all(&w->words, " (", a->tail, ")", NULL);
    text_all(&w->words, ". ", s->title, NULL);
    put(w, w->out->length, 0);
    text_char(w->out, '\n');
    labelled(w, "Believed", s->belief);
    start(w);
    text_put(&w->words, "Batteries at ");
    text_fixed(&w->words, 100 * s->health, 0);
    text_put(&w->words, " % of their capacity when new");
    if (s->charge >= 0) {
        text_put(&w->words, ", charged to ");
        text_fixed(&w->words, 100 * s->charge, 0);
        text_put(&w->words, " %");
    }
    double outside = s->has_temperature ? s->temperature : a->phases[s->phase].temperature;
    text_put(&w->words, ", outside ");
    words_figure(&w->words, outside, 0, "C");
    text_put(&w->words, s->pessimistic ? ", by the colder of the published figures." : ".");
    put(w, w->out->length, 0);
}

// ---- the log ------------------------------------------------------------------------------------
// A block: entries that stand together. What fades within a minute of something else that fades is
// one block, so that the page shows what a person would tell.
typedef struct block {
    const log_entry *first;
    int count;
} block;

#define TOGETHER_SECONDS 60.0

static const char *const GROUPS[] = {
    "weak", "off", "off-transmitting", "off-running", "no-data", "on", "reduced", "lost", "kept"};
static const char *const GROUP_WORDS[] = {"Weak: ",
                                          "Off: ",
                                          "Off while a radio transmits: ",
                                          "Off while something runs that counts by its average: ",
                                          "No data: ",
                                          "Works again: ",
                                          "Reduced: ",
                                          "Lost: ",
                                          "Kept again: "};
enum { GROUP_COUNT = 9 };

static bool is_lamp_line(const log_line *l) {
    return text_equal(l->what, "lit") || text_equal(l->what, "out");
}

// Lines that many items share: told in one sentence each kind.
static int group_of(const log_line *l) {
    for (int i = 0; i < GROUP_COUNT && !l->by_hand; i++)
        if (text_equal(l->what, GROUPS[i]))
            return i;
    return -1;
}

static bool fades(const log_entry *e) {
    bool any = false;
    for (int i = 0; i < e->line_count; i++) {
        if (group_of(&e->lines[i]) < 0)
            return false;
        any = true;
    }
    return any;
}

static bool same_thing(const log_line *a, const log_line *b) {
    return a->part == b->part && a->function == b->function;
}

// The last line of a block about the same thing counts: weak and then off is off.
static bool outdone(const block *b, int entry, int line) {
    const log_line *l = &b->first[entry].lines[line];
    for (int e = entry; e < b->count; e++)
        for (int i = e == entry ? line + 1 : 0; i < b->first[e].line_count; i++)
            if (group_of(&b->first[e].lines[i]) >= 0 && same_thing(l, &b->first[e].lines[i]))
                return true;
    return false;
}

static bool group_words(writer *w, const block *b, int group) {
    bool any = false;
    start(w);
    for (int e = 0; e < b->count; e++) {
        for (int i = 0; i < b->first[e].line_count; i++) {
            const log_line *l = &b->first[e].lines[i];
            if (group_of(l) != group || outdone(b, e, i))
                continue;
            text_put(&w->words, any ? ", " : GROUP_WORDS[group]);
            run_fact_name(w->aircraft, (scenario_thing){l->part, l->function}, &w->words);
            any = true;
        }
    }
    text_char(&w->words, '.');
    return any;
}

static void time_of(writer *w, double at, size_t line) {
    text clock = text_make(w->out->memory);
    text_clock(&clock, at);
    wrap_right(w->out, line, 0, TIME_WIDTH, text_get(&clock));
    w->out->failed = w->out->failed || clock.failed;
    text_free(&clock);
}

static void put_timed(writer *w, const block *b, bool *timed) {
    size_t line = w->out->length;
    if (!*timed)
        time_of(w, b->first->at, line);
    *timed = true;
    put(w, line, WORDS_AT);
}

static bool line_words(writer *w, const log_line *l) {
    if (is_lamp_line(l) || text_equal(l->what, "unused") || group_of(l) >= 0)
        return false;
    start(w);
    if (text_equal(l->what, "asks"))
        text_all(&w->words, "? ", l->words, NULL);
    else if (text_equal(l->what, "says") && l->part < 0)
        text_all(&w->words, "\"", l->words, "\"", NULL);
    else
        text_put(&w->words, l->words);
    return true;
}

static bool seen_later(const block *b, int entry, int part) {
    for (int e = entry + 1; e < b->count; e++)
        for (int i = 0; i < b->first[e].sight_count; i++)
            if (b->first[e].sights[i].part == part)
                return true;
    return false;
}

static void sights(writer *w, const block *b, bool timed) {
    bool any = false;
    start(w);
    for (int e = 0; e < b->count; e++) {
        for (int i = 0; i < b->first[e].sight_count; i++) {
            const log_sight *s = &b->first[e].sights[i];
            if (seen_later(b, e, s->part))
                continue;
            text_put(&w->words, any ? ", " : "Seen: ");
            part_short_name(w->aircraft, s->part, &w->words);
            text_all(&w->words, " ", s->reading, NULL);
            any = true;
        }
    }
    if (!any)
        return;
    text_char(&w->words, '.');
    size_t line = w->out->length;
    if (!timed)
        time_of(w, b->first->at, line);
    put(w, line, timed ? SEEN_AT : WORDS_AT);
}

static void put_block(writer *w, const block *b) {
    bool timed = false;
    for (int e = 0; e < b->count; e++)
        for (int i = 0; i < b->first[e].line_count; i++)
            if (line_words(w, &b->first[e].lines[i]))
                put_timed(w, b, &timed);
    double took = b->first[b->count - 1].at - b->first->at;
    for (int g = 0; g < GROUP_COUNT; g++)
        if (group_words(w, b, g))
            put_timed(w, b, &timed);
    if (took >= 1.0 && timed) {
        start(w);
        text_put(&w->words, "All of that within ");
        run_span(took, &w->words);
        text_char(&w->words, '.');
        put(w, w->out->length, WORDS_AT);
    }
    sights(w, b, timed);
}

static void put_log(writer *w) {
    const scenario_log *log = w->log;
    for (int i = 0; i < log->entry_count;) {
        block b = {&log->entries[i], 1};
        while (i + b.count < log->entry_count && fades(&b.first[b.count]) &&
               fades(&b.first[b.count - 1]) && b.first[b.count].at - b.first->at < TOGETHER_SECONDS)
            b.count++;
        put_block(w, &b);
        i += b.count;
    }
}

// ---- answers ------------------------------------------------------------------------------------
static void facts(writer *w, const log_answer *a) {
    start(w);
    text_put(&w->words, "At ");
    text_clock(&w->words, a->looked);
    text_put(&w->words, ": ");
    for (int i = 0; i < a->fact_count; i++) {
        text_put(&w->words, i ? ", " : "");
        run_fact_name(w->aircraft, a->facts[i].thing, &w->words);
        text_all(&w->words, " ", a->facts[i].words, NULL);
    }
    text_char(&w->words, '.');
    put(w, w->out->length, WORDS_AT);
}

static void how_long(writer *w, const log_answer *a) {
    const scenario *s = w->log->scenario;
    if (a->question->until < 0)
        return;
    start(w);
    text_all(&w->words, "Until ", s->watches[a->question->until].words, ": ", NULL);
    if (a->how_long >= 0) {
        run_span(a->how_long, &w->words);
    } else {
        text_put(&w->words, "more than ");
        run_span(w->log->ended - a->asked, &w->words);
        text_put(&w->words, ", the end of the run");
    }
    text_char(&w->words, '.');
    put(w, w->out->length, WORDS_AT);
}

static void answers(writer *w) {
    const scenario_log *log = w->log;
    if (log->answer_count == 0)
        return;
    wrap_heading(w->out, "What was asked, and what came");
    for (int i = 0; i < log->answer_count; i++) {
        const log_answer *a = &log->answers[i];
        size_t line = w->out->length;
        time_of(w, a->asked, line);
        wrap_words(w->out, line, WORDS_AT, a->question->ask);
        if (a->question->about_count > 0 && a->looked >= 0)
            facts(w, a);
        how_long(w, a);
        if (a->question->because[0])
            wrap_words(w->out, w->out->length, WORDS_AT, a->question->because);
    }
}

// ---- foot ---------------------------------------------------------------------------------------
static bool any(const scenario_log *log, const char *what) {
    for (int i = 0; i < log->entry_count; i++)
        for (int k = 0; k < log->entries[i].line_count; k++)
            if (text_equal(log->entries[i].lines[k].what, what))
                return true;
    return false;
}

void run_text(const scenario_log *log, const char *caution, text *out) {
    writer w = {log, log->aircraft, out, text_make(out->memory)};
    head(&w);
    wrap_heading(out, "What happens, and what the pilot sees of it");
    put_log(&w);
    answers(&w);
    if (log->scenario->teaches[0]) {
        text_char(out, '\n');
        labelled(&w, "To take away", log->scenario->teaches);
    }
    text_char(out, '\n');
    wrap_words(out, out->length, 0, caution);
    wrap_words(out, out->length, 0,
               "Times are computed for the batteries above; a battery in flight is not known so "
               "well. Nobody should plan on them.");
    if (any(log, "trips"))
        wrap_words(out, out->length, 0, caution_reset);
    if (any(log, "hot") || any(log, "warms"))
        wrap_words(out, out->length, 0, caution_heat);
    if (any(log, "fails"))
        wrap_words(out, out->length, 0, caution_smoke);
    out->failed = out->failed || w.words.failed;
    text_free(&w.words);
}
