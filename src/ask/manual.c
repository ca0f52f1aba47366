// The manual page, in the man macros of roff.
#include "ask/ask_commands.h"
#include "ask/command_help.h"
#include "ask/command_words.h"

// Text at the start of a line or inside it: dashes stay dashes, backslashes print, and no dot or
// apostrophe can become a request.
static void put_text(text *out, const char *s) {
    for (; *s; s++) {
        bool first = out->length == 0 || text_get(out)[out->length - 1] == '\n';
        if (first && (*s == '.' || *s == '\''))
            text_put(out, "\\&");
        if (*s == '-')
            text_put(out, "\\-");
        else if (*s == '\\')
            text_put(out, "\\e");
        else if (*s == '\'')
            text_put(out, "\\(aq");
        else if (*s == '`')
            text_put(out, "\\(ga");
        else if (*s == '\n')
            text_put(out, "\n.PP\n");
        else
            text_char(out, *s);
    }
}

static void put_line(text *out, const char *before, const char *s, const char *after) {
    text_put(out, before);
    put_text(out, s);
    text_put(out, after);
}

static void put_option_usage(text *out, const option_info *o) {
    put_line(out, "[\\fB", o->letter ? o->letter : o->name, "\\fR");
    if (o->value)
        put_line(out, " \\fI", o->value, "\\fR");
    text_put(out, o->repeats ? "]...\n" : "]\n");
}

static void put_command(text *out, command_id c) {
    static const char *const files[] = {
        [SCENARIO_NEVER] = ".I FILE\n",
        [SCENARIO_MAY] = ".I FILE\n.RI [ SCENARIO ]\n",
        [SCENARIO_MUST] = ".I FILE SCENARIO\n",
    };
    const command_info *info = command_at(c);
    put_line(out, ".SS ", info->name, "\n");
    put_text(out, command_words_of(c)->question);
    put_line(out, "\n.PP\n.B deadbus ", info->name, "\n");
    if (info->reads_file)
        text_put(out, files[info->scenario]);
    for (int i = 0; i < OPTION_COUNT; i++)
        if (option_of_command(option_at((option_id)i), c))
            put_option_usage(out, option_at((option_id)i));
    text_put(out, ".PP\n");
    put_text(out, command_words_of(c)->help);
    text_char(out, '\n');
}

static void put_option(text *out, option_id id) {
    const option_info *o = option_at(id);
    text_put(out, ".TP\n");
    if (o->letter)
        put_line(out, "\\fB", o->letter, "\\fR, ");
    put_line(out, "\\fB", o->name, "\\fR");
    if (o->value)
        put_line(out, " \\fI", o->value, "\\fR");
    text_char(out, '\n');
    put_text(out, option_help(id));
    text_put(out, " (");
    bool first = true;
    for (int c = 0; c < COMMAND_COUNT; c++)
        if (option_of_command(o, (command_id)c)) {
            text_all(out, first ? "" : ", ", command_at((command_id)c)->name, NULL);
            first = false;
        }
    text_put(out, ")\n");
}

void help_man_page(text *out) {
    text_put(out,
             ".TH DEADBUS 1 \"\" \"Deadbus " DEADBUS_VERSION "\" \"User commands\"\n"
             ".SH NAME\ndeadbus \\- what each failure of a light aeroplane\\(aqs electrical "
             "system takes away, and why\n"
             ".SH SYNOPSIS\n.B deadbus\n.I COMMAND\n.RI [ FILE ]\n.RI [ options ]\n"
             ".SH DESCRIPTION\nOne text file is one aeroplane. Deadbus solves its real circuit "
             "and answers what any position, breaker or failure takes away, what is kept, why, "
             "and what the pilot sees.\n.I FILE\nis an aircraft file;\n.B \\-\nreads it from "
             "standard input.\n.SH COMMANDS\n");
    for (int c = 0; c < COMMAND_COUNT; c++)
        put_command(out, (command_id)c);
    text_put(out, ".SH OPTIONS\n");
    for (int i = 0; i < OPTION_COUNT; i++)
        put_option(out, (option_id)i);
    text_put(out,
             ".TP\n\\fB\\-\\-help\\fR [\\fITOPIC\\fR]\nthe help on a command; topics "
             "\\fBman\\fR, \\fBbash\\fR, \\fBzsh\\fR and \\fBfish\\fR write the manual page "
             "and the completions\n.TP\n\\fB\\-\\-version\\fR\nthe version\n"
             ".SH EXIT STATUS\n.TP\n0\ndone\n.TP\n1\nthe answer is no, or the file has errors\n"
             ".TP\n2\nwrong usage\n.TP\n3\ncould not read, write or get memory\n"
             ".SH ENVIRONMENT\n.TP\n.B NO_COLOR\nif set and not empty: no color\n"
             ".SH EXAMPLES\n.nf\n");
    for (int c = 0; c < COMMAND_COUNT; c++)
        for (int i = 0; command_words_of((command_id)c)->examples[i]; i++)
            put_line(out, "deadbus ", command_words_of((command_id)c)->examples[i], "\n");
    put_line(out, ".fi\n.SH CAUTION\n", caution_line, "\n");
}
