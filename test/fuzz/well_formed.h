// What every answer must be, however odd the question: ended by a 0, UTF-8, and whole as JSON or as
// XML where that was asked for. For fuzz targets and tests.
#ifndef DEADBUS_TEST_WELL_FORMED_H
#define DEADBUS_TEST_WELL_FORMED_H

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

// Surrogates and overlong forms are no UTF-8 (RFC 3629, section 4).
static inline bool well_formed_utf8(const char *text, size_t length) {
    const unsigned char *s = (const unsigned char *)text;
    for (size_t i = 0; i < length;) {
        unsigned first = s[i++];
        if (first < 0x80)
            continue;
        if (first < 0xC2 || first > 0xF4)
            return false;
        int more = first < 0xE0 ? 1 : first < 0xF0 ? 2 : 3;
        unsigned low = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
        unsigned high = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
        for (; more > 0; more--, low = 0x80, high = 0xBF)
            if (i == length || s[i] < low || s[i++] > high)
                return false;
    }
    return true;
}

// ---- JSON (RFC 8259) ----------------------------------------------------------------------------
typedef struct json_rest {
    const char *at, *end;
} json_rest;

static inline bool skip_json_word(json_rest *p, const char *word) {
    size_t length = strlen(word);
    if ((size_t)(p->end - p->at) < length || memcmp(p->at, word, length) != 0)
        return false;
    p->at += length;
    return true;
}

static inline void skip_json_space(json_rest *p) {
    while (p->at < p->end && strchr(" \t\r\n", *p->at) && *p->at)
        p->at++;
}

static inline bool skip_json_string(json_rest *p) {
    if (!skip_json_word(p, "\""))
        return false;
    while (p->at < p->end && *p->at != '"') {
        if ((unsigned char)*p->at < 0x20)
            return false;
        if (*p->at++ != '\\')
            continue;
        if (p->at == p->end || !strchr("\"\\/bfnrtu", *p->at) || !*p->at)
            return false;
        int digits = *p->at++ == 'u' ? 4 : 0;
        for (; digits > 0; digits--, p->at++)
            if (p->at == p->end || !strchr("0123456789abcdefABCDEF", *p->at) || !*p->at)
                return false;
    }
    return skip_json_word(p, "\"");
}

static inline bool skip_json_digits(json_rest *p) {
    const char *first = p->at;
    while (p->at < p->end && *p->at >= '0' && *p->at <= '9')
        p->at++;
    return p->at > first;
}

static inline bool skip_json_number(json_rest *p) {
    skip_json_word(p, "-");
    const char *first = p->at;
    if (!skip_json_digits(p) || (*first == '0' && p->at - first > 1))
        return false;
    if (skip_json_word(p, ".") && !skip_json_digits(p))
        return false;
    if (skip_json_word(p, "e") || skip_json_word(p, "E")) {
        if (!skip_json_word(p, "-"))
            skip_json_word(p, "+");
        return skip_json_digits(p);
    }
    return true;
}

static inline bool skip_json_value(json_rest *p, int depth);

static inline bool skip_json_members(json_rest *p, const char *close, bool named, int depth) {
    skip_json_space(p);
    if (skip_json_word(p, close))
        return true;
    do {
        skip_json_space(p);
        if (named && !skip_json_string(p))
            return false;
        skip_json_space(p);
        if (named && !skip_json_word(p, ":"))
            return false;
        if (!skip_json_value(p, depth + 1))
            return false;
        skip_json_space(p);
    } while (skip_json_word(p, ","));
    return skip_json_word(p, close);
}

static inline bool skip_json_value(json_rest *p, int depth) {
    skip_json_space(p);
    if (depth > 100 || p->at == p->end)
        return false;
    if (*p->at == '"')
        return skip_json_string(p);
    if (skip_json_word(p, "{"))
        return skip_json_members(p, "}", true, depth);
    if (skip_json_word(p, "["))
        return skip_json_members(p, "]", false, depth);
    return skip_json_word(p, "true") || skip_json_word(p, "false") || skip_json_word(p, "null") ||
           skip_json_number(p);
}

static inline bool well_formed_json(const char *text, size_t length) {
    json_rest p = {text, text + length};
    if (!skip_json_value(&p, 0))
        return false;
    skip_json_space(&p);
    return p.at == p.end;
}

// ---- XML, as far as drawings use it: elements, attributes in double quotes ------
static inline const char *xml_entity(const char *at) {
    static const char *const known[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&apos;"};
    for (int i = 0; i < 5; i++)
        if (strncmp(at, known[i], strlen(known[i])) == 0)
            return at + strlen(known[i]);
    size_t digits = strncmp(at, "&#", 2) == 0 ? strspn(at + 2, "0123456789") : 0;
    return digits > 0 && at[2 + digits] == ';' ? at + 3 + digits : NULL;
}

// XML 1.0, production 2: no control characters but tab and line ends.
static inline bool xml_char(char c) {
    return (unsigned char)c >= 0x20 || c == '\t' || c == '\n' || c == '\r';
}

enum { XML_DEPTH = 64 };

// `text` ends with a 0. Past the tag at `at`; NULL if it is none.
static inline const char *xml_tag(const char *at, const char **open, int *depth) {
    bool closes = at[1] == '/';
    const char *name = at + 1 + closes;
    size_t length = strcspn(name, " />\n<&\"");
    if (length == 0)
        return NULL;
    at = name + length;
    while (*at && *at != '>') {
        if (*at == '<' || *at == '&')
            return NULL;
        if (*at++ != '"')
            continue;
        while (*at != '"') {
            if (*at == '<' || !*at || !xml_char(*at))
                return NULL;
            at = *at == '&' ? xml_entity(at) : at + 1;
            if (!at)
                return NULL;
        }
        at++;
    }
    if (*at != '>')
        return NULL;
    if (closes) {
        if (*depth == 0)
            return NULL;
        const char *opened = open[--*depth];
        if (strncmp(opened, name, length) != 0 || !strchr(" />\n", opened[length]))
            return NULL;
    } else if (at[-1] != '/') {
        if (*depth == XML_DEPTH)
            return NULL;
        open[(*depth)++] = name;
    }
    return at + 1;
}

static inline bool well_formed_xml(const char *text) {
    const char *open[XML_DEPTH];
    int depth = 0, elements = 0;
    const char *at = text;
    if (strncmp(at, "<?xml", 5) == 0) {
        at = strstr(at, "?>");
        if (!at)
            return false;
        at += 2;
    }
    while (*at) {
        if (strncmp(at, "<!--", 4) == 0) {
            const char *end = strstr(at + 4, "--");
            if (!end || end[2] != '>')
                return false;
            at = end + 3;
        } else if (*at == '<') {
            elements++;
            at = xml_tag(at, open, &depth);
        } else if (*at == '&') {
            at = xml_entity(at);
        } else {
            at = xml_char(*at) ? at + 1 : NULL;
        }
        if (!at)
            return false;
    }
    return depth == 0 && elements > 0;
}

#endif
