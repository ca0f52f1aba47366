#include "draw/svg.h"

#include "base/number.h"

void svg_number(text *out, double value) {
    char digits[NUMBER_ROOM];
    int length = number_cut_zeros(digits, number_write_fixed(digits, value, 2));
    if (length == 2 && digits[0] == '-' && digits[1] == '0') {
        text_put(out, "0");
        return;
    }
    text_put_n(out, digits, (size_t)length);
}

void svg_attribute(text *out, const char *name, const char *value) {
    text_all(out, " ", name, "=\"", NULL);
    xml_text(out, value);
    text_put(out, "\"");
}

void svg_attribute_number(text *out, const char *name, double value) {
    text_all(out, " ", name, "=\"", NULL);
    svg_number(out, value);
    text_put(out, "\"");
}

void svg_open(text *out, const char *element) { text_all(out, "<", element, NULL); }

void svg_element_text(text *out, const char *element, const char *content) {
    text_all(out, "<", element, ">", NULL);
    xml_text(out, content);
    text_all(out, "</", element, ">", NULL);
}
