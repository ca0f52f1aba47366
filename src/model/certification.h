// What the aeroplane's certification basis asks of its battery, as far as the file's papers tell.
#ifndef DEADBUS_MODEL_CERTIFICATION_H
#define DEADBUS_MODEL_CERTIFICATION_H

#include "model/aircraft.h"

typedef struct battery_figure {
    bool applies;
    int minutes, minutes_high;  // if it applies; `high`: approved above 25,000 feet, 0: no such
    const char *basis;          // `certified-under` of the papers; NULL: not written
} battery_figure;

// 14 CFR 23.1353(h), from amendment 23-49 on: 30 minutes for the loads essential to continued safe
// flight and landing; from 23-62 on 60 minutes above 25,000 feet; replaced by 23-64. From memory.
// Applies where `certified-under` names an amendment by number from 49 to 63.
battery_figure certification_battery(const aircraft *a);

#endif
