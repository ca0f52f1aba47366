// What a setting (one double a part, see state.h) means for each kind.
#ifndef DEADBUS_MODEL_SETTINGS_H
#define DEADBUS_MODEL_SETTINGS_H

#include "model/aircraft.h"

enum { SETTING_WINDMILLING = -1 };

// A phase that says nothing about the part: switches off (OFF if there is one, else their first
// position), breakers in (collared ones and those used as switches out), engines stopped.
double settings_at_rest(const part *p);
// The position that is on (ON) or off (OFF; for on = false else the first); -1: it has none.
int settings_position(const positions *places, bool on);
int settings_switch_position(const part *p, bool on);
// A switch not at OFF; anything else with a setting above 0.
bool settings_is_on(const part *p, double setting);
// Where a switch goes when a hand lets go of it there: the label; "": to its OFF; NULL: it stays.
const char *settings_springs_to(const part *p, double setting);

#endif
