#include "circuit/meter.h"

#include <math.h>

#include "model/part_words.h"

static fault_kind fault_of(const outcome *o, int which) {
    for (int i = 0; i < o->state.fault_count; i++)
        if (o->state.faults[i].part == which)
            return o->state.faults[i].kind;
    return FAULT_NONE;
}

static const part_value *reads_of(const part *p, part_key key) {
    const part_value *v = part_value_of(p, key);
    return v && v->type == VALUE_READS ? v : NULL;
}

// The entry for the selector's position; without a selector the only one.
static const reference *selected(const part *p, part_key key, const outcome *o) {
    const part_value *v = reads_of(p, key);
    if (!v)
        return NULL;
    int by = part_id(p, KEY_SELECTED_BY);
    int at = by >= 0 ? (int)o->state.setting[by] : -1;
    for (int i = 0; i < v->as.reads.count; i++)
        if (v->as.reads.items[i].position == at || v->as.reads.items[i].position < 0)
            return &v->as.reads.items[i].ref;
    return NULL;
}

static double rating_of(const aircraft *a, int which) {
    const figure *f = which >= 0 ? part_figure(&a->parts[which], KEY_VALUE) : NULL;
    return f && f->unit == UNIT_AMP ? f->value : 0;
}

static void volts_scale(meter *m, const part *p) {
    bool high = aircraft_is_28(m->aircraft);
    const figure *f = part_figure(p, KEY_VALUE);
    if (f && !m->digital) {
        m->low = f->low;
        m->high = f->high;
    }
    m->grain = m->digital ? 0.1 : high ? 0.5 : 0.2;
    m->decimals = 1;
    m->apart = high ? 0.5 : 0.25;
}

static void amps_scale(meter *m, const part *p) {
    const aircraft *a = m->aircraft;
    const figure *f = part_figure(p, KEY_SCALE);
    double full = f && f->unit == UNIT_AMP ? f->value : rating_of(a, m->reads.part);
    m->rated = rating_of(a, m->place.source >= 0 ? m->place.source : m->reads.part);
    if (m->percent) {
        if (m->rated <= 0)
            m->rated = full;
        m->high = f && f->unit == UNIT_PERCENT ? f->value * 100 : 100;
        m->apart = 5;
    } else if (!m->digital && full > 0) {
        m->high = full;
        m->low = m->center ? -full : 0;
    }
    if (!m->percent)
        m->apart = 0.05 * full > 2 ? 0.05 * full : 2;
    m->grain = m->digital ? 0.1 : 1;
    m->decimals = m->digital ? 1 : 0;
}

status meter_make(const meter_graph *g, const outcome *o, int which, arena *memory, meter *m) {
    const aircraft *a = o->aircraft;
    const part *p = &a->parts[which];
    *m = (meter){.aircraft = a,
                 .which = which,
                 .volts = p->kind == KIND_VOLTMETER,
                 .load = p->kind == KIND_LOADMETER,
                 .sign = 1};
    const char *face = part_text(p, KEY_VALUE);
    m->digital = face && text_equal(face, "digital");
    m->center = face && text_equal(face, "center-zero");
    m->percent = face && m->load && text_equal(face, "percent");
    const reference *reads = selected(p, KEY_READS, o), *right = selected(p, KEY_RIGHT, o);
    m->reads = reads ? *reads : (reference){.part = PART_NONE};
    status s =
        meter_place_find(g, o, m->volts ? PART_NONE : m->reads.part, right, memory, &m->place);
    if (right)
        m->sign = m->place.right_is_to ? 1 : -1;
    else if (m->place.lead == LEAD_BATTERY)
        m->sign = m->place.charging;  // charging is shown as more, a discharge as less than zero
    else if (m->place.lead == LEAD_SOURCE)
        m->sign = m->place.output;
    if (m->volts)
        volts_scale(m, p);
    else
        amps_scale(m, p);
    return s;
}

meter_health meter_health_of(const meter *m, const outcome *o) {
    fault_kind f = fault_of(o, m->which);
    if (f == FAULT_DEAD)
        return METER_DEAD;
    if (o->parts[m->which].status == ITEM_OFF || o->parts[m->which].status == ITEM_NO_DATA)
        return METER_UNPOWERED;
    if (o->parts[m->which].status == ITEM_UNUSED)
        return METER_OFF;
    if (f == FAULT_STUCK)
        return METER_STUCK;
    return f == FAULT_WRONG ? METER_WRONG : METER_WORKS;
}

// Volts of a terminal to the airframe; of an item, a battery or a source: across it.
static double volts_at(const outcome *o, const reference *r) {
    const part *p = &o->aircraft->parts[r->part];
    const part_outcome *now = &o->parts[r->part];
    bool path = kind_class(p->kind) == CLASS_PATH;
    bool across = path && part_references(p, KEY_FROM) && part_references(p, KEY_TO);
    return path && !across ? now->end_volts : now->volts;
}

double meter_truth(const meter *m, const outcome *o) {
    if (m->reads.part < 0)
        return 0;
    if (m->volts)
        return volts_at(o, &m->reads);
    double amps = m->sign * o->parts[m->reads.part].amps;
    if (m->percent)
        amps = m->rated > 0 ? amps / m->rated * 100 : 0;
    return m->load && amps < 0 ? 0 : amps;
}

double meter_held(const meter *m, double value) {
    if (m->high <= m->low)
        return value;
    return value < m->low ? m->low : value > m->high ? m->high : value;
}

double meter_rounded(const meter *m, double value) {
    double steps = (double)(int64_t)(fabs(value) / m->grain + 0.5);
    return value < 0 ? -steps * m->grain : steps * m->grain;
}

// How far a wrong meter is out is a choice of the exercise: enough to mislead, not enough to be
// absurd. A voltmeter reads 2 V (14 V aeroplane: 1 V) too little, the others a sixth of their
// scale.
double meter_misread(const meter *m, double value) {
    if (m->volts)
        return value - (aircraft_is_28(m->aircraft) ? 2 : 1);
    double full = m->high > m->low ? m->high : rating_of(m->aircraft, m->reads.part);
    double off = value - (full > 0 ? full : 60) / 6;
    return m->load && off < 0 ? 0 : off;
}

const char *meter_unit(const meter *m) { return m->volts ? "V" : m->percent ? "%" : "A"; }

void meter_write(const meter *m, double value, text *t) {
    double shown = meter_rounded(m, meter_held(m, value));
    bool two_ways = m->center || (!m->volts && !m->load && m->digital);
    if (two_ways)
        words_signed(t, shown, m->decimals, meter_unit(m));
    else
        words_figure(t, shown, m->decimals, meter_unit(m));
    // A needle at rest on the zero of its scale is no news; one that is held there is.
    if (m->high > m->low && value > m->high + m->grain / 2)
        text_put(t, ", right stop");
    else if (m->high > m->low && value < m->low - m->grain / 2)
        text_put(t, ", left stop");
}
