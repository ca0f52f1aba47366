#include "model/yaml_tree.h"

#include <string.h>
#include <yaml.h>

#include "model/raw_check.h"
#include "model/yaml_words.h"

// libyaml's own memory comes from the C library: it has no hook with a context, and a global hook
// would break "no globals". A test makes it fail by wrapping malloc at link time.

enum {
    STACK = 33,
    MOST_RETRIES = 40,
    MOST_BYTES = 16 << 20,  // parsed in all, retries included
};

// One pass of the parser over the text.
typedef struct pass {
    arena *memory;
    const char *text;  // what is parsed: without a byte-order mark
    size_t length;
    size_t skipped;             // bytes of the byte-order mark
    size_t cursor, characters;  // where the last mark was: byte and character
    yaml_flaws flaws;
    node *stack[STACK];
    node *keys[STACK];  // of a map: the key that waits for its value
    int depth;
    node *root;
    int documents;
    bool stop;
} pass;

// Marks count characters; they come in order, so one cursor finds all bytes in one walk.
static size_t byte_of(pass *p, size_t character) {
    if (character < p->characters) {
        p->cursor = 0;
        p->characters = 0;
    }
    while (p->characters < character && p->cursor < p->length) {
        do
            p->cursor++;
        while (p->cursor < p->length && ((unsigned char)p->text[p->cursor] & 0xC0) == 0x80);
        p->characters++;
    }
    return p->cursor;
}

static span place(pass *p, yaml_mark_t from, yaml_mark_t to) {
    size_t start = byte_of(p, from.index);
    size_t start_characters = p->characters;
    size_t end = byte_of(p, to.index > from.index ? to.index : from.index);
    p->cursor = start;
    p->characters = start_characters;
    return (span){.offset = (uint32_t)(start + p->skipped),
                  .length = (uint32_t)(end - start),
                  .line = (uint32_t)from.line + 1,
                  .column = (uint32_t)from.column + 1};
}

static void flaw(pass *p, span where, yaml_flaw_kind kind) {
    yaml_flaw_add(&p->flaws, p->memory, where, kind);
}

// A key written as `? key`.
static bool has_question_mark(const pass *p, size_t offset) {
    size_t i = offset - p->skipped;
    while (i > 0 && p->text[i - 1] == ' ')
        i--;
    return i > 0 && p->text[i - 1] == '?' && offset - p->skipped > i;
}

// Hangs a finished node into the list or map that is open.
static void hang(pass *p, node *n) {
    if (p->depth == 0) {
        if (!p->root)
            p->root = n;
        return;
    }
    node *parent = p->stack[p->depth - 1];
    if (parent->type == NODE_MAP && !p->keys[p->depth - 1]) {
        if (n->type != NODE_TEXT) {
            flaw(p, n->span, FLAW_COMPLEX_KEY);
            n->type = NODE_TEXT;
            n->text = "";
            n->length = 0;
            n->refused = true;
        } else if (has_question_mark(p, n->span.offset)) {
            flaw(p, n->span, FLAW_COMPLEX_KEY);
        }
        p->keys[p->depth - 1] = n;
        return;
    }
    n->key = p->keys[p->depth - 1];
    p->keys[p->depth - 1] = NULL;
    n->next = NULL;
    // `first` is kept as the last entry of a ring until the parent ends: entries are added at its
    // end.
    if (parent->first) {
        n->next = parent->first->next;
        parent->first->next = n;
    } else {
        n->next = n;
    }
    parent->first = n;
    parent->count++;
}

static node *new_node(pass *p, node_type type, span where) {
    node *n = arena_new(p->memory, 1, sizeof *n);
    if (n) {
        n->type = type;
        n->span = where;
        n->text = "";
    }
    return n;
}

static void scalar(pass *p, const yaml_event_t *e) {
    span where = place(p, e->start_mark, e->end_mark);
    node *n = new_node(p, NODE_TEXT, where);
    if (!n)
        return;
    n->text = arena_text(p->memory, (const char *)e->data.scalar.value, e->data.scalar.length);
    if (!n->text)
        return;
    n->length = strlen(n->text);
    switch (e->data.scalar.style) {
    case YAML_SINGLE_QUOTED_SCALAR_STYLE:
    case YAML_DOUBLE_QUOTED_SCALAR_STYLE: n->style = STYLE_QUOTED; break;
    case YAML_LITERAL_SCALAR_STYLE:
    case YAML_FOLDED_SCALAR_STYLE: n->style = STYLE_BLOCK; break;
    default: n->style = STYLE_PLAIN; break;
    }
    n->copied = n->style == STYLE_PLAIN && where.length == n->length &&
                memcmp(p->text + where.offset - p->skipped, n->text, n->length) == 0;
    if (e->data.scalar.anchor)
        flaw(p, where, FLAW_ANCHOR);
    if (e->data.scalar.tag)
        flaw(p, where, FLAW_TAG);
    hang(p, n);
}

