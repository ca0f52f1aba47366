// What a line leaves out: the defaults of the field table, and those that follow from other
// figures.
#include <string.h>

#include "model/reader.h"

enum { LONGEST_WALK = 12 };

static figure assumed(double value, unit u) {
    return (figure){.value = value,
                    .low = value,
                    .high = value,
                    .unit = u,
                    .basis = BASIS_ASSUMED,
                    .where = ""};
}

static void assume(reader *r, draft *d, part_key key, double value, unit u) {
    if (draft_value(d, key))
        return;
    part_value *v = add_value(r, d, key, VALUE_FIGURE, (span){0});
    if (v)
        v->as.figure = assumed(value, u);
}

static void assume_text(reader *r, draft *d, part_key key, const char *text) {
    part_value *v = draft_value(d, key) ? NULL : add_value(r, d, key, VALUE_TEXT, (span){0});
    if (v)
        v->as.text = text;
}

static void assume_id(reader *r, draft *d, part_key key, int id) {
    int *made = arena_new(r->keep, 1, sizeof *made);
    part_value *v = made ? add_value(r, d, key, VALUE_IDS, (span){0}) : NULL;
    if (!v)
        return;
    *made = id;
    v->as.ids.items = made;
    v->as.ids.count = 1;
}

static double given(draft *d, part_key key, double otherwise) {
    const part_value *v = draft_value(d, key);
    return v && v->type == VALUE_FIGURE ? v->as.figure.value : otherwise;
}

// Amps that a load draws at nominal volts; 0: none is known.
static double amps_of(const reader *r, draft *d) {
    const part_value *v = draft_value(d, KEY_VALUE);
    if (!v || v->type != VALUE_FIGURE || d->part.kind == KIND_CONVERTER)
        v = draft_value(d, KEY_AMPS);
    if (!v || v->type != VALUE_FIGURE)
        return 0;
    return v->as.figure.unit == UNIT_WATT ? v->as.figure.value / r->a->nominal : v->as.figure.value;
}

// The most that it draws: of a radio, transmitting. What sizes its wire.
static double most_amps_of(const reader *r, draft *d) {
    const part_value *v = draft_value(d, KEY_TRANSMIT);
    double amps = amps_of(r, d), transmit = 0;
    if (v && v->type == VALUE_FIGURE)
        transmit = v->as.figure.value / (v->as.figure.unit == UNIT_WATT ? r->a->nominal : 1.0);
    return transmit > amps ? transmit : amps;
}

// Watts that a converter would take at its limit: what sizes its wire.
static double converter_amps(const reader *r, draft *d) {
    double volts = given(d, KEY_VALUE, 5);
    double efficiency = given(d, KEY_EFFICIENCY, 0.85);
    return volts * given(d, KEY_LIMIT, 2) / efficiency / r->a->nominal;
}

static bool applies(const draft *d, const field *f) {
    part_class class = kind_class(d->part.kind);
    switch (f->key) {
    case KEY_VALUE:
    case KEY_AMPS:
    case KEY_WORKS_ABOVE:
    case KEY_OFF_BELOW:
    case KEY_RESTARTS_IN: return class != CLASS_ITEM || d->part.electric;
    case KEY_PULLS_IN:
    case KEY_DROPS_OUT:
    case KEY_COIL: return written_node(d, KEY_COIL_FROM) != NULL;
    case KEY_RESISTANCE: return d->part.kind != KIND_WIRE;
    case KEY_RATIO: return class == CLASS_SOURCE;
    default: return true;
    }
}

static void from_table(reader *r, draft *d) {
    // A line whose first value is text says its current in `amps`.
    const part_value *amps = draft_value(d, KEY_AMPS);
    const field *own = reader_field(r, d->part.kind, KEY_VALUE);
    if (amps && own && own->type == FIELD_FIGURE_OR_TEXT && !draft_value(d, KEY_VALUE)) {
        figure g = amps->as.figure;
        part_value *v = add_value(r, d, KEY_VALUE, VALUE_FIGURE, g.span);
        if (v)
            v->as.figure = g;
    }
    const int *from = r->assumed_from + d->part.kind;
    for (int i = from[0]; i < from[1]; i++) {
        const field *f = r->assumed[i];
        if (applies(d, f))
            assume(r, d, f->key, r->is_28 ? f->default_28 : f->default_14, f->default_unit);
    }
}

