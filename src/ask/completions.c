// Completions for three shells, from the command table. The words in it are letters and dashes, and
// quotes in help texts are doubled or left out as each shell wants it.
#include <string.h>

#include "ask/command_help.h"
#include "ask/command_words.h"

static void put_commands(text *out) {
    for (int c = 0; c < COMMAND_COUNT; c++)
        text_all(out, command_at((command_id)c)->name, " ", NULL);
    text_put(out, "help");
}

static void put_options(text *out, command_id c) {
    for (int i = 0; i < OPTION_COUNT; i++) {
        const option_info *o = option_at((option_id)i);
        if (!option_of_command(o, c))
            continue;
        text_all(out, o->name, " ", NULL);
        if (o->letter)
            text_all(out, o->letter, " ", NULL);
    }
    text_put(out, "--help");
}

// Inside single quotes: an apostrophe ends the quotes, stands by itself, and opens them again.
static void put_quoted(text *out, const char *s) {
    text_char(out, '\'');
    for (; *s; s++)
        if (*s == '\'')
            text_put(out, "'\\''");
        else
            text_char(out, *s);
    text_char(out, '\'');
}

void help_bash(text *out) {
    text_put(out, "# bash completion for deadbus\n_deadbus() {\n"
                  "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
                  "    COMPREPLY=()\n"
                  "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
                  "        mapfile -t COMPREPLY < <(compgen -W '");
    put_commands(out);
    text_put(out,
             " --help --version' -- \"$word\")\n        return\n    fi\n    case $before in\n");
    for (int i = 0; i < OPTION_COUNT; i++) {
        const option_info *o = option_at((option_id)i);
        if (!o->value)
            continue;
        text_all(out, "    ", o->name, o->letter ? "|" : "", o->letter ? o->letter : "", ")\n",
                 NULL);
        if (o->words)
            text_all(out, "        mapfile -t COMPREPLY < <(compgen -W '", o->words,
                     "' -- \"$word\")\n", NULL);
        else if (o->file)
            text_put(out, "        mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n");
        text_put(out, "        return ;;\n");
    }
    text_put(out, "    esac\n    local options=\n    case ${COMP_WORDS[1]} in\n");
    for (int c = 0; c < COMMAND_COUNT; c++) {
        text_all(out, "    ", command_at((command_id)c)->name, ") options='", NULL);
        put_options(out, (command_id)c);
        text_put(out, "' ;;\n");
    }
    text_put(out, "    help) options='");
    put_commands(out);
    text_put(out, " man bash zsh fish' ;;\n    esac\n"
                  "    if [[ $word == -* || ${COMP_WORDS[1]} == help ]]; then\n"
                  "        mapfile -t COMPREPLY < <(compgen -W \"$options\" -- \"$word\")\n"
                  "    else\n"
                  "        mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n"
                  "    fi\n}\ncomplete -o filenames -F _deadbus deadbus\n");
}

// One argument of _arguments: '*--set[help]:ID=POSITION: '
static void put_zsh_option(text *out, option_id id, const char *name) {
    const option_info *o = option_at(id);
    text spec = text_make(out->memory);
    text_all(&spec, o->repeats ? "*" : "", name, "[", option_help(id), "]", NULL);
    if (o->value)
        text_all(&spec, ":", o->value, ":", NULL);
    if (o->words)
        text_all(&spec, "(", o->words, ")", NULL);
    else if (o->file)
        text_put(&spec, "_files");
    else if (o->value)
        text_char(&spec, ' ');
    text_put(out, "            ");
    put_quoted(out, text_get(&spec));
    text_put(out, " \\\n");
    out->failed = out->failed || spec.failed;
    text_free(&spec);
}

void help_zsh(text *out) {
    text_put(out, "#compdef deadbus\n# zsh completion for deadbus\n"
                  "_deadbus() {\n    local -a commands\n    commands=(\n");
    for (int c = 0; c < COMMAND_COUNT; c++) {
        const command_info *info = command_at((command_id)c);
        text line = text_make(out->memory);
        text_all(&line, info->name, ":", NULL);
        for (const char *s = command_words_of((command_id)c)->question; *s; s++) {
            if (*s == ':')
                text_char(&line, '\\');
            text_char(&line, *s);
        }
        text_put(out, "        ");
        put_quoted(out, text_get(&line));
        text_char(out, '\n');
        out->failed = out->failed || line.failed;
        text_free(&line);
    }
    text_put(out, "        'help:the help on a command, the manual page, completions'\n    )\n"
                  "    if (( CURRENT == 2 )); then\n        _describe command commands\n"
                  "        return\n    fi\n    local command=$words[2]\n    shift words\n"
                  "    (( CURRENT-- ))\n    case $command in\n");
    for (int c = 0; c < COMMAND_COUNT; c++) {
        const command_info *info = command_at((command_id)c);
        text_all(out, "    ", info->name, ")\n        _arguments \\\n", NULL);
        for (int i = 0; i < OPTION_COUNT; i++) {
            const option_info *o = option_at((option_id)i);
            if (!option_of_command(o, (command_id)c))
                continue;
            put_zsh_option(out, (option_id)i, o->name);
            if (o->letter)
                put_zsh_option(out, (option_id)i, o->letter);
        }
        bool plays = info->scenario != SCENARIO_NEVER;
        if (plays)
            text_put(out, "            ':aircraft file:_files' \\\n");
        text_put(out, plays              ? "            ':scenario file:_files'\n        ;;\n"
                      : info->reads_file ? "            ':aircraft file:_files'\n        ;;\n"
                                         : "            '--help[the help]'\n        ;;\n");
    }
    text_put(out, "    help)\n        _values topic ");
    put_commands(out);
    text_put(out, " man bash zsh fish\n        ;;\n    esac\n}\n_deadbus \"$@\"\n");
}

void help_fish(text *out) {
    text_put(out, "# fish completion for deadbus\n");
    for (int c = 0; c < COMMAND_COUNT; c++) {
        text_all(out, "complete -c deadbus -n __fish_use_subcommand -f -a ",
                 command_at((command_id)c)->name, " -d ", NULL);
        put_quoted(out, command_words_of((command_id)c)->question);
        text_char(out, '\n');
    }
    text_put(out, "complete -c deadbus -n __fish_use_subcommand -f -a help -d 'The help'\n"
                  "complete -c deadbus -n '__fish_seen_subcommand_from help' -f -a '");
    put_commands(out);
    text_put(out, " man bash zsh fish'\n");
    for (int i = 0; i < OPTION_COUNT; i++) {
        const option_info *o = option_at((option_id)i);
        text_put(out, "complete -c deadbus -n '__fish_seen_subcommand_from");
        for (int c = 0; c < COMMAND_COUNT; c++)
            if (option_of_command(o, (command_id)c))
                text_all(out, " ", command_at((command_id)c)->name, NULL);
        text_all(out, "' -l ", o->name + 2, NULL);
        if (o->letter)
            text_all(out, " -s ", o->letter + 1, NULL);
        if (o->words)
            text_all(out, " -x -a '", o->words, "'", NULL);
        else if (o->file)
            text_put(out, " -r -F");
        else if (o->value)
            text_put(out, " -x");
        text_put(out, " -d ");
        put_quoted(out, option_help((option_id)i));
        text_char(out, '\n');
    }
}
