// Folders of files that are wrong, each with the findings it must give beside it: NAME.yaml and
// NAME.expected.
#ifndef DEADBUS_TEST_BAD_CASES_H
#define DEADBUS_TEST_BAD_CASES_H

#include <stddef.h>

#include "base/findings.h"
#include "base/status.h"

// Reads a file's bytes and gives back everything it took from `memory`. True: it was made.
typedef bool (*bad_case_reader)(void *ctx, allocator memory, const char *bytes, size_t length,
                                status *s, findings *f);

// Fails the running test unless there are `least` files at least in the folder (it ends with a
// slash), each with exactly its findings. With DEADBUS_BLESS in the environment these are written
// anew instead.
void bad_cases_hold(const char *folder, int least, bad_case_reader read, void *ctx);

#endif