static void open_node(pass *p, const yaml_event_t *e, node_type type, bool flow, bool anchor,
                      bool tag) {
    span where = place(p, e->start_mark, e->end_mark);
    node *n = new_node(p, type, where);
    if (!n)
        return;
    n->style = flow ? STYLE_FLOW : STYLE_BLOCK;
    n->refused = anchor && p->depth >= 2;
    if (anchor)
        flaw(p, where, FLAW_ANCHOR);
    if (tag)
        flaw(p, where, FLAW_TAG);
    if (p->depth == YAML_DEEPEST)
        flaw(p, where, FLAW_DEEP);
    if (p->depth == STACK) {
        p->stop = true;
        return;
    }
    p->stack[p->depth] = n;
    p->keys[p->depth] = NULL;
    p->depth++;
}

static void close_node(pass *p, const yaml_event_t *e) {
    if (p->depth == 0)
        return;
    node *n = p->stack[--p->depth];
    if (n->first) {  // opens the ring
        node *last = n->first;
        n->first = last->next;
        last->next = NULL;
    }
    if (n->style == STYLE_FLOW) {
        size_t end = byte_of(p, e->end_mark.index) + p->skipped;
        n->span.length = (uint32_t)(end > n->span.offset ? end - n->span.offset : 0);
    }
    hang(p, n);
}

static void document(pass *p, const yaml_event_t *e) {
    span where = place(p, e->start_mark, e->end_mark);
    if (++p->documents > 1) {
        flaw(p, where, FLAW_SECOND_DOCUMENT);
        p->stop = true;
    }
    if (e->data.document_start.version_directive ||
        e->data.document_start.tag_directives.start != e->data.document_start.tag_directives.end)
        flaw(p, where, FLAW_DIRECTIVE);
}

static void alias(pass *p, const yaml_event_t *e) {
    span where = place(p, e->start_mark, e->end_mark);
    flaw(p, where, FLAW_ALIAS);
    node *n = new_node(p, NODE_TEXT, where);
    if (n) {
        n->refused = true;
        hang(p, n);
    }
}

static void take(pass *p, const yaml_event_t *e) {
    switch (e->type) {
    case YAML_SCALAR_EVENT: scalar(p, e); break;
    case YAML_ALIAS_EVENT: alias(p, e); break;
    case YAML_SEQUENCE_START_EVENT:
        open_node(p, e, NODE_LIST, e->data.sequence_start.style == YAML_FLOW_SEQUENCE_STYLE,
                  e->data.sequence_start.anchor != NULL, e->data.sequence_start.tag != NULL);
        break;
    case YAML_MAPPING_START_EVENT:
        open_node(p, e, NODE_MAP, e->data.mapping_start.style == YAML_FLOW_MAPPING_STYLE,
                  e->data.mapping_start.anchor != NULL, e->data.mapping_start.tag != NULL);
        break;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT: close_node(p, e); break;
    case YAML_DOCUMENT_START_EVENT: document(p, e); break;
    default: break;
    }
}

typedef enum pass_end { PASS_DONE, PASS_NO_MEMORY, PASS_BROKEN } pass_end;

