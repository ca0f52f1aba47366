// A question worded in JSON becomes the words of the command line, so that both doors read, check
// and answer alike; the answer comes back as JSON with its findings.
#include <string.h>

#include "ask/command_table.h"
#include "ask/making.h"
#include "model/yaml_tree.h"

enum { QUESTION_LONGEST = 1 << 16 };

static const span nowhere = {0};

typedef struct wording {
    arena memory;
    findings *complaints;
    const char **words;
    int count, capacity;
} wording;

static void put_word(wording *w, const char *word) {
    const char **grown =
        arena_grow(&w->memory, (void *)w->words, &w->capacity, w->count + 1, sizeof *grown);
    if (!grown || !word)
        return;
    w->words = grown;
    w->words[w->count++] = word;
}

static const char *joined(wording *w, const char *a, const char *b, const char *c) {
    text t = text_make(w->memory.memory);
    text_all(&t, a, b, c, NULL);
    const char *kept = t.failed ? NULL : arena_text(&w->memory, text_get(&t), t.length);
    w->memory.failed = w->memory.failed || t.failed;
    text_free(&t);
    return kept;
}

static void complain(wording *w, const node *n, const char *hint, const char *what) {
    findings_say(w->complaints, SEVERITY_ERROR, n->span, "question-shape", hint, what, NULL);
}

// One key of the question: an option with its value, values, or pairs.
static void take_entry(wording *w, const node *value) {
    const char *option = joined(w, "--", value->key->text, "");
    if (value->type == NODE_TEXT) {
        bool plain = value->style == STYLE_PLAIN;
        if (plain && node_is(value, "false"))
            return;
        put_word(w, option);
        if (!(plain && node_is(value, "true")))
            put_word(w, value->text);
        return;
    }
    for (const node *n = value->first; n; n = n->next) {
        if (n->type != NODE_TEXT) {
            complain(w, n, "Write texts, such as \"alternator=dead\"", "this is no text");
            continue;
        }
        put_word(w, option);
        put_word(w, value->type == NODE_MAP ? joined(w, n->key->text, "=", n->text) : n->text);
    }
}

// A scenario comes as its file's text: the question has no files.
static void take_scenario(wording *w, const node *value, deadbus_question *q) {
    if (value->type != NODE_TEXT) {
        complain(w, value, "Write its text as one string", "this is no text");
        return;
    }
    q->scenario = value->text;
    q->scenario_length = strlen(value->text);
}

// Fills the question's command and words. False: it isn't worded as a question.
static bool read_question(wording *w, const char *question, size_t length, deadbus_question *q) {
    yaml_tree tree = {0};
    int errors = w->complaints->errors;
    if (length > QUESTION_LONGEST) {
        findings_say(w->complaints, SEVERITY_ERROR, nowhere, "question-long", "",
                     "the question is longer than 64 kB", NULL);
        return false;
    }
    if (yaml_tree_read(&w->memory, question, length, w->complaints, &tree) != STATUS_OK)
        return false;
    if (!tree.root || tree.root->type != NODE_MAP) {
        findings_say(w->complaints, SEVERITY_ERROR, nowhere, "question-shape",
                     "Write an object, such as {\"ask\":\"state\"}", "this is no question", NULL);
        return false;
    }
    const node *command = node_entry(tree.root, "ask");
    if (!command || command->type != NODE_TEXT) {
        findings_say(w->complaints, SEVERITY_ERROR, nowhere, "question-shape",
                     "Name a command under \"ask\", such as {\"ask\":\"state\"}",
                     "the question doesn't say what is asked", NULL);
        return false;
    }
    q->command = command->text;
    int named = command_find(q->command);
    const command_info *info = named >= 0 ? command_at((command_id)named) : NULL;
    bool plays = info && info->scenario != SCENARIO_NEVER;
    for (const node *n = tree.root->first; n; n = n->next) {
        if (n != command && plays && text_equal(n->key->text, "scenario"))
            take_scenario(w, n, q);
        else if (n != command)
            take_entry(w, n);
    }
    q->options = w->words;
    q->option_count = w->count;
    return w->complaints->errors == errors;
}

static void write_findings(const findings *f, bool *first, text *out) {
    static const char *const words[] = {"error", "warning", "note"};
    for (int i = 0; i < f->count; i++) {
        const finding *one = &f->items[i];
        text_all(out, *first ? "\n" : ",\n", "{\"severity\":\"", words[one->severity], "\"", NULL);
        *first = false;
        text_put(out, ",\"line\":");
        text_int(out, one->where.line);
        text_put(out, ",\"column\":");
        text_int(out, one->where.column);
        text_put(out, ",\"offset\":");
        text_int(out, one->where.offset);
        text_put(out, ",\"length\":");
        text_int(out, one->where.length);
        text_put(out, ",\"code\":");
        json_string(out, one->code);
        text_put(out, ",\"text\":");
        json_string(out, one->text);
        text_put(out, ",\"hint\":");
        json_string(out, one->hint);
        text_char(out, '}');
    }
}

// What the command wrote goes into the answer: JSON as it is, other text as one string.
static void write_answer(const making *m, text *out) {
    text_put(out, "],\n\"answer\":");
    const char *said = text_get(&m->out);
    if (m->out.length == 0) {
        text_put(out, "null");
    } else if (m->json) {
        size_t length = m->out.length;
        while (length && said[length - 1] == '\n')
            length--;
        text_put_n(out, said, length);
    } else {
        json_string(out, said);
    }
    text_put(out, "}\n");
}

void make_json_answer(making *m, const deadbus_question *about, const char *question,
                      size_t length) {
    wording w = {.memory = arena_make(m->memory), .complaints = &m->asked};
    deadbus_question q = *about;
    int command = -1;
    if (read_question(&w, question, length, &q)) {
        int named = command_find(q.command);
        if (named >= 0 && !command_at((command_id)named)->reads_file)
            q.file = NULL;
        command = make_plain_answer(m, &q, true);
    } else {
        m->exit = DEADBUS_WRONG_USAGE;
    }
    if (w.memory.failed)
        m->exit = DEADBUS_NO_MEMORY;
    findings_sort(&m->file);
    text out = text_make(m->memory);
    text_put(&out, "{\"exit\":");
    text_int(&out, (int)m->exit);
    text_put(&out, ",\"ask\":");
    json_string(&out, q.command && command >= 0 ? q.command : "");
    text_put(&out, ",\"findings\":[");
    bool first = true;
    write_findings(&m->file, &first, &out);
    write_findings(&m->scenario, &first, &out);
    write_findings(&m->asked, &first, &out);
    write_answer(m, &out);
    text_free(&m->out);
    m->out = out;
    arena_free(&w.memory);
}
