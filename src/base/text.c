#include "base/text.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/number.h"

text text_make(allocator memory) { return (text){.memory = memory}; }

void text_free(text *t) {
    memory_free(t->memory, t->data, t->capacity);
    *t = (text){.memory = t->memory};
}

// What is there still belongs to an earlier use where the length was set back to 0.
const char *text_get(const text *t) { return t->length ? t->data : ""; }

// Room for `more` bytes and the final 0.
static bool make_room(text *t, size_t more) {
    if (t->failed)
        return false;
    if (t->capacity - t->length > more)
        return true;
    if (more >= SIZE_MAX / 4 || t->length >= SIZE_MAX / 4) {
        t->failed = true;
        return false;
    }
    size_t needed = t->length + more + 1;
    size_t room = t->capacity ? t->capacity * 2 : 64;
    if (room < needed)
        room = needed;
    char *moved = t->memory.resize(t->memory.ctx, t->data, t->capacity, room);
    if (!moved) {
        t->failed = true;
        return false;
    }
    t->data = moved;
    t->capacity = room;
    return true;
}

void text_put_n(text *t, const char *s, size_t length) {
    if (!make_room(t, length))
        return;
    if (length)
        memcpy(t->data + t->length, s, length);
    t->length += length;
    t->data[t->length] = 0;
}

void text_put(text *t, const char *s) { text_put_n(t, s, strlen(s)); }

void text_char(text *t, char c) { text_put_n(t, &c, 1); }

void text_pad(text *t, size_t from, size_t width) {
    if (t->failed || from > t->length)
        return;
    size_t stand = (size_t)utf8_columns(text_get(t) + from, t->length - from);
    for (; stand < width && !t->failed; stand++)
        text_char(t, ' ');
}

void text_int(text *t, int64_t value) {
    char digits[20];
    int at = (int)sizeof digits;
    // The most negative number has no positive counterpart: count in unsigned.
    uint64_t rest = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
    do {
        digits[--at] = (char)('0' + rest % 10);
        rest /= 10;
    } while (rest);
    if (value < 0)
        text_char(t, '-');
    text_put_n(t, digits + at, sizeof digits - (size_t)at);
}

void text_number(text *t, double value) {
    char out[NUMBER_ROOM];
    text_put_n(t, out, (size_t)number_write_shortest(out, value));
}

void text_digits(text *t, double value, int digits) {
    char out[NUMBER_ROOM];
    text_put_n(t, out, (size_t)number_write_digits(out, value, digits));
}

void text_short(text *t, double value, int digits) {
    char out[NUMBER_ROOM];
    int length = number_write_digits(out, value, digits);
    text_put_n(t, out, (size_t)number_cut_zeros(out, length));
}

void text_fixed(text *t, double value, int decimals) {
    char out[NUMBER_ROOM];
    text_put_n(t, out, (size_t)number_write_fixed(out, value, decimals));
}

static void two_digits(text *t, int64_t n) {
    if (n < 10)
        text_char(t, '0');
    text_int(t, n);
}

void text_clock(text *t, double seconds) {
    int64_t whole = (int64_t)(seconds + 0.5);
    if (whole >= 3600) {
        text_int(t, whole / 3600);
        text_char(t, ':');
        two_digits(t, whole / 60 % 60);
    } else {
        text_int(t, whole / 60);
    }
    text_char(t, ':');
    two_digits(t, whole % 60);
}

void text_all(text *t, ...) {
    va_list parts;
    va_start(parts, t);
    for (const char *s = va_arg(parts, const char *); s; s = va_arg(parts, const char *))
        text_put(t, s);
    va_end(parts);
}
