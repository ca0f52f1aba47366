#include "model/edit.h"

#include <string.h>

#include "model/yaml_tree.h"

enum { WIDEST = 140 };

status aircraft_write(const aircraft *a, text *out) {
    text_put_n(out, a->source, a->source_length);
    return out->failed ? STATUS_NO_MEMORY : STATUS_OK;
}

// ---- texts and fields ---------------------------------------------------------------------------

static bool needs_quotes(const char *s) {
    size_t n = strlen(s);
    if (n == 0 || s[0] == ' ' || s[n - 1] == ' ' || s[n - 1] == ':')
        return true;
    if (strcmp(s, "~") == 0 || strcmp(s, "null") == 0)
        return true;
    if (strchr("&*!|>%@`#\"'", s[0]) || (strchr("-?:", s[0]) && (s[1] == ' ' || !s[1])))
        return true;
    for (const char *c = s; *c; c++) {
        if (strchr(",[]{}\n\t", *c) || (c[0] == ':' && c[1] == ' ') || (c[0] == ' ' && c[1] == '#'))
            return true;
    }
    return false;
}

void edit_write_text(text *out, const char *value) {
    if (!needs_quotes(value)) {
        text_put(out, value);
        return;
    }
    text_char(out, '"');
    for (const char *c = value; *c; c++) {
        if (*c == '\n' || *c == '\t') {
            text_put(out, *c == '\n' ? "\\n" : "\\t");
            continue;
        }
        if (*c == '"' || *c == '\\')
            text_char(out, '\\');
        text_char(out, *c);
    }
    text_char(out, '"');
}

static void write_value(text *out, const edit_field *f) {
    bool list = f->list || f->count > 1;
    if (list)
        text_char(out, '[');
    for (int i = 0; i < f->count; i++) {
        if (i)
            text_put(out, ", ");
        edit_write_text(out, f->values[i]);
    }
    if (list)
        text_char(out, ']');
}

// The order in which keys stand on a new line.
static const part_key ORDER[] = {KEY_VALUE,
                                 KEY_AMPS,
                                 KEY_TRANSMIT,
                                 KEY_CAPACITY,
                                 KEY_CHEMISTRY,
                                 KEY_RESISTANCE,
                                 KEY_COIL,
                                 KEY_FROM,
                                 KEY_TO,
                                 KEY_ROW_BREAKER,
                                 KEY_ROW_FUSE,
                                 KEY_ROW_SWITCH,
                                 KEY_PERHAPS_FROM,
                                 KEY_COIL_FROM,
                                 KEY_COIL_TO,
                                 KEY_FIELD_FROM,
                                 KEY_FIELD_TO,
                                 KEY_SENSE_FROM,
                                 KEY_CHARGED_FROM,
                                 KEY_RESTS_ON,
                                 KEY_RESTS,
                                 KEY_POSITIONS,
                                 KEY_SPRINGS_BACK,
                                 KEY_ONLY_WITH,
                                 KEY_MOVES_WITH,
                                 KEY_OWN_SWITCH,
                                 KEY_OWN_BATTERY,
                                 KEY_CARRIED,
                                 KEY_CHARGE,
                                 KEY_CHARGE_LIMIT,
                                 KEY_LIMIT,
                                 KEY_FIELD,
                                 KEY_DRIVE,
                                 KEY_RATIO,
                                 KEY_IDLE,
                                 KEY_REGULATED_AT,
                                 KEY_WITHOUT_FIELD,
                                 KEY_SHARES_WITH,
                                 KEY_PULLS_IN,
                                 KEY_DROPS_OUT,
                                 KEY_USED_AS,
                                 KEY_SHOULD_BE,
                                 KEY_RATING,
                                 KEY_WORKS_ABOVE,
                                 KEY_OFF_BELOW,
                                 KEY_TRANSMITS_ABOVE,
                                 KEY_RESTARTS_IN,
                                 KEY_STALL,
                                 KEY_STARTS_WITH,
                                 KEY_STARTS_IN,
                                 KEY_DUTY,
                                 KEY_EVERY,
                                 KEY_FLASHES,
                                 KEY_EFFICIENCY,
                                 KEY_FREQUENCY,
                                 KEY_TRAVEL,
                                 KEY_TAKES,
                                 KEY_RUNS_WHEN,
                                 KEY_CLOSES_WHEN,
                                 KEY_OPENS_WHEN,
                                 KEY_TRIPS_WHEN,
                                 KEY_FAILS_WHEN,
                                 KEY_LIT_WHEN,
                                 KEY_FLASHES_WHEN,
                                 KEY_SOUNDS_WHEN,
                                 KEY_GROUNDED_WHEN,
                                 KEY_TURNED_BY,
                                 KEY_FOLLOWS,
                                 KEY_TURNS,
                                 KEY_MOVES,
                                 KEY_NEEDS,
                                 KEY_MAKES,
                                 KEY_GIVES,
                                 KEY_GIVES_PARTLY,
                                 KEY_WHEN_DEAD,
                                 KEY_READS,
                                 KEY_RIGHT,
                                 KEY_SCALE,
                                 KEY_SELECTED_BY,
                                 KEY_DIMMED_BY,
                                 KEY_PRESS_TO_TEST,
                                 KEY_COLOR,
                                 KEY_CARRIES,
                                 KEY_WIRE,
                                 KEY_LABEL,
                                 KEY_LABEL_IS,
                                 KEY_PLACE,
                                 KEY_REACH,
                                 KEY_AS_FITTED,
                                 KEY_HANDBOOK,
                                 KEY_BASIS,
                                 KEY_NOTE};
