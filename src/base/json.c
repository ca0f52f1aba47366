// JSON (RFC 8259) strings and numbers.
#include <math.h>
#include <string.h>

#include "base/text.h"

static const char hex_digits[] = "0123456789abcdef";

static void escape_byte(text *t, unsigned char c) {
    switch (c) {
    case '"': text_put(t, "\\\""); return;
    case '\\': text_put(t, "\\\\"); return;
    case '\b': text_put(t, "\\b"); return;
    case '\f': text_put(t, "\\f"); return;
    case '\n': text_put(t, "\\n"); return;
    case '\r': text_put(t, "\\r"); return;
    case '\t': text_put(t, "\\t"); return;
    default: break;
    }
    char code[6] = {'\\', 'u', '0', '0', hex_digits[c >> 4], hex_digits[c & 15]};
    text_put_n(t, code, sizeof code);
}

void json_string(text *t, const char *s) {
    size_t length = strlen(s);
    size_t bad = length;
    if (utf8_valid(s, length, &bad))
        bad = length;
    text_char(t, '"');
    size_t plain = 0;  // start of what can be copied as it is
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)s[i];
        // "</" would end the data block of a page that the answer is put into.
        bool closes = c == '/' && i > 0 && s[i - 1] == '<';
        if (i != bad && !closes && c >= 0x20 && c != '"' && c != '\\' && c != 0x7f)
            continue;
        text_put_n(t, s + plain, i - plain);
        plain = i + 1;
        if (i == bad) {
            // JSON must be UTF-8: a byte that isn't becomes the replacement character.
            text_put(t, "\xEF\xBF\xBD");
            size_t next = length;
            bad = utf8_valid(s + plain, length - plain, &next) ? length : plain + next;
        } else if (closes) {
            text_put(t, "\\/");
        } else {
            escape_byte(t, c);
        }
    }
    text_put_n(t, s + plain, length - plain);
    text_char(t, '"');
}

void json_key(text *t, const char *key) {
    json_string(t, key);
    text_char(t, ':');
}

void json_number(text *t, double value) {
    if (!isfinite(value)) {
        text_put(t, "null");
        return;
    }
    text_short(t, value, 12);
}
