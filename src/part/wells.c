#include "part/wells.h"

#include "base/exp_log.h"

#define HOUR 3600.0

// Fits, own arithmetic. One hour: worst error against Peukert's law 4 % from 15 minutes to 20
// hours. Twenty hours: a 40 Ah sealed battery's capacities at 20, 10, 5 and 1 hours, residuals
// below 0.37 Ah. Nickel-cadmium: c near 0.9 and the same rate: design choices, full so that one
// hour gives the label's figure.
static const struct {
    double share, rate_per_hour, full_by_label;
} FITS[] = {
    [FIT_ONE_HOUR] = {0.656, 0.876, 1.349},
    [FIT_TWENTY_HOURS] = {0.461, 0.923, 1.0633},
    [FIT_NICKEL] = {0.9, 0.876, 1.0741},
    [FIT_SINGLE] = {1.0, 0.876, 1.0},
};

wells wells_of_label(well_fit fit, double coulombs) {
    return (wells){.full = FITS[fit].full_by_label * coulombs,
                   .share = FITS[fit].share,
                   .rate = FITS[fit].rate_per_hour / HOUR};
}

// ---- identification
// The share with which a capacity at t1 hours is `ratio` of that at t2.
static double share_asked(double ratio, double t1, double t2, double k) {
    double n = ratio * (1.0 - exp_of(-k * t1)) * t2 - (1.0 - exp_of(-k * t2)) * t1;
    return n / (n - k * ratio * t1 * t2 + k * t1 * t2);
}

wells wells_identify(double one_hour, double ten_hours, double twenty_hours) {
    double best = 0.0, best_gap = 1e300;
    for (int i = 1; i <= 5000; i++) {
        double k = 0.001 * i;
        double a = share_asked(one_hour / twenty_hours, 1.0, 20.0, k);
        double b = share_asked(one_hour / ten_hours, 1.0, 10.0, k);
        double gap = a > b ? a - b : b - a;
        if (gap < best_gap) {
            best_gap = gap;
            best = k;
        }
    }
    double c = share_asked(one_hour / twenty_hours, 1.0, 20.0, best);
    double kt = 20.0 * best;
    double full = twenty_hours * ((1.0 - exp_of(-kt)) * (1.0 - c) + kt * c) / (kt * c);
    return (wells){.full = full, .share = c, .rate = best / HOUR};
}

// ---- state
well_charge wells_rested(const wells *w, double fraction) {
    double q = w->full * fraction;
    return (well_charge){.free = w->share * q, .bound = (1.0 - w->share) * q};
}

double wells_fraction(const wells *w, well_charge q) { return (q.free + q.bound) / w->full; }

double wells_free_fraction(const wells *w, well_charge q) { return q.free / (w->share * w->full); }

enum { SERIES_TERMS = 8 };
#define SERIES_BELOW 0.05  // x^8 / 10! of the sum: below one part in 1e16

// (1 - e^-x) / x and (x - 1 + e^-x) / x^2, without loss of digits for small x; `left` is e^-x.
static double first_mean(double x, double left) {
    if (x >= SERIES_BELOW)
        return (1.0 - left) / x;
    double term = 1.0, sum = 1.0;
    for (int n = 2; n <= SERIES_TERMS; n++)
        sum += term *= -x / n;
    return sum;
}

static double second_mean(double x, double left) {
    if (x >= SERIES_BELOW)
        return (x - 1.0 + left) / (x * x);
    double term = 0.5, sum = 0.5;
    for (int n = 3; n <= SERIES_TERMS + 1; n++)
        sum += term *= -x / n;
    return sum;
}

well_span wells_span(const wells *w, double seconds) {
    double x = w->rate * seconds, left = exp_of(-x);
    return (well_span){.seconds = seconds,
                       .left = left,
                       .first_mean = first_mean(x, left),
                       .second_mean = second_mean(x, left)};
}

// What differs from level, free - c q, decays by itself: d' = -(1 - c) I - k d.
well_charge wells_after_span(const wells *w, well_charge q, double amps, double ramp,
                             const well_span *span) {
    double seconds = span->seconds;
    double whole = q.free + q.bound;
    double apart = q.free - w->share * whole;
    double given = amps * seconds + 0.5 * ramp * seconds * seconds;
    double drawn = amps * seconds * span->first_mean + ramp * seconds * seconds * span->second_mean;
    whole -= given;
    apart = apart * span->left - (1.0 - w->share) * drawn;
    double free = w->share * whole + apart;
    return (well_charge){.free = free, .bound = whole - free};
}

well_charge wells_after(const wells *w, well_charge q, double amps, double ramp, double seconds) {
    well_span span = wells_span(w, seconds);
    return wells_after_span(w, q, amps, ramp, &span);
}

double wells_most_amps(const wells *w, well_charge q, double seconds) {
    double x = w->rate * seconds, c = w->share;
    double r = exp_of(-x);
    double n = w->rate * q.free * r + (q.free + q.bound) * w->rate * c * (1.0 - r);
    return n / (1.0 - r + c * (x - 1.0 + r));
}

double wells_capacity(const wells *w, double seconds) {
    double x = w->rate * seconds, left = exp_of(-x);
    double means = first_mean(x, left) + w->share * x * second_mean(x, left);
    return w->full * w->share / means;
}

enum { HALVINGS = 80 };

double wells_seconds(const wells *w, double amps) {
    double low = w->share * w->full / amps, high = w->full / amps;
    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (low + high);
        if (wells_capacity(w, middle) > amps * middle)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

double peukert_hours(double ampere_hours, double rated_hours, double exponent, double amps) {
    return rated_hours * power_of(ampere_hours / (amps * rated_hours), exponent);
}
