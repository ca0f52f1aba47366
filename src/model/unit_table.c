#include "model/units.h"

#include <string.h>

static const unit_word WORDS[] = {
    {"V", UNIT_VOLT, 1, 0},
    {"mV", UNIT_VOLT, 1e-3, 0},
    {"A", UNIT_AMP, 1, 0},
    {"mA", UNIT_AMP, 1e-3, 0},
    {"uA", UNIT_AMP, 1e-6, 0},
    {"µA", UNIT_AMP, 1e-6, 0},
    {"μA", UNIT_AMP, 1e-6, 0},
    {"ohm", UNIT_OHM, 1, 0},
    {"mohm", UNIT_OHM, 1e-3, 0},
    {"Ω", UNIT_OHM, 1, 0},
    {"Ω", UNIT_OHM, 1, 0},
    {"mΩ", UNIT_OHM, 1e-3, 0},
    {"mΩ", UNIT_OHM, 1e-3, 0},
    {"W", UNIT_WATT, 1, 0},
    {"Ah", UNIT_AMP_HOUR, 3600, 0},
    {"mAh", UNIT_AMP_HOUR, 3.6, 0},
    {"h", UNIT_SECOND, 3600, 0},
    {"min", UNIT_SECOND, 60, 0},
    {"s", UNIT_SECOND, 1, 0},
    {"ms", UNIT_SECOND, 1e-3, 0},
    {"d", UNIT_SECOND, 86400, 0},
    {"C", UNIT_CELSIUS, 1, 0},
    {"°C", UNIT_CELSIUS, 1, 0},
    {"F", UNIT_CELSIUS, 5.0 / 9.0, -32},
    {"°F", UNIT_CELSIUS, 5.0 / 9.0, -32},
    {"%", UNIT_PERCENT, 0.01, 0},
    {"rpm", UNIT_RPM, 1, 0},
    {"per min", UNIT_PER_MINUTE, 1, 0},
    {"Hz", UNIT_HERTZ, 1, 0},
    {"kt", UNIT_KNOT, 1, 0},
    {"ft", UNIT_METER, 0.3048, 0},
    {"in", UNIT_METER, 0.0254, 0},
    {"m", UNIT_METER, 1, 0},
    {"to 1", UNIT_RATIO, 1, 0},
};

static const char *const MEASURES[] = {
    [UNIT_NONE] = "a plain number",
    [UNIT_VOLT] = "volts",
    [UNIT_AMP] = "amps",
    [UNIT_OHM] = "ohms",
    [UNIT_WATT] = "watts",
    [UNIT_AMP_HOUR] = "amp-hours",
    [UNIT_SECOND] = "a time",
    [UNIT_CELSIUS] = "a temperature",
    [UNIT_PERCENT] = "a share",
    [UNIT_RPM] = "turns",
    [UNIT_PER_MINUTE] = "a rate",
    [UNIT_HERTZ] = "a frequency",
    [UNIT_KNOT] = "a speed",
    [UNIT_METER] = "a length",
    [UNIT_RATIO] = "a ratio",
};

const unit_word *unit_word_at(int i) {
    return (size_t)i < sizeof WORDS / sizeof WORDS[0] ? &WORDS[i] : NULL;
}

const unit_word *unit_read(const char *s, size_t length, size_t *used) {
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        size_t n = strlen(WORDS[i].word);
        if (n <= length && memcmp(s, WORDS[i].word, n) == 0 && (n == length || s[n] == ' ')) {
            *used = n;
            return &WORDS[i];
        }
    }
    return NULL;
}

static const unit_word *first_of(unit u) {
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        // Seconds are the fourth word for a time, but the unit that people expect.
        if (WORDS[i].unit == u && (u != UNIT_SECOND || WORDS[i].factor == 1))
            return &WORDS[i];
    }
    return NULL;
}

const char *unit_usual(unit u) {
    const unit_word *w = first_of(u);
    return w ? w->word : "";
}

const char *unit_measures(unit u) { return MEASURES[u]; }

double unit_factor(unit u) {
    const unit_word *w = first_of(u);
    return w ? w->factor : 1;
}
