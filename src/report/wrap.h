// Plain text for a terminal of 80 columns: headings, wrapped lines, columns.
#ifndef DEADBUS_REPORT_WRAP_H
#define DEADBUS_REPORT_WRAP_H

#include "base/text.h"

enum { WRAP_COLUMNS = 80 };

// A heading after an empty line.
void wrap_heading(text *out, const char *heading);
// `words` from column `indent` on, wrapped, every further line at `indent` too. What stands on
// the line already (from offset `line` on) is filled up with spaces to `indent`; if it is
// longer than that, the words start on the next line. Ends the line.
void wrap_words(text *out, size_t line, size_t indent, const char *words);
// `words` standing flush left from column `from` to `from + width`, or flush right.
void wrap_left(text *out, size_t line, size_t from, const char *words);
void wrap_right(text *out, size_t line, size_t from, size_t width, const char *words);

#endif