// ---- sources ------------------------------------------------------------------------------------

static bool fed_by_regulator(reader *r, reference ref, int steps) {
    if (ref.part < 0 || steps == 0)
        return false;
    draft *d = &r->drafts[ref.part];
    if (d->part.kind == KIND_REGULATOR)
        return true;
    const part_value *from = draft_value(d, KEY_FROM);
    if (kind_class(d->part.kind) != CLASS_PATH || !from || from->type != VALUE_REFERENCES)
        return false;
    return fed_by_regulator(r, from->as.references.items[0], steps - 1);
}

// Sources at whose field a path from a regulator ends: `to: alternator field`.
static bool *regulated_fields(reader *r) {
    bool *regulated = arena_new(r->scratch, (size_t)r->count + 1, sizeof *regulated);
    for (int i = 0; i < r->count && regulated; i++) {
        const part_value *to = draft_value(&r->drafts[i], KEY_TO);
        if (!to || to->type != VALUE_REFERENCES)
            continue;
        reference ref = to->as.references.items[0];
        reference self = {.part = i};
        if (ref.part >= 0 && ref.terminal == TERMINAL_FIELD &&
            fed_by_regulator(r, self, LONGEST_WALK))
            regulated[ref.part] = true;
    }
    return regulated;
}

static bool field_is_regulated(reader *r, int index) {
    const part_value *from = draft_value(&r->drafts[index], KEY_FIELD_FROM);
    for (int i = 0; from && i < from->as.references.count; i++) {
        if (fed_by_regulator(r, from->as.references.items[i], LONGEST_WALK))
            return true;
    }
    return false;
}

static int only_engine(const reader *r) {
    int found = -1;
    for (int i = 0; i < r->count; i++) {
        if (r->drafts[i].part.kind != KIND_ENGINE)
            continue;
        if (found >= 0)
            return -2;
        found = i;
    }
    return found;
}

static void turned_by(reader *r, draft *d, int engine) {
    if (draft_value(d, KEY_TURNED_BY) || written_node(d, KEY_TURNED_BY))
        return;
    if (engine >= 0)
        assume_id(r, d, KEY_TURNED_BY, engine);
    else
        say_error(r, d->part.span, "no-engine", "add `turned-by`", "'", d->part.id,
                  engine == -1 ? "' is turned by an engine, and the file has none"
                               : "' doesn't say which engine turns it",
                  NULL);
}

static void generator_defaults(reader *r, int index, int engine, bool regulated) {
    draft *d = &r->drafts[index];
    turned_by(r, d, engine);
    // A field fed through nothing that the file names is fed from the machine's own output.
    if (!draft_value(d, KEY_FIELD_FROM) && !written_node(d, KEY_FIELD_FROM)) {
        reference *own = arena_new(r->keep, 1, sizeof *own);
        part_value *v = own ? add_value(r, d, KEY_FIELD_FROM, VALUE_REFERENCES, (span){0}) : NULL;
        if (!v)
            return;
        *own = (reference){.part = index, .terminal = TERMINAL_SELF, .position = -1};
        v->as.references = (reference_list){.items = own, .count = 1};
    }
    if (!draft_value(d, KEY_IDLE)) {
        assume(r, d, KEY_IDLE, 0.4 * given(d, KEY_VALUE, 60), UNIT_AMP);
        part_value *idle = draft_value(d, KEY_IDLE);
        if (idle)
            idle->as.figure.at = 700;
    }
    part_value *idle = draft_value(d, KEY_IDLE);
    if (idle && idle->as.figure.at <= 0)
        idle->as.figure.at = 700;
    if (idle)
        idle->as.figure.at_unit = UNIT_RPM;
    if (!regulated && !field_is_regulated(r, index))
        assume(r, d, KEY_REGULATED_AT, r->is_28 ? 28 : 14, UNIT_VOLT);
    assume_text(r, d, KEY_WITHOUT_FIELD, "stops");
}

