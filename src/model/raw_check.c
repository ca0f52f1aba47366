#include "model/raw_check.h"

#include <stdint.h>
#include <string.h>

#include "model/yaml_tree.h"

enum { MOST_BRACKETS = 32, MOST_FINDINGS = 200 };

span raw_place(const char *source, size_t length, size_t offset, size_t count) {
    uint32_t line = 1;
    size_t start = 0;
    for (size_t i = 0; i < offset && i < length; i++) {
        if (source[i] == '\n') {
            line++;
            start = i + 1;
        }
    }
    if (start == 0 && length >= 3 && memcmp(source, "\xEF\xBB\xBF", 3) == 0 && offset >= 3)
        start = 3;
    return (span){.offset = (uint32_t)offset,
                  .length = (uint32_t)count,
                  .line = line,
                  .column = (uint32_t)utf8_columns(source + start, offset - start) + 1};
}

// One walk over the bytes, line by line.
typedef struct walk {
    char *s;
    size_t n, i;
    size_t line_start;
    uint32_t line;
    findings *out;
    int depth;            // open brackets
    int depth_before;     // at the start of this line
    char quote;           // the open quote, 0
    bool at_start;        // only spaces so far on this line
    size_t block_indent;  // inside a block text: its key's indentation + 1, else 0
} walk;

static void say(walk *w, size_t at, size_t count, const char *code, const char *hint,
                const char *what) {
    if (w->out->errors >= MOST_FINDINGS)
        return;
    span where = {.offset = (uint32_t)at, .length = (uint32_t)count, .line = w->line};
    where.column = (uint32_t)utf8_columns(w->s + w->line_start, at - w->line_start) + 1;
    findings_say(w->out, SEVERITY_ERROR, where, code, hint, what, NULL);
}

static void blank(walk *w, size_t from, size_t to) {
    for (size_t i = from; i < to; i++) {
        if (w->s[i] != '\n' && w->s[i] != '\r')
            w->s[i] = ' ';
    }
}

static size_t line_end(const walk *w, size_t from) {
    const char *e = memchr(w->s + from, '\n', w->n - from);
    return e ? (size_t)(e - w->s) : w->n;
}

static bool is_word(char c) {
    unsigned char u = (unsigned char)c;
    return (u >= '0' && u <= '9') || (u >= 'A' && u <= 'Z') || (u >= 'a' && u <= 'z') || u >= 0x80;
}

// Tabs in the indentation become spaces, so that the rest can be read.
static void indentation(walk *w) {
    size_t i = w->i;
    bool told = false;
    while (i < w->n && (w->s[i] == ' ' || w->s[i] == '\t')) {
        if (w->s[i] == '\t' && !told) {
            say(w, i, 1, "tab", "", "a tab as indentation: use spaces");
            told = true;
        }
        if (w->s[i] == '\t')
            w->s[i] = ' ';
        i++;
    }
}

// U+0085, U+2028 and U+2029 end a line for the parser but not for an editor.
static void odd_line_end(walk *w) {
    const unsigned char *s = (const unsigned char *)w->s + w->i;
    size_t left = w->n - w->i;
    size_t count = 0;
    if (left >= 2 && s[0] == 0xC2 && s[1] == 0x85)
        count = 2;
    else if (left >= 3 && s[0] == 0xE2 && s[1] == 0x80 && (s[2] == 0xA8 || s[2] == 0xA9))
        count = 3;
    if (count) {
        say(w, w->i, count, "line-separator", "",
            "an invisible line separator stands here: use a space or a new line");
        // The same number of characters must stay, so that columns stay right: a no-break space
        // (or the em quad, three bytes long) takes its place.
        if (count == 2)
            w->s[w->i + 1] = (char)0xA0;
        else
            w->s[w->i + 2] = (char)0x81;
    }
}

// Characters that no text needs and that the parser would refuse for the whole file.
static void control(walk *w) {
    unsigned char *s = (unsigned char *)w->s + w->i;
    size_t left = w->n - w->i;
    size_t count = 0;
    if ((s[0] < 0x20 && s[0] != '\t' && s[0] != '\n' && s[0] != '\r') || s[0] == 0x7F)
        count = 1;
    else if (left >= 2 && s[0] == 0xC2 && s[1] < 0xA0 && s[1] != 0x85)
        count = 2;
    else if (left >= 3 && s[0] == 0xEF &&
             ((s[1] == 0xBB && s[2] == 0xBF) || (s[1] == 0xBF && s[2] >= 0xBE)))
        count = 3;
    if (count == 0)
        return;
    say(w, w->i, count, "control-character", "", "a control character: remove it");
    static const char *const SPACES[] = {" ", "\xC2\xA0", "\xE2\x80\x81"};
    memcpy(s, SPACES[count - 1], count);
}

