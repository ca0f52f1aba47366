// Decimal numbers, exactly. A double is m * 2^e; its decimal digits are those of the fraction R / S
// of two whole numbers, got one at a time by long division, so that nothing is rounded before the
// last digit. The shortest form is the method of Steele and White (1990), in whole numbers
// throughout.
#include "base/number.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

// 2^1077 * 2^56 is the largest that occurs: 1133 bits.
enum { WORDS = 40 };

typedef struct whole {
    int count;
    uint32_t words[WORDS];  // lowest first; words[count - 1] isn't 0
} whole;

static void whole_set(whole *w, uint64_t value) {
    *w = (whole){.count = 0};
    w->words[0] = (uint32_t)value;
    w->words[1] = (uint32_t)(value >> 32);
    w->count = w->words[1] ? 2 : w->words[0] ? 1 : 0;
}

static void whole_times(whole *w, uint32_t factor) {
    uint64_t carry = 0;
    for (int i = 0; i < w->count; i++) {
        carry += (uint64_t)w->words[i] * factor;
        w->words[i] = (uint32_t)carry;
        carry >>= 32;
    }
    if (carry) {
        assert(w->count < WORDS);
        w->words[w->count++] = (uint32_t)carry;
    }
}

static void whole_times_ten(whole *w, int power) {
    for (; power >= 9; power -= 9)
        whole_times(w, 1000000000U);
    for (; power > 0; power--)
        whole_times(w, 10U);
}

static void whole_times_two(whole *w, int power) {
    if (w->count == 0)
        return;
    int shift = power / 32;
    if (shift) {
        assert(w->count + shift <= WORDS);
        memmove(w->words + shift, w->words, (size_t)w->count * sizeof w->words[0]);
        memset(w->words, 0, (size_t)shift * sizeof w->words[0]);
        w->count += shift;
    }
    if (power % 32)
        whole_times(w, 1U << (power % 32));
}

static int whole_compare(const whole *a, const whole *b) {
    if (a->count != b->count)
        return a->count < b->count ? -1 : 1;
    // Never more than WORDS; said here for static analysis, which can't follow the counts.
    int count = a->count < WORDS ? a->count : WORDS;
    for (int i = count - 1; i >= 0; i--)
        if (a->words[i] != b->words[i])
            return a->words[i] < b->words[i] ? -1 : 1;
    return 0;
}

// a + b against c
static int whole_compare_sum(const whole *a, const whole *b, const whole *c) {
    whole sum = {.count = 0};
    uint64_t carry = 0;
    int most = a->count > b->count ? a->count : b->count;
    for (int i = 0; i < most; i++) {
        carry += (i < a->count ? a->words[i] : 0U);
        carry += (i < b->count ? b->words[i] : 0U);
        sum.words[i] = (uint32_t)carry;
        carry >>= 32;
    }
    sum.count = most;
    if (carry)
        sum.words[sum.count++] = (uint32_t)carry;
    return whole_compare(&sum, c);
}

// a -= b, where a >= b
static void whole_subtract(whole *a, const whole *b) {
    uint64_t borrow = 0;
    for (int i = 0; i < a->count; i++) {
        uint64_t take = (i < b->count ? b->words[i] : 0U) + borrow;
        borrow = a->words[i] < take;
        a->words[i] = (uint32_t)(a->words[i] - take);
    }
    while (a->count > 0 && a->words[a->count - 1] == 0)
        a->count--;
}

// The next decimal digit of r / s (r < s before; again after).
static int next_digit(whole *r, const whole *s) {
    whole_times(r, 10);
    int digit = 0;
    while (whole_compare(r, s) >= 0) {
        whole_subtract(r, s);
        digit++;
    }
    return digit;
}

// What is between the double and its digits: value = r / s * 10^point, 1/10 <= r / s < 1.
typedef struct fraction {
    whole r, s;
    whole below, above;  // half the way to the neighbours, in units of s (shortest form only)
    int point;
} fraction;

typedef struct decimal {
    int count;
    int point;  // value = 0.DIGITS * 10^point
    char digits[360];
} decimal;

static int bits_of(uint64_t m) {
    int bits = 0;
    for (; m; m >>= 1)
        bits++;
    return bits;
}

static void split(double value, uint64_t *m, int *e) {
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    int stored = (int)(bits >> 52 & 0x7FF);
    *m = bits & ((UINT64_C(1) << 52) - 1);
    if (stored)
        *m |= UINT64_C(1) << 52;
    *e = (stored ? stored : 1) - 1075;
}

