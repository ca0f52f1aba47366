#include "model/yaml_words.h"

#include <string.h>

#include "model/kinds.h"

enum { MOST_FLAWS = 100 };

void yaml_flaw_add(yaml_flaws *flaws, arena *memory, span where, yaml_flaw_kind kind) {
    if (flaws->count >= MOST_FLAWS)
        return;
    const yaml_flaw *last = flaws->count ? &flaws->items[flaws->count - 1] : NULL;
    if (last && last->kind == kind && last->where.line == where.line && kind == FLAW_COMPLEX_KEY)
        return;
    yaml_flaw *items =
        arena_grow(memory, flaws->items, &flaws->capacity, flaws->count + 1, sizeof *items);
    if (!items)
        return;
    flaws->items = items;
    items[flaws->count++] = (yaml_flaw){.where = where, .kind = kind};
}

void yaml_flaws_say(const yaml_flaws *flaws, findings *out) {
    static const char *const TEXTS[][2] = {
        [FLAW_ANCHOR] = {"anchor", "an anchor '&' is not used in this file: write it out"},
        [FLAW_ALIAS] = {"alias", "an alias '*' is not used in this file: write it out"},
        [FLAW_TAG] = {"tag", "a tag '!' is not used in this file: write it out"},
        [FLAW_COMPLEX_KEY] = {"complex-key",
                              "a '?' key, or a key that isn't one word, is not used in this file: "
                              "write it out"},
        [FLAW_DEEP] = {"too-deep", "nested too deep: the file has at most 6 levels"},
        [FLAW_SECOND_DOCUMENT] = {"second-document",
                                  "a second '---' is not used in this file: one file is one "
                                  "aeroplane"},
        [FLAW_DIRECTIVE] = {"directive", "a '%' directive is not used in this file: write it out"},
    };
    for (int i = 0; i < flaws->count; i++) {
        const yaml_flaw *f = &flaws->items[i];
        findings_say(out, SEVERITY_ERROR, f->where, TEXTS[f->kind][0], "", TEXTS[f->kind][1], NULL);
    }
}

// ---- what the parser couldn't read --------------------------------------------------------------

static bool word_character(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
}

// `breaker:10 A` somewhere on the line: the word before the colon, if it is a kind or key.
static const char *glued_word(const char *line, size_t length, size_t *word_length) {
    for (size_t i = 1; i + 1 < length && line[i] != '\n'; i++) {
        if (line[i] != ':' || line[i + 1] == ' ' || line[i + 1] == '\n' || line[i + 1] == '\r')
            continue;
        size_t start = i;
        while (start > 0 && word_character(line[start - 1]))
            start--;
        *word_length = i - start;
        for (int k = 0; k < KIND_COUNT; k++) {
            const char *w = kind_word((part_kind)k);
            if (strlen(w) == *word_length && memcmp(w, line + start, *word_length) == 0)
                return line + start;
        }
        for (int k = 1; k < KEY_COUNT; k++) {
            const char *w = key_word((part_key)k);
            if (strlen(w) == *word_length && memcmp(w, line + start, *word_length) == 0)
                return line + start;
        }
        static const char *const TOP[] = {"deadbus",  "aircraft", "parts",   "seen", "phases",
                                          "scenario", "start",    "happens", "ends", "at",
                                          "set",      "fail",     "repair"};
        for (size_t k = 0; k < sizeof TOP / sizeof TOP[0]; k++) {
            if (strlen(TOP[k]) == *word_length && memcmp(TOP[k], line + start, *word_length) == 0)
                return line + start;
        }
    }
    return NULL;
}

static void say_glued(findings *out, span where, const char *word, size_t length) {
    char copy[41];
    size_t n = length < sizeof copy - 1 ? length : sizeof copy - 1;
    memcpy(copy, word, n);
    copy[n] = 0;
    findings_say(out, SEVERITY_ERROR, where, "missing-space", "", "a space is missing after '",
                 copy, ":'", NULL);
}

