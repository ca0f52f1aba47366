// Writing SVG: elements, attributes, numbers with two decimals at most.
#ifndef DEADBUS_DRAW_SVG_H
#define DEADBUS_DRAW_SVG_H

#include "base/text.h"

// Shortest of at most two decimals: 3.40 -> "3.4", -0 -> "0".
void svg_number(text *out, double value);
// name="value" with a space before it.
void svg_attribute(text *out, const char *name, const char *value);
void svg_attribute_number(text *out, const char *name, double value);
void svg_open(text *out, const char *element);                               // <element
void svg_element_text(text *out, const char *element, const char *content);  // <e>content</e>

#endif
