#include "draw/symbols.h"

// Circles as two arcs: "M cx-r,cy a r,r 0 1,0 2r,0 a r,r 0 1,0 -2r,0".
#define CONTACT(x) "M" x ",0a3.2,3.2 0 1,0 6.4,0a3.2,3.2 0 1,0 -6.4,0"
#define CONTACTS   CONTACT("-10") CONTACT("3.6")
#define DISC       "M-19,0a19,19 0 1,0 38,0a19,19 0 1,0 -38,0"
#define SMALL_DISC "M-9,0a9,9 0 1,0 18,0a9,9 0 1,0 -18,0"

static const symbol_form forms[SYMBOL_COUNT] = {
    // The aircraft form of a breaker: two contacts, a bridge and the button on it.
    [SYMBOL_BREAKER] = {10, 12, 4, "M-8,-3.5Q0,-12.5 8,-3.5", "M-4,-12h8v4.4h-8z", CONTACTS, NULL},
    [SYMBOL_BREAKER_OUT] = {10, 16, 4, "M-9,-7.5Q0,-16.5 9,-7.5", "M-4,-16.5h8v4.6h-8z", CONTACTS,
                            NULL},
    [SYMBOL_FUSE] = {10, 6, 6, "M-10,-5h20v10h-20zM-10,0h20", NULL, NULL, NULL},
    [SYMBOL_FUSE_BLOWN] = {10, 6, 6, "M-10,-5h20v10h-20zM-10,0h6M4,0h6", NULL, NULL, NULL},
    [SYMBOL_LIMITER] = {10, 6, 6, "M-10,-5h20v10h-20zM-10,0h20", "M-10,-5h5v10h-5z", NULL, NULL},
    [SYMBOL_SWITCH] = {10, 4, 4, "M-4,0h8", NULL, CONTACTS, NULL},
    [SYMBOL_SWITCH_OPEN] = {10, 11, 4, "M-5,-2L7,-10", NULL, CONTACTS, NULL},
    // Contacts that a coil moves: a bar across both, apart from them when open.
    [SYMBOL_CONTACT] = {10, 7, 4, NULL, "M-10,-7.2h20v4h-20z", CONTACTS, NULL},
    [SYMBOL_CONTACT_OPEN] = {10, 14, 4, NULL, "M-10,-14h20v4h-20z", CONTACTS, NULL},
    [SYMBOL_DIODE] = {10, 8, 8, "M8,-8v16M-10,0h20", "M-7,-7.5L7.5,0L-7,7.5z", NULL, NULL},
    [SYMBOL_SHUNT] = {20, 12, 6, "M-16,-11v11M16,-11v11M-20,0h5M15,0h5", NULL,
                      "M-14,-5.5h28v11h-28z", NULL},
    [SYMBOL_RESISTOR] = {10, 5, 5, NULL, NULL, "M-10,-4.5h20v9h-20z", NULL},
    [SYMBOL_DIMMER] = {10, 10, 10, "M-8,10L8,-9", "M10,-11.5l-1.2,6.8l-4.6,-3.8z",
                       "M-10,-4.5h20v9h-20z", NULL},
    [SYMBOL_DIMMER_OPEN] = {10, 10, 10, "M-8,10L8,-9", "M10,-11.5l-1.2,6.8l-4.6,-3.8z",
                            "M-10,-4.5h20v9h-20z", NULL},
    [SYMBOL_JOINT] = {10, 4, 4, "M-10,0h20", NULL, NULL, NULL},
    // Long plates are positive, towards x > 0.
    [SYMBOL_BATTERY] = {20, 14, 14, "M-3,-13v26M13,-13v26M-20,0h7M-2,0h6M13,0h7",
                        "M-13.5,-7h4.6v14h-4.6zM3,-7h4.6v14h-4.6z", NULL, NULL},
    [SYMBOL_MACHINE_AC] = {20, 20, 20, "M-8,7q4,-7 8,0t8,0", NULL, DISC, "G"},
    [SYMBOL_MACHINE_DC] = {20, 20, 20, "M-8,6h16M-8,9.5h3.5M-1.8,9.5h3.6M4.5,9.5h3.5", NULL, DISC,
                           "G"},
    [SYMBOL_GROUND_POWER] =
        {20, 11, 11,
         "M-12,0a3.6,3.6 0 1,0 7.2,0a3.6,3.6 0 1,0 -7.2,0M-2.4,0a3.6,3.6 0 1,0 7.2,0a3.6,3.6 0 1,0 "
         "-7.2,0M8,0a2,2 0 1,0 4,0a2,2 0 1,0 -4,0",
         NULL,
         "M-16.5,-10h33q3.5,0 3.5,3.5v13q0,3.5 -3.5,3.5h-33q-3.5,0 -3.5,-3.5v-13q0,-3.5 3.5,-3.5z",
         NULL},
    [SYMBOL_CHASSIS] = {0, 0, 10, "M-9,0h18M-9,0l-4,9M0,0l-4,9M9,0l-4,9", NULL, NULL, NULL},
    [SYMBOL_ARROW] = {0, 6, 6, NULL, "M7,0L-6,-6.5L-3,0L-6,6.5z", NULL, NULL},
    [SYMBOL_LAMP] = {0, 9, 9, "M-6.4,-6.4l12.8,12.8M-6.4,6.4l12.8,-12.8", NULL, SMALL_DISC, NULL},
    [SYMBOL_LAMP_LIT] =
        {0, 13, 13,
         "M0,-9.5v-4M0,9.5v4M-9.5,0h-4M9.5,0h4M-6.7,-6.7l-2.8,-2.8M6.7,-6.7l2.8,-2.8"
         "M-6.7,6.7l-2.8,2.8M6.7,6.7l2.8,2.8",
         "M-7,0a7,7 0 1,0 14,0a7,7 0 1,0 -14,0", NULL, NULL},
    [SYMBOL_HORN] = {0, 9, 9, "M-9,-3.5h5v7h-5zM-4,-3.5L3,-8v16L-4,3.5", NULL, NULL, NULL},
    // Its waves stand before it.
    [SYMBOL_HORN_SOUNDS] = {0, 9, 9,
                            "M-9,-3.5h5v7h-5zM-4,-3.5L3,-8v16L-4,3.5M6,-4q3,4 0,8M9,-7q5,7 0,14",
                            NULL, NULL, NULL},
    [SYMBOL_COIL] = {0, 8, 8, "M-6,7.5L6,-7.5", NULL, "M-12,-7.5h24v15h-24z", NULL},
    [SYMBOL_WIRE_OPEN] = {0, 9, 9, "M-6,7L0,-7M1,7L7,-7", NULL, NULL, NULL},
    [SYMBOL_FAILED] = {0, 9, 8, NULL, "M0,-9.5L10,8.5h-20z", NULL, "!"},
};

