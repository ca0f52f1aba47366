// Bytes, characters, and how near two words are.
#include <string.h>

#include "base/text.h"

// Bytes of the character that starts at s, 0 if it isn't well-formed (Unicode, table 3-7).
static size_t character_bytes(const unsigned char *s, size_t left) {
    unsigned char c = s[0];
    if (c < 0x80)
        return 1;
    if (c < 0xC2 || c > 0xF4)
        return 0;
    size_t bytes = c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4;
    if (left < bytes)
        return 0;
    // The second byte alone keeps out overlong forms, surrogates and what lies above U+10FFFF.
    unsigned char low = c == 0xE0 ? 0xA0 : c == 0xF0 ? 0x90 : 0x80;
    unsigned char high = c == 0xED ? 0x9F : c == 0xF4 ? 0x8F : 0xBF;
    if (s[1] < low || s[1] > high)
        return 0;
    for (size_t i = 2; i < bytes; i++)
        if ((s[i] & 0xC0) != 0x80)
            return 0;
    return bytes;
}

bool utf8_valid(const char *s, size_t length, size_t *bad) {
    size_t i = 0;
    while (i < length) {
        size_t bytes = character_bytes((const unsigned char *)s + i, length - i);
        if (bytes == 0) {
            if (bad)
                *bad = i;
            return false;
        }
        i += bytes;
    }
    return true;
}

int utf8_columns(const char *s, size_t length) {
    int columns = 0;
    for (size_t i = 0; i < length; i++)
        columns += ((unsigned char)s[i] & 0xC0) != 0x80;
    return columns;
}

bool text_equal(const char *a, const char *b) { return a && b && strcmp(a, b) == 0; }

static int least(int a, int b) { return a < b ? a : b; }

// Optimal string alignment distance, by rows; words are short, so the rows stand on the stack.
int text_distance(const char *a, const char *b, int most) {
    enum { LONGEST = 80 };
    size_t la = strlen(a);
    size_t lb = strlen(b);
    if (la > LONGEST || lb > LONGEST)
        return strcmp(a, b) == 0 ? 0 : most + 1;
    int rows[3][LONGEST + 1];
    for (size_t j = 0; j <= lb; j++)
        rows[0][j] = (int)j;
    for (size_t i = 1; i <= la; i++) {
        int *now = rows[i % 3];
        const int *above = rows[(i + 2) % 3];
        const int *before = rows[(i + 1) % 3];
        now[0] = (int)i;
        int row_least = now[0];
        for (size_t j = 1; j <= lb; j++) {
            int changed = above[j - 1] + (a[i - 1] != b[j - 1]);
            now[j] = least(changed, least(above[j], now[j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                now[j] = least(now[j], before[j - 2] + 1);
            row_least = least(row_least, now[j]);
        }
        // A swap reaches back two rows and costs one: hence the one to spare.
        if (row_least > most + 1)
            return most + 1;
    }
    return least(rows[la % 3][lb], most + 1);
}
