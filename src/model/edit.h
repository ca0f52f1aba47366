// Writing an aircraft file back, and changing it: only the bytes of what is set change; comments,
// order, spacing and line ends stay.
#ifndef DEADBUS_MODEL_EDIT_H
#define DEADBUS_MODEL_EDIT_H

#include "model/aircraft.h"

// The bytes that were read.
status aircraft_write(const aircraft *a, text *out);

typedef struct edit_field {
    part_key key;               // KEY_VALUE: the kind's own value
    const char *const *values;  // as they mean, not as they are quoted
    int count;
    bool list;  // written [a, b], even with one entry
} edit_field;

// Writes the file with one value of one line set: the key's value is replaced, or the key added
// at the end of its line. STATUS_BAD_REQUEST and a finding: no such line, or a value that isn't
// on one line. The result isn't checked: read it.
status edit_set(allocator memory, const char *source, size_t length, const char *id,
                edit_field value, text *out, findings *f);

typedef struct edit_line {
    const char *id;
    part_kind kind;
    const edit_field *fields;  // in any order; written in the format's
    int count;
} edit_line;

// Writes the file with a new line after the line of `after`.
status edit_add(allocator memory, const char *source, size_t length, const char *after,
                edit_line line, text *out, findings *f);

// The line alone: `indent` spaces, the value from column `column` (0: one space after the colon),
// no line end. On one line if that is at most 140 columns, else a key a line.
void edit_write_line(text *out, edit_line line, int indent, int column, const char *line_end);

// A text as it must stand in the file: in double quotes only where it needs them.
void edit_write_text(text *out, const char *value);

#endif
