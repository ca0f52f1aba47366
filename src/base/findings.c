#include "base/findings.h"

#include <stdarg.h>
#include <string.h>

#include "base/stable_sort.h"

findings findings_make(allocator memory) { return (findings){.memory = arena_make(memory)}; }

void findings_free(findings *f) {
    arena_free(&f->memory);
    *f = (findings){.memory = f->memory};
}

// Takes over a text that already stands in the arena.
static void add_made(findings *f, severity s, span where, const char *code, const char *hint,
                     const char *made) {
    const char *kept = hint && *hint ? arena_text(&f->memory, hint, strlen(hint)) : "";
    finding *items =
        arena_grow(&f->memory, f->items, &f->capacity, f->count + 1, sizeof f->items[0]);
    if (!kept || !items)
        return;
    f->items = items;
    f->items[f->count++] =
        (finding){.severity = s, .where = where, .code = code, .text = made, .hint = kept};
    f->errors += s == SEVERITY_ERROR;
    f->warnings += s == SEVERITY_WARNING;
    f->notes += s == SEVERITY_NOTE;
}

static char *append(char *at, const char *s) {
    while (*s)
        *at++ = *s++;
    return at;
}

void findings_add(findings *f, severity s, span where, const char *code, const char *hint,
                  const char *const parts[]) {
    size_t length = 0;
    for (int i = 0; parts[i]; i++)
        length += strlen(parts[i]);
    char *made = arena_new(&f->memory, length + 1, 1);
    if (!made)
        return;
    char *at = made;
    for (int i = 0; parts[i]; i++)
        at = append(at, parts[i]);
    add_made(f, s, where, code, hint, made);
}

void findings_say(findings *f, severity s, span where, const char *code, const char *hint, ...) {
    va_list parts;
    va_list again;
    va_start(parts, hint);
    va_copy(again, parts);
    size_t length = 0;
    for (const char *p = va_arg(parts, const char *); p; p = va_arg(parts, const char *))
        length += strlen(p);
    va_end(parts);
    char *made = arena_new(&f->memory, length + 1, 1);
    char *at = made;
    for (const char *p = va_arg(again, const char *); made && p; p = va_arg(again, const char *))
        at = append(at, p);
    va_end(again);
    if (made)
        add_made(f, s, where, code, hint, made);
}

static int by_place(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const finding *x = a;
    const finding *y = b;
    if (x->where.line != y->where.line)
        return x->where.line < y->where.line ? -1 : 1;
    if (x->where.column != y->where.column)
        return x->where.column < y->where.column ? -1 : 1;
    return (int)x->severity - (int)y->severity;
}

void findings_sort(findings *f) {
    if (f->count < 2)
        return;
    bool failed = f->memory.failed;
    void *scratch = arena_new(&f->memory, (size_t)f->count, sizeof f->items[0]);
    // Without scratch the sort is only slower: that isn't a failure of the list.
    f->memory.failed = failed;
    stable_sort(f->items, (size_t)f->count, sizeof f->items[0], scratch, by_place, NULL);
}

// Text quoted from a file may hold anything. What would break the line or steer a terminal (control
// characters, bytes that aren't UTF-8) is written as \xNN.
static void put_plain(text *out, const char *s) {
    static const char hex_digits[] = "0123456789abcdef";
    size_t length = strlen(s);
    size_t bad = length;
    if (utf8_valid(s, length, &bad))
        bad = length;
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)s[i];
        bool upper_control = c == 0xC2 && i != bad && (unsigned char)s[i + 1] < 0xA0;
        if (i != bad && c >= 0x20 && c != 0x7F && !upper_control) {
            text_char(out, s[i]);
            continue;
        }
        if (upper_control)
            c = (unsigned char)s[++i];
        char code[4] = {'\\', 'x', hex_digits[c >> 4], hex_digits[c & 15]};
        text_put_n(out, code, sizeof code);
        if (i == bad) {
            size_t next = length;
            size_t rest = i + 1;
            bad = utf8_valid(s + rest, length - rest, &next) ? length : rest + next;
        }
    }
}

static void write_one(const finding *one, const char *name, text *out) {
    static const char *const words[] = {"error", "warning", "note"};
    if (name && *name) {
        put_plain(out, name);
        text_char(out, ':');
    }
    if (one->where.line) {
        text_int(out, one->where.line);
        text_char(out, ':');
        text_int(out, one->where.column);
        text_char(out, ':');
    }
    text_all(out, out->length && text_get(out)[out->length - 1] == ':' ? " " : "",
             words[one->severity], ": ", NULL);
    put_plain(out, one->text);
    if (*one->hint) {
        size_t length = strlen(one->text);
        char end = length ? one->text[length - 1] : 0;
        text_put(out, end == '.' || end == '?' || end == ':' ? " " : ". ");
        put_plain(out, one->hint);
    }
    text_char(out, '\n');
}

void findings_write(const findings *f, const char *name, text *out) {
    for (int i = 0; i < f->count; i++)
        write_one(&f->items[i], name, out);
}