static void battery_defaults(reader *r, draft *d) {
    double hours = given(d, KEY_CAPACITY, 3600) / 3600;
    if (!r->is_28)
        hours *= 2;  // half of the 28 V figure: fewer cells in series
    assume(r, d, KEY_RESISTANCE, 0.25 / hours, UNIT_OHM);
    assume_text(r, d, KEY_CHEMISTRY, "sealed-lead-acid");
    part_value *capacity = draft_value(d, KEY_CAPACITY);
    if (capacity && capacity->as.figure.at <= 0) {
        capacity->as.figure.at = 3600;
        capacity->as.figure.at_unit = UNIT_SECOND;
    }
}

static int add_volts(reader *r, reference ref, bool below, double volts) {
    condition c = {.op = CONDITION_VOLTS,
                   .below = below,
                   .a = -1,
                   .b = -1,
                   .ref = ref,
                   .other = {.part = PART_NONE, .terminal = TERMINAL_NONE, .position = -1},
                   .supply = -1,
                   .position = -1,
                   .value = volts};
    return add_condition(r, c);
}

// Above 32 / 16 V at its sense until its supply is below 1 V.
static void regulator_defaults(reader *r, int index) {
    draft *d = &r->drafts[index];
    const part_value *from = draft_value(d, KEY_FROM);
    if (draft_value(d, KEY_TRIPS_WHEN) || written_node(d, KEY_TRIPS_WHEN) || !from)
        return;
    reference sense = {.part = index, .terminal = TERMINAL_SENSE, .position = -1};
    condition latch = {.op = CONDITION_LATCH,
                       .supply = -1,
                       .position = -1,
                       .ref = {.part = PART_NONE, .terminal = TERMINAL_NONE, .position = -1},
                       .other = {.part = PART_NONE, .terminal = TERMINAL_NONE, .position = -1}};
    latch.a = add_volts(r, sense, false, r->is_28 ? 32 : 16);
    latch.b = add_volts(r, from->as.references.items[0], true, 1);
    int made = latch.a < 0 || latch.b < 0 ? -1 : add_condition(r, latch);
    part_value *v = made < 0 ? NULL : add_value(r, d, KEY_TRIPS_WHEN, VALUE_CONDITION, (span){0});
    if (v)
        v->as.condition = made;
}

// ---- paths and items ----------------------------------------------------------------------------

static void coil_defaults(reader *r, draft *d) {
    const part_value *duty = draft_value(d, KEY_VALUE);
    bool intermittent =
        duty && duty->type == VALUE_TEXT && strcmp(duty->as.text, "intermittent") == 0;
    if (d->part.kind == KIND_CONTACTOR && written_node(d, KEY_COIL_FROM)) {
        double continuous_amps = r->is_28 ? 0.7 : 1.0;
        double intermittent_amps = r->is_28 ? 3 : 4;
        assume(r, d, KEY_COIL, intermittent ? intermittent_amps : continuous_amps, UNIT_AMP);
    }
    assume_text(r, d, KEY_RESTS, draft_value(d, KEY_OPENS_WHEN) ? "closed" : "open");
}

static void copy_figure(reader *r, draft *d, part_key key, figure g) {
    part_value *v = draft_value(d, key) ? NULL : add_value(r, d, key, VALUE_FIGURE, (span){0});
    if (!v)
        return;
    g.basis = BASIS_ASSUMED;
    g.where = "";
    g.span = (span){0};
    v->as.figure = g;
}

static void radio_defaults(reader *r, draft *d) {
    const part_value *own = draft_value(d, KEY_VALUE);
    bool known = own && own->as.figure.basis != BASIS_ASSUMED;
    if (!known)
        assume(r, d, KEY_TRANSMIT, 150, UNIT_WATT);
    const part_value *above = draft_value(d, KEY_WORKS_ABOVE);
    if (draft_value(d, KEY_TRANSMIT) && above)
        copy_figure(r, d, KEY_TRANSMITS_ABOVE, above->as.figure);
}

#define MOTOR_STARTS  0.2  // seconds: choices
#define OTHERS_STARTS 0.02

static void motor_defaults(reader *r, draft *d) {
    const part_value *own = draft_value(d, KEY_VALUE);
    if (own && own->type == VALUE_FIGURE) {
        figure stall = own->as.figure;
        stall.value *= 4;
        stall.low *= 4;
        stall.high *= 4;
        copy_figure(r, d, KEY_STALL, stall);
    }
}

