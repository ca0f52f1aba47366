// A drawing on paper as PDF, where librsvg and cairo were there when the program was built.
#ifndef DEADBUS_CLI_PDF_H
#define DEADBUS_CLI_PDF_H

#include <stddef.h>

#include "files.h"

// One page of the drawing's own size. The block is the caller's to free. NULL: `trouble` says why.
char *pdf_of_svg(const char *svg, size_t length, size_t *made, char trouble[TROUBLE_ROOM]);

#endif