bool yaml_glued_say(findings *out, const char *source, const char *line, uint32_t number,
                    size_t skipped) {
    const char *end = strchr(line, '\n');
    size_t length = end ? (size_t)(end - line) : strlen(line);
    size_t word_length = 0;
    const char *word = glued_word(line, length, &word_length);
    if (!word)
        return false;
    span where = {.offset = (uint32_t)((size_t)(word - source) + skipped),
                  .length = (uint32_t)word_length,
                  .line = number,
                  .column = (uint32_t)utf8_columns(line, (size_t)(word - line)) + 1};
    say_glued(out, where, word, word_length);
    return true;
}

// How often `: ` stands on the line outside of quotes.
static int colons(const char *line) {
    int n = 0;
    char quote = 0;
    for (const char *c = line; *c && *c != '\n'; c++) {
        if (quote) {
            quote = *c == quote ? 0 : quote;
        } else if (*c == '"' || *c == '\'') {
            quote = *c;
        } else if (*c == ':' && (c[1] == ' ' || c[1] == '\n' || c[1] == '\r')) {
            n++;
        }
    }
    return n;
}

void yaml_problem_say(findings *out, span where, const char *problem, const char *line) {
    size_t length = 0;
    const char *end = strchr(line, '\n');
    size_t on_line = end ? (size_t)(end - line) : strlen(line);
    const char *word = glued_word(line, on_line, &length);
    const char *text = "this line can't be read";
    const char *hint = "compare it with its neighbors: spaces before it, a space after each ':'";
    const char *code = "unreadable";
    if (!problem)
        problem = "";
    if (strstr(problem, "directive")) {
        code = "directive";
        text = "a '%' directive is not used in this file: write it out";
        hint = "";
    } else if (strstr(problem, "unexpected end of stream") ||
               strstr(problem, "document indicator")) {
        code = "open-quote";
        text = "a quote is opened here and never closed";
        hint = "";
    } else if (strstr(problem, "alias") || strstr(problem, "anchor")) {
        code = "anchor";
        text = "anchors and aliases are not used in this file: write it out";
        hint = "text that starts with & or * needs quotes";
    } else if (strstr(problem, "tag")) {
        code = "tag";
        text = "a tag '!' is not used in this file: write it out";
        hint = "text that starts with ! needs quotes";
    } else if (strstr(problem, "escape")) {
        code = "escape";
        text = "a '\\' in double quotes starts an escape, and this isn't one";
        hint = "use single quotes";
    } else if (strstr(problem, "cannot start any token")) {
        code = "needs-quotes";
        text = "text can't start with this character";
        hint = "put the text in quotes";
    } else if (word) {
        say_glued(out, where, word, length);
        return;
    } else if (strstr(problem, "mapping values are not allowed") ||
               strstr(problem, "expected ','")) {
        code = "unbalanced";
        text = "a brace or bracket opened here isn't closed on its line, or a comma is missing";
        hint = "";
        if (strstr(problem, "mapping values") || colons(line) > 1) {
            code = strstr(problem, "mapping values") ? "second-colon" : code;
            hint = "text that contains ': ' or a brace needs quotes";
        }
        if (strstr(problem, "mapping values"))
            text = "a second ': ' inside text, or a comma is missing before it";
    }
    findings_say(out, SEVERITY_ERROR, where, code, hint, text, NULL);
}

// ---- entries ------------------------------------------------------------------------------------

typedef struct entries {
    arena *memory;
    const char *source;
    size_t length;
    findings *out;
} entries;

static char after_key(const entries *e, const node *key) {
    size_t i = (size_t)key->span.offset + key->span.length;
    while (i < e->length && e->source[i] == ' ')
        i++;
    return i < e->length ? e->source[i] : 0;
}

static void say_empty(const entries *e, node *value) {
    const node *key = value->key;
    size_t length = 0;
    const char *word = glued_word(key->text, key->length, &length);
    value->refused = true;
    if (key->refused)
        return;
    if (value->text[0]) {
        findings_say(e->out, SEVERITY_ERROR, value->span, "empty", "",
                     "leave the key out if it isn't known ('", value->text, "' isn't used)", NULL);
    } else if (word) {
        say_glued(e->out, key->span, word, length);
    } else if (after_key(e, key) != ':') {
        findings_say(e->out, SEVERITY_ERROR, key->span, "comma",
                     "put the text in quotes, or a list in brackets: [a, b]", "'", key->text,
                     "' stands here without a value: a comma inside text?", NULL);
    } else {
        findings_say(e->out, SEVERITY_ERROR, key->span, "empty", "", "'", key->text,
                     "' has no value: leave the key out if it isn't known", NULL);
    }
}

