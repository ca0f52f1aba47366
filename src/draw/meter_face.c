#include "draw/meter_face.h"

#include "base/number.h"
#include "draw/board_words.h"

enum { RADIUS_LEAST = 60, HEAD = 24 };

static int whole(double value) { return (int)(value < 0 ? value - 0.5 : value + 0.5); }

// The smallest round step that divides the scale into at most four; its half or quarter between.
static int tick_step(int span) {
    static const int steps[] = {1, 2, 4, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (span % steps[i] == 0 && span / steps[i] <= 4)
            return steps[i];
    return span;
}

static void scale_label(picture *p, const gauge_shape *g, label_style s, double place, double value,
                        bool center) {
    double x, y;
    gauge_point(g, place, 1, &x, &y);
    const char *sign = value < 0 ? "\xE2\x88\x92" : center && value > 0 ? "+" : "";
    char digits[NUMBER_ROOM];
    number_write_shortest(digits, value < 0 ? -value : value);
    const char *words[2] = {sign, digits};
    s.anchor = place < 0.1 ? ANCHOR_END : place > 0.9 ? ANCHOR_START : ANCHOR_MIDDLE;
    if (s.anchor == ANCHOR_MIDDLE)
        gauge_point(g, place, 1 + 13 / g->radius, &x, &y);
    else
        x += s.anchor == ANCHOR_END ? -9 : 9;
    bool middle = s.anchor == ANCHOR_MIDDLE;
    picture_label(p, x, y + (middle ? 4 : 6), s, words_join(p->memory, words, 2));
}

static double place_on(const face_shape *f, double figure) {
    double place = (figure - f->low) / (f->high - f->low);
    return place < 0 ? 0 : place > 1 ? 1 : place;
}

// A scale in whole figures gets labels between its ends; 0: it has none.
static int label_step(const face_shape *f) {
    if (f->low < -1e5 || f->high > 1e5)
        return 0;
    int low = whole(f->low), high = whole(f->high);
    bool even = f->low - low < 1e-9 && low - f->low < 1e-9 && f->high - high < 1e-9 &&
                high - f->high < 1e-9;
    return even && high > low ? tick_step(high - low) : 0;
}

int picture_face(picture *p, const face_shape *f, label_style s) {
    double radius = (f->width - 92) / 1.486;
    radius = radius > f->radius_most ? f->radius_most
             : radius < RADIUS_LEAST ? RADIUS_LEAST
                                     : radius;
    int step = label_step(f), intervals = step ? whole((f->high - f->low) / step) : 1;
    int minor = step % 2 ? step % 5 ? step % 3 ? 1 : 3 : 5 : step ? 2 : 4;
    gauge_shape g = {.x = f->x + f->width / 2.0,
                     .y = f->y + HEAD + radius,
                     .radius = radius,
                     .needle = place_on(f, f->figure),
                     .dead = f->no_needle,
                     .longer = minor,
                     .ticks = intervals * minor};
    if (f->normal_valid) {
        double place = place_on(f, f->normal);
        g.band_low = place - 0.03 < 0 ? 0 : place - 0.03;
        g.band_high = place + 0.03 > 1 ? 1 : place + 0.03;
    }
    if (p) {
        picture_gauge(p, g);
        for (int i = 0; i <= intervals; i++) {
            double value = step ? f->low + i * step : i ? f->high : f->low;
            scale_label(p, &g, s, place_on(f, value), value, f->low < 0);
        }
    }
    return (int)(HEAD + radius * 0.5);
}
