// The empty pages that stand in the program.
#ifndef DEADBUS_CLI_EMPTY_PAGE_H
#define DEADBUS_CLI_EMPTY_PAGE_H

#include <stddef.h>

// The student's or the instructor's; NULL if the program was built without them.
const char *empty_page(int instructor, size_t *length);

#endif
