#include "draw/text_width.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

// Advance widths of ASCII 32 to 126 in thousandths of the size, measured on an open humanist
// sans (Noto Sans, SIL OFL), regular and bold.
static const uint16_t regular[95] = {
    260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434, 899, 639, 650, 632, 730, 556,
    519, 728, 741, 339, 273, 619, 524, 907, 760, 781, 605, 781, 622, 549, 556, 731, 600, 930, 586,
    566, 572, 329, 372, 329, 572, 444, 281, 561, 615, 480, 615, 564, 344, 615, 618, 258, 258, 534,
    258, 935, 618, 605, 615, 615, 413, 479, 361, 618, 508, 786, 529, 510, 470, 380, 551, 380, 572};
static const uint16_t bold_widths[95] = {
    260, 286, 472, 646, 572, 901, 750, 266, 339, 339, 545, 572, 285, 322, 285, 413, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 285, 285, 572, 572, 572, 477, 897, 690, 672, 637, 740, 560,
    549, 724, 765, 389, 331, 664, 565, 943, 813, 796, 628, 796, 660, 551, 579, 756, 650, 967, 667,
    624, 579, 331, 413, 331, 572, 411, 362, 604, 633, 514, 633, 591, 387, 633, 657, 305, 305, 620,
    305, 982, 657, 619, 633, 633, 454, 497, 434, 657, 569, 856, 578, 569, 488, 394, 551, 394, 572};

// Other system fonts run wider; labels keep this much room for them.
#define SPARE 1.04

// Thousandths of the size for the character that starts at `s`; `*bytes`: how long it is.
static int advance(const char *s, size_t left, bool bold, size_t *bytes) {
    unsigned char c = (unsigned char)*s;
    *bytes = 1;
    if (c >= 32 && c < 127)
        return bold ? bold_widths[c - 32] : regular[c - 32];
    if (c < 0x80)
        return 260;
    size_t length = c >= 0xF0 ? 4 : c >= 0xE0 ? 3 : 2;
    *bytes = length < left ? length : left;
    // Latin and Greek letters are two bytes; what takes three or more may be full width.
    return length == 2 ? 660 : c == 0xE2 ? 600 : 1000;
}

double text_width_n(const char *s, size_t length, double size, bool bold) {
    double sum = 0;
    for (size_t i = 0; i < length;) {
        size_t bytes;
        sum += advance(s + i, length - i, bold, &bytes);
        i += bytes;
    }
    return sum * size * SPARE / 1000;
}

double text_width(const char *s, double size, bool bold) {
    return text_width_n(s, strlen(s), size, bold);
}

double text_width_exact(const char *s, double size, bool bold) {
    return text_width(s, size, bold) / SPARE;
}

double text_room(double width) { return width * SPARE; }

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

static bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }

// No line is broken between a figure and its unit ("19 min"), before the unit that ends a heading
// ("Ammeter, A"), nor between a name and its number.
static bool held_together(const char *s, size_t at) {
    char before = at ? s[at - 1] : 0, next = s[at + 1];
    bool unit = next == 'A' || next == 'V' || next == 's' || next == '%';
    if (before == ',')
        return unit && s[at + 2] == 0;
    if (is_digit(before))
        return strncmp(s + at + 1, "min", 3) == 0 ? !is_letter(s[at + 4])
                                                  : unit && !is_letter(s[at + 2]);
    if (!is_letter(before) || !is_digit(next))
        return false;
    size_t end = at + (is_digit(s[at + 2]) ? 3 : 2);
    return s[end] == 0 || s[end] == ' ' || s[end] == ',' || s[end] == ';';
}

size_t text_line(const char *s, double width, double size, bool bold, size_t *next) {
    size_t length = strlen(s), at = 0, fits = 0, after = 0;
    double sum = 0;
    while (at < length) {
        size_t bytes;
        double one = advance(s + at, length - at, bold, &bytes) * size * SPARE / 1000;
        if (s[at] == ' ' && !held_together(s, at)) {
            fits = at;
            after = at + 1;
        }
        if (sum + one > width && at > 0) {
            if (s[at] == ' ' && fits == at && after)
                break;
            // No space so far: the word itself is broken rather than cut off.
            if (after == 0)
                fits = after = at;
            *next = after;
            return fits;
        }
        sum += one;
        at += bytes;
        // A date stays whole, and so does a page ("3-20").
        if (s[at - bytes] == '-' && at < length && !is_digit(s[at]))
            fits = after = at;
    }
    if (at >= length) {
        *next = length;
        return length;
    }
    *next = after;
    return fits;
}
