#include "model/carried.h"
#include "model/carried_words.h"

static int take_condition_of(taker *t) { return take_int(t, -1, t->conditions - 1); }

static span take_span(taker *t) {
    span s = {.line = (uint32_t)take_int(t, 0, INT32_MAX)};
    if (s.line == 0)
        return s;
    s.column = (uint32_t)take_int(t, 0, INT32_MAX);
    s.offset = (uint32_t)take_int(t, 0, INT32_MAX);
    s.length = (uint32_t)take_int(t, 0, INT32_MAX);
    return s;
}

// ---- values -------------------------------------------------------------------------------------
static figure take_figure(taker *t) {
    int more = take_int(t, 0, CARRIED_BAND | CARRIED_AT | CARRIED_WHERE);
    figure f = {.value = take_number(t), .where = ""};
    f.unit = (unit)take_int(t, 0, UNIT_RATIO);
    f.basis = (basis)take_int(t, 0, BASIS_SURVEY);
    f.low = more & CARRIED_BAND ? take_number(t) : f.value;
    f.high = more & CARRIED_BAND ? take_number(t) : f.value;
    if (more & CARRIED_AT) {
        f.at = take_number(t);
        f.at_unit = (unit)take_int(t, 0, UNIT_RATIO);
    }
    if (more & CARRIED_WHERE)
        f.where = take_text(t);
    return f;
}

static reference take_reference(taker *t) {
    reference r = {.part = take_part(t)};
    r.terminal = (terminal)take_int(t, 0, TERMINAL_NONE);
    r.position = take_int(t, -1, INT32_MAX);
    return r;
}

static reference_list take_references(taker *t) {
    reference_list l = {.count = take_count(t)};
    l.diodes = take_yes(t);
    reference *made = take_room(t, l.count, sizeof *made);
    for (int i = 0; i < l.count && !t->wrong; i++)
        made[i] = take_reference(t);
    l.items = made;
    return l;
}

static positions take_positions(taker *t) {
    positions p = {.sort = (position_sort)take_int(t, 0, POSITIONS_SETTINGS)};
    p.labels = take_texts(t, &p.count);
    if (!take_yes(t))
        return p;
    double *made = take_room(t, p.count, sizeof *made);
    for (int i = 0; i < p.count && !t->wrong; i++)
        made[i] = take_number(t);
    p.figures = made;
    return p;
}

static wire_run take_wire(taker *t) {
    wire_run w = {.gauge = (int)take_whole(t)};
    w.meters = take_number(t);
    w.basis = (basis)take_int(t, 0, BASIS_SURVEY);
    w.where = take_text(t);
    return w;
}

static void take_reads(taker *t, part_value *v) {
    v->as.reads.count = take_count(t);
    reading *made = take_room(t, v->as.reads.count, sizeof *made);
    for (int i = 0; i < v->as.reads.count && !t->wrong; i++) {
        made[i].ref = take_reference(t);
        made[i].position = take_int(t, -1, INT32_MAX);
    }
    v->as.reads.items = made;
}

static void take_value(taker *t, part_value *v) {
    v->key = (part_key)take_int(t, 0, KEY_COUNT - 1);
    v->type = (value_type)take_int(t, 0, VALUE_READS);
    switch (v->type) {
    case VALUE_FIGURE: v->as.figure = take_figure(t); break;
    case VALUE_TEXT: v->as.text = take_text(t); break;
    case VALUE_YES: v->as.yes = take_yes(t); break;
    case VALUE_REFERENCES: v->as.references = take_references(t); break;
    case VALUE_IDS: v->as.ids.items = take_list(t, &v->as.ids.count, take_part); break;
    case VALUE_CONDITION: v->as.condition = take_condition_of(t); break;
    case VALUE_CONDITIONS:
        v->as.conditions.items = take_list(t, &v->as.conditions.count, take_condition_of);
        break;
    case VALUE_NAMES: v->as.names.items = take_texts(t, &v->as.names.count); break;
    case VALUE_WIRE: v->as.wire = take_wire(t); break;
    case VALUE_POSITIONS: v->as.positions = take_positions(t); break;
    case VALUE_READS: take_reads(t, v); break;
    }
}

