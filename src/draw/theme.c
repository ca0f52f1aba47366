#include "draw/theme.h"

typedef struct theme {
    const char *ink, *live, *draining, *dead, *warn, *paper, *hair;
} theme;

static const theme themes[] = {
    [THEME_ID_LIGHT] = {"#16191d", "#0b5cad", "#8a5a00", "#6b7280", "#b3261e", "#ffffff",
                        "#c9ced6"},
    [THEME_ID_DARK] = {"#eef2f5", "#6cb8ff", "#ffc457", "#93a0ad", "#ff8a80", "#0f1418", "#3a4550"},
    // Black only, whatever it means: print keeps shapes and weights.
    [THEME_ID_PRINT] = {"#000000", "#000000", "#000000", "#000000", "#000000", "#ffffff",
                        "#000000"},
};

static void color_rules(text *out, const char *name, const char *color) {
    // .c-NAME fills text; .s-NAME draws lines; .k-NAME does both in a shared symbol.
    text_all(out, ".c-", name, "{fill:", color, "}.s-", name, "{stroke:", color, "}.k-", name,
             "{color:", color, "}", NULL);
}

void theme_style(theme_id id, text *out) {
    if (id == THEME_ID_PAGE)
        return;
    const theme *t = &themes[id];
    text_all(out, "text{fill:", t->ink, "}.paper{fill:", t->paper, "}", NULL);
    color_rules(out, "ink", t->ink);
    color_rules(out, "live", t->live);
    color_rules(out, "draining", t->draining);
    color_rules(out, "quiet", t->dead);
    color_rules(out, "warn", t->warn);
    color_rules(out, "paper", t->paper);
    color_rules(out, "hair", t->hair);
    text_put(out, ".w{fill:none;stroke-width:3.4;stroke-linecap:square}"
                  ".rail{fill:none;stroke-width:6;stroke-linecap:square}"
                  ".gap{fill:none;stroke-width:2.2;stroke-linecap:square}"
                  ".thin{fill:none;stroke-width:1.6;stroke-dasharray:5 4.5}"
                  ".sym{fill:none;stroke-width:2.4;stroke-linejoin:round}"
                  ".band{fill:none;stroke-width:7}"
                  ".slight{stroke-width:1.8}"
                  ".hole{stroke-width:2.4}"
                  ".rule{fill:none;stroke-width:1}"
                  ".heavy{stroke-width:2.4}"
                  ".dot{fill:none;stroke-width:1.5;stroke-dasharray:1.5 4}"
                  "text{font-family:'Noto Sans','Source Sans 3','Open Sans',system-ui,sans-serif;"
                  "font-variant-numeric:lining-nums tabular-nums;white-space:pre}"
                  ".serif{font-family:'Noto Serif','Source Serif 4',Georgia,serif}"
                  ".b{font-weight:700}.e{text-anchor:end}.m{text-anchor:middle}");
}
