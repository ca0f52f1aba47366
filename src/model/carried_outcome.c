#include <math.h>

#include "model/carried_outcome.h"

enum { PARTS_FLAGS = 9, FLAGS_MOST = 1 << PARTS_FLAGS };

// ---- carrying -----------------------------------------------------------------------------------
static void carry_state(text *t, const state *s, int parts) {
    carry_int(t, s->phase);
    carry_int(t, s->fault_count);
    for (int i = 0; i < s->fault_count; i++) {
        carry_int(t, s->faults[i].part);
        carry_int(t, (int)s->faults[i].kind);
    }
    for (int i = 0; i < parts; i++)
        carry_number(t, s->setting[i]);
}

static void carry_part(text *t, const part_outcome *p) {
    const bool flags[PARTS_FLAGS] = {p->live,      p->draining, p->closed, p->tripped, p->may_trip,
                                     p->energized, p->chatters, p->works,  p->wanted};
    int bits = 0;
    for (int i = 0; i < PARTS_FLAGS; i++)
        bits |= flags[i] << i;
    carry_int(t, bits);
    carry_int(t, (int)p->status);
    carry_int(t, (int)p->base_status);
    carry_number(t, p->volts);
    carry_number(t, p->amps);
    if (p->chatters) {
        carry_number(t, p->lowest);
        carry_number(t, p->highest);
    }
    carry_text(t, p->reason);
}

static void carry_function(text *t, const function_outcome *f) {
    carry_int(t, (int)f->status);
    carry_int(t, (int)f->base_status);
    carry_ints(t, f->by, f->by_count);
    carry_int(t, f->without_volts);
}

static void carry_indication(text *t, const indication *in) {
    carry_int(t, in->part);
    carry_int(t, in->valid);
    carry_int(t, in->normal_valid);
    carry_number(t, in->figure);
    carry_number(t, in->normal);
    carry_number(t, in->low);
    carry_number(t, in->high);
    carry_text(t, in->unit);
    carry_text(t, in->reading);
    carry_text(t, in->says);
}

static void carry_source(text *t, const source_outcome *s) {
    carry_int(t, s->part);
    carry_int(t, s->battery);
    carry_int(t, (int)s->mode);
    carry_number(t, s->volts);
    carry_number(t, s->amps);
    carry_number(t, s->charge);
    carry_number(t, s->limit);
}

void carry_outcome(text *t, const outcome *o) {
    carry_text(t, o->sentence);
    carry_state(t, &o->state, o->aircraft->part_count);
    for (int i = 0; i < o->aircraft->part_count; i++)
        carry_part(t, &o->parts[i]);
    for (int i = 0; i < o->aircraft->function_count; i++)
        carry_function(t, &o->functions[i]);
    carry_int(t, o->indication_count);
    for (int i = 0; i < o->indication_count; i++)
        carry_indication(t, &o->indications[i]);
    carry_int(t, o->source_count);
    for (int i = 0; i < o->source_count; i++)
        carry_source(t, &o->sources[i]);
}

// ---- taking -------------------------------------------------------------------------------------
enum { SETTING_MOST = 1 << 20 };  // they are positions, shares and an engine's speed

static void take_state(taker *t, state *s, const aircraft *a) {
    s->phase = take_int(t, 0, a->phase_count - 1);
    s->fault_count = take_int(t, 0, STATE_FAULTS);
    for (int i = 0; i < s->fault_count; i++) {
        s->faults[i].part = take_int(t, 0, a->part_count - 1);
        s->faults[i].kind = (fault_kind)take_int(t, 0, FAULT_COUNT - 1);
    }
    s->setting = take_room(t, a->part_count, sizeof *s->setting);
    for (int i = 0; i < a->part_count && !t->wrong; i++) {
        s->setting[i] = take_number(t);
        t->wrong = t->wrong || !(fabs(s->setting[i]) <= SETTING_MOST);
    }
}

static void take_part_outcome(taker *t, part_outcome *p) {
    bool *const flags[PARTS_FLAGS] = {&p->live,     &p->draining, &p->closed,
                                      &p->tripped,  &p->may_trip, &p->energized,
                                      &p->chatters, &p->works,    &p->wanted};
    int bits = take_int(t, 0, FLAGS_MOST - 1);
    for (int i = 0; i < PARTS_FLAGS; i++)
        *flags[i] = bits >> i & 1;
    p->status = (item_status)take_int(t, 0, ITEM_UNUSED);
    p->base_status = (item_status)take_int(t, 0, ITEM_UNUSED);
    p->volts = take_number(t);
    p->amps = take_number(t);
    p->lowest = p->chatters ? take_number(t) : p->volts;
    p->highest = p->chatters ? take_number(t) : p->volts;
    p->reason = take_text(t);
}

static void take_function(taker *t, function_outcome *f, int parts) {
    f->status = (function_status)take_int(t, 0, FUNCTION_LOST);
    f->base_status = (function_status)take_int(t, 0, FUNCTION_LOST);
    f->by_count = take_int(t, 0, CAUSES_MOST);
    for (int i = 0; i < f->by_count; i++)
        f->by[i] = take_int(t, 0, parts - 1);
    f->without_volts = take_yes(t);
}

static void take_indication(taker *t, indication *in, int parts) {
    in->part = take_int(t, 0, parts - 1);
    in->valid = take_yes(t);
    in->normal_valid = take_yes(t);
    in->figure = take_number(t);
    in->normal = take_number(t);
    in->low = take_number(t);
    in->high = take_number(t);
    in->unit = take_text(t);
    in->reading = take_text(t);
    in->says = take_text(t);
}

static void take_source(taker *t, source_outcome *s, int parts) {
    s->part = take_int(t, 0, parts - 1);
    s->battery = take_yes(t);
    s->mode = (source_mode)take_int(t, 0, SOURCE_DISCHARGING);
    s->volts = take_number(t);
    s->amps = take_number(t);
    s->charge = take_number(t);
    s->limit = take_number(t);
}

outcome take_outcome(taker *t, const aircraft *a) {
    outcome o = {.aircraft = a, .sentence = take_text(t)};
    take_state(t, &o.state, a);
    o.parts = take_room(t, a->part_count, sizeof *o.parts);
    for (int i = 0; i < a->part_count && !t->wrong; i++)
        take_part_outcome(t, &o.parts[i]);
    o.functions = take_room(t, a->function_count, sizeof *o.functions);
    for (int i = 0; i < a->function_count && !t->wrong; i++)
        take_function(t, &o.functions[i], a->part_count);
    o.indication_count = take_count(t);
    o.indications = take_room(t, o.indication_count, sizeof *o.indications);
    for (int i = 0; i < o.indication_count && !t->wrong; i++)
        take_indication(t, &o.indications[i], a->part_count);
    o.source_count = take_count(t);
    o.sources = take_room(t, o.source_count, sizeof *o.sources);
    for (int i = 0; i < o.source_count && !t->wrong; i++)
        take_source(t, &o.sources[i], a->part_count);
    return o;
}