// `wide`: for the shortest form; then the upper end of the interval decides the point.
static void fraction_of(uint64_t m, int e, bool wide, bool uneven, fraction *f) {
    // log10 2 = 0.30103 and a little less; the loops below mend a point that is one off.
    int log2 = e + bits_of(m) - 1;
    int scaled = log2 * 30103;
    f->point = (scaled >= 0 ? scaled / 100000 : -((-scaled + 99999) / 100000)) + 1;
    whole_set(&f->r, m);
    whole_set(&f->s, 1);
    whole_set(&f->below, wide ? 1 : 0);
    int up = (e > 0 ? e : 0) + wide + uneven;
    int down = (e < 0 ? -e : 0) + wide + uneven;
    int tens_up = f->point < 0 ? -f->point : 0;
    whole_times_two(&f->r, up);
    whole_times_ten(&f->r, tens_up);
    whole_times_two(&f->s, down);
    whole_times_ten(&f->s, f->point > 0 ? f->point : 0);
    whole_times_two(&f->below, e > 0 ? e : 0);
    whole_times_ten(&f->below, tens_up);
    f->above = f->below;
    // Just above a power of two the lower neighbour is only half as far away.
    whole_times_two(&f->above, uneven);
}

static void fraction_times_ten(fraction *f) {
    whole_times(&f->r, 10);
    whole_times(&f->below, 10);
    whole_times(&f->above, 10);
}

static void mend_point(fraction *f, bool even) {
    for (;;) {
        int sum = whole_compare_sum(&f->r, &f->above, &f->s);
        if (sum < 0 || (sum == 0 && f->above.count && !even))
            break;
        whole_times(&f->s, 10);
        f->point++;
    }
    for (;;) {
        fraction tenfold = *f;
        fraction_times_ten(&tenfold);
        int sum = whole_compare_sum(&tenfold.r, &tenfold.above, &f->s);
        if (sum > 0 || (sum == 0 && (even || f->above.count == 0)))
            break;
        *f = tenfold;
        f->point--;
    }
}

// Adds one to the last digit; all nines become 1 and zeros, with the point moved.
static void round_up(decimal *d) {
    int i = d->count - 1;
    while (i >= 0 && d->digits[i] == '9')
        d->digits[i--] = '0';
    if (i >= 0) {
        d->digits[i]++;
        return;
    }
    memmove(d->digits + 1, d->digits, (size_t)d->count);
    d->digits[0] = '1';
    d->count++;
    d->point++;
}

// `count` digits of r / s, correctly rounded, ties to the even digit. May give one digit more.
static void round_to(fraction *f, int count, decimal *d) {
    d->point = f->point;
    d->count = 0;
    if (count < 0)
        return;
    while (d->count < count)
        d->digits[d->count++] = (char)('0' + next_digit(&f->r, &f->s));
    whole_times(&f->r, 2);
    int half = whole_compare(&f->r, &f->s);
    bool odd = count > 0 && (d->digits[count - 1] - '0') % 2;
    if (half > 0 || (half == 0 && odd))
        round_up(d);
}

// Most figures fit into 64 bits, whole part and fraction: their digits come by shifts instead of
// long division, and are the same ones. False: this one doesn't fit.
static bool round_small(uint64_t m, int e, int wanted, bool decimals, decimal *d) {
    if (e > 0 || e < -60)
        return false;
    uint64_t one = UINT64_C(1) << -e;
    uint64_t rest = m & (one - 1);
    for (uint64_t before = m >> -e; before; before /= 10)
        d->count++;
    d->point = d->count;
    if (!decimals && d->count > wanted)
        return false;
    uint64_t before = m >> -e;
    for (int i = d->count - 1; i >= 0; i--, before /= 10)
        d->digits[i] = (char)('0' + before % 10);
    while ((decimals ? d->count - d->point : d->count) < wanted) {
        rest *= 10;
        if (rest >= one || d->count)
            d->digits[d->count++] = (char)('0' + (rest >> -e));
        else
            d->point--;
        rest &= one - 1;
    }
    bool odd = d->count > 0 && (d->digits[d->count - 1] - '0') % 2;
    if (2 * rest > one || (2 * rest == one && odd))
        round_up(d);
    return true;
}

// So many decimals or digits of a number, correctly rounded. 0 has no digits.
static void rounded(double value, int wanted, bool decimals, decimal *d) {
    uint64_t m;
    int e;
    split(value, &m, &e);
    if (m == 0 || round_small(m, e, wanted, decimals, d))
        return;
    fraction f;
    fraction_of(m, e, false, false, &f);
    mend_point(&f, false);
    round_to(&f, decimals ? f.point + wanted : wanted, d);
}

static void shortest_digits(fraction *f, bool even, decimal *d) {
    d->point = f->point;
    d->count = 0;
    for (;;) {
        int digit = next_digit(&f->r, &f->s);
        whole_times(&f->below, 10);
        whole_times(&f->above, 10);
        int low = whole_compare(&f->r, &f->below);
        int high = whole_compare_sum(&f->r, &f->above, &f->s);
        bool down = low < 0 || (low == 0 && even);
        bool up = high > 0 || (high == 0 && even);
        if (down && up) {
            whole_times(&f->r, 2);
            up = whole_compare(&f->r, &f->s) > 0;
        }
        d->digits[d->count++] = (char)('0' + digit);
        if (up)
            round_up(d);
        if (down || up)
            return;
    }
}

