// `draw`, in one go or in two halves: what is to be drawn, and the drawing.
#ifndef DEADBUS_ASK_ASKED_DRAWING_H
#define DEADBUS_ASK_ASKED_DRAWING_H

#include "ask/ask_commands.h"
#include "draw/columns.h"

// Solves what is asked and hands it to `write`, whose status it returns.
status ask_drawn(const aircraft *a, const ask_options *o, text *out, findings *f,
                 status (*write)(const outcome *now, columns_options how, text *out));

// Draws it, with the caution that stands at the foot of every drawing.
status draw_with_caution(const outcome *now, columns_options how, text *out);

#endif
