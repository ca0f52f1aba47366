// The face of a meter with its scale, for the seat and for the card.
#ifndef DEADBUS_DRAW_METER_FACE_H
#define DEADBUS_DRAW_METER_FACE_H

#include "draw/picture.h"

typedef struct face_shape {
    int x, y, width, radius_most;
    double low, high;  // stops
    double figure, normal;
    bool normal_valid, no_needle;
} face_shape;

// `p` NULL: it is only measured. Returns its height.
int picture_face(picture *p, const face_shape *f, label_style s);

#endif
