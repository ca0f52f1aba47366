// What is written from the table of fields: the JSON Schema, the format page, the fuzzer's
// dictionary.
#ifndef DEADBUS_MODEL_SCHEMA_H
#define DEADBUS_MODEL_SCHEMA_H

#include "base/status.h"
#include "base/text.h"

// A JSON Schema (draft 2020-12) of the aircraft file, for editors with YAML support.
status schema_write(text *out);
// The reference page in Markdown: kinds, keys, units, ranges, defaults.
status format_page_write(text *out);
// Words of the format, one a line, as libFuzzer reads them.
status dictionary_write(text *out);

#endif
