// The two wells of a battery (KiBaM, Manwell and McGowan): charge that gives at once, and charge
// that is bound and follows. Pure arithmetic in coulombs, amps and seconds; amps are positive when
// discharging.
//
// With q = free + bound, share c and rate k: free' = -I + k (c q - free), q' = -I. In some papers
// the rate between the wells is k' = k c (1 - c); here it is always k.
#ifndef DEADBUS_PART_WELLS_H
#define DEADBUS_PART_WELLS_H

typedef struct wells {
    double full;   // coulombs in both, when charged
    double share;  // c: part of it that gives at once; 1: a single well
    double rate;   // k, per second
} wells;

typedef struct well_charge {
    double free, bound;  // coulombs
} well_charge;

// How wells hang together with the capacity on a label; lead-acid: fits of the model, see wells.c.
typedef enum well_fit {
    FIT_ONE_HOUR,      // a one-hour figure: to Peukert's law with 1.10, anchored at one hour
    FIT_TWENTY_HOURS,  // a twenty-hour figure: to a sealed battery's table of rates
    FIT_NICKEL,        // c near 0.9
    FIT_SINGLE,        // all of it at any rate
} well_fit;

wells wells_of_label(well_fit fit, double coulombs);

// From the capacities (coulombs) at a one-hour, a ten-hour and a twenty-hour discharge: the rate at
// which both ratios of capacities ask for the same share, looked for on a grid of 0.001 per hour up
// to 5 per hour.
wells wells_identify(double one_hour, double ten_hours, double twenty_hours);

well_charge wells_rested(const wells *w, double fraction);  // both wells level, 0..1 of full
double wells_fraction(const wells *w, well_charge q);       // (free + bound) / full
double wells_free_fraction(const wells *w, well_charge q);  // free / (share x full)

// What a span of time alone makes of the wells, for any charge and current.
typedef struct well_span {
    double seconds;
    double left;                     // of what differs from level
    double first_mean, second_mean;  // of a constant current and of one that grows, in `left`
} well_span;
well_span wells_span(const wells *w, double seconds);

// Exactly, for a current amps + ramp t (amps per second) during `seconds`, or during a span.
well_charge wells_after(const wells *w, well_charge q, double amps, double ramp, double seconds);
well_charge wells_after_span(const wells *w, well_charge q, double amps, double ramp,
                             const well_span *span);

// The constant current that just empties the free well in `seconds`.
double wells_most_amps(const wells *w, well_charge q, double seconds);

// Coulombs that a full battery gives at a constant current which empties it in `seconds`; and how
// long it lasts at `amps`.
double wells_capacity(const wells *w, double seconds);
double wells_seconds(const wells *w, double amps);

// Hand check for one constant load, anchored at the rated hour: H (C / (I H))^exponent, in hours,
// ampere-hours and amps.
double peukert_hours(double ampere_hours, double rated_hours, double exponent, double amps);

#endif
