// An aircraft that has been read, as plain text to be carried along in a page: all that answers
// hang on, and what was found in its file. The file's own bytes, and places in it but those that
// findings name, stay behind. Reading it back takes no knowledge of the format. carried_words.h
// says what its words look like, carried_write.c is the list of what comes when.
#ifndef DEADBUS_MODEL_CARRIED_H
#define DEADBUS_MODEL_CARRIED_H

#include "base/text.h"
#include "model/aircraft.h"

#define CARRIED_MARK "carried"
enum { CARRIED_VERSION = 1 };

// What else than its value a figure has been given, as bits.
enum { CARRIED_BAND = 1, CARRIED_AT = 2, CARRIED_WHERE = 4 };

void carried_write(const aircraft *a, const findings *file, text *out);

// On STATUS_OK `*made` answers as the aircraft that was written (free it), and what was found in
// its file is in `out`. STATUS_BAD_FILE: these aren't an aircraft's letters.
status carried_read(allocator memory, const char *letters, size_t length, aircraft **made,
                    findings *out);

#endif
