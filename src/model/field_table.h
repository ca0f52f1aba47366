// The one table of fields: what each kind of part may say, in which units and range, and what is
// assumed when it says nothing. Drives the reader, the defaults, the JSON Schema, the format page
// and the fuzzer's dictionary.
#ifndef DEADBUS_MODEL_FIELD_TABLE_H
#define DEADBUS_MODEL_FIELD_TABLE_H

#include <stdbool.h>
#include <stdint.h>

#include "model/aircraft.h"
#include "model/kinds.h"

typedef enum field_type {
    FIELD_FIGURE,
    FIELD_FIGURE_OR_TEXT,
    FIELD_TEXT,
    FIELD_WORD,        // one of `words`
    FIELD_YES,         // yes or no
    FIELD_REFERENCE,   // one terminal
    FIELD_REFERENCES,  // one terminal, or a list: each through a diode
    FIELD_CHOICES,     // list of terminals that a survey left possible
    FIELD_ID,          // one part of `targets`
    FIELD_IDS,         // list of parts
    FIELD_CONDITION,
    FIELD_NEEDS,  // list of conditions, all of which must hold
    FIELD_NAMES,  // list of names (functions, supplies)
    FIELD_WIRE,
    FIELD_WIRE_OR_TEXT,
    FIELD_POSITIONS,
    FIELD_SPRING,  // yes, X to Y, to Y
    FIELD_READS,
    FIELD_RIGHT,
    FIELD_BASIS,
    FIELD_PLACE,
    FIELD_FITTED,      // list of words
    FIELD_ROW_FIGURE,  // figure, then what is printed at it
    FIELD_ROW_TEXT,    // what is printed at it
    FIELD_DERIVED,     // never written: computed from others, see `fallback`
} field_type;

typedef struct field {
    part_key key;
    uint64_t kinds;  // bits of part_kind
    field_type type;
    uint32_t units;     // bits of unit, figures only
    uint32_t at_units;  // bits of unit that may follow `at`
    double low, high;   // SI, both allowed; figures only
    bool assumed;       // the two figures below are the default
    double default_28, default_14;
    unit default_unit;
    const char *words;     // FIELD_WORD, FIELD_FITTED: the words allowed, one space apart
    const char *fallback;  // the default in words, if it is no plain figure
    const char *source;    // where the default comes from; NULL: a design choice
    uint64_t targets;      // FIELD_ID: kinds it may name; 0: any
    const char *doc;       // one line
    const char *example;   // a value as it would be written
} field;

int field_count(void);
const field *field_at(int index);
// The row for this key on this kind, NULL if the kind doesn't have the key.
const field *field_find(part_kind kind, part_key key);
// The kinds that may write this key, as bits.
uint64_t field_kinds(part_key key);
static inline bool field_written(const field *f) { return f->type != FIELD_DERIVED; }

#endif
