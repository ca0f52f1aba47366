// A growing text, and the numbers, JSON and XML written into it. Locale-free, no stdio.
#ifndef DEADBUS_BASE_TEXT_H
#define DEADBUS_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

// Once memory has failed, `failed` stays set and further writes do nothing: check it once at the
// end.
typedef struct text {
    allocator memory;
    char *data;  // always ends with a 0 that `length` doesn't count; NULL while empty
    size_t length;
    size_t capacity;
    bool failed;
} text;

text text_make(allocator memory);
void text_free(text *t);
const char *text_get(const text *t);  // "" while empty

void text_put(text *t, const char *s);
void text_put_n(text *t, const char *s, size_t length);
void text_char(text *t, char c);
// Spaces until `width` characters stand after offset `from`.
void text_pad(text *t, size_t from, size_t width);
void text_int(text *t, int64_t value);
// The shortest decimal that reads back as the same double; -0 as 0; asserts that it is finite.
void text_number(text *t, double value);
// `digits` significant digits (1 to 17), correctly rounded, never an exponent, no trailing zeros
// cut.
void text_digits(text *t, double value, int digits);
// At most `digits` significant digits: as text_digits, without zeros at the end of its decimals.
void text_short(text *t, double value, int digits);
// `decimals` places after the point (0 to 12), correctly rounded.
void text_fixed(text *t, double value, int decimals);
// Whole seconds as a clock shows them: 4:05, 1:04:05. Not negative.
void text_clock(text *t, double seconds);
// Several strings in a row; ends at the first NULL.
void text_all(text *t, ...);

// JSON. The caller writes the brackets and commas; these quote and escape.
void json_string(text *t, const char *s);
void json_key(text *t, const char *key);  // "key":
// 12 significant digits at most, shortest form of that; not finite: null.
void json_number(text *t, double value);

// Leaves out the marks that turn the order of what follows round (Unicode's bidirectional
// embeddings, overrides and isolates): in a line put together of several texts they would turn the
// others.
void text_put_forward(text *t, const char *s, size_t length);

// XML/SVG character data and attribute values, escaped.
void xml_text(text *t, const char *s);

// Bytes and columns
// `bad` (may be NULL): offset of the first wrong byte.
bool utf8_valid(const char *s, size_t length, size_t *bad);
int utf8_columns(const char *s, size_t length);  // characters, not bytes
bool text_equal(const char *a, const char *b);
// Edits (insert, delete, change, swap) between two words; most + 1 if there are more than `most`.
int text_distance(const char *a, const char *b, int most);

#endif