// ---- parts, conditions, phases ------------------------------------------------------------------
static void take_values(taker *t, part *p) {
    p->value_count = take_count(t);
    part_value *values = take_room(t, p->value_count, sizeof *values);
    for (int i = 0; i < p->value_count && !t->wrong; i++) {
        take_value(t, &values[i]);
        key_set_add(&p->keys, values[i].key);
    }
    p->values = values;
}

static void take_whole_part(taker *t, part *p) {
    p->id = take_text(t);
    p->label = take_text(t);
    p->panel = take_text(t);
    p->connected_where = take_text(t);
    p->kind = (part_kind)take_int(t, 0, KIND_COUNT - 1);
    p->section = (section)take_int(t, 0, SECTION_TOGETHER);
    p->implied = (implied)take_int(t, 0, IMPLIED_STRAP);
    p->host = take_part(t);
    p->wire = take_part(t);
    p->row_breaker = take_part(t);
    p->row_switch = take_part(t);
    p->electric = take_yes(t);
    p->hand = take_yes(t);
    p->fitted = (uint8_t)take_int(t, 0, UINT8_MAX);
    p->reach = (reach)take_int(t, 0, REACH_TOOLS);
    p->row = take_int(t, 0, INT32_MAX);
    p->number = take_int(t, 0, INT32_MAX);
    p->ground = take_part(t);
    p->connected = (basis)take_int(t, 0, BASIS_SURVEY);
    take_values(t, p);
}

static void take_parts(taker *t, aircraft *a) {
    part *parts = take_room(t, t->parts, sizeof *parts);
    int *by_id = take_room(t, t->parts, sizeof *by_id);
    for (int i = 0; i < t->parts && !t->wrong; i++)
        take_whole_part(t, &parts[i]);
    for (int i = 0; i < t->parts && !t->wrong; i++)
        by_id[i] = take_int(t, 0, t->parts - 1);
    a->parts = parts;
    a->by_id = by_id;
    a->part_count = t->parts;
}

static void take_condition(taker *t, condition *c) {
    c->op = (condition_op)take_int(t, 0, CONDITION_WORKS);
    c->below = take_yes(t);
    c->a = take_condition_of(t);
    c->b = take_condition_of(t);
    c->ref = take_reference(t);
    c->other = take_reference(t);
    c->supply = take_int(t, -1, INT32_MAX);
    c->position = take_int(t, -1, INT32_MAX);
    c->value = take_number(t);
    c->place = take_number(t);
}

static void take_conditions(taker *t, aircraft *a) {
    condition *made = take_room(t, t->conditions, sizeof *made);
    for (int i = 0; i < t->conditions && !t->wrong; i++)
        take_condition(t, &made[i]);
    a->conditions = made;
    a->condition_count = t->conditions;
}

static void take_functions(taker *t, aircraft *a) {
    a->function_count = take_count(t);
    function *made = take_room(t, a->function_count, sizeof *made);
    for (int i = 0; i < a->function_count && !t->wrong; i++) {
        function *f = &made[i];
        f->name = take_text(t);
        f->routed = take_yes(t);
        f->kept_by.items = take_list(t, &f->kept_by.count, take_condition_of);
        f->partly_by.items = take_list(t, &f->partly_by.count, take_condition_of);
        f->gives.items = take_list(t, &f->gives.count, take_part);
        f->gives_partly.items = take_list(t, &f->gives_partly.count, take_part);
    }
    a->functions = made;
}

static const double *take_where_set(taker *t, double rest) {
    double *made = take_room(t, t->parts, sizeof *made);
    for (int i = 0; i < t->parts && !t->wrong; i++)
        made[i] = rest;
    for (int i; (i = take_int(t, -1, t->parts - 1)) >= 0 && !t->wrong;)
        made[i] = take_number(t);
    return made;
}

static void take_confirmed(taker *t, phase *p) {
    p->read_count = take_count(t);
    struct confirmed *made = take_room(t, p->read_count, sizeof *made);
    for (int i = 0; i < p->read_count && !t->wrong; i++) {
        made[i].part = take_part(t);
        made[i].figure = take_figure(t);
    }
    p->reads = made;
}

