// XML 1.0 character data and attribute values.
#include <string.h>

#include "base/text.h"

void xml_text(text *t, const char *s) {
    size_t length = strlen(s);
    size_t bad = length;
    if (utf8_valid(s, length, &bad))
        bad = length;
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)s[i];
        if (i == bad) {
            text_put(t, "\xEF\xBF\xBD");
            size_t next = length;
            size_t rest = i + 1;
            bad = utf8_valid(s + rest, length - rest, &next) ? length : rest + next;
            continue;
        }
        switch (c) {
        case '&': text_put(t, "&amp;"); break;
        case '<': text_put(t, "&lt;"); break;
        case '>': text_put(t, "&gt;"); break;
        case '"': text_put(t, "&quot;"); break;
        case '\'': text_put(t, "&#39;"); break;
        // In an attribute these would be read back as spaces.
        case '\t': text_put(t, "&#9;"); break;
        case '\n': text_put(t, "&#10;"); break;
        case '\r': text_put(t, "&#13;"); break;
        default:
            // Other control characters can't stand in XML at all, not even escaped.
            if (c < 0x20)
                text_put(t, "\xEF\xBF\xBD");
            else
                text_char(t, (char)c);
        }
    }
}
