// A 64-bit fingerprint of bytes (FNV-1a with a final stir). For telling changes, not against
// malice.
#ifndef DEADBUS_BASE_HASH_H
#define DEADBUS_BASE_HASH_H

#include <stddef.h>
#include <stdint.h>

// Running form: start with hash_start(), add bytes and numbers, end with hash_end().
uint64_t hash_start(void);
uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t length);
uint64_t hash_number(uint64_t hash, uint64_t number);  // as 8 bytes, lowest first on every machine
uint64_t hash_double(uint64_t hash, double value);     // -0 counts as 0; asserts that it isn't NaN
uint64_t hash_end(uint64_t hash);

uint64_t hash_of(const void *bytes, size_t length);

#endif
