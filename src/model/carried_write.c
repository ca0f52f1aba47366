#include <math.h>
#include <string.h>

#include "base/number.h"
#include "model/carried.h"

static const char DIGITS[] = "0123456789ABCDEF";

// ---- words --------------------------------------------------------------------------------------
static void put_int(text *t, int64_t value) {
    text_int(t, value);
    text_char(t, ' ');
}

static uint64_t bits_of(double value) {
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

// By its bits, where decimals wouldn't give them back.
static void put_number(text *t, double value) {
    char room[NUMBER_ROOM];
    int length = isfinite(value) ? number_write_shortest(room, value) : 0;
    uint64_t bits = bits_of(value);
    double back = 0;
    bool whole = length > 0 && number_read(room, (size_t)length, &back) == length;
    if (whole && bits_of(back) == bits) {
        text_put_n(t, room, (size_t)length);
    } else {
        text_char(t, '#');
        for (int shift = 60; shift >= 0; shift -= 4)
            text_char(t, DIGITS[bits >> shift & 15]);
    }
    text_char(t, ' ');
}

static void put_text(text *t, const char *s) {
    if (!s) {
        text_char(t, '-');
        return;
    }
    text_char(t, '"');
    for (; *s; s++) {
        unsigned char c = (unsigned char)*s;
        if (c >= ' ' && c <= '~' && !strchr("\"%<&", c)) {
            text_char(t, (char)c);
        } else {
            text_char(t, '%');
            text_char(t, DIGITS[c >> 4]);
            text_char(t, DIGITS[c & 15]);
        }
    }
    text_char(t, '"');
}

static void put_ints(text *t, const int *items, int count) {
    put_int(t, count);
    for (int i = 0; i < count; i++)
        put_int(t, items[i]);
}

static void put_texts(text *t, const char *const *items, int count) {
    put_int(t, count);
    for (int i = 0; i < count; i++)
        put_text(t, items[i]);
}

static void put_span(text *t, span s) {
    put_int(t, s.line);
    if (s.line == 0)
        return;
    put_int(t, s.column);
    put_int(t, s.offset);
    put_int(t, s.length);
}

// ---- values -------------------------------------------------------------------------------------
static void put_figure(text *t, const figure *f) {
    bool band = f->low != f->value || f->high != f->value, at = f->at_unit != UNIT_NONE;
    bool where = f->where && *f->where;
    put_int(t, (band ? CARRIED_BAND : 0) | (at ? CARRIED_AT : 0) | (where ? CARRIED_WHERE : 0));
    put_number(t, f->value);
    put_int(t, f->unit);
    put_int(t, f->basis);
    if (band) {
        put_number(t, f->low);
        put_number(t, f->high);
    }
    if (at) {
        put_number(t, f->at);
        put_int(t, f->at_unit);
    }
    if (where)
        put_text(t, f->where);
}

static void put_reference(text *t, reference r) {
    put_int(t, r.part);
    put_int(t, r.terminal);
    put_int(t, r.position);
}

static void put_references(text *t, const reference_list *l) {
    put_int(t, l->count);
    put_int(t, l->diodes);
    for (int i = 0; i < l->count; i++)
        put_reference(t, l->items[i]);
}

static void put_positions(text *t, const positions *p) {
    put_int(t, p->sort);
    put_texts(t, p->labels, p->count);
    put_int(t, p->figures != NULL);
    for (int i = 0; p->figures && i < p->count; i++)
        put_number(t, p->figures[i]);
}

static void put_wire(text *t, const wire_run *w) {
    put_int(t, w->gauge);
    put_number(t, w->meters);
    put_int(t, w->basis);
    put_text(t, w->where);
}

static void put_value(text *t, const part_value *v) {
    put_int(t, v->key);
    put_int(t, v->type);
    switch (v->type) {
    case VALUE_FIGURE: put_figure(t, &v->as.figure); break;
    case VALUE_TEXT: put_text(t, v->as.text); break;
    case VALUE_YES: put_int(t, v->as.yes); break;
    case VALUE_REFERENCES: put_references(t, &v->as.references); break;
    case VALUE_IDS: put_ints(t, v->as.ids.items, v->as.ids.count); break;
    case VALUE_CONDITION: put_int(t, v->as.condition); break;
    case VALUE_CONDITIONS: put_ints(t, v->as.conditions.items, v->as.conditions.count); break;
    case VALUE_NAMES: put_texts(t, v->as.names.items, v->as.names.count); break;
    case VALUE_WIRE: put_wire(t, &v->as.wire); break;
    case VALUE_POSITIONS: put_positions(t, &v->as.positions); break;
    case VALUE_READS:
        put_int(t, v->as.reads.count);
        for (int i = 0; i < v->as.reads.count; i++) {
            put_reference(t, v->as.reads.items[i].ref);
            put_int(t, v->as.reads.items[i].position);
        }
        break;
    }
}

// ---- parts, conditions, phases ------------------------------------------------------------------
static void put_part(text *t, const part *p) {
    const int figures[] = {(int)p->kind, (int)p->section, (int)p->implied,  p->host,
                           p->wire,      p->row_breaker,  p->row_switch,    p->electric,
                           p->hand,      p->fitted,       (int)p->reach,    p->row,
                           p->number,    p->ground,       (int)p->connected};
    put_text(t, p->id);
    put_text(t, p->label);
    put_text(t, p->panel);
    put_text(t, p->connected_where);
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
        put_int(t, figures[i]);
    put_int(t, p->value_count);
    for (int i = 0; i < p->value_count; i++)
        put_value(t, &p->values[i]);
}

static void put_condition(text *t, const condition *c) {
    put_int(t, c->op);
    put_int(t, c->below);
    put_int(t, c->a);
    put_int(t, c->b);
    put_reference(t, c->ref);
    put_reference(t, c->other);
    put_int(t, c->supply);
    put_int(t, c->position);
    put_number(t, c->value);
    put_number(t, c->place);
}

static void put_function(text *t, const function *f) {
    put_text(t, f->name);
    put_int(t, f->routed);
    put_ints(t, f->kept_by.items, f->kept_by.count);
    put_ints(t, f->partly_by.items, f->partly_by.count);
    put_ints(t, f->gives.items, f->gives.count);
    put_ints(t, f->gives_partly.items, f->gives_partly.count);
}

// What differs from `rest`, each with its place; then -1.
static void put_where_set(text *t, const double *values, int count, double rest) {
    for (int i = 0; i < count; i++) {
        if (values[i] == rest)
            continue;
        put_int(t, i);
        put_number(t, values[i]);
    }
    put_int(t, -1);
}

static void put_phase(text *t, const phase *p, int parts) {
    put_text(t, p->name);
    put_span(t, p->span);
    put_where_set(t, p->setting, parts, 0.0);
    put_where_set(t, p->duty, parts, -1.0);
    const bool is[] = {p->airborne,   p->night,        p->cloud,       p->icing,
                       p->stall_near, p->has_throttle, p->has_airspeed};
    for (size_t i = 0; i < sizeof is / sizeof is[0]; i++)
        put_int(t, is[i]);
    put_number(t, p->throttle);
    put_number(t, p->airspeed);
    put_number(t, p->temperature);
    put_number(t, p->lasts);
    put_int(t, p->read_count);
    for (int i = 0; i < p->read_count; i++) {
        put_int(t, p->reads[i].part);
        put_figure(t, &p->reads[i].figure);
    }
}

static void put_rest(text *t, const aircraft *a) {
    put_int(t, a->supply_count);
    for (int i = 0; i < a->supply_count; i++) {
        put_text(t, a->supplies[i].name);
        put_ints(t, a->supplies[i].makers, a->supplies[i].count);
    }
    put_int(t, a->question_count);
    for (int i = 0; i < a->question_count; i++) {
        const question *q = &a->questions[i];
        put_int(t, q->part);
        put_int(t, q->found);
        put_int(t, q->but);
        put_text(t, q->by);
        put_text(t, q->asked);
    }
    put_int(t, a->paper_count);
    for (int i = 0; i < a->paper_count; i++) {
        put_text(t, a->papers[i].key);
        put_text(t, a->papers[i].value);
    }
}

static void put_findings(text *t, const findings *f) {
    put_int(t, f->count);
    for (int i = 0; i < f->count; i++) {
        const finding *one = &f->items[i];
        put_int(t, one->severity);
        put_span(t, one->where);
        put_text(t, one->code);
        put_text(t, one->text);
        put_text(t, one->hint);
    }
}

void carried_write(const aircraft *a, const findings *file, text *out) {
    put_text(out, CARRIED_MARK);
    put_int(out, CARRIED_VERSION);
    put_text(out, a->name);
    put_text(out, a->tail);
    put_text(out, a->note);
    put_number(out, a->nominal);
    put_int(out, a->seats);
    put_int(out, (int64_t)(a->fingerprint >> 32));
    put_int(out, (int64_t)(a->fingerprint & UINT32_MAX));
    put_int(out, a->part_count);
    put_int(out, a->condition_count);
    for (int i = 0; i < a->part_count; i++)
        put_part(out, &a->parts[i]);
    for (int i = 0; i < a->part_count; i++)
        put_int(out, a->by_id[i]);
    for (int i = 0; i < a->condition_count; i++)
        put_condition(out, &a->conditions[i]);
    put_int(out, a->function_count);
    for (int i = 0; i < a->function_count; i++)
        put_function(out, &a->functions[i]);
    put_int(out, a->phase_count);
    for (int i = 0; i < a->phase_count; i++)
        put_phase(out, &a->phases[i], a->part_count);
    put_rest(out, a);
    put_findings(out, file);
}
