// Colors and line weights: the last of the three ways in which a state is told.
#ifndef DEADBUS_DRAW_THEME_H
#define DEADBUS_DRAW_THEME_H

#include "base/text.h"

// Of a page: no style of its own, the page has one; the page also says what a header would.
typedef enum theme_id { THEME_ID_LIGHT, THEME_ID_DARK, THEME_ID_PRINT, THEME_ID_PAGE } theme_id;

// The style sheet of a drawing, without the element around it.
void theme_style(theme_id id, text *out);

#endif
