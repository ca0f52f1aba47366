#include "report/wrap.h"

#include <string.h>

void wrap_heading(text *out, const char *heading) { text_all(out, "\n", heading, "\n", NULL); }

static size_t columns_since(const text *out, size_t line) {
    if (line > out->length)  // memory has failed since
        return 0;
    return (size_t)utf8_columns(text_get(out) + line, out->length - line);
}

void wrap_words(text *out, size_t line, size_t indent, const char *words) {
    if (out->failed)
        return;
    size_t at = columns_since(out, line);
    if (at > indent && *words) {
        text_char(out, '\n');
        line = out->length;
    }
    text_pad(out, line, indent);
    bool first = true;
    while (*words && !out->failed) {
        size_t length = strcspn(words, " \n");
        size_t wide = (size_t)utf8_columns(words, length);
        if (!first && columns_since(out, line) + 1 + wide > WRAP_COLUMNS) {
            text_char(out, '\n');
            line = out->length;
            text_pad(out, line, indent);
        } else if (!first) {
            text_char(out, ' ');
        }
        text_put_n(out, words, length);
        first = false;
        words += length;
        words += strspn(words, " \n");
    }
    // No spaces at the end of a line that has no words.
    while (out->length > line && out->data[out->length - 1] == ' ')
        out->data[--out->length] = 0;
    text_char(out, '\n');
}

void wrap_left(text *out, size_t line, size_t from, const char *words) {
    if (columns_since(out, line) >= from && from > 0)
        text_char(out, ' ');
    text_pad(out, line, from);
    text_put(out, words);
}

void wrap_right(text *out, size_t line, size_t from, size_t width, const char *words) {
    size_t wide = (size_t)utf8_columns(words, strlen(words));
    if (columns_since(out, line) >= from && from > 0)
        text_char(out, ' ');
    text_pad(out, line, wide < width ? from + width - wide : from);
    text_put(out, words);
}