static int copy_zeros(char *out, int length, int count) {
    for (int i = 0; i < count; i++)
        out[length++] = '0';
    return length;
}

// At least `decimals` places after the point. -0 and what rounds to it get no sign.
static int lay_out(char *out, bool negative, const decimal *d, int decimals) {
    int length = 0;
    bool zero = true;
    for (int i = 0; i < d->count; i++)
        zero = zero && d->digits[i] == '0';
    if (negative && !zero)
        out[length++] = '-';
    int before = d->point > 0 ? d->point : 0;
    int copied = before < d->count ? before : d->count;
    if (before == 0)
        out[length++] = '0';
    memcpy(out + length, d->digits, (size_t)copied);
    length = copy_zeros(out, length + copied, before - copied);
    int rest = d->count - copied;
    int zeros = d->point < 0 && rest > 0 ? -d->point : 0;
    if (rest == 0 && decimals <= 0) {
        out[length] = 0;
        return length;
    }
    out[length++] = '.';
    length = copy_zeros(out, length, zeros);
    memcpy(out + length, d->digits + copied, (size_t)rest);
    length = copy_zeros(out, length + rest, decimals - zeros - rest);
    out[length] = 0;
    return length;
}

static int not_finite(char *out) {
    assert(out == NULL);  // a number that isn't finite must never be written
    out[0] = '?';
    out[1] = 0;
    return 1;
}

int number_write_fixed(char *out, double value, int decimals) {
    if (!isfinite(value))
        return not_finite(out);
    if (decimals < 0)
        decimals = 0;
    if (decimals > 12)
        decimals = 12;
    decimal d = {.count = 0, .point = 0};
    rounded(value, decimals, true, &d);
    if (d.count == 0)
        d.point = 0;
    return lay_out(out, value < 0, &d, decimals);
}

int number_write_digits(char *out, double value, int digits) {
    if (!isfinite(value))
        return not_finite(out);
    if (digits < 1)
        digits = 1;
    if (digits > 17)
        digits = 17;
    decimal d = {.count = 0, .point = 0};
    rounded(value, digits, false, &d);
    if (d.count == 0)
        return lay_out(out, false, &d, digits - 1);
    if (d.count > digits)  // 9.99 became 10.0: the last 0 is one digit too many
        d.count = digits;
    return lay_out(out, value < 0, &d, 0);
}

int number_write_shortest(char *out, double value) {
    if (!isfinite(value))
        return not_finite(out);
    decimal d = {.count = 0, .point = 0};
    uint64_t m;
    int e;
    split(value, &m, &e);
    if (m) {
        fraction f;
        bool even = m % 2 == 0;
        bool uneven = m == UINT64_C(1) << 52 && e > -1074;
        fraction_of(m, e, true, uneven, &f);
        mend_point(&f, even);
        shortest_digits(&f, even, &d);
    }
    return lay_out(out, value < 0, &d, 0);
}

int number_read(const char *s, size_t length, double *value) {
    size_t i = 0;
    bool negative = false;
    if (i < length && (s[i] == '+' || s[i] == '-')) {
        negative = s[i] == '-';
        i++;
    } else if (length >= 3 && memcmp(s, "\xE2\x88\x92", 3) == 0) {  // the minus sign proper
        negative = true;
        i = 3;
    }
    uint64_t whole_number = 0;
    double scale = 1;
    int digits = 0;
    size_t start = i;
    for (; i < length && s[i] >= '0' && s[i] <= '9'; i++) {
        if (digits || s[i] != '0')
            digits++;
        if (digits <= 15)
            whole_number = whole_number * 10 + (uint64_t)(s[i] - '0');
    }
    if (i == start)
        return 0;
    if (i + 1 < length && s[i] == '.' && s[i + 1] >= '0' && s[i + 1] <= '9') {
        for (i++; i < length && s[i] >= '0' && s[i] <= '9'; i++) {
            if (++digits > 15)
                continue;
            whole_number = whole_number * 10 + (uint64_t)(s[i] - '0');
            scale *= 10;
        }
    }
    if (digits > 15)
        return -1;
    // Both are exact (below 2^53, and 10^15 at most), so the one division rounds correctly.
    double magnitude = (double)whole_number / scale;
    *value = negative && whole_number ? -magnitude : magnitude;
    return (int)i;
}

int number_cut_zeros(const char *out, int length) {
    if (memchr(out, '.', (size_t)length) == NULL)
        return length;
    while (out[length - 1] == '0')
        length--;
    return out[length - 1] == '.' ? length - 1 : length;
}
