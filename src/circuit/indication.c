#include "circuit/indication.h"

#include <math.h>

#include "circuit/meter.h"
#include "model/part_words.h"
#include "part/battery_model.h"

// What one call works with.
typedef struct maker {
    const aircraft *aircraft;
    const outcome *now, *base;
    const meter_graph *graph;
    arena *memory;
    text line;  // where a text is put together before it is kept
} maker;

static const char *keep(maker *k) {
    const char *kept = arena_text(k->memory, text_get(&k->line), k->line.length);
    if (k->line.failed)
        k->memory->failed = true;
    k->line.length = 0;
    if (k->line.data)
        k->line.data[0] = 0;
    return kept ? kept : "";
}

static bool has_fault(const outcome *o, int which, fault_kind kind) {
    for (int i = 0; i < o->state.fault_count; i++)
        if (o->state.faults[i].part == which && o->state.faults[i].kind == kind)
            return true;
    return false;
}

// ---- meters -------------------------------------------------------------------------------------
static void dead_face(maker *k, const meter *m) {
    const char *given = part_text(&k->aircraft->parts[m->which], KEY_WHEN_DEAD);
    if (given)
        text_put(&k->line, given);
    else if (m->digital)
        text_put(&k->line, "blank");
    else if (m->volts)
        text_put(&k->line, "reads its left stop");
    else
        meter_write(m, 0, &k->line);
}

static void normal_words(maker *k, const meter *m, const indication *i) {
    // The last digit of a reading isn't news; only what can be told apart from the seat is.
    if (!i->normal_valid || fabs(i->figure - i->normal) < m->apart)
        return;
    text_put(&k->line, " Normal here: ");
    meter_write(m, i->normal, &k->line);
    text_char(&k->line, '.');
}

// The normal reading, as the meter's own selector stands in the base.
static status normal_reading(maker *k, int which, indication *i) {
    if (!k->base)
        return STATUS_OK;
    meter m;
    status s = meter_make(k->graph, k->base, which, k->memory, &m);
    if (s != STATUS_OK)
        return s;
    i->normal_valid = meter_health_of(&m, k->base) == METER_WORKS;
    i->normal = meter_held(&m, meter_truth(&m, k->base));
    return STATUS_OK;
}

static status meter_indication(maker *k, int which, indication *i) {
    meter m;
    status s = meter_make(k->graph, k->now, which, k->memory, &m);
    if (s == STATUS_OK)
        s = normal_reading(k, which, i);
    if (s != STATUS_OK)
        return s;
    i->low = m.low;
    i->high = m.high;
    i->unit = meter_unit(&m);
    meter_health health = meter_health_of(&m, k->now);
    i->valid = health == METER_WORKS;
    if (health == METER_DEAD || health == METER_UNPOWERED || health == METER_OFF) {
        i->figure = m.center || m.digital || !m.volts ? 0 : m.low;
        dead_face(k, &m);
        i->reading = keep(k);
        meter_says_nothing(&m, k->now, health, &k->line);
        i->says = keep(k);
        return STATUS_OK;
    }
    double truth = meter_truth(&m, k->now);
    if (health == METER_STUCK && i->normal_valid)
        truth = i->normal;
    else if (health == METER_WRONG)
        truth = meter_misread(&m, truth);
    i->figure = meter_held(&m, truth);
    meter_write(&m, truth, &k->line);
    i->reading = keep(k);
    if (health == METER_STUCK) {
        text_put(&k->line, "stuck: it stays there whatever is switched on or off.");
    } else if (health == METER_WRONG) {
        text_put(&k->line, "the meter is wrong. Another meter, or a known load, shows it.");
    } else {
        meter_says(&m, k->now, meter_rounded(&m, i->figure), &k->line);
        normal_words(k, &m, i);
    }
    i->says = keep(k);
    return STATUS_OK;
}

// ---- lights and sounders ------------------------------------------------------------------------
static double lamp_figure(const outcome *o, int which, const outcome *base) {
    const part_outcome *p = &o->parts[which];
    if (has_fault(o, which, FAULT_DEAD))
        return 0;
    // A stuck light shows what it last showed.
    if (has_fault(o, which, FAULT_STUCK) && base)
        p = &base->parts[which];
    bool wrong = has_fault(o, which, FAULT_WRONG) && p->available;
    if (wrong)
        return p->lit ? 0 : 1;
    return p->flashing ? 2 : p->lit ? 1 : 0;
}

static const char *lamp_word(double shown, bool sounder) {
    if (sounder)
        return shown > 0 ? "sounds" : "silent";
    return shown > 1 ? "flashing" : shown > 0 ? "lit" : "out";
}

// Whether it would come on if it had to. A lamp with no condition is itself what its volts make it.
static bool ready(const part *p, const part_outcome *now) {
    bool plain = p->kind == KIND_LIGHT && part_condition(p, KEY_LIT_WHEN) < 0;
    return now->available || (plain && now->live);
}

