#include "model/carried.h"
#include "model/carried_words.h"

static void put_span(text *t, span s) {
    carry_int(t, s.line);
    if (s.line == 0)
        return;
    carry_int(t, s.column);
    carry_int(t, s.offset);
    carry_int(t, s.length);
}

// ---- values -------------------------------------------------------------------------------------
static void put_figure(text *t, const figure *f) {
    bool band = f->low != f->value || f->high != f->value, at = f->at_unit != UNIT_NONE;
    bool where = f->where && *f->where;
    carry_int(t, (band ? CARRIED_BAND : 0) | (at ? CARRIED_AT : 0) | (where ? CARRIED_WHERE : 0));
    carry_number(t, f->value);
    carry_int(t, f->unit);
    carry_int(t, f->basis);
    if (band) {
        carry_number(t, f->low);
        carry_number(t, f->high);
    }
    if (at) {
        carry_number(t, f->at);
        carry_int(t, f->at_unit);
    }
    if (where)
        carry_text(t, f->where);
}

static void put_reference(text *t, reference r) {
    carry_int(t, r.part);
    carry_int(t, r.terminal);
    carry_int(t, r.position);
}

static void put_references(text *t, const reference_list *l) {
    carry_int(t, l->count);
    carry_int(t, l->diodes);
    for (int i = 0; i < l->count; i++)
        put_reference(t, l->items[i]);
}

static void put_positions(text *t, const positions *p) {
    carry_int(t, p->sort);
    carry_texts(t, p->labels, p->count);
    carry_int(t, p->figures != NULL);
    for (int i = 0; p->figures && i < p->count; i++)
        carry_number(t, p->figures[i]);
}

static void put_wire(text *t, const wire_run *w) {
    carry_int(t, w->gauge);
    carry_number(t, w->meters);
    carry_int(t, w->basis);
    carry_text(t, w->where);
}

static void put_value(text *t, const part_value *v) {
    carry_int(t, v->key);
    carry_int(t, v->type);
    switch (v->type) {
    case VALUE_FIGURE: put_figure(t, &v->as.figure); break;
    case VALUE_TEXT: carry_text(t, v->as.text); break;
    case VALUE_YES: carry_int(t, v->as.yes); break;
    case VALUE_REFERENCES: put_references(t, &v->as.references); break;
    case VALUE_IDS: carry_ints(t, v->as.ids.items, v->as.ids.count); break;
    case VALUE_CONDITION: carry_int(t, v->as.condition); break;
    case VALUE_CONDITIONS: carry_ints(t, v->as.conditions.items, v->as.conditions.count); break;
    case VALUE_NAMES: carry_texts(t, v->as.names.items, v->as.names.count); break;
    case VALUE_WIRE: put_wire(t, &v->as.wire); break;
    case VALUE_POSITIONS: put_positions(t, &v->as.positions); break;
    case VALUE_READS:
        carry_int(t, v->as.reads.count);
        for (int i = 0; i < v->as.reads.count; i++) {
            put_reference(t, v->as.reads.items[i].ref);
            carry_int(t, v->as.reads.items[i].position);
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
    carry_text(t, p->id);
    carry_text(t, p->label);
    carry_text(t, p->panel);
    carry_text(t, p->connected_where);
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
        carry_int(t, figures[i]);
    carry_int(t, p->value_count);
    for (int i = 0; i < p->value_count; i++)
        put_value(t, &p->values[i]);
}

static void put_condition(text *t, const condition *c) {
    carry_int(t, c->op);
    carry_int(t, c->below);
    carry_int(t, c->a);
    carry_int(t, c->b);
    put_reference(t, c->ref);
    put_reference(t, c->other);
    carry_int(t, c->supply);
    carry_int(t, c->position);
    carry_number(t, c->value);
    carry_number(t, c->place);
}

static void put_function(text *t, const function *f) {
    carry_text(t, f->name);
    carry_int(t, f->routed);
    carry_ints(t, f->kept_by.items, f->kept_by.count);
    carry_ints(t, f->partly_by.items, f->partly_by.count);
    carry_ints(t, f->gives.items, f->gives.count);
    carry_ints(t, f->gives_partly.items, f->gives_partly.count);
}

// What differs from `rest`, each with its place; then -1.
static void put_where_set(text *t, const double *values, int count, double rest) {
    for (int i = 0; i < count; i++) {
        if (values[i] == rest)
            continue;
        carry_int(t, i);
        carry_number(t, values[i]);
    }
    carry_int(t, -1);
}

static void put_phase(text *t, const phase *p, int parts) {
    carry_text(t, p->name);
    put_span(t, p->span);
    put_where_set(t, p->setting, parts, 0.0);
    put_where_set(t, p->duty, parts, -1.0);
    const bool is[] = {p->airborne,   p->night,        p->cloud,       p->icing,
                       p->stall_near, p->has_throttle, p->has_airspeed};
    for (size_t i = 0; i < sizeof is / sizeof is[0]; i++)
        carry_int(t, is[i]);
    carry_number(t, p->throttle);
    carry_number(t, p->airspeed);
    carry_number(t, p->temperature);
    carry_number(t, p->lasts);
    carry_int(t, p->read_count);
    for (int i = 0; i < p->read_count; i++) {
        carry_int(t, p->reads[i].part);
        put_figure(t, &p->reads[i].figure);
    }
}

static void put_rest(text *t, const aircraft *a) {
    carry_int(t, a->supply_count);
    for (int i = 0; i < a->supply_count; i++) {
        carry_text(t, a->supplies[i].name);
        carry_ints(t, a->supplies[i].makers, a->supplies[i].count);
    }
    carry_int(t, a->question_count);
    for (int i = 0; i < a->question_count; i++) {
        const question *q = &a->questions[i];
        carry_int(t, q->part);
        carry_int(t, q->found);
        carry_int(t, q->but);
        carry_text(t, q->by);
        carry_text(t, q->asked);
    }
    carry_int(t, a->paper_count);
    for (int i = 0; i < a->paper_count; i++) {
        carry_text(t, a->papers[i].key);
        carry_text(t, a->papers[i].value);
    }
}

static void put_findings(text *t, const findings *f) {
    carry_int(t, f->count);
    for (int i = 0; i < f->count; i++) {
        const finding *one = &f->items[i];
        carry_int(t, one->severity);
        put_span(t, one->where);
        carry_text(t, one->code);
        carry_text(t, one->text);
        carry_text(t, one->hint);
    }
}

void carried_write(const aircraft *a, const findings *file, text *out) {
    carry_text(out, CARRIED_MARK);
    carry_int(out, CARRIED_VERSION);
    carry_text(out, a->name);
    carry_text(out, a->tail);
    carry_text(out, a->note);
    carry_number(out, a->nominal);
    carry_int(out, a->seats);
    carry_int(out, (int64_t)(a->fingerprint >> 32));
    carry_int(out, (int64_t)(a->fingerprint & UINT32_MAX));
    carry_int(out, a->part_count);
    carry_int(out, a->condition_count);
    for (int i = 0; i < a->part_count; i++)
        put_part(out, &a->parts[i]);
    for (int i = 0; i < a->part_count; i++)
        carry_int(out, a->by_id[i]);
    for (int i = 0; i < a->condition_count; i++)
        put_condition(out, &a->conditions[i]);
    carry_int(out, a->function_count);
    for (int i = 0; i < a->function_count; i++)
        put_function(out, &a->functions[i]);
    carry_int(out, a->phase_count);
    for (int i = 0; i < a->phase_count; i++)
        put_phase(out, &a->phases[i], a->part_count);
    put_rest(out, a);
    put_findings(out, file);
}
