// The command line: words and files in, text and exit status out. What the words mean is the
// library's business.
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "deadbus.h"
#include "empty_page.h"
#include "files.h"
#include "pdf.h"
#include "terminal.h"
#include "threads.h"

enum {
    COULD_NOT = 3,  // read, write or get memory
    // A byte more than an aircraft file may have: the library then sees, and says, that it's too
    // long.
    MOST_READ = 4 * 1024 * 1024 + 1
};

typedef struct command_line {
    const char **options;  // for the library
    int option_count;
    const char *file;      // NULL: none given
    const char *scenario;  // the second file, of commands that play scenarios
    const char *second;    // one file too many
    const char *output;    // NULL: standard output
    int unknown;           // an option that the library doesn't know either
    int help;
    int instructor;
    const char *form;  // of `card`; NULL: none given
    int pdf;           // the answer is a drawing that becomes a PDF
} command_line;

static int no_memory(void) {
    fputs("deadbus: error: there is no memory left. Close something and try again\n", stderr);
    return COULD_NOT;
}

// The library draws, the program makes the PDF. Takes the place of the drawing.
static int make_pdf(const deadbus_answer *answer, const char *output) {
    char trouble[TROUBLE_ROOM];
    size_t length = 0;
    char *pdf = pdf_of_svg(answer->out, answer->out_length, &length, trouble);
    int failed = !pdf || file_write(output ? output : "-", pdf, length, trouble);
    if (failed)
        fprintf(stderr, "%s\n", trouble);
    free(pdf);
    return failed ? COULD_NOT : DEADBUS_DONE;
}

// Prints what the library answered; `output` NULL is standard output.
static int deliver(deadbus_answer *answer, const char *output, int pdf) {
    int status = (int)answer->exit;
    if (answer->exit == DEADBUS_NO_MEMORY) {
        deadbus_forget(answer);
        return no_memory();
    }
    fwrite(answer->messages, 1, answer->messages_length, stderr);
    char trouble[TROUBLE_ROOM];
    if (pdf && answer->exit == DEADBUS_DONE) {
        status = make_pdf(answer, output);
    } else if ((answer->out_length > 0 || (answer->exit != DEADBUS_WRONG_USAGE && !output)) &&
               file_write(output ? output : "-", answer->out, answer->out_length, trouble)) {
        fprintf(stderr, "%s\n", trouble);
        status = COULD_NOT;
    }
    deadbus_forget(answer);
    return status;
}

static int help(const char *topic) {
    deadbus_answer answer;
    deadbus_help(NULL, topic, &answer);
    return deliver(&answer, NULL, 0);
}

static int nothing_asked(void) {
    fputs("deadbus: error: nothing is asked. Name a command and an aircraft file, such as\n"
          "    deadbus show aircraft/bowline.yaml\n"
          "`deadbus --help` lists the commands\n",
          stderr);
    return DEADBUS_WRONG_USAGE;
}

// `-` alone is standard input; -10C is a value, and stands only after its option.
static int is_option(const char *word) { return word[0] == '-' && word[1] != 0; }

// `word` with its value in it or after it, if it is `name`; else NULL.
static const char *value_of(const char *name, char **words, int used) {
    size_t length = strlen(name);
    if (strncmp(words[0], name, length) != 0)
        return NULL;
    return words[0][length] == '='              ? words[0] + length + 1
           : words[0][length] == 0 && used == 2 ? words[1]
                                                : NULL;
}

// Takes one option with its value; returns how many words that were.
static int take_option(command_line *line, char **words, int left) {
    const char *word = words[0];
    int takes = deadbus_option_takes_value(word);
    const char *equals = strchr(word, '=');
    int used = takes > 0 && !equals && left > 1 && strncmp(words[1], "--", 2) != 0 ? 2 : 1;
    line->unknown |= takes < 0;
    line->instructor |= strcmp(word, "--instructor") == 0;
    const char *form = value_of("--form", words, used);
    line->form = form ? form : line->form;
    for (int i = 0; i < used; i++)
        line->options[line->option_count++] = words[i];
    size_t length = equals ? (size_t)(equals - word) : strlen(word);
    int output = (length == 2 && memcmp(word, "-o", 2) == 0) ||
                 (length == 8 && memcmp(word, "--output", 8) == 0);
    if (output && equals)
        line->output = equals + 1;
    else if (output && used == 2)
        line->output = words[1];
    return used;
}

static int ends_with(const char *name, const char *ending) {
    size_t length = strlen(name), size = strlen(ending);
    return length > size && strcmp(name + length - size, ending) == 0;
}

// A PDF is asked for as a drawing: a card's by its form or its name, a diagram's by its name.
static void ask_for_drawing(command_line *line, const char *command) {
    int card = strcmp(command, "card") == 0;
    const char *form = card ? line->form : NULL;
    if ((!card && strcmp(command, "draw") != 0) ||
        (form ? strcmp(form, "pdf") != 0 : !line->output || !ends_with(line->output, ".pdf")))
        return;
    for (int i = 0; i < line->option_count; i++) {
        if (strcmp(line->options[i], "--json") == 0)
            return;  // another form: the library minds two of them
        if (form && line->options[i] == form)
            line->options[i] = "svg";
        else if (form && strcmp(line->options[i], "--form=pdf") == 0)
            line->options[i] = "--form=svg";
    }
    if (card && !form) {
        line->options[line->option_count++] = "--form";
        line->options[line->option_count++] = "svg";
    }
    line->pdf = 1;
}