// By part: a phase says how much of the time it draws. NULL: no memory.
static const bool *phase_duties(reader *r) {
    bool *named = arena_new(r->scratch, (size_t)r->count + 1, sizeof *named);
    const node *phases = node_entry(r->tree.root, "phases");
    bool map = phases && phases->type == NODE_MAP;
    for (const node *n = map ? phases->first : NULL; n && named; n = n->next) {
        const node *duty = n->type == NODE_MAP ? node_entry(n, "duty") : NULL;
        if (!duty || duty->type != NODE_MAP)
            continue;
        for (const node *e = duty->first; e; e = e->next) {
            int part = find_id(r, e->key->text, e->key->length);
            if (part >= 0)
                named[part] = true;
        }
    }
    return named;
}

#define CYCLE 120.0  // seconds: choice

// What draws part of the time goes on and off; what its places or a condition let run doesn't.
static void cycle_default(reader *r, draft *d, bool phase_says) {
    static const part_key RUNS[] = {KEY_FOLLOWS, KEY_TRAVEL, KEY_RUNS_WHEN, KEY_SOUNDS_WHEN,
                                    KEY_LIT_WHEN};
    double duty = given(d, KEY_DUTY, 1);
    bool part_of_the_time = phase_says || (duty > 0 && duty < 1);
    for (int i = 0; i < (int)(sizeof RUNS / sizeof RUNS[0]); i++)
        part_of_the_time =
            part_of_the_time && !draft_value(d, RUNS[i]) && !written_node(d, RUNS[i]);
    if (part_of_the_time && d->part.kind != KIND_RADIO)
        assume(r, d, KEY_EVERY, CYCLE, UNIT_SECOND);
}

// A moving thing obeys the switch with places that feeds it.
static void follows_default(reader *r, draft *d) {
    const part_value *from = draft_value(d, KEY_FROM);
    if (draft_value(d, KEY_FOLLOWS) || !from || from->as.references.count != 1)
        return;
    int feed = from->as.references.items[0].part;
    if (feed >= 0 && r->drafts[feed].part.kind == KIND_SWITCH && r->drafts[feed].places.count &&
        r->drafts[feed].places.sort == POSITIONS_PLACES)
        assume_id(r, d, KEY_FOLLOWS, feed);
}

static void item_defaults(reader *r, draft *d, bool phase_duty) {
    part_kind k = d->part.kind;
    if (!d->part.electric)
        return;
    if (k == KIND_RADIO)
        radio_defaults(r, d);
    if (k == KIND_MOTOR)
        motor_defaults(r, d);
    if (k == KIND_MOTOR || draft_value(d, KEY_STARTS_WITH))
        assume(r, d, KEY_STARTS_IN, k == KIND_MOTOR ? MOTOR_STARTS : OTHERS_STARTS, UNIT_SECOND);
    if (k == KIND_MOTOR || k == KIND_SOLENOID)
        follows_default(r, d);
    bool places = draft_value(d, KEY_FOLLOWS) || written_node(d, KEY_TRAVEL);
    cycle_default(r, d, phase_duty);
    assume(r, d, KEY_DUTY, k == KIND_MOTOR && places ? 0 : 1, UNIT_PERCENT);
}

// The full scale of a meter is that of the shunt or source it reads.
static void meter_defaults(reader *r, draft *d) {
    const part_value *reads = draft_value(d, KEY_READS);
    if (d->part.kind == KIND_VOLTMETER || !reads || draft_value(d, KEY_SCALE))
        return;
    for (int i = 0; i < reads->as.reads.count; i++) {
        int part = reads->as.reads.items[i].ref.part;
        if (part < 0)
            continue;
        draft *read = &r->drafts[part];
        const part_value *own = draft_value(read, KEY_VALUE);
        if (own && own->type == VALUE_FIGURE && own->as.figure.unit == UNIT_AMP) {
            copy_figure(r, d, KEY_SCALE, own->as.figure);
            return;
        }
    }
}