static pass_end run(pass *p, yaml_parser_t *parser) {
    yaml_parser_set_encoding(parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(parser, (const unsigned char *)p->text, p->length);
    for (;;) {
        yaml_event_t e;
        if (!yaml_parser_parse(parser, &e))
            return parser->error == YAML_MEMORY_ERROR ? PASS_NO_MEMORY : PASS_BROKEN;
        bool end = e.type == YAML_STREAM_END_EVENT;
        take(p, &e);
        yaml_event_delete(&e);
        if (p->memory->failed)
            return PASS_NO_MEMORY;
        if (end || p->stop)
            return PASS_DONE;
    }
}

// The line at fault: where a bracket, quote or key began rather than where the parser gave up.
static size_t line_at_fault(const yaml_parser_t *parser) {
    const char *c = parser->context;
    bool began = c && (strstr(c, "flow") || strstr(c, "quoted") || strstr(c, "simple key"));
    return began ? parser->context_mark.line : parser->problem_mark.line;
}

// Blanks out a line so that the rest can be read. False: it isn't the kind of line that can be
// left out.
static bool leave_out(char *text, size_t length, size_t line, arena *memory, yaml_tree *made) {
    size_t start = 0;
    for (size_t i = 0; line > 0; i++) {
        if (i >= length)
            return false;
        if (text[i] == '\n') {
            line--;
            start = i + 1;
        }
    }
    size_t end = start;
    while (end < length && text[end] != '\n' && text[end] != '\r')
        end++;
    size_t word = start;
    while (word < end && text[word] == ' ')
        word++;
    if (word == end || word == start)
        return false;
    size_t colon = word;
    while (colon < end && text[colon] != ':' && text[colon] != ' ')
        colon++;
    const char *lost = arena_text(memory, text + word, colon - word);
    if (!lost || name_add(&made->lost, memory, lost, colon - word, 0) < 0)
        return false;
    // A key with its lines below it can't be left out alone.
    size_t last = end;
    while (last > colon + 1 && text[last - 1] == ' ')
        last--;
    if (last <= colon + 1)
        return false;
    memset(text + start, ' ', end - start);
    return true;
}

static void tell(const pass *p, const yaml_parser_t *parser, findings *out) {
    if (parser->error == YAML_READER_ERROR) {
        yaml_problem_say(out, raw_place(p->text, p->length, parser->problem_offset, 1),
                         parser->problem, "");
        return;
    }
    bool began = line_at_fault(parser) != parser->problem_mark.line;
    yaml_mark_t mark = began ? parser->context_mark : parser->problem_mark;
    pass at = *p;
    at.cursor = at.characters = 0;
    span where = place(&at, mark, mark);
    const char *here = p->text + (where.offset - p->skipped);
    const char *line = here;
    while (line > p->text && line[-1] != '\n')
        line--;
    // Where a brace was expected and a colon stands, the colon is the mistake.
    const char *problem = parser->problem;
    if (!began && here[0] == ':' && strstr(problem, "expected"))
        problem = "mapping values are not allowed";
    // `deadbus:1` swallows the next line, where the parser then stumbles.
    if (strstr(problem, "mapping values") && line > p->text) {
        const char *before = line - 1;
        while (before > p->text && before[-1] != '\n')
            before--;
        if (yaml_glued_say(out, p->text, before, where.line - 1, p->skipped))
            return;
    }
    yaml_problem_say(out, where, problem, line);
}

status yaml_tree_read(arena *memory, const char *source, size_t length, findings *out,
                      yaml_tree *made) {
    *made = (yaml_tree){0};
    char *work = arena_text(memory, source, length);
    if (!work)
        return STATUS_NO_MEMORY;
    if (!raw_check(work, length, out)) {
        made->broken = true;
        return out->memory.failed ? STATUS_NO_MEMORY : STATUS_OK;
    }
    size_t skipped = length >= 3 && memcmp(work, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    size_t budget = MOST_BYTES;
    for (int attempt = 0;; attempt++) {
        pass p = {.memory = memory,
                  .text = work + skipped,
                  .length = length - skipped,
                  .skipped = skipped};
        yaml_parser_t parser;
        if (!yaml_parser_initialize(&parser))
            return STATUS_NO_MEMORY;
        pass_end end = run(&p, &parser);
        bool again = false;
        if (end == PASS_BROKEN) {
            made->broken = true;
            tell(&p, &parser, out);
            again = attempt < MOST_RETRIES && budget > length &&
                    parser.error != YAML_READER_ERROR &&
                    leave_out(work + skipped, p.length, line_at_fault(&parser), memory, made);
            budget -= budget > length ? length : budget;
        }
        yaml_parser_delete(&parser);
        if (end == PASS_NO_MEMORY || memory->failed || out->memory.failed)
            return STATUS_NO_MEMORY;
        if (again)
            continue;
        if (end == PASS_DONE)
            made->root = p.root;
        yaml_flaws_say(&p.flaws, out);
        return yaml_entries_check(memory, made->root, work, length, out);
    }
}
