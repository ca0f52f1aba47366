// Checks on the bytes of the file that a YAML parser hides or takes too long to refuse.
#ifndef DEADBUS_MODEL_RAW_CHECK_H
#define DEADBUS_MODEL_RAW_CHECK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/findings.h"

// Looks through `work` (a copy of the file that may be mended in place, same length) and reports to
// `out`. False: not to be parsed at all.
bool raw_check(char *work, size_t length, findings *out);

// Line and column of a byte.
span raw_place(const char *source, size_t length, size_t offset, size_t count);

#endif
