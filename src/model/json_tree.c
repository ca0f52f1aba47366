#include "model/json_tree.h"

#include <string.h>

typedef struct parser {
    arena *memory;
    const char *start, *at, *end;
    int depth;
    bool wrong;
} parser;

static void skip_space(parser *p) {
    while (p->at < p->end && strchr(" \t\r\n", *p->at) && *p->at)
        p->at++;
}

// The next letter that isn't space; 0: none is left.
static char peek(parser *p) {
    skip_space(p);
    return p->at < p->end ? *p->at : '\0';
}

static bool take(parser *p, char wanted) {
    bool there = peek(p) == wanted;
    if (there)
        p->at++;
    return there;
}

static span place(const parser *p, const char *from) {
    uint32_t offset = (uint32_t)(from - p->start);
    return (span){
        .offset = offset, .length = (uint32_t)(p->at - from), .line = 1, .column = offset + 1};
}

static node *new_node(parser *p, node_type type) {
    node *n = arena_new(p->memory, 1, sizeof *n);
    if (!n) {
        p->wrong = true;
        return NULL;
    }
    n->type = type;
    n->style = type == NODE_TEXT ? STYLE_PLAIN : STYLE_FLOW;
    return n;
}

// ---- texts --------------------------------------------------------------------------------------
static uint32_t take_hex(parser *p) {
    uint32_t value = 0;
    for (int i = 0; i < 4; i++) {
        char c = p->at < p->end ? *p->at++ : '\0';
        uint32_t digit =
            c >= '0' && c <= '9' ? (uint32_t)(c - '0') : ((uint32_t)c | 32u) - 'a' + 10u;
        p->wrong = p->wrong || digit > 15;
        value = value << 4 | (digit & 15);
    }
    return value;
}

static char *put_utf8(char *to, uint32_t c) {
    static const unsigned char FIRST[] = {0, 0xC0, 0xE0, 0xF0};
    int more = c < 0x80 ? 0 : c < 0x800 ? 1 : c < 0x10000 ? 2 : 3;
    *to++ = (char)(FIRST[more] | c >> 6 * more);
    while (more-- > 0)
        *to++ = (char)(0x80u | (c >> 6 * more & 0x3Fu));
    return to;
}

// After the backslash.
static char *take_escape(parser *p, char *to) {
    static const char NAMES[] = "\"\\/bfnrt", MEANT[] = "\"\\/\b\f\n\r\t";
    char c = p->at < p->end ? *p->at++ : '\0';
    const char *named = c ? strchr(NAMES, c) : NULL;
    if (named) {
        *to++ = MEANT[named - NAMES];
        return to;
    }
    uint32_t high = take_hex(p);
    p->wrong = p->wrong || c != 'u' || high == 0;
    if (high < 0xD800 || high > 0xDFFF)
        return put_utf8(to, high);
    bool pair = p->end - p->at >= 2 && p->at[0] == '\\' && p->at[1] == 'u';
    p->at += pair ? 2 : 0;
    uint32_t low = pair ? take_hex(p) : 0;
    p->wrong = p->wrong || high > 0xDBFF || low < 0xDC00 || low > 0xDFFF;
    return put_utf8(to, 0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00));
}

// No escape is shorter than what it stands for.
static node *take_quoted(parser *p) {
    const char *from = p->at++;
    node *n = new_node(p, NODE_TEXT);
    char *text = arena_new(p->memory, (size_t)(p->end - p->at) + 1, 1), *to = text;
    if (!n || !text) {
        p->wrong = true;
        return NULL;
    }
    while (p->at < p->end && *p->at != '"' && !p->wrong) {
        p->wrong = (unsigned char)*p->at < ' ';
        if (*p->at == '\\') {
            p->at++;
            to = take_escape(p, to);
        } else {
            *to++ = *p->at++;
        }
    }
    p->wrong = !take(p, '"') || p->wrong;
    n->style = STYLE_QUOTED;
    n->text = text;
    n->length = (size_t)(to - text);
    n->span = place(p, from);
    return n;
}

// A number, true, false or null.
static node *take_plain(parser *p) {
    const char *from = p->at;
    while (p->at < p->end && !strchr(",:[]{}\" \t\r\n", *p->at))
        p->at++;
    node *n = new_node(p, NODE_TEXT);
    p->wrong = p->wrong || p->at == from;
    if (!n)
        return NULL;
    n->copied = true;
    n->length = (size_t)(p->at - from);
    n->text = arena_text(p->memory, from, n->length);
    n->span = place(p, from);
    p->wrong = p->wrong || !n->text;
    return n;
}

// ---- lists and maps -----------------------------------------------------------------------------
static node *take_value(parser *p);

// One of a list or map, with its key.
static node *take_entry(parser *p, bool keyed) {
    node *key = keyed && peek(p) == '"' ? take_quoted(p) : NULL;
    p->wrong = p->wrong || (keyed && (!key || !take(p, ':')));
    node *n = p->wrong ? NULL : take_value(p);
    if (n)
        n->key = key;
    return n;
}

static node *take_many(parser *p, char end) {
    enum { DEEPEST = 32 };
    const char *from = p->at++;
    node *n = new_node(p, end == '}' ? NODE_MAP : NODE_LIST), *last = NULL;
    p->wrong = p->wrong || ++p->depth > DEEPEST;
    bool more = !take(p, end);
    while (more && !p->wrong) {
        node *one = take_entry(p, end == '}');
        if (!one)
            break;
        if (last)
            last->next = one;
        else
            n->first = one;
        last = one;
        n->count++;
        more = take(p, ',');
        p->wrong = p->wrong || (!more && !take(p, end));
    }
    p->depth--;
    if (n)
        n->span = place(p, from);
    return n;
}

static node *take_value(parser *p) {
    switch (peek(p)) {
    case '{': return take_many(p, '}');
    case '[': return take_many(p, ']');
    case '"': return take_quoted(p);
    default: return take_plain(p);
    }
}

status json_tree_read(arena *memory, const char *source, size_t length, findings *out,
                      yaml_tree *made) {
    *made = (yaml_tree){0};
    parser p = {.memory = memory, .start = source, .at = source, .end = source + length};
    node *root = take_value(&p);
    p.wrong = p.wrong || peek(&p) != '\0' || p.at != p.end;
    if (memory->failed)
        return STATUS_NO_MEMORY;
    if (!p.wrong)
        made->root = root;
    else
        findings_say(out, SEVERITY_ERROR, place(&p, p.at), "not-json", "", "this isn't JSON", NULL);
    return out->memory.failed ? STATUS_NO_MEMORY : STATUS_OK;
}
