// What a meter's reading means, in the words of the trade (common practice, no source).
#include <math.h>
#include <string.h>

#include "circuit/meter.h"
#include "model/part_words.h"

static const char four_zeros[] =
    " A zero alone has four meanings: the source carries everything and the battery is full; the "
    "battery is off the line; the meter or its sense fuse is dead; the source is off with almost "
    "nothing on. The voltmeter and one deliberate load tell them apart.";

static bool on_line(source_mode mode) {
    return mode == SOURCE_IDLE || mode == SOURCE_REGULATING || mode == SOURCE_LIMITED;
}

typedef struct supply_side {
    bool on_line;       // an alternator, generator or ground power is
    bool limited;       // one of them is at its limit
    bool ground_power;  // ground power gives something
    double amps;        // of all of them
} supply_side;

static supply_side look_at_sources(const outcome *o) {
    supply_side s = {0};
    for (int i = 0; i < o->source_count; i++) {
        const source_outcome *one = &o->sources[i];
        if (one->battery)
            continue;
        s.on_line = s.on_line || on_line(one->mode);
        s.limited = s.limited || one->mode == SOURCE_LIMITED;
        s.ground_power =
            s.ground_power ||
            (one->amps > 0.05 && o->aircraft->parts[one->part].kind == KIND_EXTERNAL_POWER);
        s.amps += one->amps;
    }
    return s;
}

static bool engine_turns(const outcome *o) {
    for (int i = 0; i < o->aircraft->part_count; i++)
        if (o->aircraft->parts[i].kind == KIND_ENGINE && o->state.setting[i] != 0)
            return true;
    return false;
}

static bool starter_turns(const outcome *o) {
    const aircraft *a = o->aircraft;
    for (int i = 0; i < a->part_count; i++)
        if (a->parts[i].kind == KIND_MOTOR && part_value_of(&a->parts[i], KEY_TURNS) &&
            fabs(o->parts[i].amps) > 1)
            return true;
    return false;
}

static void zero_says(const meter *m, const outcome *o, text *t) {
    supply_side s = look_at_sources(o);
    if (!m->place.battery_joined && s.on_line)
        text_put(t, "zero: the battery is off the line. The needle won't move whatever is switched "
                    "on, and the volts are not assured.");
    else if (!m->place.battery_joined)
        text_put(t, "zero: the battery is off the line and nothing else feeds this bus.");
    else if (s.limited)
        text_put(t,
                 "zero: the source is at its limit. It just carries everything and nothing is left "
                 "for the battery.");
    else if (s.on_line && s.amps > 0.05)
        text_put(t, "zero: the source carries everything and the battery takes nothing.");
    else
        text_put(t, "zero: no source gives anything, and almost nothing is drawn past this meter.");
    if (m->center)
        text_put(t, four_zeros);
}

static void discharge_says(const meter *m, const outcome *o, bool beyond, text *t) {
    supply_side s = look_at_sources(o);
    // A source that feeds another bus only is no help here.
    bool helped = s.on_line && s.amps > 0.5 && !o->parts[m->reads.part].draining;
    if (helped)
        text_all(t, "discharge: ",
                 s.limited ? "the source is at its limit"
                           : "the source gives too "
                             "little",
                 " and the battery gives the rest.", NULL);
    else
        text_put(t, "discharge: the battery carries everything past this meter. The needle shows "
                    "the load, and falls as loads are switched off.");
    if (m->place.fed_before) {
        int end = m->place.charging < 0 ? m->place.from : m->place.to;
        bool bus = end >= 0 && m->aircraft->parts[end].kind == KIND_BUS;
        text_put(t, bus ? " What is fed before it, at " : " What is fed between battery and meter");
        if (bus) {
            part_name(m->aircraft, end, t);
            text_char(t, ',');
        }
        text_put(t, " doesn't show.");
    }
    if (beyond)
        text_put(t, " It is more than the scale shows.");
}

static void charge_says(const meter *m, const outcome *o, double shown, text *t) {
    double much = m->high > 0 ? m->high / 2 : 30;
    if (fabs(shown) < much) {
        text_put(t, "charge: the source carries the loads and fills the battery.");
        return;
    }
    text_put(t, "high charge: ");
    if (starter_turns(o))
        text_put(t, "the starter, tapped before the meter, still turns.");
    else if (m->place.battery >= 0 &&
             o->parts[m->place.battery].volts > 1.07 * m->aircraft->nominal)
        text_put(t, "too many volts from the regulator. Look at the voltmeter.");
    else
        text_put(t, "a flat or failing battery takes all it can get.");
}

static void battery_says(const meter *m, const outcome *o, double shown, text *t) {
    double charge = shown * m->sign * m->place.charging;
    bool beyond = m->high > m->low && fabs(meter_truth(m, o)) > m->high + m->grain / 2;
    if (charge == 0 && meter_truth(m, o) < -0.5)
        text_put(t, "zero: this meter can't show that current flows the other way.");
    else if (charge == 0)
        zero_says(m, o, t);
    else if (charge < 0)
        discharge_says(m, o, beyond, t);
    else
        charge_says(m, o, shown, t);
}

static const source_outcome *source_of(const outcome *o, int which) {
    for (int i = 0; i < o->source_count; i++)
        if (o->sources[i].part == which)
            return &o->sources[i];
    return NULL;
}

static const char *why_no_output(source_mode mode) {
    switch (mode) {
    case SOURCE_NO_FIELD: return ": it turns, but has no field.";
    case SOURCE_TRIPPED: return ": its over-voltage relay has taken it off.";
    case SOURCE_IDLE: return ": something else holds the volts above its set point.";
    case SOURCE_OFF: return ": it isn't turning, isn't connected or has failed.";
    default: return ".";
    }
}

