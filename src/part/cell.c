#include "part/cell.h"

#include "base/exp_log.h"

typedef struct point {
    double charge, volts;
} point;

static const point SEALED[] = {{0, 1.933}, {0.25, 2.000}, {0.50, 2.067}, {0.75, 2.117}, {1, 2.150}};
static const point FLOODED[] = {
    {0, 1.950}, {0.25, 2.000}, {0.50, 2.033}, {0.75, 2.067}, {1, 2.100}};
static const point NICKEL[] = {{0, 1.00},    {0.05, 1.10}, {0.20, 1.22},
                               {0.50, 1.25}, {0.75, 1.28}, {1, 1.35}};
static const point LITHIUM[] = {{0, 2.50},    {0.09, 3.00}, {0.20, 3.23},
                                {0.50, 3.28}, {0.90, 3.33}, {1, 3.40}};

// Volts a cell above which it is overcharged. Lead-acid: the least of the end-of-charge volts of
// NAVEDTRA 14113; nickel-cadmium: design choice; lithium: its own electronics keep it from that.
#define NEVER_OVERCHARGES 1e3

#define TWENTY_HOURS 1.310  // by that fit: the twenty-hour figure over the one-hour figure

chemistry cell_chemistry(const part *battery) {
    const char *word = part_text(battery, KEY_CHEMISTRY);
    if (word == NULL || text_equal(word, "sealed-lead-acid"))
        return CELL_SEALED;
    if (text_equal(word, "flooded-lead-acid"))
        return CELL_FLOODED;
    if (text_equal(word, "nickel-cadmium"))
        return CELL_NICKEL;
    return CELL_LITHIUM;
}

int cell_count(const part *battery) {
    static const double VOLTS[] = {2.0, 2.0, 1.2, 3.3};
    double n = part_number(battery, KEY_VALUE, 24.0) / VOLTS[cell_chemistry(battery)];
    int whole = (int)(n + 0.5);
    return whole < 1 ? 1 : whole;
}

static double along(const point *p, int count, double charge) {
    if (charge <= p[0].charge)
        return p[0].volts;
    for (int i = 1; i < count; i++)
        if (charge <= p[i].charge)
            return p[i - 1].volts + (p[i].volts - p[i - 1].volts) * (charge - p[i - 1].charge) /
                                        (p[i].charge - p[i - 1].charge);
    return p[count - 1].volts;
}

double cell_volts(chemistry c, double charge) {
    switch (c) {
    case CELL_SEALED: return along(SEALED, 5, charge);
    case CELL_FLOODED: return along(FLOODED, 5, charge);
    case CELL_NICKEL: return along(NICKEL, 6, charge);
    default: return along(LITHIUM, 6, charge);
    }
}

double cell_volts_charged(chemistry c) {
    static const double ENDS[] = {2.40, 2.40, 1.50, NEVER_OVERCHARGES};
    return ENDS[c];
}

double cell_charge_factor(chemistry c, double charge) {
    double s = charge > 0.02 ? charge : 0.02;
    return c == CELL_LITHIUM ? 1.0 : 1.0 - 0.4 * log_of(s);
}

double cell_cold_factor(double celsius) { return exp_of(0.012 * (25.0 - celsius)); }

double cell_resistance_factor(chemistry c, double charge, double celsius) {
    return cell_charge_factor(c, charge) * cell_cold_factor(celsius);
}

static double one_hour_coulombs(const part *battery, double *hours) {
    const figure *f = part_figure(battery, KEY_CAPACITY);
    *hours = f != NULL && f->at_unit == UNIT_SECOND && f->at > 0 ? f->at / 3600.0 : 1.0;
    double given = f != NULL ? f->value : 24.0 * 3600.0;
    return *hours > 5.0 && cell_chemistry(battery) != CELL_LITHIUM ? given / TWENTY_HOURS : given;
}

double cell_one_hour_coulombs(const part *battery) {
    double hours;
    return one_hour_coulombs(battery, &hours);
}

wells cell_wells(const part *battery) {
    double hours;
    double one_hour = one_hour_coulombs(battery, &hours);
    switch (cell_chemistry(battery)) {
    case CELL_LITHIUM: return wells_of_label(FIT_SINGLE, one_hour);
    case CELL_NICKEL: return wells_of_label(FIT_NICKEL, one_hour);
    default: break;
    }
    if (hours > 5.0)
        return wells_of_label(FIT_TWENTY_HOURS, part_figure(battery, KEY_CAPACITY)->value);
    return wells_of_label(FIT_ONE_HOUR, one_hour);
}

double cell_full_coulombs(const part *battery) { return cell_wells(battery).full; }

double cell_bulk_amps(const part *battery) {
    double ampere_hours = cell_one_hour_coulombs(battery) / 3600.0;
    return 0.4 * TWENTY_HOURS * ampere_hours;
}

double cell_float_amps(const part *battery) {
    double ampere_hours = cell_one_hour_coulombs(battery) / 3600.0;
    return 0.005 * ampere_hours;
}

double cell_acceptance_amps(const part *battery, double charge) {
    return WHOLE_TAKES * cell_full_coulombs(battery) * (1.0 - charge) + cell_float_amps(battery);
}
