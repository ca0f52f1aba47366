// One question in, one answer out: the only way into the library.
#include <string.h>

#include "ask/answers.h"
#include "ask/ask_commands.h"
#include "ask/command_help.h"
#include "ask/command_table.h"
#include "ask/making.h"
#include "ask/opened.h"
#include "ask/options.h"

const char caution_line[] = "For teaching only. The approved flight manual, the maintenance "
                            "manual, local rules and licensed "
                            "people come first.";

static const span nowhere = {0};

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
    m->exit = DEADBUS_WRONG_USAGE;
    return -1;
}

// What is no error is told by `check`; elsewhere the number of warnings is enough.
static void write_file_findings(making *m, const char *name, bool whole) {
    findings *f = &m->file;
    findings_sort(f);
    if (!whole && f->errors == 0) {
        int warnings = f->warnings;
        f->count = 0;
        if (warnings > 0) {
            text number = text_make(m->memory);
            text_int(&number, warnings);
            findings_say(f, SEVERITY_NOTE, nowhere, "warnings",
                         warnings == 1 ? "`deadbus check` tells it" : "`deadbus check` tells them",
                         text_get(&number), warnings == 1 ? " warning" : " warnings", NULL);
            f->memory.failed = f->memory.failed || number.failed;
            text_free(&number);
        }
    }
    findings_write(f, name, &m->messages);
}

// What has a place was found in the aircraft's file, and is told as the file's.
static void write_asked_findings(making *m, const char *command, const char *file) {
    text name = text_make(m->memory);
    text_all(&name, command ? "deadbus " : "deadbus", command ? command : "", NULL);
    for (int i = 0; i < m->asked.count; i++) {
        findings one = {.items = &m->asked.items[i], .count = 1};
        bool of_file = one.items->where.line > 0 && file && *file;
        findings_write(&one, of_file ? file : text_get(&name), &m->messages);
    }
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

// The aircraft of the question: `*read` is to be freed, `*a` is it, or one that is open already.
static status aircraft_of_question(making *m, const deadbus_question *q, aircraft **read,
                                   const aircraft **a) {
    if (q->opened) {
        opened_tell(q->opened, &m->file);
        *a = q->opened->aircraft;
        return q->opened->read;
    }
    status s = aircraft_read(m->memory, q->file, q->file_length, read, &m->file);
    *a = *read;
    return s;
}

// NULL after complaining: this build doesn't answer that, or not in this form.
static answerer answerer_of(making *m, const ask_options *o) {
    const command_answers *here = &answers_here[o->command];
    answerer answer = o->csv ? here->csv : o->json ? here->json : here->plain;
    if (!answer)
        findings_say(&m->asked, SEVERITY_ERROR, nowhere, "not-here", "Ask the program",
                     "the page doesn't answer `", command_at(o->command)->name, "` in this form",
                     NULL);
    return answer;
}

static status answer_from_file(making *m, const deadbus_question *q, const ask_options *o) {
    const command_info *info = command_at(o->command);
    answerer answer = answerer_of(m, o);
    if (!answer)
        return STATUS_BAD_REQUEST;
    aircraft *read = NULL;
    const aircraft *a = NULL;
    status s = STATUS_OK;
    if (!info->reads_file && q->file) {
        findings_say(&m->asked, SEVERITY_ERROR, nowhere, "needless-file", "Leave it out", "`",
                     info->name, "` reads no file", NULL);
        return STATUS_BAD_REQUEST;
    }
    if (info->reads_file) {
        if (!q->file && !q->opened) {
            findings_say(&m->asked, SEVERITY_ERROR, nowhere, "no-file",
                         "Write its name after the command, or - for standard input",
                         "no aircraft file is given", NULL);
            return STATUS_BAD_REQUEST;
        }
        s = aircraft_of_question(m, q, &read, &a);
    }
    bool check = o->command == COMMAND_CHECK;
    // `check` is about the file, so what it finds is told as the file's; it also answers for a file
    // with errors.
    if (s == STATUS_OK || ((s == STATUS_BAD_FILE || s == STATUS_LIMIT) && check))
        s = answer(a, o, &m->out, check ? &m->file : &m->asked, &m->exit);
    aircraft_free(read);
    return s;
}

static bool answers_programs(command_id command) {
    return option_of_command(option_at(OPTION_JSON), command);
}

int make_plain_answer(making *m, const deadbus_question *q, bool forced) {
    int command = find_command(m, q);
    if (command < 0)
        return command;
    if (command == COMMAND_ASK) {
        findings_say(&m->asked, SEVERITY_ERROR, nowhere, "asked-in-a-circle",
                     "Name check, show, state or draw", "a question in JSON can't ask `ask`", NULL);
        m->exit = DEADBUS_WRONG_USAGE;
        return command;
    }
    ask_options o;
    status s =
        options_read(m->memory, (command_id)command, q->options, q->option_count, &o, &m->asked);
    if (s == STATUS_OK) {
        o.file_name = q->file_name ? q->file_name : "";
        o.color = q->color != 0;
        o.json = o.json || (forced && !o.csv && answers_programs((command_id)command));
        m->json = o.json;
        o.opened = q->opened;
        o.question = q;
        o.scenario_findings = &m->scenario;
        o.file_findings = &m->file;
        s = answer_from_file(m, q, &o);
    }
    m->exit = exit_of(s, m->exit);
    options_free(&o);
    if (m->exit == DEADBUS_WRONG_USAGE) {  // half an answer is none
        text_free(&m->out);
        m->out = text_make(m->memory);
    }
    return command;
}

// The command `ask`: the question is in an option.
static void make_asked_answer(making *m, const deadbus_question *q) {
    ask_options o;
    status s = options_read(m->memory, COMMAND_ASK, q->options, q->option_count, &o, &m->asked);
    if (s == STATUS_OK && !o.json_question) {
        findings_say(&m->asked, SEVERITY_ERROR, nowhere, "no-question",
                     "Write --question and the question in JSON", "nothing is asked", NULL);
        s = STATUS_BAD_REQUEST;
    }
    if (s == STATUS_OK)
        make_json_answer(m, q, o.json_question, strlen(o.json_question));
    else
        m->exit = exit_of(s, m->exit);
    options_free(&o);
}

deadbus_exit deadbus_ask(const deadbus_memory *memory, const deadbus_question *asked,
                         deadbus_answer *answer) {
    watched_memory watched = {.caller = allocator_of(memory)};
    making m = making_start(&watched);
    int command = asked->command ? command_find(asked->command) : -1;
    if (command == COMMAND_ASK)
        make_asked_answer(&m, asked);
    else
        command = make_plain_answer(&m, asked, false);
    if (command >= 0 && command != COMMAND_ASK) {
        write_file_findings(&m, asked->file_name, command == COMMAND_CHECK);
        findings_write(&m.scenario, asked->scenario_name ? asked->scenario_name : "scenario",
                       &m.messages);
    }
    write_asked_findings(&m, command >= 0 ? command_at((command_id)command)->name : NULL,
                         asked->file_name);
    opened_watch(asked->opened, &m);
    return making_end(&m, answer);
}

deadbus_exit deadbus_ask_json(const deadbus_memory *memory, const deadbus_question *about,
                              const char *question, size_t length, deadbus_answer *answer) {
    watched_memory watched = {.caller = allocator_of(memory)};
    making m = making_start(&watched);
    make_json_answer(&m, about, question, length);
    opened_watch(about->opened, &m);
    return making_end(&m, answer);
}

int deadbus_plays_scenarios(const char *command) {
    int found = command_find(command);
    return found >= 0 && command_at((command_id)found)->scenario != SCENARIO_NEVER;
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
