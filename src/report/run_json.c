// A scenario's log for programs, and its trace as a table.
#include "model/part_words.h"
#include "report/outcome_parts.h"
#include "report/run_report.h"

static const char *const RECORD_WORDS[] = {"volts", "amps", "charge"};

static void key(text *out, const char *name) {
    text_put(out, ",\n");
    json_key(out, name);
}

// ---- events -------------------------------------------------------------------------------------
static void seen(const scenario_log *log, const log_entry *e, text *out) {
    text_char(out, '{');
    for (int i = 0; i < e->sight_count; i++) {
        if (i)
            text_char(out, ',');
        json_key(out, log->aircraft->parts[e->sights[i].part].id);
        json_string(out, e->sights[i].reading);
    }
    text_char(out, '}');
}

static void event(const scenario_log *log, const log_entry *e, const log_line *l, bool last,
                  text *out) {
    text_put(out, "{\"t\":");
    json_number(out, e->at);
    text_put(out, ",\"what\":");
    json_string(out, l->what);
    text_put(out, ",\"part\":");
    if (l->part >= 0)
        json_string(out, log->aircraft->parts[l->part].id);
    else if (l->function >= 0)
        json_string(out, log->aircraft->functions[l->function].name);
    else
        text_put(out, "null");
    text_put(out, ",\"words\":");
    json_string(out, l->words);
    text_all(out, ",\"by\":", l->by_hand ? "\"scenario\"" : "\"circuit\"", ",\"seen\":", NULL);
    // What is seen belongs to the whole instant: it stands with the last of its events.
    if (last)
        seen(log, e, out);
    else
        text_put(out, "{}");
    text_char(out, '}');
}

static void events(const scenario_log *log, text *out) {
    bool first = true;
    text_put(out, "{\"events\":[");
    for (int i = 0; i < log->entry_count; i++) {
        const log_entry *e = &log->entries[i];
        for (int k = 0; k < e->line_count; k++) {
            text_put(out, first ? "\n" : ",\n");
            event(log, e, &e->lines[k], k == e->line_count - 1, out);
            first = false;
        }
    }
    text_put(out, "]");
}

// ---- trace --------------------------------------------------------------------------------------
static void column(const scenario_log *log, int record, text *out) {
    int wide = log->scenario->record_count;
    text_char(out, '[');
    for (int i = 0; i < log->row_count; i++) {
        if (i)
            text_char(out, ',');
        json_number(out, log->values[i * wide + record]);
    }
    text_char(out, ']');
}

static void columns(const scenario_log *log, const char *name, scenario_record_of of, text *out) {
    bool first = true;
    text_all(out, ",\n\"", name, "\":{", NULL);
    for (int i = 0; i < log->scenario->record_count; i++) {
        if (log->scenario->records[i].of != of)
            continue;
        text_put(out, first ? "\n" : ",\n");
        json_key(out, log->aircraft->parts[log->scenario->records[i].part].id);
        column(log, i, out);
        first = false;
    }
    text_char(out, '}');
}

static void trace(const scenario_log *log, text *out) {
    key(out, "trace");
    text_put(out, "{\"t\":[");
    for (int i = 0; i < log->row_count; i++) {
        if (i)
            text_char(out, ',');
        json_number(out, log->times[i]);
    }
    text_char(out, ']');
    columns(log, "nodes", RECORD_VOLTS, out);
    columns(log, "parts", RECORD_AMPS, out);
    columns(log, "batteries", RECORD_CHARGE, out);
    text_char(out, '}');
}

// ---- answers ------------------------------------------------------------------------------------
static void answer(const scenario_log *log, const log_answer *a, text *out) {
    const scenario_question *q = a->question;
    text_put(out, "\n{\"t\":");
    json_number(out, a->asked);
    text_put(out, ",\"ask\":");
    json_string(out, q->ask);
    text_put(out, ",\"looked\":");
    if (a->looked >= 0)
        json_number(out, a->looked);
    else
        text_put(out, "null");
    text_put(out, ",\"about\":{");
    for (int i = 0; i < a->fact_count; i++) {
        scenario_thing t = a->facts[i].thing;
        if (i)
            text_char(out, ',');
        json_key(out, t.part >= 0 ? log->aircraft->parts[t.part].id
                                  : log->aircraft->functions[t.function].name);
        json_string(out, a->facts[i].words);
    }
    text_put(out, "},\"until\":");
    if (q->until >= 0)
        json_string(out, log->scenario->watches[q->until].words);
    else
        text_put(out, "null");
    text_put(out, ",\"how_long\":");
    if (q->until >= 0 && a->how_long >= 0)
        json_number(out, a->how_long);
    else
        text_put(out, "null");
    text_put(out, ",\"because\":");
    json_string(out, q->because);
    text_char(out, '}');
}

void run_json(const scenario_log *log, const char *caution, text *out) {
    const scenario *s = log->scenario;
    events(log, out);
    trace(log, out);
    key(out, "answers");
    text_char(out, '[');
    for (int i = 0; i < log->answer_count; i++) {
        if (i)
            text_char(out, ',');
        answer(log, &log->answers[i], out);
    }
    text_char(out, ']');
    key(out, "title");
    json_string(out, s->title);
    key(out, "belief");
    json_string(out, s->belief);
    key(out, "teaches");
    json_string(out, s->teaches);
    key(out, "capacity");
    json_number(out, s->health);
    key(out, "ended");
    json_number(out, log->ended);
    key(out, "cautions");
    text_char(out, '[');
    json_string(out, caution);
    text_char(out, ',');
    json_string(out, caution_reset);
    text_char(out, ',');
    json_string(out, caution_smoke);
    text_put(out, "]}\n");
}

// ---- the table ----------------------------------------------------------------------------------
void run_csv(const scenario_log *log, text *out) {
    const scenario *s = log->scenario;
    text_put(out, "seconds");
    for (int i = 0; i < s->record_count; i++)
        text_all(out, ",", log->aircraft->parts[s->records[i].part].id, " ",
                 RECORD_WORDS[s->records[i].of], NULL);
    text_char(out, '\n');
    for (int i = 0; i < log->row_count; i++) {
        text_number(out, log->times[i]);
        for (int k = 0; k < s->record_count; k++) {
            text_char(out, ',');
            json_number(out, log->values[i * s->record_count + k]);
        }
        text_char(out, '\n');
    }
}