static void wire_defaults(reader *r, draft *d) {
    if (draft_value(d, KEY_WIRE) || draft_value(d, KEY_RESISTANCE))
        return;
    const part_value *own = draft_value(d, KEY_VALUE);
    if (own && own->type == VALUE_WIRE)
        return;
    if (d->part.implied != IMPLIED_WIRE) {
        assume(r, d, KEY_RESISTANCE, 0.001, UNIT_OHM);
        return;
    }
    draft *host = &r->drafts[d->part.host];
    double amps =
        host->part.kind == KIND_CONVERTER ? converter_amps(r, host) : most_amps_of(r, host);
    if (!(amps > 0))
        amps = 0.01;  // an item of 0 A still has a wire; its size no longer matters
    assume(r, d, KEY_RESISTANCE, (r->is_28 ? 0.25 : 0.12) / amps, UNIT_OHM);
}

static void path_defaults(reader *r, draft *d) {
    double figure_value = given(d, KEY_VALUE, 0);
    switch (d->part.kind) {
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER:
        if (figure_value > 0)
            assume(r, d, KEY_RESISTANCE, 0.15 / figure_value, UNIT_OHM);
        break;
    case KIND_SHUNT: assume(r, d, KEY_RESISTANCE, 0.05 / given(d, KEY_VALUE, 60), UNIT_OHM); break;
    case KIND_RELAY:
    case KIND_CONTACTOR: coil_defaults(r, d); break;
    case KIND_SWITCH:
        if (draft_value(d, KEY_CLOSES_WHEN))
            assume_text(r, d, KEY_RESTS, "open");
        break;
    default: break;
    }
}

// ---- labels, hands, reach -----------------------------------------------------------------------

static bool worked_by_hand(draft *d) {
    switch (d->part.kind) {
    case KIND_SWITCH: return !written_node(d, KEY_CLOSES_WHEN);
    case KIND_DIMMER:
    case KIND_BREAKER:
    case KIND_EXTERNAL_POWER:
    case KIND_LEVER: return true;
    default: return draft_value(d, KEY_OWN_SWITCH) != NULL || d->places.count > 0;
    }
}

static void reach_default(draft *d) {
    if (draft_value(d, KEY_REACH))
        return;
    part_kind k = d->part.kind;
    bool placed = d->part.row || d->part.number || *d->part.panel;
    bool seen = k == KIND_LIGHT || k == KIND_AMMETER || k == KIND_LOADMETER ||
                k == KIND_VOLTMETER || (k == KIND_SWITCH && d->part.hand);
    d->part.reach = placed || seen ? REACH_SEAT : REACH_TOOLS;
}

void fill_defaults(reader *r) {
    int engine = only_engine(r);
    const bool *regulated = regulated_fields(r);
    const bool *cycled = phase_duties(r);
    if (!regulated || !cycled)
        return;
    // Wires last: they follow from the currents of their items.
    for (int i = 0; i < r->count && !reader_failed(r); i++) {
        draft *d = &r->drafts[i];
        from_table(r, d);
        part_class class = kind_class(d->part.kind);
        if (class == CLASS_PATH)
            path_defaults(r, d);
        if (class == CLASS_ITEM || d->part.kind == KIND_CONVERTER)
            item_defaults(r, d, cycled[i]);
        if (d->part.kind == KIND_BATTERY)
            battery_defaults(r, d);
        if (d->part.kind == KIND_EXTERNAL_POWER)
            assume(r, d, KEY_VALUE, r->a->nominal, UNIT_VOLT);
        if (d->part.kind == KIND_ALTERNATOR || d->part.kind == KIND_GENERATOR)
            generator_defaults(r, i, engine, regulated[i]);
        if (d->part.kind == KIND_PUMP && engine != -1)
            turned_by(r, d, engine);
        if (d->part.kind == KIND_REGULATOR)
            regulator_defaults(r, i);
        if (d->part.kind == KIND_MECHANISM)
            follows_default(r, d);
        d->part.hand = worked_by_hand(d);
        reach_default(d);
    }
    for (int i = 0; i < r->count && !reader_failed(r); i++) {
        draft *d = &r->drafts[i];
        if (d->part.kind == KIND_WIRE)
            wire_defaults(r, d);
        if (d->part.kind == KIND_AMMETER || d->part.kind == KIND_LOADMETER)
            meter_defaults(r, d);
    }
}
