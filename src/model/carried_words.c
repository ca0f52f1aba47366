#include <math.h>
#include <string.h>

#include "base/number.h"
#include "model/aircraft.h"
#include "model/carried_words.h"

// ---- writing ------------------------------------------------------------------------------------
static const char DIGITS[] = "0123456789ABCDEF";

void carry_int(text *t, int64_t value) {
    text_int(t, value);
    text_char(t, ' ');
}

static uint64_t bits_of(double value) {
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

// By its bits, where decimals wouldn't give them back.
void carry_number(text *t, double value) {
    char room[NUMBER_ROOM];
    int length = isfinite(value) ? number_write_shortest(room, value) : 0;
    uint64_t bits = bits_of(value);
    double back = 0;
    bool whole = length > 0 && number_read(room, (size_t)length, &back) == length;
    if (whole && bits_of(back) == bits) {
        text_put_n(t, room, (size_t)length);
    } else {
        text_char(t, '#');
        for (int shift = 60; shift >= 0; shift -= 4)
            text_char(t, DIGITS[bits >> shift & 15]);
    }
    text_char(t, ' ');
}

void carry_text(text *t, const char *s) {
    if (!s) {
        text_char(t, '-');
        return;
    }
    text_char(t, '"');
    for (; *s; s++) {
        unsigned char c = (unsigned char)*s;
        if (c >= ' ' && c <= '~' && !strchr("\"%<&", c)) {
            text_char(t, (char)c);
        } else {
            text_char(t, '%');
            text_char(t, DIGITS[c >> 4]);
            text_char(t, DIGITS[c & 15]);
        }
    }
    text_char(t, '"');
}

void carry_ints(text *t, const int *items, int count) {
    carry_int(t, count);
    for (int i = 0; i < count; i++)
        carry_int(t, items[i]);
}

void carry_texts(text *t, const char *const *items, int count) {
    carry_int(t, count);
    for (int i = 0; i < count; i++)
        carry_text(t, items[i]);
}

// ---- taking -------------------------------------------------------------------------------------
static char take_char(taker *t) {
    if (t->at < t->end)
        return *t->at++;
    t->wrong = true;
    return 0;
}

int64_t take_whole(taker *t) {
    enum { DIGITS_MOST = 18 };
    char c = take_char(t);
    bool minus = c == '-';
    int64_t value = 0;
    int digits = 0;
    for (c = minus ? take_char(t) : c; c >= '0' && c <= '9' && digits < DIGITS_MOST; digits++) {
        value = 10 * value + (c - '0');
        c = take_char(t);
    }
    t->wrong = t->wrong || digits == 0 || c != ' ';
    return minus ? -value : value;
}

// From `least` to `most`.
int take_int(taker *t, int least, int most) {
    int64_t value = take_whole(t);
    if (!t->wrong && value >= least && value <= most)
        return (int)value;
    t->wrong = true;
    return least;
}

bool take_yes(taker *t) { return take_int(t, 0, 1) != 0; }

// No more than there are letters left.
int take_count(taker *t) {
    ptrdiff_t left = t->end - t->at;
    return take_int(t, 0, left < INT32_MAX ? (int)left : INT32_MAX);
}

void *take_room(taker *t, int count, size_t size) {
    void *room = arena_new(t->keep, (size_t)count + 1, size);
    t->wrong = t->wrong || !room;
    return room;
}

static int hex_digit(taker *t) {
    char c = take_char(t);
    if (c >= '0' && c <= '9')
        return c - '0';
    t->wrong = t->wrong || c < 'A' || c > 'F';
    return (c - 'A' + 10) & 15;
}

double take_number(taker *t) {
    double value = 0;
    if (t->at < t->end && *t->at == '#') {
        uint64_t bits = 0;
        t->at++;
        for (int i = 0; i < 16; i++)
            bits = bits << 4 | (uint64_t)hex_digit(t);
        memcpy(&value, &bits, sizeof value);
    } else {
        int used = number_read(t->at, (size_t)(t->end - t->at), &value);
        t->wrong = t->wrong || used <= 0;
        t->at += used > 0 ? used : 0;
    }
    t->wrong = take_char(t) != ' ' || t->wrong;
    return value;
}

// "" where the letters are wrong; NULL: that was written.
const char *take_text(taker *t) {
    char c = take_char(t);
    if (c == '-')
        return NULL;
    const char *quote = memchr(t->at, '"', (size_t)(t->end - t->at));
    char *made = quote ? take_room(t, (int)(quote - t->at), 1) : NULL;
    t->wrong = t->wrong || c != '"' || !made;
    if (t->wrong)
        return "";
    for (char *to = made; (c = take_char(t)) != '"' && !t->wrong; to++) {
        int high = c == '%' ? hex_digit(t) : 0;
        *to = c == '%' ? (char)(high << 4 | hex_digit(t)) : c;
    }
    return made;
}

int take_part(taker *t) { return take_int(t, PART_NONE, t->parts - 1); }

const int *take_list(taker *t, int *count, int (*take)(taker *t)) {
    *count = take_count(t);
    int *made = take_room(t, *count, sizeof *made);
    for (int i = 0; i < *count && !t->wrong; i++)
        made[i] = take(t);
    return made;
}

const char *const *take_texts(taker *t, int *count) {
    *count = take_count(t);
    const char **made = take_room(t, *count, sizeof *made);
    for (int i = 0; i < *count && !t->wrong; i++)
        made[i] = take_text(t);
    return made;
}
