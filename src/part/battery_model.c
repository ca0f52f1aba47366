#include "part/battery_model.h"

#include "base/exp_log.h"
#include "part/binder.h"

#define DEAD_EMF        3.0   // a dead battery: design choice
#define WEAK_CHARGE     0.20  // a weak one: 20 % charge, four times the resistance: design choice
#define WEAK_RESISTANCE 4.0
#define OVERCHARGE      10.0  // overcharge current meets ten times the resistance: design choice

#define KNEE_VOLTS  0.010  // a cell, times (1/s1 - 1): design choice
#define SAG_SECONDS 20.0   // so that nearly all of it has come after a minute: assumed
#define SAG_FULL    0.5    // of the one-hour current, at which the sag is whole: assumed
// A cell's sag: lead-acid within the common figure of 0.05 to 0.1 V in the first minute (common
// practice, no source); the others: assumed.
static const double SAG_VOLTS[] = {0.075, 0.075, 0.02, 0.02};

// Amps taken for each coulomb by which the free well is below its level, times the share that is
// bound: design choice after an Army technical manual (a start is put back with a time constant of
// two minutes, whatever the share). What both wells lack: cell_acceptance_amps.
#define START_TAKES (30.0 / 3600.0)

static bool has(uint32_t faults, fault_kind f) { return (faults >> f & 1u) != 0; }

// Between 25 and -18 C: design choice between three sources that disagree; pessimistic: TM
// 10-6140-200-14 (0 C 75 %, -18 C 40 %). Straight lines; beyond the coldest point to 20 % at -40 C
// (design choice); warmer than 25 C counts as 25 C.
double cell_capacity_factor(double celsius, bool pessimistic) {
    static const double USUAL[][2] = {{-40, 0.20}, {-18, 0.55}, {-10, 0.68},
                                      {0, 0.80},   {10, 0.88},  {25, 1.00}};
    static const double COLDER[][2] = {{-40, 0.20}, {-18, 0.40}, {0, 0.75}, {25, 1.00}};
    const double(*table)[2] = pessimistic ? COLDER : USUAL;
    int count = pessimistic ? 4 : 6;
    if (celsius <= table[0][0])
        return table[0][1];
    for (int i = 1; i < count; i++)
        if (celsius <= table[i][0])
            return table[i - 1][1] + (table[i][1] - table[i - 1][1]) * (celsius - table[i - 1][0]) /
                                         (table[i][0] - table[i - 1][0]);
    return table[count - 1][1];
}

battery_model battery_model_of(const part *battery, battery_aging aging) {
    battery_model m = {.chemistry = cell_chemistry(battery),
                       .cells = cell_count(battery),
                       .ohms = part_number(battery, KEY_RESISTANCE, 0.025),
                       .cold_factor = cell_cold_factor(aging.celsius)};
    m.wells = cell_wells(battery);
    m.wells.full *= aging.health * cell_capacity_factor(aging.celsius, aging.pessimistic);
    double one_hour = cell_one_hour_coulombs(battery) / 3600.0;
    m.one_hour_amps = one_hour;
    m.most_amps = cell_bulk_amps(battery);
    m.float_amps = cell_float_amps(battery);
    return m;
}

battery_charge battery_rested(const battery_model *m, double charge) {
    return (battery_charge){.wells = wells_rested(&m->wells, charge)};
}

// What the sag goes to at a current: as much as the current is of half the one-hour current, at
// most all of it; none when charged.
static double sag_at(const battery_model *m, double amps) {
    double part = amps / (SAG_FULL * m->one_hour_amps);
    if (part <= 0)
        return 0.0;
    return m->cells * SAG_VOLTS[m->chemistry] * (part < 1.0 ? part : 1.0);
}

battery_span battery_span_of(const battery_model *m, double seconds) {
    double x = seconds / SAG_SECONDS;
    double r = exp_of(-x);
    return (battery_span){.wells = wells_span(&m->wells, seconds),
                          .sag_left = r,
                          .sag_mean = x > 1e-6 ? (1.0 - r) / x : 1.0 - 0.5 * x};
}

// Exactly, for a target that goes straight from one value to the other.
static double sag_after(double sag, double first, double last, const battery_span *span) {
    double r = span->sag_left, mean = span->sag_mean;
    return sag * r + first * (mean - r) + last * (1.0 - mean);
}

battery_charge battery_after_span(const battery_model *m, battery_charge q, double first,
                                  double last, const battery_span *span) {
    double seconds = span->wells.seconds;
    double ramp = seconds > 0 ? (last - first) / seconds : 0.0;
    return (battery_charge){.wells =
                                wells_after_span(&m->wells, q.wells, first, ramp, &span->wells),
                            .sag = sag_after(q.sag, sag_at(m, first), sag_at(m, last), span)};
}

