// How wide a line of text will be, near enough to keep labels apart: no font is open while we draw.
#ifndef DEADBUS_DRAW_TEXT_WIDTH_H
#define DEADBUS_DRAW_TEXT_WIDTH_H

#include <stdbool.h>
#include <stddef.h>

// Width in pixels of `length` bytes of UTF-8 at `size` pixels.
double text_width_n(const char *s, size_t length, double size, bool bold);
// Without what is kept in reserve for fonts that run wider: what that font really takes.
double text_width_exact(const char *s, double size, bool bold);
double text_width(const char *s, double size, bool bold);
// The room that text_line may be told where text is set to just those widths: nothing is kept in
// reserve.
double text_room(double width);

// Bytes of the next line of `s` that fit into `width` (at a space or after a hyphen; a word that is
// wider than the line is broken inside, never lost). `*next`: where the line after it starts.
size_t text_line(const char *s, double width, double size, bool bold, size_t *next);

#endif
