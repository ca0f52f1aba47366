#include "support/wrong_letters.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

enum { EVERY = 3 };  // every so many letters

void wrong_letters_refused(const text *good, takes_letters *takes, const void *ctx) {
    static const char OTHERS[] = "9 -\"#%";
    const char *letters = text_get(good);
    for (size_t i = 0; i < good->length; i += EVERY)
        assert_false(takes(ctx, letters, i));
    size_t refused = 0;
    text changed = text_make(allocator_default());
    for (size_t i = 0; i < good->length; i += EVERY) {
        changed.length = 0;
        text_put_n(&changed, letters, i);
        text_char(&changed, OTHERS[i / EVERY % (sizeof OTHERS - 1)]);
        text_put_n(&changed, letters + i + 1, good->length - i - 1);
        refused += !takes(ctx, text_get(&changed), good->length);
    }
    assert_true(refused > good->length / (4 * EVERY));
    text_free(&changed);
}
