// Letters that modules hand to each other, cut off or with one of them changed.
#ifndef DEADBUS_TEST_WRONG_LETTERS_H
#define DEADBUS_TEST_WRONG_LETTERS_H

#include <stdbool.h>

#include "base/text.h"

typedef bool takes_letters(const void *ctx, const char *letters, size_t length);

// Every beginning must be refused, and of texts with one letter changed one in four at least; what
// is taken is something else. Fails the running test otherwise.
void wrong_letters_refused(const text *good, takes_letters *takes, const void *ctx);

#endif