// A name that promises a form that isn't written: told instead of written under a false name.
static int wrong_ending(const command_line *line, const char *command) {
    static const char *const of_draw[] = {".svg", ".pdf", NULL};
    static const char *const of_card[] = {".txt", ".html", ".svg", ".pdf", NULL};
    static const char *const of_json[] = {".json", NULL};
    int card = strcmp(command, "card") == 0, json = 0;
    if ((!card && strcmp(command, "draw") != 0) || !line->output || line->form)
        return 0;
    const char *slash = strrchr(line->output, '/');
    const char *dot = strrchr(slash ? slash : line->output, '.');
    if (!dot || strncmp(line->output, "/dev/", 5) == 0)
        return 0;
    for (int i = 0; i < line->option_count; i++)
        json |= strcmp(line->options[i], "--json") == 0;
    for (const char *const *known = json ? of_json : card ? of_card : of_draw; *known; known++)
        if (strcmp(dot, *known) == 0)
            return 0;
    fprintf(stderr, "%s: error: `%s` writes no %s here. Give -o a name that ends with %s\n",
            line->output, command, dot,
            json   ? ".json"
            : card ? ".txt, .html, .svg or .pdf"
                   : ".svg or .pdf");
    return 1;
}

static void take_words(command_line *line, char **words, int count, int plays) {
    int only_files = 0;
    for (int i = 0; i < count;) {
        if (!only_files && strcmp(words[i], "--") == 0) {
            only_files = 1;
            i++;
        } else if (!only_files &&
                   (strcmp(words[i], "--help") == 0 || strcmp(words[i], "-h") == 0)) {
            line->help = 1;
            i++;
        } else if (!only_files && is_option(words[i])) {
            i += take_option(line, words + i, count - i);
        } else if (!line->file) {
            line->file = words[i++];
        } else if (plays && !line->scenario) {
            line->scenario = words[i++];
        } else {
            line->second = line->second ? line->second : words[i];
            i++;
        }
    }
}

typedef struct bytes {
    char *data;
    size_t length;
} bytes;

static int ask(const char *command, const command_line *line, bytes file, bytes scenario) {
    deadbus_question question = {
        .command = command,
        .file_name = line->file && strcmp(line->file, "-") == 0 ? "standard input" : line->file,
        .file = file.data,
        .file_length = file.length,
        .scenario = scenario.data,
        .scenario_length = scenario.length,
        .scenario_name = line->scenario,
        .options = line->options,
        .option_count = line->option_count,
        .color = !line->output && terminal_color(),
        .spread = threads_spread,
    };
    if (strcmp(command, "page") == 0)
        question.empty_page = empty_page(line->instructor, &question.empty_page_length);
    deadbus_answer answer;
    deadbus_ask(NULL, &question, &answer);
    return deliver(&answer, line->output, line->pdf);
}

static int read_bytes(const char *name, bytes *made) {
    char trouble[TROUBLE_ROOM];
    made->data = file_read(name, MOST_READ, &made->length, trouble);
    if (!made->data)
        fprintf(stderr, "%s\n", trouble);
    return made->data != NULL;
}

static int known_command(const char *command) {
    deadbus_answer answer;
    int known = deadbus_help(NULL, command, &answer) != DEADBUS_WRONG_USAGE;
    deadbus_forget(&answer);
    return known;
}

static int run(const char *command, command_line *line) {
    if (line->help)
        return help(command);
    // A question that is worded wrongly is told before a file is looked for.
    if (!line->file || line->unknown || !known_command(command))
        return ask(command, line, (bytes){0}, (bytes){0});
    if (line->second) {
        fprintf(stderr,
                "deadbus %s: error: '%s' is one file too many: one file is one aeroplane. Ask for "
                "each by itself\n",
                command, line->second);
        return DEADBUS_WRONG_USAGE;
    }
    if (line->output && (file_same(line->file, line->output) ||
                         (line->scenario && file_same(line->scenario, line->output)))) {
        fprintf(stderr, "%s: error: the answer would overwrite the %s file. Give -o another name\n",
                line->output, file_same(line->file, line->output) ? "aircraft" : "scenario");
        return DEADBUS_WRONG_USAGE;
    }
    if (wrong_ending(line, command))
        return DEADBUS_WRONG_USAGE;
    if (strcmp(line->file, "-") == 0 && terminal_typed())
        fputs("Reading the aircraft from the keyboard; end with Ctrl-D on a line of its own.\n",
              stderr);
    bytes file = {0}, scenario = {0};
    int status = COULD_NOT;
    if (read_bytes(line->file, &file) && (!line->scenario || read_bytes(line->scenario, &scenario)))
        status = ask(command, line, file, scenario);
    free(file.data);
    free(scenario.data);
    return status;
}

int main(int count, char **words) {
    if (count < 2)
        return nothing_asked();
    const char *first = words[1];
    if (strcmp(first, "--version") == 0 || strcmp(first, "-V") == 0) {
        printf("deadbus %s\n", deadbus_version());
        return fflush(stdout) == 0 ? DEADBUS_DONE : COULD_NOT;
    }
    if (strcmp(first, "--help") == 0 || strcmp(first, "-h") == 0 || strcmp(first, "help") == 0)
        return help(count > 2 ? words[2] : "");
    // Two more than there are words, for a form that only a file's name tells.
    command_line line = {.options = calloc((size_t)count + 2, sizeof *line.options)};
    if (!line.options)
        return no_memory();
    take_words(&line, words + 2, count - 2, deadbus_plays_scenarios(first));
    ask_for_drawing(&line, first);
    int status = run(first, &line);
    free(line.options);
    return status;
}