static void source_says(const meter *m, const outcome *o, double shown, text *t) {
    const source_outcome *s = source_of(o, m->place.source);
    if (shown == 0) {
        text_put(t, "no output from ");
        part_name(m->aircraft, m->place.source, t);
        text_put(t, s && s->amps < 0.5 ? why_no_output(s->mode) : ".");
    } else if (shown * m->sign * m->place.output < 0) {
        text_put(t, "current flows back into ");
        part_name(m->aircraft, m->place.source, t);
        text_char(t, '.');
    } else {
        part_name(m->aircraft, m->place.source, t);
        bool alone = s && !s->joins_bus && !s->joins_battery && o->settled != OUTCOME_CHATTERS;
        text_put(t, alone ? " is joined to no bus: what hangs on its own output draws this."
                    : s && s->mode == SOURCE_LIMITED
                        ? " is at its limit: loads and charge ask for more."
                        : " gives this: the loads and the charge together.");
    }
}

static void other_says(const meter *m, double shown, text *t) {
    const aircraft *a = m->aircraft;
    if (m->place.from < 0 || m->place.to < 0) {
        text_put(t, "drawn by ");
        part_name(a, m->reads.part, t);
        text_char(t, '.');
        return;
    }
    bool to = shown * m->sign > 0;
    text_put(t, shown == 0 ? "nothing flows between " : "current flows from ");
    part_name(a, shown == 0 || to ? m->place.from : m->place.to, t);
    text_put(t, shown == 0 ? " and " : " towards ");
    part_name(a, shown == 0 || to ? m->place.to : m->place.from, t);
    text_char(t, '.');
}

static bool lead_acid(const aircraft *a) {
    for (int i = 0; i < a->part_count; i++) {
        const char *chemistry = part_text(&a->parts[i], KEY_CHEMISTRY);
        if (a->parts[i].kind == KIND_BATTERY && (!chemistry || strstr(chemistry, "lead-acid")))
            return true;
    }
    return false;
}

static void draining_says(const meter *m, const outcome *o, text *t) {
    double nominal = m->aircraft->nominal;
    text_put(t, "battery only");
    if (!engine_turns(o)) {
        text_put(t, ": no source is on line.");
    } else {
        text_put(t, ": with the engine turning and its source on line a ");
        text_number(t, nominal);
        text_put(t, " V system reads about ");
        text_number(t, nominal);
        text_put(t, " V.");
    }
    if (o->instant && engine_turns(o) && lead_acid(o->aircraft))
        text_put(t, " It sags further within the first minute.");
    // A lead-acid battery below 11 V (22 V) under load has little left; a good one holds 9.6 V
    // (19.2 V) while it turns the starter. Common practice, no source.
    bool cranks = starter_turns(o);
    if (meter_truth(m, o) < nominal * (cranks ? 19.2 : 22) / 28)
        text_put(t, " The battery is nearly flat or failing, or something takes far too much.");
    else if (cranks)
        text_put(t, " The starter pulls it down while it turns.");
}

static void volts_says(const meter *m, const outcome *o, text *t) {
    const part_outcome *at = &o->parts[m->reads.part];
    double nominal = m->aircraft->nominal, truth = meter_truth(m, o);
    supply_side s = look_at_sources(o);
    bool across = kind_class(m->aircraft->parts[m->reads.part].kind) == CLASS_PATH && at->live;
    if (truth < 0.5 && across) {
        text_put(t, "hardly any volts are lost across ");
        part_name(m->aircraft, m->reads.part, t);
        text_char(t, '.');
    } else if (truth < 0.5) {
        part_name(m->aircraft, m->reads.part, t);
        text_put(t, " is dead.");
    } else if (at->draining) {
        draining_says(m, o, t);
    } else if (truth > 1.07 * nominal) {
        text_put(t, "too many volts: the source isn't held at its set point.");
    } else if (s.ground_power) {
        text_put(t, "ground power feeds the bus.");
    } else if (truth < 0.95 * nominal) {
        text_all(t, "low though a source is on line: ",
                 s.limited ? "it is at its limit."
                           : "it gives too little, or volts are lost on the "
                             "way.",
                 NULL);
    } else {
        text_put(t, "a source is on line and holds the volts.");
    }
}

void meter_says(const meter *m, const outcome *o, double shown, text *t) {
    if (m->reads.part < 0)
        text_put(t, "its selector joins it to nothing.");
    else if (m->volts)
        volts_says(m, o, t);
    else if (m->place.lead == LEAD_BATTERY)
        battery_says(m, o, shown, t);
    else if (m->place.lead == LEAD_SOURCE)
        source_says(m, o, shown, t);
    else
        other_says(m, shown, t);
}

void meter_says_nothing(const meter *m, const outcome *o, meter_health h, text *t) {
    const char *reason = o->parts[m->which].reason;
    if (h == METER_DEAD)
        text_put(t, "the meter itself is dead: it shows this whatever happens.");
    else if (h == METER_OFF)
        text_put(t, "not a reading: a switch that feeds the meter is off.");
    else if (reason && reason[0])
        text_all(t, "not a reading: ", reason, reason[strlen(reason) - 1] == '.' ? "" : ".", NULL);
    else
        text_put(t, "not a reading: the meter has no supply, or what it needs is gone.");
    if (m->center && h != METER_OFF)
        text_put(t, four_zeros);
}