static const char *const words[SYMBOL_COUNT] = {
    [SYMBOL_BREAKER] = "breaker in",
    [SYMBOL_BREAKER_OUT] = "breaker out",
    [SYMBOL_FUSE] = "fuse",
    [SYMBOL_FUSE_BLOWN] = "fuse blown",
    [SYMBOL_LIMITER] = "current limiter",
    [SYMBOL_SWITCH] = "switch closed",
    [SYMBOL_SWITCH_OPEN] = "switch open",
    [SYMBOL_CONTACT] = "contact closed",
    [SYMBOL_CONTACT_OPEN] = "contact open",
    [SYMBOL_DIODE] = "diode",
    [SYMBOL_SHUNT] = "shunt",
    [SYMBOL_RESISTOR] = "resistor",
    [SYMBOL_DIMMER] = "dimmer",
    [SYMBOL_DIMMER_OPEN] = "dimmer off",
    [SYMBOL_JOINT] = "wire",
    [SYMBOL_BATTERY] = "battery",
    [SYMBOL_MACHINE_AC] = "alternator",
    [SYMBOL_MACHINE_DC] = "generator",
    [SYMBOL_GROUND_POWER] = "ground power",
    [SYMBOL_CHASSIS] = "airframe",
    [SYMBOL_ARROW] = "direction of current",
    [SYMBOL_LAMP] = "lamp out",
    [SYMBOL_LAMP_LIT] = "lamp lit",
    [SYMBOL_HORN] = "horn silent",
    [SYMBOL_HORN_SOUNDS] = "horn sounds",
    [SYMBOL_COIL] = "coil",
    [SYMBOL_WIRE_OPEN] = "wire open",
    [SYMBOL_FAILED] = "failed",
};

// Those that stand in a diagram by the dozen.
static const char *const shared[SYMBOL_COUNT] = {
    [SYMBOL_BREAKER] = "breaker",
    [SYMBOL_BREAKER_OUT] = "breaker-out",
    [SYMBOL_SWITCH] = "switch",
    [SYMBOL_SWITCH_OPEN] = "switch-open",
};

const char *symbol_shared(symbol_id id) { return shared[id]; }

void symbols_define(text *out) {
    for (int i = 0; i < SYMBOL_COUNT; i++) {
        if (!shared[i])
            continue;
        const symbol_form *f = &forms[i];
        text_all(out, "<g id=\"", shared[i], "\"><path stroke=\"currentColor\" d=\"", f->stroke,
                 "\"/>", NULL);
        if (f->fill)
            text_all(out, "<path fill=\"currentColor\" d=\"", f->fill, "\"/>", NULL);
        text_all(out, "<path class=\"hole paper\" stroke=\"currentColor\" d=\"", f->hollow,
                 "\"/></g>", NULL);
    }
}

const symbol_form *symbol_form_of(symbol_id id) { return &forms[id]; }

const char *symbol_word(symbol_id id) { return words[id]; }
