// What is said about YAML that the format doesn't use, or that can't be read.
#ifndef DEADBUS_MODEL_YAML_WORDS_H
#define DEADBUS_MODEL_YAML_WORDS_H

#include "model/yaml_tree.h"

typedef enum yaml_flaw_kind {
    FLAW_ANCHOR,
    FLAW_ALIAS,
    FLAW_TAG,
    FLAW_COMPLEX_KEY,
    FLAW_DEEP,
    FLAW_SECOND_DOCUMENT,
    FLAW_DIRECTIVE,
} yaml_flaw_kind;

typedef struct yaml_flaw {
    span where;
    yaml_flaw_kind kind;
} yaml_flaw;

typedef struct yaml_flaws {
    yaml_flaw *items;
    int count, capacity;
} yaml_flaws;

void yaml_flaw_add(yaml_flaws *flaws, arena *memory, span where, yaml_flaw_kind kind);
void yaml_flaws_say(const yaml_flaws *flaws, findings *out);
// `line`: the bytes of the line at fault, to its end or that of the text.
void yaml_problem_say(findings *out, span where, const char *problem, const char *line);
// Says so if a space is missing after a known word and its colon on that line (`deadbus:1`).
bool yaml_glued_say(findings *out, const char *source, const char *line, uint32_t number,
                    size_t skipped);
// Looks at every entry of the tree: keys twice, values left out, block texts where there may be
// none.
status yaml_entries_check(arena *memory, node *root, const char *source, size_t length,
                          findings *out);

#endif
