#include "ask/command_help.h"

#include <string.h>

#include "ask/ask_commands.h"
#include "ask/command_words.h"

enum { WIDTH = 79, OPTION_COLUMN = 26 };

// Words of s broken at WIDTH; '\n' starts a paragraph. `column`: where the first line stands
// already.
static void put_wrapped(text *out, const char *s, size_t indent, size_t column) {
    size_t line = out->length - (column < out->length ? column : out->length);
    for (const char *word = s; *word;) {
        size_t length = strcspn(word, " \n");
        size_t stands = out->length - line;
        bool first = stands == (column > indent ? column : indent);
        if (!first && stands + 1 + length > WIDTH) {
            text_char(out, '\n');
            line = out->length;
            text_pad(out, line, indent);
        } else if (!first) {
            text_char(out, ' ');
        }
        text_put_n(out, word, length);
        column = indent;
        word += length;
        if (*word == '\n') {
            text_put(out, "\n\n");
            line = out->length;
            text_pad(out, line, indent);
        }
        word += *word != 0;
        if (out->failed)
            return;
    }
    text_char(out, '\n');
}

static void put_option(text *out, option_id id) {
    const option_info *o = option_at(id);
    size_t start = out->length;
    text_put(out, "  ");
    if (o->letter)
        text_all(out, o->letter, ", ", NULL);
    text_put(out, o->name);
    if (o->value)
        text_all(out, " ", o->value, NULL);
    if (out->length - start >= OPTION_COLUMN) {
        text_char(out, '\n');
        start = out->length;
    }
    text_pad(out, start, OPTION_COLUMN);
    put_wrapped(out, option_help(id), OPTION_COLUMN, OPTION_COLUMN);
}

static void put_usage(text *out, command_id c) {
    const command_info *info = command_at(c);
    static const char *const after[] = {
        [SCENARIO_NEVER] = " FILE",
        [SCENARIO_MAY] = " FILE [SCENARIO]",
        [SCENARIO_MUST] = " FILE SCENARIO",
    };
    const char *files = info->reads_file ? after[info->scenario] : "";
    text_all(out, "deadbus ", info->name, files, NULL);
    size_t indent = 7 + strlen("deadbus ") + strlen(info->name) + 1;
    size_t line =
        out->length - strlen("deadbus ") - strlen(info->name) - strlen(files) - strlen("Usage: ");
    for (int i = 0; i < OPTION_COUNT; i++) {
        const option_info *o = option_at((option_id)i);
        if (!option_of_command(o, c))
            continue;
        const char *name = o->letter ? o->letter : o->name;
        size_t length = strlen(name) + (o->value ? strlen(o->value) + 1 : 0) + 3;
        if (out->length - line + length + (o->repeats ? 3 : 0) > WIDTH) {
            text_char(out, '\n');
            line = out->length;
            text_pad(out, line, indent - 1);
        }
        text_all(out, " [", name, o->value ? " " : "", o->value ? o->value : "",
                 o->repeats ? "]..." : "]", NULL);
    }
    text_char(out, '\n');
}

static void help_command(command_id c, text *out) {
    const command_info *info = command_at(c);
    const command_words *words = command_words_of(c);
    text_all(out, words->question, "\n\nUsage: ", NULL);
    put_usage(out, c);
    text_char(out, '\n');
    put_wrapped(out, words->help, 0, 0);
    text_put(out, "\nOptions\n");
    for (int i = 0; i < OPTION_COUNT; i++)
        if (option_of_command(option_at((option_id)i), c))
            put_option(out, (option_id)i);
    text_put(out, words->examples[1] ? "\nExamples\n" : "\nExample\n");
    for (int i = 0; words->examples[i]; i++)
        text_all(out, "  deadbus ", words->examples[i], "\n", NULL);
    if (info->reads_file)
        text_put(out, "\nFILE is an aircraft file; - reads it from standard input.\n");
    if (info->scenario != SCENARIO_NEVER)
        text_put(out, "SCENARIO is a scenario file, such as those in lessons/.\n");
    text_char(out, '\n');
    put_wrapped(out, caution_line, 0, 0);
}

static void help_all(text *out) {
    text_put(out, "Deadbus " DEADBUS_VERSION
                  ": one aeroplane's electrical system from one text file; what each failure\n"
                  "takes away, and why.\n\nUsage: deadbus COMMAND [FILE] [options]\n\nCommands\n");
    for (int i = 0; i < COMMAND_COUNT; i++) {
        const command_info *info = command_at((command_id)i);
        size_t start = out->length;
        text_all(out, "  ", info->name, NULL);
        text_pad(out, start, 13);
        text_all(out, command_words_of((command_id)i)->question, "\n", NULL);
    }
    text_put(out,
             "\n  deadbus COMMAND --help   more on one command, with its options\n"
             "  deadbus --version        the version\n"
             "  deadbus help man         the manual page; also bash, zsh, fish: completions\n\n"
             "Ends with 0: done; 1: the answer is no, or the file has errors; 2: wrong usage;\n"
             "3: could not read, write or get memory.\n\n");
    put_wrapped(out, caution_line, 0, 0);
}

bool help_write(const char *topic, text *out) {
    static const struct {
        const char *name;
        void (*write)(text *out);
    } topics[] = {{"", help_all},
                  {"man", help_man_page},
                  {"bash", help_bash},
                  {"zsh", help_zsh},
                  {"fish", help_fish}};
    for (size_t i = 0; i < sizeof topics / sizeof topics[0]; i++)
        if (strcmp(topic, topics[i].name) == 0) {
            topics[i].write(out);
            return true;
        }
    int command = command_find(topic);
    if (command >= 0)
        help_command((command_id)command, out);
    return command >= 0;
}
