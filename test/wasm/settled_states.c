// The settled states of the fleet inside WebAssembly: the same bits as test/property/settled_test.c
// asks of the native builds. A program of its own, linked from the core that the module is made of.
#include <inttypes.h>
#include <stdio.h>

#include "support/state_hash.h"

int main(void) {
    int different = 0;
    for (int n = 0; n < FLEET_COUNT; n++) {
        state_hasher h;
        if (!state_hasher_open(&h, n))
            return 1;
        uint64_t expected = state_hash_expected(n);
        for (int lanes = 1; lanes <= 8; lanes *= 2) {
            uint64_t hash = state_hash(&h, lanes);
            different += hash != expected;
            printf("%s, %d lanes: %016" PRIx64 "%s\n", fleet_names[n], lanes, hash,
                   hash == expected ? "" : ", not what test/reference/state_hashes.txt says");
        }
        state_hasher_close(&h);
    }
    printf("%d differ\n", different);
    return different > 0;
}