enum { ORDER_COUNT = sizeof ORDER / sizeof ORDER[0] };
_Static_assert(ORDER_COUNT == (int)KEY_COUNT, "every key has its place on a new line");

static const char *word_of(const edit_line *line, part_key key) {
    return key == KEY_VALUE ? kind_word(line->kind) : key_word(key);
}

static void write_fields(text *out, const edit_line *line, const char *between) {
    bool first = true;
    for (int k = 0; k < ORDER_COUNT; k++) {
        for (int i = 0; i < line->count; i++) {
            if (line->fields[i].key != ORDER[k])
                continue;
            text_all(out, first ? "" : between, word_of(line, ORDER[k]), ": ", NULL);
            write_value(out, &line->fields[i]);
            first = false;
        }
    }
}

static void spaces(text *out, int count) {
    for (int i = 0; i < count; i++)
        text_char(out, ' ');
}

void edit_write_line(text *out, edit_line line, int indent, int column, const char *line_end) {
    size_t start = out->length;
    spaces(out, indent);
    text_all(out, line.id, ": ", NULL);
    int used = indent + (int)strlen(line.id) + 2;
    spaces(out, column - 1 > used ? column - 1 - used : 0);
    size_t body = out->length;
    text_char(out, '{');
    write_fields(out, &line, ", ");
    text_char(out, '}');
    if (out->failed || utf8_columns(out->data + start, out->length - start) <= WIDEST)
        return;
    // Too wide: a key a line. The text is cut back to its id.
    out->length = body;
    while (out->length > start && out->data[out->length - 1] == ' ')
        out->length--;
    out->data[out->length] = 0;
    text between = text_make(out->memory);
    text_put(&between, line_end);
    spaces(&between, indent + 2);
    text_put(out, text_get(&between));
    write_fields(out, &line, text_get(&between));
    out->failed = out->failed || between.failed;
    text_free(&between);
}

// ---- finding the place --------------------------------------------------------------------------

typedef struct opened {
    arena memory;
    findings ignored;  // what is wrong with the file isn't the subject of an edit
    yaml_tree tree;
} opened;

static status open_file(opened *o, allocator memory, const char *source, size_t length) {
    o->memory = arena_make(memory);
    o->ignored = findings_make(memory);
    return yaml_tree_read(&o->memory, source, length, &o->ignored, &o->tree);
}

static void close_file(opened *o) {
    findings_free(&o->ignored);
    arena_free(&o->memory);
}