static bool is_null(const node *n) {
    return n->type == NODE_TEXT && n->style == STYLE_PLAIN && !n->refused &&
           (n->length == 0 || strcmp(n->text, "~") == 0 || strcmp(n->text, "null") == 0);
}

static void line_number(char out[12], uint32_t line) {
    char digits[12];
    int n = 0;
    do
        digits[n++] = (char)('0' + line % 10);
    while (line /= 10);
    for (int i = 0; i < n; i++)
        out[i] = digits[n - 1 - i];
    out[n] = 0;
}

static void say_twice(const entries *e, node *n, const node *first) {
    char line[12];
    line_number(line, first->span.line);
    n->refused = true;
    if (n->key->length == 0)
        return;
    findings_say(e->out, SEVERITY_ERROR, n->key->span, "twice", "", "'", n->key->text,
                 "' stands here a second time: the first is on line ", line, NULL);
}

enum { FEW_KEYS = 24 };

// A line's keys: each looked for among those before it.
static void few_keys_twice(const entries *e, node *map) {
    for (node *n = map->first; n; n = n->next) {
        const node *before = map->first;
        while (before != n && (before->key->length != n->key->length ||
                               memcmp(before->key->text, n->key->text, n->key->length) != 0))
            before = before->next;
        if (before != n)
            say_twice(e, n, before->key);
    }
}

static void keys_twice(const entries *e, node *map) {
    if (map->count <= FEW_KEYS) {
        few_keys_twice(e, map);
        return;
    }
    name_table seen = {0};
    const node **keys = arena_new(e->memory, (size_t)map->count, sizeof(void *));
    if (!keys)
        return;
    int count = 0;
    for (node *n = map->first; n; n = n->next) {
        int at = name_add(&seen, e->memory, n->key->text, n->key->length, count);
        if (at < 0)
            return;
        if (at == count)
            keys[count++] = n->key;
        else
            say_twice(e, n, keys[at]);
    }
}

static void look_at(const entries *e, node *n) {
    if (n->type == NODE_TEXT) {
        if (n->style == STYLE_BLOCK && !(n->key && strcmp(n->key->text, "note") == 0)) {
            n->refused = true;
            findings_say(e->out, SEVERITY_ERROR, n->span, "block-text", "",
                         "'|' and '>' are for a note only: write the text on the line", NULL);
        }
        if (n->key && strcmp(n->key->text, "<<") == 0) {
            n->refused = true;
            findings_say(e->out, SEVERITY_ERROR, n->key->span, "merge", "",
                         "'<<' is not used in this file: write it out", NULL);
        } else if (n->key && is_null(n)) {
            say_empty(e, n);
        } else if (is_null(n)) {
            n->refused = true;
            findings_say(e->out, SEVERITY_ERROR, n->span, "empty", "",
                         "an entry of the list is empty", NULL);
        }
        return;
    }
    if (n->key && strcmp(n->key->text, "<<") == 0) {
        n->refused = true;
        findings_say(e->out, SEVERITY_ERROR, n->key->span, "merge", "",
                     "'<<' is not used in this file: write it out", NULL);
    }
    if (n->type == NODE_MAP)
        keys_twice(e, n);
}

status yaml_entries_check(arena *memory, node *root, const char *source, size_t length,
                          findings *out) {
    entries e = {.memory = memory, .source = source, .length = length, .out = out};
    // A walk without recursion: the tree is at most 33 deep.
    node *stack[40];
    int depth = 0;
    if (root) {
        look_at(&e, root);
        stack[depth++] = root->first;
    }
    while (depth > 0) {
        node *n = stack[depth - 1];
        if (!n) {
            depth--;
            continue;
        }
        stack[depth - 1] = n->next;
        look_at(&e, n);
        if (n->type != NODE_TEXT)
            stack[depth++] = n->first;
    }
    return memory->failed || out->memory.failed ? STATUS_NO_MEMORY : STATUS_OK;
}