// The first comparison of a condition, if it asks for less than a figure: of current (the inverted
// warning) or of volts.
static const condition *falls_below(const aircraft *a, int c, condition_op op) {
    if (c < 0)
        return NULL;
    const condition *n = &a->conditions[c];
    if (n->op == op)
        return n->below && n->ref.part >= 0 ? n : NULL;
    return n->op == CONDITION_FOR || n->op == CONDITION_LATCH ? falls_below(a, n->a, op) : NULL;
}

// Volts by which the batteries that carry the load will still sag.
static double sag_to_come(const outcome *o) {
    const battery_aging new = {.celsius = o->state.temperature, .health = 1.0};
    double most = 0.0;
    for (int i = 0; i < o->source_count; i++) {
        if (!o->sources[i].battery)
            continue;
        battery_model m = battery_model_of(&o->aircraft->parts[o->sources[i].part], new);
        double sag = battery_sag_left(&m, (battery_charge){.sag = 0.0}, o->sources[i].amps);
        most = sag > most ? sag : most;
    }
    return most;
}

// Rested volts less what the resistance takes teach a false lag: in the first minute a loaded
// battery loses more (common practice, no source).
static bool comes_soon(const outcome *o, const part *light) {
    const condition *n =
        falls_below(o->aircraft, part_condition(light, KEY_LIT_WHEN), CONDITION_VOLTS);
    if (n == NULL || !o->instant)
        return false;
    const part_outcome *at = &o->parts[n->ref.part];
    return at->draining && at->volts - sag_to_come(o) < n->value;
}

static const source_outcome *source_of(const outcome *o, int which) {
    for (int i = 0; i < o->source_count; i++)
        if (o->sources[i].part == which)
            return &o->sources[i];
    return NULL;
}

static void inverted_words(maker *k, const condition *c, bool lit) {
    text *t = &k->line;
    const part_outcome *load = &k->now->parts[c->ref.part];
    const source_outcome *source = source_of(k->now, c->ref.part);
    part_name(k->aircraft, c->ref.part, t);
    if (source) {
        const char *how = source->mode == SOURCE_OFF ? "it isn't turning or has failed"
                                                     : source_mode_word(source->mode);
        text_all(t, lit ? " gives too little: " : " gives what it should: ", how, ".", NULL);
        return;
    }
    if (!lit) {
        text_put(t, " draws what it should.");
        return;
    }
    text_put(t, " draws too little: ");
    text_put(t, load->wanted && load->status != ITEM_UNUSED ? "it has failed or lost its supply."
                                                            : "it is switched off.");
}

static void lit_words(maker *k, int which, double shown) {
    const part *p = &k->aircraft->parts[which];
    text *t = &k->line;
    int lit = part_condition(p, p->kind == KIND_SOUNDER ? KEY_SOUNDS_WHEN : KEY_LIT_WHEN);
    int flashes = part_condition(p, KEY_FLASHES_WHEN);
    int holds = shown > 1 && flashes >= 0 ? flashes : lit;
    const condition *inverted = falls_below(k->aircraft, lit, CONDITION_AMPS);
    if (inverted && shown < 2) {
        inverted_words(k, inverted, shown > 0);
    } else if (holds < 0) {
        text_put(t, shown > 0 ? "it has volts across it." : "no volts across it.");
    } else {
        text_put(t, shown > 0 ? "because: " : "would come on with: ");
        condition_words(k->aircraft, holds, t);
        text_char(t, '.');
    }
}

static void lamp_indication(maker *k, int which, indication *i) {
    const part *p = &k->aircraft->parts[which];
    bool sounder = p->kind == KIND_SOUNDER;
    const part_outcome *now = &k->now->parts[which];
    bool failed = has_fault(k->now, which, FAULT_DEAD),
         stuck = has_fault(k->now, which, FAULT_STUCK),
         wrong = has_fault(k->now, which, FAULT_WRONG);
    i->figure = lamp_figure(k->now, which, k->base);
    i->valid = !failed && !stuck && !wrong && ready(p, now);
    i->normal_valid = k->base != NULL;
    i->normal = k->base ? lamp_figure(k->base, which, k->base) : 0;
    i->reading = lamp_word(i->figure, sounder);
    text *t = &k->line;
    if (failed)
        text_all(t, "failed: it stays ", lamp_word(0, sounder), " whatever happens.", NULL);
    else if (stuck)
        text_all(t, "stuck: it stays like this whatever happens.", NULL);
    else if (wrong)
        text_all(t, "wrong: it doesn't follow what it should.", NULL);
    else if (i->figure > 0 || ready(p, now))
        lit_words(k, which, i->figure);
    else
        text_all(t, "no supply: it stays ", lamp_word(0, sounder), " whatever happens.", NULL);
    i->soon = i->valid && i->figure == 0 && comes_soon(k->now, p);
    if (i->soon)
        text_put(t, " It will within the first minute: a loaded battery sags (assumed).");
    if (i->normal_valid && i->normal != i->figure)
        text_all(t, " Normal here: ", lamp_word(i->normal, sounder), ".", NULL);
    i->says = keep(k);
}

