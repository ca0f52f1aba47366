#include "ask/options.h"

#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "model/state.h"

static const span nowhere = {0};

// What is being read: one option with its value.
typedef struct reading_of {
    ask_options *o;
    findings *out;
    const option_info *option;
    const char *value;
} reading_of;

static void complain(const reading_of *r, const char *expected) {
    findings_say(r->out, SEVERITY_ERROR, nowhere, "wrong-value", expected, "'", r->value,
                 "' is no value for ", r->option->name, NULL);
}

// A number, then one of the units; returns the unit's index, -1 after complaining.
static int number_with_unit(const reading_of *r, const char *const units[], double *number,
                            const char *expected) {
    size_t length = strlen(r->value);
    int used = number_read(r->value, length, number);
    if (used > 0) {
        const char *rest = r->value + used;
        while (*rest == ' ')
            rest++;
        for (int i = 0; units[i]; i++)
            if (strcmp(rest, units[i]) == 0)
                return i;
    }
    complain(r, expected);
    return -1;
}

static void read_charge(const reading_of *r) {
    static const char *const units[] = {"%", NULL};
    static const char expected[] = "Write a percentage from 0% to 100%, such as --charge 80%";
    double percent;
    if (number_with_unit(r, units, &percent, expected) < 0)
        return;
    if (percent < 0 || percent > 100)
        complain(r, expected);
    else
        r->o->charge = percent / 100;
}

static void read_temperature(const reading_of *r) {
    static const char *const units[] = {"C",
                                        "\xC2\xB0"
                                        "C",
                                        "F",
                                        "\xC2\xB0"
                                        "F",
                                        NULL};
    static const char expected[] =
        "Write degrees with their unit, from -60C to 60C, such as --temperature -10C or 14F";
    double degrees;
    int written = number_with_unit(r, units, &degrees, expected);
    if (written < 0)
        return;
    double celsius = written >= 2 ? (degrees - 32) / 1.8 : degrees;
    if (celsius < -60 || celsius > 60)
        complain(r, expected);
    else
        r->o->temperature = celsius;
}

static void read_width(const reading_of *r) {
    static const char *const units[] = {"", "px", NULL};
    static const char expected[] = "Write whole pixels from 200 to 10000, such as --width 800";
    double pixels;
    if (number_with_unit(r, units, &pixels, expected) < 0)
        return;
    if (pixels < 200 || pixels > 10000 || pixels != (double)(int)pixels)
        complain(r, expected);
    else
        r->o->width = (int)pixels;
}

// The index among the words that the option has; -1 after complaining.
static int read_word(const reading_of *r, const char *expected) {
    size_t length = strlen(r->value);
    int index = 0;
    for (const char *word = r->option->words; *word; index++) {
        size_t size = strcspn(word, " ");
        if (size == length && memcmp(word, r->value, size) == 0)
            return index;
        word += size + (word[size] == ' ');
    }
    complain(r, expected);
    return -1;
}

static void read_theme(const reading_of *r) {
    int found = read_word(r, "There are light, dark, print and page");
    if (found >= 0)
        r->o->theme = (ask_theme)found;
}

static void read_paper(const reading_of *r) {
    int found = read_word(r, "There are a5, half-letter, a4 and letter");
    if (found >= 0)
        r->o->paper = (paper_id)found;
}

static void read_form(const reading_of *r) {
    int found = read_word(r, "There are text, html, svg and pdf");
    if (found >= 0)
        r->o->form = (ask_form)found;
}

static bool ends_with(const char *name, const char *ending) {
    size_t length = strlen(name), size = strlen(ending);
    return length > size && strcmp(name + length - size, ending) == 0;
}

// The caller writes files; a name only tells the form that is wanted.
static void read_output(const reading_of *r) {
    if (r->o->given[OPTION_FORM])
        return;
    r->o->form = ends_with(r->value, ".html")  ? FORM_HTML
                 : ends_with(r->value, ".svg") ? FORM_SVG
                 : ends_with(r->value, ".pdf") ? FORM_PDF
                                               : FORM_TEXT;
}

// ID=WORD into a list whose ids (`once`) or whole pairs may not come twice.
static void read_pair(const reading_of *r, const ask_pair **list, int *count, bool once) {
    const char *equals = strchr(r->value, '=');
    if (!equals || equals == r->value || equals[1] == 0) {
        complain(r, once ? "Write the part, an equals sign and its position, such as "
                           "--set flap-switch=UP"
                         : "Write the part, an equals sign and what fails, such as "
                           "--fail alternator=dead");
        return;
    }
    arena *memory = &r->o->memory;
    const char *id = arena_text(memory, r->value, (size_t)(equals - r->value));
    const char *word = arena_text(memory, equals + 1, strlen(equals + 1));
    ask_pair *grown = arena_new(memory, (size_t)*count + 1, sizeof *grown);
    if (!id || !word || !grown)
        return;
    for (int i = 0; i < *count; i++) {
        const ask_pair *earlier = &(*list)[i];
        grown[i] = *earlier;
        if (strcmp(earlier->id, id) != 0)
            continue;
        bool same_word = strcmp(earlier->word, word) == 0;
        if (once || same_word) {
            findings_say(r->out, SEVERITY_ERROR, nowhere, "given-twice", "Leave one out",
                         r->option->name, " is given twice for '", id, "'",
                         same_word ? "" : ", with different positions", NULL);
            return;
        }
    }
    grown[(*count)++] = (ask_pair){.id = id, .word = word};
    *list = grown;
}