static void take_phase(taker *t, phase *p) {
    p->name = take_text(t);
    p->span = take_span(t);
    p->setting = take_where_set(t, 0.0);
    p->duty = take_where_set(t, -1.0);
    bool *const is[] = {&p->airborne,   &p->night,        &p->cloud,       &p->icing,
                        &p->stall_near, &p->has_throttle, &p->has_airspeed};
    for (size_t i = 0; i < sizeof is / sizeof is[0]; i++)
        *is[i] = take_yes(t);
    p->throttle = take_number(t);
    p->airspeed = take_number(t);
    p->temperature = take_number(t);
    p->lasts = take_number(t);
    take_confirmed(t, p);
}

static void take_phases(taker *t, aircraft *a) {
    a->phase_count = take_count(t);
    phase *made = take_room(t, a->phase_count, sizeof *made);
    for (int i = 0; i < a->phase_count && !t->wrong; i++)
        take_phase(t, &made[i]);
    a->phases = made;
}

// ---- the rest -----------------------------------------------------------------------------------
static void take_supplies(taker *t, aircraft *a) {
    a->supply_count = take_count(t);
    supply *made = take_room(t, a->supply_count, sizeof *made);
    for (int i = 0; i < a->supply_count && !t->wrong; i++) {
        made[i].name = take_text(t);
        made[i].makers = take_list(t, &made[i].count, take_part);
    }
    a->supplies = made;
}

static void take_questions(taker *t, aircraft *a) {
    a->question_count = take_count(t);
    question *made = take_room(t, a->question_count, sizeof *made);
    for (int i = 0; i < a->question_count && !t->wrong; i++) {
        made[i].part = take_part(t);
        made[i].found = take_part(t);
        made[i].but = take_part(t);
        made[i].by = take_text(t);
        made[i].asked = take_text(t);
    }
    a->questions = made;
}

static void take_papers(taker *t, aircraft *a) {
    a->paper_count = take_count(t);
    paper *made = take_room(t, a->paper_count, sizeof *made);
    for (int i = 0; i < a->paper_count && !t->wrong; i++) {
        made[i].key = take_text(t);
        made[i].value = take_text(t);
    }
    a->papers = made;
}

static void take_findings(taker *t, findings *out) {
    int count = take_count(t);
    for (int i = 0; i < count && !t->wrong; i++) {
        severity s = (severity)take_int(t, 0, SEVERITY_NOTE);
        span where = take_span(t);
        const char *code = take_text(t), *words[] = {take_text(t), NULL}, *hint = take_text(t);
        if (!t->wrong)
            findings_add(out, s, where, code, hint, words);
    }
}

static void take_aircraft(taker *t, aircraft *a, findings *out) {
    const char *mark = take_text(t);
    if (!mark || !text_equal(mark, CARRIED_MARK) || take_whole(t) != CARRIED_VERSION) {
        t->wrong = true;
        return;
    }
    a->name = take_text(t);
    a->tail = take_text(t);
    a->note = take_text(t);
    a->nominal = take_number(t);
    a->seats = take_int(t, 0, INT32_MAX);
    a->fingerprint = (uint64_t)take_whole(t) << 32;
    a->fingerprint |= (uint64_t)take_whole(t);
    t->parts = take_count(t);
    t->conditions = take_count(t);
    take_parts(t, a);
    take_conditions(t, a);
    take_functions(t, a);
    take_phases(t, a);
    take_supplies(t, a);
    take_questions(t, a);
    take_papers(t, a);
    take_findings(t, out);
}

status carried_read(allocator memory, const char *letters, size_t length, aircraft **made,
                    findings *out) {
    *made = NULL;
    aircraft *a = memory_new(memory, sizeof *a);
    if (!a)
        return STATUS_NO_MEMORY;
    a->memory = arena_make(memory);
    taker t = {.at = letters, .end = letters + length, .keep = &a->memory};
    take_aircraft(&t, a, out);
    if (!t.wrong && a->phase_count > 0 && !out->memory.failed) {
        *made = a;
        return STATUS_OK;
    }
    bool starved = a->memory.failed || out->memory.failed;
    aircraft_free(a);
    return starved ? STATUS_NO_MEMORY : STATUS_BAD_FILE;
}
