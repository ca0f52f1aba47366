// Units: how they are written, and what they are in SI.
#ifndef DEADBUS_MODEL_UNITS_H
#define DEADBUS_MODEL_UNITS_H

#include <stddef.h>

#include "model/aircraft.h"

typedef struct unit_word {
    const char *word;
    unit unit;
    double factor, offset;  // SI = (number + offset) * factor
} unit_word;

// The unit written at the start of `s`, which ends at a space or the end. NULL: none known.
const unit_word *unit_read(const char *s, size_t length, size_t *used);
// The usual word of a unit ("A"), what it measures ("amps"), and SI for one of it.
const char *unit_usual(unit u);
const char *unit_measures(unit u);
double unit_factor(unit u);
const unit_word *unit_word_at(int i);  // NULL after the last

#endif
