// XML 1.0 character data and attribute values.
#include <string.h>

#include "base/text.h"

// What stands for a byte that can't stand there plainly; NULL: it can.
static const char *escape_of(unsigned char c) {
    switch (c) {
    case '&': return "&amp;";
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '"': return "&quot;";
    case '\'': return "&#39;";
    // In an attribute these would be read back as spaces.
    case '\t': return "&#9;";
    case '\n': return "&#10;";
    case '\r': return "&#13;";
    // Other control characters can't stand in XML at all, not even escaped.
    default: return c < 0x20 ? "\xEF\xBF\xBD" : NULL;
    }
}

void xml_text(text *t, const char *s) {
    size_t length = strlen(s);
    size_t bad = length;
    if (utf8_valid(s, length, &bad))
        bad = length;
    size_t plain = 0;  // start of what can be copied as it is
    for (size_t i = 0; i < length; i++) {
        const char *escape = i == bad ? "\xEF\xBF\xBD" : escape_of((unsigned char)s[i]);
        if (!escape)
            continue;
        text_put_n(t, s + plain, i - plain);
        text_put(t, escape);
        plain = i + 1;
        if (i == bad) {
            size_t next = length;
            bad = utf8_valid(s + plain, length - plain, &next) ? length : plain + next;
        }
    }
    text_put_n(t, s + plain, length - plain);
}

// U+202A to U+202E and U+2066 to U+2069, in UTF-8.
static bool turns_round(const char *s, size_t left) {
    const unsigned char *u = (const unsigned char *)s;
    return left >= 3 && u[0] == 0xE2 &&
           ((u[1] == 0x80 && u[2] >= 0xAA && u[2] <= 0xAE) ||
            (u[1] == 0x81 && u[2] >= 0xA6 && u[2] <= 0xA9));
}

void text_put_forward(text *t, const char *s, size_t length) {
    size_t plain = 0;
    for (size_t i = 0; i < length; i++) {
        if (!turns_round(s + i, length - i))
            continue;
        text_put_n(t, s + plain, i - plain);
        i += 2;
        plain = i + 1;
    }
    text_put_n(t, s + plain, length - plain);
}
