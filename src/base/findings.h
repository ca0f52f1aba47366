// Everything the program has to tell a person about a file or a question.
#ifndef DEADBUS_BASE_FINDINGS_H
#define DEADBUS_BASE_FINDINGS_H

#include <stdint.h>

#include "base/arena.h"
#include "base/text.h"

typedef enum severity { SEVERITY_ERROR, SEVERITY_WARNING, SEVERITY_NOTE } severity;

// A place in the file. Lines and columns count from 1, columns in characters; 0: nowhere in
// particular.
typedef struct span {
    uint32_t offset, length;  // bytes
    uint32_t line, column;
} span;

typedef struct finding {
    severity severity;
    span where;
    const char *code;  // short stable word, e.g. "unknown-key"; static
    const char *text;  // what is wrong and what was expected; owned by the list
    const char *hint;  // what to do; "" if the text says it
} finding;

typedef struct findings {
    arena memory;
    finding *items;
    int count, capacity;
    int errors, warnings, notes;
} findings;

findings findings_make(allocator memory);
void findings_free(findings *f);
// `parts`: strings joined to the text; ends at the first NULL. No memory: f->memory.failed is set.
void findings_add(findings *f, severity s, span where, const char *code, const char *hint,
                  const char *const parts[]);
// In order of place, then severity, then as they came (stable).
void findings_sort(findings *f);
// NAME:LINE:COL: error: text. hint  -- one line each.
void findings_write(const findings *f, const char *name, text *out);

// The usual call: findings_say(f, SEVERITY_ERROR, where, "code", "hint", "a ", b, NULL);
void findings_say(findings *f, severity s, span where, const char *code, const char *hint, ...);

#endif