static void read_fail(const reading_of *r) {
    if (r->o->fail_count == STATE_FAULTS) {
        findings_say(r->out, SEVERITY_ERROR, nowhere, "too-many-faults", "Leave some out", "'",
                     r->value, "' is one fault too many: at most 8 at a time", NULL);
        return;
    }
    read_pair(r, &r->o->fails, &r->o->fail_count, false);
}

// A span of time, up to a year: a battery on its hot line alone lasts for weeks.
static void read_time(const reading_of *r, double least, double *seconds) {
    static const char *const units[] = {"min", "h", "s", "d", NULL};
    static const double factors[] = {60, 3600, 1, 86400};
    static const char expected[] =
        "Write a time with its unit, up to 366d, such as 5min, 90s, 3h or 60d";
    double number;
    int unit = number_with_unit(r, units, &number, expected);
    if (unit < 0)
        return;
    number *= factors[unit];
    if (number < least || number > 366 * 86400.0)
        complain(r, expected);
    else
        *seconds = number;
}

static void read_whole(const reading_of *r, double least, double most, const char *expected,
                       int *number) {
    static const char *const units[] = {"", NULL};
    double value;
    if (number_with_unit(r, units, &value, expected) < 0)
        return;
    if (value < least || value > most || value != (double)(int)value)
        complain(r, expected);
    else
        *number = (int)value;
}

static void read_keep(const reading_of *r) {
    arena *memory = &r->o->memory;
    const char *name = arena_text(memory, r->value, strlen(r->value));
    const char **grown = arena_new(memory, (size_t)r->o->keep_count + 1, sizeof *grown);
    if (!name || !grown)
        return;
    for (int i = 0; i < r->o->keep_count; i++) {
        grown[i] = r->o->keeps[i];
        if (strcmp(grown[i], name) == 0) {
            findings_say(r->out, SEVERITY_ERROR, nowhere, "given-twice", "Leave one out",
                         r->option->name, " is given twice for '", name, "'", NULL);
            return;
        }
    }
    grown[r->o->keep_count++] = name;
    r->o->keeps = grown;
}

static void read_value(const reading_of *r, option_id id) {
    ask_options *o = r->o;
    switch (id) {
    case OPTION_PHASE: o->phase = arena_text(&o->memory, r->value, strlen(r->value)); break;
    case OPTION_SET: read_pair(r, &o->sets, &o->set_count, true); break;
    case OPTION_FAIL: read_fail(r); break;
    case OPTION_KEEP: read_keep(r); break;
    case OPTION_SHED: read_pair(r, &o->sheds, &o->shed_count, true); break;
    case OPTION_NOTICED: read_time(r, 0, &o->noticed); break;
    case OPTION_NEED: read_time(r, 60, &o->need); break;
    case OPTION_AT: read_time(r, 0, &o->at); break;
    case OPTION_WITHIN: read_time(r, 1, &o->within); break;
    case OPTION_FLIGHTS:
        read_whole(r, 100, 100000, "Write a whole number from 100 to 100000", &o->flights);
        break;
    case OPTION_SEED:
        read_whole(r, 0, 1e9, "Write a whole number up to 1000000000", &o->seed);
        break;
    case OPTION_CHARGE: read_charge(r); break;
    case OPTION_TEMPERATURE: read_temperature(r); break;
    case OPTION_BEFORE_TRIP: o->before_trip = true; break;
    case OPTION_FAULTS: o->faults = true; break;
    case OPTION_NORMAL: o->normal = true; break;
    case OPTION_CHART: o->chart = true; break;
    case OPTION_SCENARIO: o->scenario = true; break;
    case OPTION_WIDTH: read_width(r); break;
    case OPTION_THEME: read_theme(r); break;
    case OPTION_JSON: o->json = true; break;
    case OPTION_CSV: o->csv = true; break;
    case OPTION_TOUCH: o->touch = true; break;
    case OPTION_INSTRUCTOR: o->instructor = true; break;
    case OPTION_QUESTION:
        o->json_question = arena_text(&o->memory, r->value, strlen(r->value));
        break;
    case OPTION_PAPER: read_paper(r); break;
    case OPTION_FORM: read_form(r); break;
    case OPTION_OUTPUT: read_output(r); break;
    case OPTION_COUNT: break;
    }
}

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
    reading_of r = {.o = o, .out = out, .option = option, .value = ""};
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
        read_value(&r, (option_id)found);
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
