#include "base/exp_log.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

// ln 2 in two parts: the first has 32 significant bits, so that any exponent times it is exact.
static const double ln2_high = 0x1.62e42feep-1;
static const double ln2_low = 0x1.a39ef35793c76p-33;

static uint64_t bits_of(double x) {
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

static double of_bits(uint64_t bits) {
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

// 2^k for -1022 <= k <= 1023
static double two_to(int k) { return of_bits((uint64_t)(k + 1023) << 52); }

double exp_of(double x) {
    if (isnan(x))
        return x;
    if (x > 709.79)
        return HUGE_VAL;
    if (x < -745.14)
        return 0;
    // x = k ln 2 + r, |r| <= ln 2 / 2
    int k = (int)(x * 0x1.71547652b82fep+0 + (x < 0 ? -0.5 : 0.5));
    double high = x - k * ln2_high;
    double low = k * ln2_low;
    double r = high - low;
    double lost = (high - r) - low;
    // Taylor's series; what is left out after r^13/13! is below 2^-57.
    static const double inverse_factorial[] = {
        1.0 / 6227020800, 1.0 / 479001600, 1.0 / 39916800, 1.0 / 3628800, 1.0 / 362880, 1.0 / 40320,
        1.0 / 5040,       1.0 / 720,       1.0 / 120,      1.0 / 24,      1.0 / 6,      1.0 / 2,
    };
    double sum = 0;
    for (int i = 0; i < (int)(sizeof inverse_factorial / sizeof inverse_factorial[0]); i++)
        sum = sum * r + inverse_factorial[i];
    // Small terms first: what is added to 1 last decides the last bit.
    double y = 1 + (r + (sum * r * r + (lost + lost * r)));
    // In two steps at the ends, where 2^k alone can't be held or the result is below 2^-1022.
    if (k > 1023)
        return y * 2 * two_to(k - 1);
    if (k < -1021)
        return y * two_to(k + 60) * 0x1p-60;
    return y * two_to(k);
}

double log_of(double x) {
    if (isnan(x) || x < 0)
        return (double)NAN;
    if (x == 0)
        return -HUGE_VAL;
    if (isinf(x))
        return x;
    int k = 0;
    if (x < 0x1p-1022) {
        x *= 0x1p54;
        k = -54;
    }
    // x = 2^k m, with m between the square roots of 1/2 and 2
    uint64_t bits = bits_of(x);
    k += (int)(bits >> 52) - 1023;
    bits = (bits & ((UINT64_C(1) << 52) - 1)) | (UINT64_C(1023) << 52);
    if (bits > bits_of(0x1.6a09e667f3bcdp+0)) {
        bits -= UINT64_C(1) << 52;
        k++;
    }
    double f = of_bits(bits) - 1;
    // ln(1 + f) = 2 (s + s^3/3 + s^5/5 + ...) with s = f / (2 + f), |s| < 0.172. As 2 s = f - h + s
    // h with h = f^2 / 2, the large term f is added last and exact.
    double s = f / (2 + f);
    double z = s * s;
    double rest = 0;
    for (int i = 23; i >= 3; i -= 2)
        rest = (rest + 2.0 / i) * z;
    double h = f * f * 0.5;
    return k * ln2_high - ((h - (s * (h + rest) + k * ln2_low)) - f);
}

double power_of(double x, double y) {
    if (y == 0 || x == 1)
        return 1;
    if (x == 0)
        return y > 0 ? 0 : HUGE_VAL;
    return exp_of(y * log_of(x));
}
