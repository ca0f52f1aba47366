#include "ask/option_values.h"

#include <string.h>

#include "base/text.h"

static const span nowhere = {0};

static void unknown_option(const ask_options *o, const char *word, size_t length, findings *out) {
    text name = text_make(o->memory.memory);
    text hint = text_make(o->memory.memory);
    text_put_n(&name, word, length);
    const char *command = command_at(o->command)->name;
    const char *nearest = option_nearest(text_get(&name), (int)o->command);
    if (nearest)
        text_all(&hint, "Did you mean ", nearest, "? ", NULL);
    text_all(&hint, "`deadbus ", command, " --help` lists what there is", NULL);
    if (word[0] == '-')
        findings_say(out, SEVERITY_ERROR, nowhere, "unknown-option", text_get(&hint),
                     "there is no option '", text_get(&name), "'", NULL);
    else
        findings_say(out, SEVERITY_ERROR, nowhere, "stray-word",
                     "Options start with --, and a value stands right after its option", "'",
                     text_get(&name), "' belongs to no option", NULL);
    out->memory.failed = out->memory.failed || name.failed || hint.failed;
    text_free(&name);
    text_free(&hint);
}

static void misplaced_option(const ask_options *o, const option_info *option, findings *out) {
    text hint = text_make(o->memory.memory);
    text_put(&hint, "It belongs to ");
    bool first = true;
    for (int c = 0; c < COMMAND_COUNT; c++)
        if (option_of_command(option, (command_id)c)) {
            text_all(&hint, first ? "`" : ", `", command_at((command_id)c)->name, "`", NULL);
            first = false;
        }
    findings_say(out, SEVERITY_ERROR, nowhere, "misplaced-option", text_get(&hint), "`",
                 command_at(o->command)->name, "` has no option ", option->name, NULL);
    out->memory.failed = out->memory.failed || hint.failed;
    text_free(&hint);
}

// Reads the option at words[at]; returns how many words were used.
static int read_option(ask_options *o, const char *const *words, int left, findings *out) {
    const char *word = words[0];
    const char *equals = word[0] == '-' && word[1] == '-' ? strchr(word, '=') : NULL;
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    int found = option_find(word, length);
    if (found < 0) {
        unknown_option(o, word, length, out);
        // Its value, if one seems to follow, isn't a second mistake.
        return word[0] == '-' && !equals && left > 1 && words[1][0] != '-' ? 2 : 1;
    }
    const option_info *option = option_at((option_id)found);
    option_reading r = {.o = o, .out = out, .option = option, .value = ""};
    int used = 1;
    bool missing = false;
    if (equals) {
        r.value = equals + 1;
    } else if (option->value) {
        // A value may start with a minus sign, but two are an option.
        missing = left < 2 || strncmp(words[1], "--", 2) == 0 || strcmp(words[1], "-o") == 0;
        r.value = missing ? "" : words[1];
        used = missing ? 1 : 2;
    }
    if (!option_of_command(option, o->command)) {
        misplaced_option(o, option, out);
        return used;
    }
    if (equals && !option->value)
        findings_say(out, SEVERITY_ERROR, nowhere, "needless-value", "", option->name,
                     " takes no value", NULL);
    else if (option->value && (missing || *r.value == 0))
        findings_say(out, SEVERITY_ERROR, nowhere, "missing-value", "", option->name,
                     " needs a value: ", option->name, " ", option->value, NULL);
    else if (o->given[found] && !option->repeats)
        findings_say(out, SEVERITY_ERROR, nowhere, "given-twice", "Leave one out", option->name,
                     " is given twice", NULL);
    else
        option_take_value(&r, (option_id)found);
    o->given[found] = true;
    return used;
}

status options_read(allocator memory, command_id command, const char *const *words, int count,
                    ask_options *o, findings *out) {
    *o = (ask_options){.memory = arena_make(memory),
                       .command = command,
                       .file_name = "",
                       .charge = -1,
                       .noticed = -1,
                       .within = -1,
                       .need = -1,
                       .at = -1,
                       .seed = 1};
    int errors = out->errors;
    for (int i = 0; i < count;)
        i += read_option(o, words + i, count - i, out);
    if (o->json && o->csv)
        findings_say(out, SEVERITY_ERROR, nowhere, "two-forms", "Leave one out",
                     "--json and --csv are two forms of the same answer", NULL);
    if (o->json && o->given[OPTION_FORM])
        findings_say(out, SEVERITY_ERROR, nowhere, "two-forms", "Leave one out",
                     "--json and --form are two forms of the same answer", NULL);
    if (o->faults && o->normal)
        findings_say(out, SEVERITY_ERROR, nowhere, "two-lists", "Leave one out",
                     "--faults and --normal are two lists", NULL);
    if (o->memory.failed || out->memory.failed)
        return STATUS_NO_MEMORY;
    return out->errors > errors ? STATUS_BAD_REQUEST : STATUS_OK;
}

void options_free(ask_options *o) { arena_free(&o->memory); }
