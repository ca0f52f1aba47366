// One question in, one answer out: the only way into the library.
#include <string.h>

#include "ask/ask_commands.h"
#include "ask/command_help.h"
#include "ask/command_table.h"
#include "ask/options.h"

const char caution_line[] = "For teaching only. The approved flight manual, the maintenance "
                            "manual, local rules and licensed "
                            "people come first.";

typedef status (*answerer)(const aircraft *a, const ask_options *o, text *out, findings *f,
                           deadbus_exit *exit);

static const answerer answerers[COMMAND_COUNT] = {
    [COMMAND_CHECK] = ask_check, [COMMAND_SHOW] = ask_show,     [COMMAND_STATE] = ask_state,
    [COMMAND_DRAW] = ask_draw,   [COMMAND_SCHEMA] = ask_schema,
};

static const span nowhere = {0};

static allocator allocator_of(const deadbus_memory *memory) {
    if (!memory)
        return allocator_default();
    return (allocator){.resize = memory->resize, .ctx = memory->ctx};
}

// The caller's memory, and whether it has ever failed. Texts and arenas remember their own
// failures, but a text that only lends its words to another is gone before the answer ends, and the
// answer would lack those words without anyone knowing.
typedef struct watched_memory {
    allocator caller;
    bool failed;
} watched_memory;

static void *watched_resize(void *ctx, void *block, size_t old_size, size_t new_size) {
    watched_memory *w = ctx;
    void *moved = w->caller.resize(w->caller.ctx, block, old_size, new_size);
    if (!moved && new_size > 0)
        w->failed = true;
    return moved;
}

// What the answer is made of until it is handed over.
typedef struct making {
    watched_memory *watched;
    allocator memory;
    text out, messages;
    findings asked;  // about the question
    findings file;   // about the file
    deadbus_exit exit;
} making;

static making making_start(watched_memory *watched) {
    allocator memory = {.resize = watched_resize, .ctx = watched};
    return (making){.watched = watched,
                    .memory = memory,
                    .out = text_make(memory),
                    .messages = text_make(memory),
                    .asked = findings_make(memory),
                    .file = findings_make(memory)};
}

// Hands a text over as a block of exactly its length and one.
static bool hand_over(text *t, char **block, size_t *length) {
    text_put_n(t, "", 0);  // an empty text gets a block as well
    if (t->failed)
        return false;
    char *fitted = t->memory.resize(t->memory.ctx, t->data, t->capacity, t->length + 1);
    if (!fitted)
        return false;
    *block = fitted;
    *length = t->length;
    *t = text_make(t->memory);
    return true;
}

static deadbus_exit making_end(making *m, deadbus_answer *answer) {
    *answer = (deadbus_answer){
        .exit = m->exit,
        .memory = {.resize = m->watched->caller.resize, .ctx = m->watched->caller.ctx}};
    bool whole = m->exit != DEADBUS_NO_MEMORY && !m->asked.memory.failed &&
                 !m->file.memory.failed && !m->watched->failed &&
                 hand_over(&m->out, &answer->out, &answer->out_length) &&
                 hand_over(&m->messages, &answer->messages, &answer->messages_length);
    text_free(&m->out);
    text_free(&m->messages);
    findings_free(&m->asked);
    findings_free(&m->file);
    if (!whole) {
        deadbus_forget(answer);
        answer->exit = DEADBUS_NO_MEMORY;
    }
    return answer->exit;
}

static int find_command(making *m, const deadbus_question *q) {
    int command = q->command ? command_find(q->command) : -1;
    if (command >= 0)
        return command;
    const char *nearest = command_nearest(q->command);
    const char *const parts[] = {"there is no command '", q->command ? q->command : "", "'", NULL};
    text hint = text_make(m->memory);
    if (nearest)
        text_all(&hint, "Did you mean `", nearest, "`? ", NULL);
    else if (q->command && q->command[0] == '-')
        text_put(&hint, "The command comes first, then its options. ");
    text_put(&hint, "`deadbus --help` lists what there is");
    findings_add(&m->asked, SEVERITY_ERROR, nowhere, "unknown-command", text_get(&hint), parts);
    if (hint.failed)
        m->asked.memory.failed = true;
    text_free(&hint);
    findings_write(&m->asked, "deadbus", &m->messages);
    m->exit = DEADBUS_WRONG_USAGE;
    return -1;
}

// Notes are told by `check`; elsewhere their number is enough.
static void write_file_findings(making *m, const char *name, bool with_notes) {
    findings *f = &m->file;
    findings_sort(f);
    if (with_notes || f->notes == 0) {
        findings_write(f, name, &m->messages);
        return;
    }
    int kept = 0;
    for (int i = 0; i < f->count; i++)
        if (f->items[i].severity != SEVERITY_NOTE)
            f->items[kept++] = f->items[i];
    f->count = kept;
    findings_write(f, name, &m->messages);
}

