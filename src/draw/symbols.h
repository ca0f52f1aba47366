// Symbols after IEC 60617 and IEEE 315 practice: one table for screen and print.
//
// Drawn along the x axis around (0,0), without leads: wires run to the terminals, which lie at
// (-reach,0) and (reach,0), reach a multiple of 10.
#ifndef DEADBUS_DRAW_SYMBOLS_H
#define DEADBUS_DRAW_SYMBOLS_H

#include "base/text.h"

// clang-format off
#define SYMBOL_LIST(X)                                                                             \
    X(BREAKER)                                                                                     \
    X(BREAKER_OUT) X(FUSE) X(FUSE_BLOWN) X(LIMITER) X(SWITCH) X(SWITCH_OPEN) X(CONTACT)            \
        X(CONTACT_OPEN) X(DIODE) X(SHUNT) X(RESISTOR) X(DIMMER) X(DIMMER_OPEN) X(JOINT) X(BATTERY) \
            X(MACHINE_AC) X(MACHINE_DC) X(GROUND_POWER) X(CHASSIS) X(ARROW) X(LAMP) X(LAMP_LIT)    \
                X(HORN) X(HORN_SOUNDS) X(COIL) X(WIRE_OPEN) X(FAILED)
// clang-format on

typedef enum symbol_id {
#define X(name) SYMBOL_##name,
    SYMBOL_LIST(X)
#undef X
        SYMBOL_COUNT
} symbol_id;

typedef struct symbol_form {
    int reach;           // terminals at -reach and reach; 0: at the origin or none
    int above, below;    // how far ink goes from the axis
    const char *stroke;  // path data, drawn with the symbol's line
    const char *fill;    // path data, filled with the line's color
    const char *hollow;  // path data, filled with paper and drawn with the line, over the rest
    const char *letter;  // a letter in it, upright however the symbol is turned
} symbol_form;

const symbol_form *symbol_form_of(symbol_id id);
// The name under which a drawing's <defs> have it, drawn in the color of who uses it; NULL: not
// there.
const char *symbol_shared(symbol_id id);
void symbols_define(text *out);         // what stands in <defs>
const char *symbol_word(symbol_id id);  // for people who can't see it

#endif
