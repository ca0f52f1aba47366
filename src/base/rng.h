// Random numbers that are the same on every machine. Not for secrets.
#ifndef DEADBUS_BASE_RNG_H
#define DEADBUS_BASE_RNG_H

#include <stdint.h>

// A stream: xoshiro256** (Blackman and Vigna, "Scrambled linear pseudorandom number generators",
// 2018).
typedef struct rng {
    uint64_t s[4];
} rng;

rng rng_make(uint64_t seed);
uint64_t rng_next(rng *r);
double rng_uniform(rng *r);                  // 0 <= x < 1, a multiple of 2^-53
uint64_t rng_below(rng *r, uint64_t limit);  // 0 <= x < limit, without bias; limit > 0

// A random number by its place instead of its turn: the same whatever is asked before or beside it.
// For studies whose flights run in any order.
uint64_t rng_at(uint64_t seed, uint64_t flight, uint64_t quantity);
double rng_uniform_at(uint64_t seed, uint64_t flight, uint64_t quantity);  // 0 < x < 1

#endif
