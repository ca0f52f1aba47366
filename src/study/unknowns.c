#include "study/unknowns.h"

#include <string.h>

struct drawn_aircraft {
    const unknowns *unknowns;
    aircraft copy;
    part_value **values;  // per part: the copy's own, NULL where nothing is drawn
};

// Half the width of what a figure may be, by its basis: choices.
static const double DRAW_SHARE[] = {0.35, 0.25, 0.15, 0.10, 0.02};
static const double VOLTS_SHARE[] = {0.06, 0.05, 0.03, 0.02, 0.01};
#define WORST_HEALTH   0.8   // at which a battery is rejected
#define CHARGE_SPREAD  0.15  // either way
#define CELSIUS_SPREAD 10.0
#define TWENTY_HOURS   72000.0

// ---- listed ------------------------------------------------------------------------------------
static void add(unknowns *u, unknown_kind kind, int part) {
    u->list[u->count++] = (endurance_unknown){.kind = kind, .part = part};
}

static bool is_item(const part *p) {
    return kind_class(p->kind) == CLASS_ITEM && p->electric &&
           !(p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE));
}

bool unknowns_list(const aircraft *a, bool charge_given, bool temperature_given, arena *memory,
                   unknowns *made) {
    *made = (unknowns){.aircraft = a};
    made->list = arena_new(memory, 3 * (size_t)a->part_count + 4, sizeof *made->list);
    if (made->list == NULL)
        return false;
    add(made, UNKNOWN_HEALTH, PART_NONE);
    add(made, UNKNOWN_COLD, PART_NONE);
    if (!charge_given)
        add(made, UNKNOWN_CHARGE, PART_NONE);
    if (!temperature_given)
        add(made, UNKNOWN_TEMPERATURE, PART_NONE);
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (p->kind == KIND_BATTERY) {
            const figure *capacity = part_figure(p, KEY_CAPACITY);
            if (capacity != NULL && capacity->at_unit != UNIT_SECOND)
                add(made, UNKNOWN_LABEL, i);
            if (part_figure(p, KEY_RESISTANCE) != NULL)
                add(made, UNKNOWN_RESISTANCE, i);
        } else if (is_item(p)) {
            if (part_draw(p) != NULL)
                add(made, UNKNOWN_DRAW, i);
            if (part_figure(p, KEY_WORKS_ABOVE) != NULL || part_figure(p, KEY_OFF_BELOW) != NULL)
                add(made, UNKNOWN_VOLTS, i);
        }
    }
    return true;
}

// ---- a copy to draw in -------------------------------------------------------------------------
static part_value *own_values(part *p, arena *memory) {
    part_value *values = arena_new(memory, (size_t)p->value_count + 1, sizeof *values);
    if (values != NULL) {
        memcpy(values, p->values, (size_t)p->value_count * sizeof *values);
        p->values = values;
    }
    return values;
}

drawn_aircraft *drawn_aircraft_make(const unknowns *u, arena *memory) {
    const aircraft *a = u->aircraft;
    drawn_aircraft *d = arena_new(memory, 1, sizeof *d);
    part *parts = arena_new(memory, (size_t)a->part_count + 1, sizeof *parts);
    if (d == NULL || parts == NULL)
        return NULL;
    memcpy(parts, a->parts, (size_t)a->part_count * sizeof *parts);
    *d = (drawn_aircraft){.unknowns = u, .copy = *a};
    d->values = arena_new(memory, (size_t)a->part_count + 1, sizeof(part_value *));
    if (d->values == NULL)
        return NULL;
    d->copy.parts = parts;
    for (int i = 0; i < u->count; i++) {
        int which = u->list[i].part;
        if (which >= 0 && d->values[which] == NULL)
            d->values[which] = own_values(&parts[which], memory);
    }
    return memory->failed ? NULL : d;
}

static double between(double low, double high, double u) { return low + (high - low) * u; }

// The figure of the file where `ours` (in the copy) stands.
static figure *figure_in(drawn_aircraft *d, int part, const figure *file) {
    const struct part *from = &d->unknowns->aircraft->parts[part];
    for (int i = 0; file != NULL && i < from->value_count; i++)
        if (&from->values[i].as.figure == file)
            return &d->values[part][i].as.figure;
    return NULL;
}

static basis basis_of(const figure *f) {
    return f->basis <= BASIS_MEASURED ? f->basis : BASIS_MEASURED;
}

// Within its band if the file gives one, else about it by its basis.
static void draw_figure(drawn_aircraft *d, int part, const figure *file, double u) {
    figure *ours = figure_in(d, part, file);
    if (ours == NULL)
        return;
    double share = DRAW_SHARE[basis_of(file)];
    double value = file->low < file->high ? between(file->low, file->high, u)
                                          : file->value * between(1 - share, 1 + share, u);
    ours->value = ours->low = ours->high = value;
}

// All volts of an item move together, so that they stay in their order.
static void draw_volts(drawn_aircraft *d, int part, double u) {
    static const part_key keys[] = {KEY_WORKS_ABOVE, KEY_OFF_BELOW};
    for (int i = 0; i < 2; i++) {
        const figure *file = part_figure(&d->unknowns->aircraft->parts[part], keys[i]);
        figure *ours = figure_in(d, part, file);
        if (ours == NULL)
            continue;
        double share = VOLTS_SHARE[basis_of(file)];
        ours->value = ours->low = ours->high = file->value * between(1 - share, 1 + share, u);
    }
}

static void draw_label(drawn_aircraft *d, int part, double u) {
    const figure *file = part_figure(&d->unknowns->aircraft->parts[part], KEY_CAPACITY);
    figure *ours = figure_in(d, part, file);
    if (ours == NULL)
        return;
    ours->at_unit = u < 0.5 ? UNIT_SECOND : file->at_unit;
    ours->at = u < 0.5 ? TWENTY_HOURS : file->at;
}

const aircraft *drawn_aircraft_of(const drawn_aircraft *d) { return &d->copy; }

void drawn_aircraft_draw(drawn_aircraft *d, const double *uniform, flight_draw *out) {
    *out = (flight_draw){.health = 1.0};
    for (int i = 0; i < d->unknowns->count; i++) {
        const endurance_unknown *k = &d->unknowns->list[i];
        const part *p = k->part >= 0 ? &d->unknowns->aircraft->parts[k->part] : NULL;
        double u = uniform[i];
        switch (k->kind) {
        case UNKNOWN_HEALTH: out->health = between(WORST_HEALTH, 1.0, u); break;
        case UNKNOWN_COLD: out->pessimistic = u < 0.5; break;
        case UNKNOWN_CHARGE: out->charge_off = between(-CHARGE_SPREAD, CHARGE_SPREAD, u); break;
        case UNKNOWN_TEMPERATURE:
            out->celsius_off = between(-CELSIUS_SPREAD, CELSIUS_SPREAD, u);
            break;
        case UNKNOWN_LABEL: draw_label(d, k->part, u); break;
        case UNKNOWN_RESISTANCE: draw_figure(d, k->part, part_figure(p, KEY_RESISTANCE), u); break;
        case UNKNOWN_DRAW: draw_figure(d, k->part, part_draw(p), u); break;
        case UNKNOWN_VOLTS: draw_volts(d, k->part, u); break;
        }
    }
}