static const node *line_of(const opened *o, const char *id) {
    static const char *const SECTIONS[] = {"parts", "seen", "together"};
    for (int i = 0; i < 3; i++) {
        const node *found = node_entry(node_entry(o->tree.root, SECTIONS[i]), id);
        if (found && found->type == NODE_MAP && found->first)
            return found;
    }
    return NULL;
}

static status refuse(findings *f, span where, const char *a, const char *b, const char *c) {
    findings_say(f, SEVERITY_ERROR, where, "edit", "", a, b, c, NULL);
    return f->memory.failed ? STATUS_NO_MEMORY : STATUS_BAD_REQUEST;
}

// The byte after the last one of a node and all in it.
static size_t end_of(const node *n) {
    size_t end = (size_t)n->span.offset +
                 (n->style == STYLE_BLOCK && n->type != NODE_TEXT ? 0 : n->span.length);
    if (n->type != NODE_TEXT && n->style == STYLE_BLOCK) {
        for (const node *e = n->first; e; e = e->next) {
            size_t last = end_of(e);
            end = last > end ? last : end;
        }
    }
    return end;
}

static const node *key_on_line(const node *line, part_key key) {
    return key == KEY_VALUE ? line->first : node_entry(line, key_word(key));
}

static const char *end_of_lines(const char *source, size_t length) {
    const char *line_feed = memchr(source, '\n', length);
    return line_feed && line_feed > source && line_feed[-1] == '\r' ? "\r\n" : "\n";
}

static void add_key(text *out, const char *source, size_t length, const node *line,
                    const edit_field *value) {
    const node *last = line->first;
    while (last->next)
        last = last->next;
    size_t at = end_of(last);
    text_put_n(out, source, at);
    if (line->style == STYLE_FLOW) {
        text_put(out, ", ");
    } else {
        text_put(out, end_of_lines(source, length));
        spaces(out, (int)line->first->key->span.column - 1);
    }
    text_all(out, key_word(value->key), ": ", NULL);
    write_value(out, value);
    text_put_n(out, source + at, length - at);
}

status edit_set(allocator memory, const char *source, size_t length, const char *id,
                edit_field value, text *out, findings *f) {
    opened o;
    status s = open_file(&o, memory, source, length);
    if (s == STATUS_OK) {
        const node *line = line_of(&o, id);
        const node *old = line ? key_on_line(line, value.key) : NULL;
        if (!line) {
            s = refuse(f, (span){0}, "there is no line '", id, "'");
        } else if (!old) {
            add_key(out, source, length, line, &value);
        } else if (old->type == NODE_MAP || old->style == STYLE_BLOCK || old->refused) {
            s = refuse(f, old->span, "this value of '", id, "' can't be changed by itself");
        } else {
            text_put_n(out, source, old->span.offset);
            write_value(out, &value);
            size_t after = (size_t)old->span.offset + old->span.length;
            text_put_n(out, source + after, length - after);
        }
    }
    close_file(&o);
    return s == STATUS_OK && out->failed ? STATUS_NO_MEMORY : s;
}

status edit_add(allocator memory, const char *source, size_t length, const char *after,
                edit_line line, text *out, findings *f) {
    opened o;
    status s = open_file(&o, memory, source, length);
    if (s == STATUS_OK) {
        const node *neighbor = line_of(&o, after);
        if (!neighbor) {
            s = refuse(f, (span){0}, "there is no line '", after, "'");
        } else {
            size_t at = end_of(neighbor);
            while (at < length && source[at] != '\n')
                at++;
            const char *line_end = end_of_lines(source, length);
            bool open_end = at >= length;  // the last line has no line end
            at += !open_end;
            text_put_n(out, source, at);
            text_put(out, open_end ? line_end : "");
            bool same_line = neighbor->span.line == neighbor->key->span.line;
            edit_write_line(out, line, (int)neighbor->key->span.column - 1,
                            same_line ? (int)neighbor->span.column : 0, line_end);
            text_put(out, open_end ? "" : line_end);
            text_put_n(out, source + at, length - at);
        }
    }
    close_file(&o);
    return s == STATUS_OK && out->failed ? STATUS_NO_MEMORY : s;
}
