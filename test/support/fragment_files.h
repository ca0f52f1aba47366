// test/case/fragments.yaml, taken apart: each fragment with the parts around it as a whole file.
#ifndef DEADBUS_TEST_FRAGMENT_FILES_H
#define DEADBUS_TEST_FRAGMENT_FILES_H

#include "base/text.h"

enum { FRAGMENTS_MOST = 100 };

typedef struct fragment {
    const char *start;  // after its name's line
    size_t length;
    char name[100];
} fragment;

// `all` ends with a 0. The first piece is what is around all others.
int fragments_split(const char *all, fragment *pieces, int most);
// A part of the fragment takes the place of the one of the same id around it.
void fragment_file(const fragment *around, const fragment *one, text *t);

#endif
