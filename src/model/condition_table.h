// The words of conditions that need no line of their own, and what may be said of a part: one table
// for the reader, its hints and the page that describes the file.
#ifndef DEADBUS_MODEL_CONDITION_TABLE_H
#define DEADBUS_MODEL_CONDITION_TABLE_H

#include "model/aircraft.h"

// A word about the phase.
typedef struct outside_word {
    const char *word;
    condition_op op;
    bool inverse;
    const char *doc;
} outside_word;

// A word about a part.
typedef struct status_word {
    const char *word;
    condition_op op;
    bool inverse;
    uint64_t kinds;  // bits of part_kind; 0: whatever may be on
    const char *said_of;
    const char *doc;
} status_word;

// NULL: past the last.
const outside_word *outside_word_at(int index);
const status_word *status_word_at(int index);

// "airborne, night, ...": all words about the phase.
extern const char outside_words[];
// The word about the phase that was meant: at most `most` letters differ, or it is its beginning.
// NULL: none.
const char *outside_word_near(const char *written, int most);

#endif