static void write_asked_findings(making *m, const char *command) {
    text name = text_make(m->memory);
    text_all(&name, "deadbus ", command, NULL);
    findings_write(&m->asked, text_get(&name), &m->messages);
    if (name.failed)
        m->asked.memory.failed = true;
    text_free(&name);
}

static deadbus_exit exit_of(status s, deadbus_exit said) {
    switch (s) {
    case STATUS_OK: return said;
    case STATUS_NO_MEMORY: return DEADBUS_NO_MEMORY;
    case STATUS_BAD_REQUEST: return DEADBUS_WRONG_USAGE;
    case STATUS_BAD_FILE:
    case STATUS_LIMIT: break;
    }
    return DEADBUS_NO;
}

static status answer_from_file(making *m, const deadbus_question *q, const ask_options *o) {
    const command_info *info = command_at(o->command);
    aircraft *a = NULL;
    status s = STATUS_OK;
    if (!info->reads_file && q->file) {
        findings_say(&m->asked, SEVERITY_ERROR, nowhere, "needless-file", "Leave it out", "`",
                     info->name, "` reads no file", NULL);
        return STATUS_BAD_REQUEST;
    }
    if (info->reads_file) {
        if (!q->file) {
            findings_say(&m->asked, SEVERITY_ERROR, nowhere, "no-file",
                         "Write its name after the command, or - for standard input",
                         "no aircraft file is given", NULL);
            return STATUS_BAD_REQUEST;
        }
        s = aircraft_read(m->memory, q->file, q->file_length, &a, &m->file);
    }
    bool check = o->command == COMMAND_CHECK;
    // `check` is about the file, so what it finds is told as the file's; it also answers for a file
    // with errors.
    if (s == STATUS_OK || ((s == STATUS_BAD_FILE || s == STATUS_LIMIT) && check))
        s = answerers[o->command](a, o, &m->out, check ? &m->file : &m->asked, &m->exit);
    aircraft_free(a);
    return s;
}

static void make_answer(making *m, const deadbus_question *q, command_id command) {
    const command_info *info = command_at(command);
    ask_options o;
    status s = options_read(m->memory, command, q->options, q->option_count, &o, &m->asked);
    if (s == STATUS_OK) {
        o.file_name = q->file_name ? q->file_name : "";
        o.color = q->color != 0;
        s = answer_from_file(m, q, &o);
    }
    write_file_findings(m, q->file_name, command == COMMAND_CHECK);
    write_asked_findings(m, info->name);
    m->exit = exit_of(s, m->exit);
    options_free(&o);
}

deadbus_exit deadbus_ask(const deadbus_memory *memory, const deadbus_question *asked,
                         deadbus_answer *answer) {
    watched_memory watched = {.caller = allocator_of(memory)};
    making m = making_start(&watched);
    int command = find_command(&m, asked);
    if (command >= 0)
        make_answer(&m, asked, (command_id)command);
    return making_end(&m, answer);
}

deadbus_exit deadbus_help(const deadbus_memory *memory, const char *topic, deadbus_answer *answer) {
    watched_memory watched = {.caller = allocator_of(memory)};
    making m = making_start(&watched);
    if (!help_write(topic, &m.out)) {
        const char *nearest = command_nearest(topic);
        const char *const parts[] = {"there is no help on '", topic, "'", NULL};
        text hint = text_make(m.memory);
        if (nearest)
            text_all(&hint, "Did you mean `", nearest, "`? ", NULL);
        text_put(&hint, "`deadbus --help` lists what there is");
        findings_add(&m.asked, SEVERITY_ERROR, nowhere, "unknown-topic", text_get(&hint), parts);
        if (hint.failed)
            m.asked.memory.failed = true;
        text_free(&hint);
        findings_write(&m.asked, "deadbus help", &m.messages);
        m.exit = DEADBUS_WRONG_USAGE;
    }
    return making_end(&m, answer);
}

void deadbus_forget(deadbus_answer *answer) {
    allocator memory = {.resize = answer->memory.resize, .ctx = answer->memory.ctx};
    memory_free(memory, answer->out, answer->out_length + 1);
    memory_free(memory, answer->messages, answer->messages_length + 1);
    answer->out = NULL;
    answer->messages = NULL;
    answer->out_length = 0;
    answer->messages_length = 0;
}

const char *deadbus_version(void) { return DEADBUS_VERSION; }

int deadbus_option_takes_value(const char *word) {
    int found = option_find(word, strcspn(word, "="));
    return found < 0 ? -1 : option_at((option_id)found)->value != NULL;
}
