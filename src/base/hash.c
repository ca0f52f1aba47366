#include "base/hash.h"

#include <assert.h>
#include <string.h>

static const uint64_t prime = UINT64_C(0x100000001B3);

uint64_t hash_start(void) { return UINT64_C(0xCBF29CE484222325); }

uint64_t hash_bytes(uint64_t hash, const void *bytes, size_t length) {
    const unsigned char *b = bytes;
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ b[i]) * prime;
    return hash;
}

uint64_t hash_number(uint64_t hash, uint64_t number) {
    for (int i = 0; i < 8; i++) {
        hash = (hash ^ (number & 0xFF)) * prime;
        number >>= 8;
    }
    return hash;
}

uint64_t hash_double(uint64_t hash, double value) {
    assert(value == value);
    uint64_t bits = 0;
    if (value != 0)
        memcpy(&bits, &value, sizeof bits);
    return hash_number(hash, bits);
}

uint64_t hash_end(uint64_t hash) {
    // The upper bits of FNV-1a are weak for short inputs: spread them.
    hash = (hash ^ (hash >> 33)) * UINT64_C(0xFF51AFD7ED558CCD);
    hash = (hash ^ (hash >> 33)) * UINT64_C(0xC4CEB9FE1A85EC53);
    return hash ^ (hash >> 33);
}

uint64_t hash_of(const void *bytes, size_t length) {
    return hash_end(hash_bytes(hash_start(), bytes, length));
}