// A comment. ` #1` is more likely a placard than a comment.
static void comment(walk *w) {
    size_t end = line_end(w, w->i);
    const char *brace = w->depth > w->depth_before ? memchr(w->s + w->i, '}', end - w->i) : NULL;
    bool word = !w->at_start && w->i + 1 < end && is_word(w->s[w->i + 1]);
    if (word) {
        say(w, w->i, 2, "comment", "put the text in quotes",
            "all after ' #' is a comment, and a comment has a space after its '#'");
    } else if (brace) {
        say(w, w->i, 1, "comment", "put the text in quotes",
            "all after ' #' is a comment, the closing brace too");
    }
    if (brace) {  // the line is whole without what the comment took
        blank(w, w->i, (size_t)(brace - w->s));
        end = (size_t)(brace - w->s);
    }
    w->i = end;
}

// Anything but plain ASCII: most bytes need no closer look.
static bool is_odd(char c) { return (unsigned char)c < 0x20 || (unsigned char)c >= 0x7F; }

static bool opens_value(const walk *w, size_t i) {
    // A quote or bracket is one only where a value may start.
    while (i > w->line_start && w->s[i - 1] == ' ')
        i--;
    if (i == w->line_start)
        return true;
    char before = w->s[i - 1];
    return before == '[' || before == '{' || before == ',' || before == ':' || before == '-' ||
           before == '?';
}

static void step_quoted(walk *w) {
    char c = w->s[w->i];
    if (w->quote == '"' && c == '\\' && w->i + 1 < w->n && w->s[w->i + 1] != '\n') {
        w->i += 2;
        return;
    }
    if (c == w->quote) {
        if (c == '\'' && w->i + 1 < w->n && w->s[w->i + 1] == '\'') {
            w->i += 2;
            return;
        }
        w->quote = 0;
    }
    w->i++;
}

// True while nothing forbids parsing.
static bool step(walk *w) {
    char c = w->s[w->i];
    bool after_space = w->i == w->line_start || w->s[w->i - 1] == ' ' || w->s[w->i - 1] == '\t';
    if (is_odd(c)) {
        control(w);
        odd_line_end(w);
    }
    if (w->quote) {
        step_quoted(w);
        return true;
    }
    if (c == '#' && after_space) {
        comment(w);
        return true;
    }
    if ((c == '"' || c == '\'') && opens_value(w, w->i)) {
        w->quote = c;
    } else if ((c == '[' || c == '{') && (w->depth > 0 || opens_value(w, w->i))) {
        if (++w->depth > MOST_BRACKETS) {
            say(w, w->i, 1, "too-deep", "", "brackets nested more than 32 deep");
            return false;
        }
    } else if ((c == ']' || c == '}') && w->depth > 0) {
        w->depth--;
    }
    if (c != ' ' && c != '\t')
        w->at_start = false;
    w->i++;
    return true;
}

// `note: |` and `note: >`: the lines below it are text, whatever they contain.
static bool block_text_starts(const walk *w) {
    size_t end = line_end(w, w->line_start);
    while (end > w->line_start && (w->s[end - 1] == ' ' || w->s[end - 1] == '\r'))
        end--;
    while (end > w->line_start && strchr("+-0123456789", w->s[end - 1]))
        end--;
    return end >= w->line_start + 3 && (w->s[end - 1] == '|' || w->s[end - 1] == '>') &&
           w->s[end - 2] == ' ' && memchr(w->s + w->line_start, ':', end - w->line_start);
}

static size_t spaces_at(const walk *w, size_t i) {
    size_t n = 0;
    while (i + n < w->n && w->s[i + n] == ' ')
        n++;
    return n;
}

static bool line(walk *w) {
    w->line_start = w->i;
    w->at_start = true;
    w->depth_before = w->depth;
    if (!w->quote)
        indentation(w);
    size_t indent = spaces_at(w, w->i);
    size_t end = line_end(w, w->i);
    bool empty = w->i + indent >= end || w->s[w->i + indent] == '\r';
    if (w->block_indent && (empty || indent >= w->block_indent)) {
        for (; w->i < end; w->i++) {
            if (is_odd(w->s[w->i])) {
                control(w);
                odd_line_end(w);
            }
        }
    } else {
        w->block_indent = 0;
        if (!w->quote && w->depth == 0 && block_text_starts(w))
            w->block_indent = indent + 1;
        while (w->i < end) {
            if (!step(w))
                return false;
        }
    }
    w->i = end + 1;
    w->line++;
    return true;
}

bool raw_check(char *work, size_t length, findings *out) {
    if (length > YAML_LARGEST) {
        findings_say(out, SEVERITY_ERROR, (span){.line = 1, .column = 1}, "too-large", "",
                     "this file is larger than 4 MB: it isn't an aircraft file", NULL);
        return false;
    }
    size_t bad = 0;
    if (!utf8_valid(work, length, &bad)) {
        findings_say(out, SEVERITY_ERROR, raw_place(work, length, bad, 1), "not-utf-8",
                     "save it as UTF-8", "this byte isn't UTF-8", NULL);
        return false;
    }
    walk w = {.s = work, .n = length, .out = out, .line = 1};
    if (length >= 3 && memcmp(work, "\xEF\xBB\xBF", 3) == 0)
        w.i = 3;
    while (w.i < w.n) {
        if (!line(&w))
            return false;
    }
    return true;
}