// ---- gauges and other items that tell when they are dead ----------------------------------------
static bool tells_when_dead(const maker *k, int which) {
    const part *p = &k->aircraft->parts[which];
    const part_outcome *now = &k->now->parts[which];
    const char *face = part_text(p, KEY_WHEN_DEAD);
    if (!face)
        return false;
    if (has_fault(k->now, which, FAULT_STUCK) || has_fault(k->now, which, FAULT_WRONG))
        return true;
    // Without data a gauge still has its power; only a flag, or an instrument that needs no
    // power, tells.
    return now->status == ITEM_OFF ||
           (now->status == ITEM_NO_DATA && (text_equal(face, "flag") || !p->electric));
}

static bool same_trouble(const maker *k, int one, int other) {
    const part *p = &k->aircraft->parts[other];
    const part_outcome *x = &k->now->parts[one], *y = &k->now->parts[other];
    if (one == other || p->kind != KIND_INSTRUMENT || !part_text(p, KEY_WHEN_DEAD))
        return false;
    if (x->status != ITEM_OFF || y->status != ITEM_OFF)
        return false;
    const reference_list *a = part_references(&k->aircraft->parts[one], KEY_FROM);
    const reference_list *b = part_references(p, KEY_FROM);
    return a && b && a->count == 1 && b->count == 1 && a->items[0].part == b->items[0].part &&
           a->items[0].terminal == b->items[0].terminal;
}

static void companions(maker *k, int which) {
    for (int i = 0; i < k->aircraft->part_count; i++) {
        if (!same_trouble(k, which, i))
            continue;
        text_put(&k->line, " Others on the same breaker went with it: look there first.");
        return;
    }
}

static void gauge_indication(maker *k, int which, indication *i) {
    const part *p = &k->aircraft->parts[which];
    const part_outcome *now = &k->now->parts[which];
    text *t = &k->line;
    i->normal_valid = k->base && k->base->parts[which].works;
    if (has_fault(k->now, which, FAULT_STUCK) || has_fault(k->now, which, FAULT_WRONG)) {
        bool stuck = has_fault(k->now, which, FAULT_STUCK);
        i->reading = stuck ? "stays where it was" : "reads wrong";
        text_put(t, "it looks alive. Only a second source of the same figure shows it.");
        i->says = keep(k);
        return;
    }
    i->reading = part_text(p, KEY_WHEN_DEAD);
    if (now->status == ITEM_NO_DATA) {
        text_put(t, "what it needs isn't there");
    } else if (!p->electric) {
        text_put(t, "it doesn't work");
    } else {
        text_put(t, "no power");
        if (p->kind == KIND_INSTRUMENT || p->kind == KIND_DISPLAY)
            text_put(t, ": this says nothing about what it measures");
    }
    text_char(t, '.');
    companions(k, which);
    i->says = keep(k);
}

// ---- all of them --------------------------------------------------------------------------------
typedef enum shape { SHAPE_NONE, SHAPE_METER, SHAPE_LAMP, SHAPE_GAUGE } shape;

static shape shape_of(const maker *k, int which) {
    const part *p = &k->aircraft->parts[which];
    if (p->fitted & FITTED_ABSENT)
        return SHAPE_NONE;
    switch (p->kind) {
    case KIND_AMMETER:
    case KIND_LOADMETER:
    case KIND_VOLTMETER: return SHAPE_METER;
    case KIND_LIGHT:
    case KIND_SOUNDER: return SHAPE_LAMP;
    default: return tells_when_dead(k, which) ? SHAPE_GAUGE : SHAPE_NONE;
    }
}

status indications_make(const aircraft *a, const outcome *now, const outcome *base, arena *memory,
                        indication **items, int *count) {
    maker k = {.aircraft = a,
               .now = now,
               .base = base,
               .memory = memory,
               .line = text_make(memory->memory)};
    int most = 0;
    *count = 0;
    for (int i = 0; i < a->part_count; i++)
        most += shape_of(&k, i) != SHAPE_NONE;
    k.graph = meter_graph_make(a, memory);
    indication *made = arena_new(memory, (size_t)most + 1, sizeof *made);
    status s = k.graph && made ? STATUS_OK : STATUS_NO_MEMORY;
    for (int i = 0; s == STATUS_OK && i < a->part_count; i++) {
        shape what = shape_of(&k, i);
        if (what == SHAPE_NONE)
            continue;
        indication *one = &made[*count];
        one->part = i;
        if (what == SHAPE_METER)
            s = meter_indication(&k, i, one);
        else if (what == SHAPE_LAMP)
            lamp_indication(&k, i, one);
        else
            gauge_indication(&k, i, one);
        (*count)++;
    }
    if (k.line.failed || memory->failed)
        s = STATUS_NO_MEMORY;
    text_free(&k.line);
    *items = made;
    return s;
}
