#include "base/rng.h"

static uint64_t turn(uint64_t x, int bits) { return (x << bits) | (x >> (64 - bits)); }

// The finisher of splitmix64 (Steele, Lea and Flood 2014): each bit in touches each bit out.
static uint64_t stir(uint64_t x) {
    x = (x ^ (x >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94D049BB133111EB);
    return x ^ (x >> 31);
}

static const uint64_t golden = UINT64_C(0x9E3779B97F4A7C15);

rng rng_make(uint64_t seed) {
    rng r;
    for (int i = 0; i < 4; i++) {
        seed += golden;
        r.s[i] = stir(seed);
    }
    return r;
}

uint64_t rng_next(rng *r) {
    uint64_t *s = r->s;
    uint64_t result = turn(s[1] * 5, 7) * 9;
    uint64_t shifted = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= shifted;
    s[3] = turn(s[3], 45);
    return result;
}

double rng_uniform(rng *r) { return (double)(rng_next(r) >> 11) * 0x1p-53; }

uint64_t rng_below(rng *r, uint64_t limit) {
    // Numbers from the incomplete last round of `limit` would favor the small ones: draw again.
    uint64_t skip = (0 - limit) % limit;
    uint64_t x;
    do
        x = rng_next(r);
    while (x < skip);
    return x % limit;
}

uint64_t rng_at(uint64_t seed, uint64_t flight, uint64_t quantity) {
    uint64_t x = stir(seed + golden);
    x = stir(x + golden * (flight + 1));
    return stir(x + golden * (quantity + 1));
}

double rng_uniform_at(uint64_t seed, uint64_t flight, uint64_t quantity) {
    // Half a step in from both ends: an inverse distribution is infinite at 0 and at 1. 52 bits, so
    // that the half step is held exactly.
    return ((double)(rng_at(seed, flight, quantity) >> 12) + 0.5) * 0x1p-52;
}