battery_charge battery_after(const battery_model *m, battery_charge q, double first, double last,
                             double seconds) {
    battery_span span = battery_span_of(m, seconds);
    return battery_after_span(m, q, first, last, &span);
}

double battery_sag_left(const battery_model *m, battery_charge q, double amps) {
    return sag_at(m, amps) - q.sag;
}

double battery_fraction(const battery_model *m, battery_charge q) {
    double s = wells_fraction(&m->wells, q.wells);
    return s < 0 ? 0.0 : s > 1 ? 1.0 : s;
}

bool battery_exhausted(const battery_model *m, battery_charge q) {
    return wells_free_fraction(&m->wells, q.wells) <= BATTERY_EXHAUSTED;
}

// ---- what the circuit is given ------------------------------------------------------------------
static battery_law law_of(chemistry c, int cells, double cell_emf, double ohms, uint32_t faults) {
    int whole = has(faults, FAULT_SHORTED_CELL) ? cells - 1 : cells;
    battery_law law = {
        .emf = whole * cell_emf, .ohms = ohms, .charged = whole * cell_volts_charged(c)};
    if (has(faults, FAULT_DEAD))
        law.emf = DEAD_EMF;
    if (has(faults, FAULT_WEAK))
        law.ohms *= WEAK_RESISTANCE;
    if (law.ohms < LEAST_OHMS)
        law.ohms = LEAST_OHMS;
    if (has(faults, FAULT_OPEN))
        law.ohms = -1.0;
    return law;
}

static double least_of(double x, double y) { return x < y ? x : y; }

// Of what it holds when whole: what it lacks of that shows on the ammeter.
static double holds_most(uint32_t faults) { return has(faults, FAULT_WEAK) ? WEAK_CHARGE : 1.0; }

battery_law battery_law_rested(const part *battery, double charge, double celsius,
                               uint32_t faults) {
    chemistry c = cell_chemistry(battery);
    double s = least_of(charge, holds_most(faults));
    double ohms =
        part_number(battery, KEY_RESISTANCE, 0.025) * cell_resistance_factor(c, s, celsius);
    battery_law law = law_of(c, cell_count(battery), cell_volts(c, s), ohms, faults);
    law.accepts = cell_acceptance_amps(battery, s);
    return law;
}

static double accepts(const battery_model *m, well_charge q, uint32_t faults) {
    double low = m->wells.share * (q.free + q.bound) - q.free;
    double whole = m->wells.full - least_of(q.free + q.bound, holds_most(faults) * m->wells.full);
    double start = low > 0 ? START_TAKES / (1.0 - m->wells.share) * low : 0.0;
    if (start > m->most_amps)
        start = m->most_amps;
    return start + WHOLE_TAKES * (whole > 0 ? whole : 0.0) + m->float_amps;
}

battery_law battery_law_now(const battery_model *m, battery_charge q, uint32_t faults) {
    double s = battery_fraction(m, q);
    double s1 = wells_free_fraction(&m->wells, q.wells);
    s = least_of(s, holds_most(faults));
    double ohms = m->ohms * (cell_charge_factor(m->chemistry, s) * m->cold_factor);
    battery_law law = law_of(m->chemistry, m->cells, cell_volts(m->chemistry, s), ohms, faults);
    law.accepts = accepts(m, q.wells, faults);
    if (has(faults, FAULT_DEAD))
        return law;
    s1 = s1 < BATTERY_EXHAUSTED ? BATTERY_EXHAUSTED : s1;
    double knee = s1 < 1.0 ? m->cells * KNEE_VOLTS * (1.0 / s1 - 1.0) : 0.0;
    law.emf -= knee + q.sag;
    if (law.emf < 0)
        law.emf = 0.0;
    return law;
}

// The EMF behind its resistance up to what the battery accepts, then constant; above the volts that
// end a charge the current rises again, or a runaway regulator would leave the ammeter near zero.
void battery_pieces(const battery_law *law, double params[BATTERY_PARAMS]) {
    double g = law->ohms < 0 ? 0.0 : 1.0 / law->ohms;
    double full = g > 0 ? law->emf + law->accepts / g : law->emf;
    double over = law->charged > full ? law->charged : full;
    double slope = g / OVERCHARGE;
    const double pieces[BATTERY_PARAMS] = {full,
                                           over,
                                           g,
                                           0.0,
                                           slope,
                                           -law->emf * g,
                                           g > 0 ? law->accepts : 0.0,
                                           g > 0 ? law->accepts - slope * over : 0.0};
    for (int i = 0; i < BATTERY_PARAMS; i++)
        params[i] = pieces[i];
}
