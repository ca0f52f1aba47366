#include <math.h>
#include <string.h>

#include "part/battery_model.h"
#include "reference/support/lesson_peer_parts.h"

enum { SEALED, FLOODED, NICKEL, LITHIUM };

// ---- what docs/physics.md says of cells --------------------------------------------------------
static const double EMF[4][6][2] = {
    {{0, 1.933}, {0.25, 2.000}, {0.5, 2.067}, {0.75, 2.117}, {1, 2.150}, {2, 2.150}},
    {{0, 1.950}, {0.25, 2.000}, {0.5, 2.033}, {0.75, 2.067}, {1, 2.100}, {2, 2.100}},
    {{0, 1.00}, {0.05, 1.10}, {0.20, 1.22}, {0.5, 1.25}, {0.75, 1.28}, {1, 1.35}},
    {{0, 2.50}, {0.09, 3.00}, {0.20, 3.23}, {0.5, 3.28}, {0.9, 3.33}, {1, 3.40}},
};
static const double CELL[] = {2.0, 2.0, 1.2, 3.3};
static const double SAG[] = {0.075, 0.075, 0.02, 0.02};
static const double CHARGED[] = {2.4, 2.4, 1.5, 1e6};

static double cell_emf(int chemistry, double s) {
    const double(*p)[2] = EMF[chemistry];
    for (int i = 1; i < 6; i++)
        if (s <= p[i][0])
            return p[i - 1][1] +
                   (p[i][1] - p[i - 1][1]) * (s - p[i - 1][0]) / (p[i][0] - p[i - 1][0]);
    return p[5][1];
}

static int chemistry_of(const part *p) {
    static const char *const NAMES[] = {"sealed-lead-acid", "flooded-lead-acid", "nickel-cadmium",
                                        "lithium-iron-phosphate"};
    const char *word = part_text(p, KEY_CHEMISTRY);
    for (int i = 0; word != NULL && i < 4; i++)
        if (strcmp(word, NAMES[i]) == 0)
            return i;
    return SEALED;
}

// A one-hour label, as all of the fleet's are.
void peer_battery_make(peer *p, int part) {
    static const double SHARE[] = {0.656, 0.656, 0.9, 1}, OVER[] = {1.349, 1.349, 1.0741, 1};
    const struct part *x = &p->aircraft->parts[part];
    int c = chemistry_of(x);
    double label = part_number(x, KEY_CAPACITY, 0) / 3600;
    double celsius = p->asked.temperature;
    double left = p->sc->health * cell_capacity_factor(celsius, p->sc->pessimistic);
    double s = p->sc->charge >= 0 ? p->sc->charge : part_number(x, KEY_CHARGE, 0.8);
    peer_battery b = {.part = part,
                      .slot = p->made->circuit.piecewises[p->made->maps[part].piecewise].slot,
                      .chemistry = c,
                      .cells = (int)lround(part_number(x, KEY_VALUE, 24) / CELL[c]),
                      .share = SHARE[c],
                      .rate = c == LITHIUM ? 0 : 0.876,
                      .full = OVER[c] * label * left,
                      .one_hour = label,
                      .ohms = part_number(x, KEY_RESISTANCE, 0.025),
                      .celsius = celsius};
    b.free = b.share * b.full * s;
    b.bound = (1 - b.share) * b.full * s;
    p->batteries[p->battery_count++] = b;
}

double peer_battery_charge(const peer_battery *b) { return (b->free + b->bound) / b->full; }

static double free_share(const peer_battery *b) { return b->free / (b->share * b->full); }

bool peer_battery_exhausted(const peer_battery *b) { return free_share(b) <= 0.004; }

// As three pieces: charged up to what it accepts, then that, then overcharge.
void peer_battery_put(const peer *p, const peer_battery *b, double *params) {
    uint32_t faults = p->now.faults[b->part];
    bool weak = faults >> FAULT_WEAK & 1u, dead = faults >> FAULT_DEAD & 1u;
    int cells = b->cells - (faults >> FAULT_SHORTED_CELL & 1u ? 1 : 0);
    double s = peer_battery_charge(b), s1 = fmax(free_share(b), 0.004);
    if (weak && s > 0.2)
        s = 0.2;
    double worn = b->chemistry == LITHIUM ? 1 : 1 - 0.4 * log(fmax(s, 0.02));
    double ohms = b->ohms * worn * exp(0.012 * (25 - b->celsius)) * (weak ? 4 : 1);
    double emf = cells * (cell_emf(b->chemistry, s) - (s1 < 1 ? 0.010 * (1 / s1 - 1) : 0)) - b->sag;
    emf = dead ? 3.0 : fmax(emf, 0);
    double below_level = fmax(b->share * (b->free + b->bound) - b->free, 0);
    double held = fmin(b->free + b->bound, (weak ? 0.2 : 1) * b->full);
    double lacks = fmax(b->full - held, 0), start = 0;
    if (b->share < 1)
        start = fmin(30 / (1 - b->share) * below_level, 0.524 * b->one_hour);
    double takes = start + lacks + 0.005 * b->one_hour;
    double over = fmax(cells * CHARGED[b->chemistry], emf + takes * ohms), g = 1 / ohms;
    const double law[] = {emf + takes * ohms,   over, g, 0, g / 10, -emf * g, takes,
                          takes - g / 10 * over};
    memcpy(params + b->slot, law, sizeof law);
    params[p->made->circuit.slot_top] = fmax(params[p->made->circuit.slot_top], emf);
}

void peer_battery_step(peer_battery *b, double seconds) {
    double hours = seconds / 3600, flow = b->rate * (b->share * (b->free + b->bound) - b->free);
    double part = fmin(b->amps / (0.5 * b->one_hour), 1);
    double sag = part > 0 ? b->cells * SAG[b->chemistry] * part : 0;
    b->free += hours * (flow - b->amps);
    b->bound -= hours * flow;
    b->sag += seconds * (sag - b->sag) / 20;
}
