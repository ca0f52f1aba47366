// What a line must say, and what doesn't go together on one.
#include <string.h>

#include "model/reader.h"

static bool written_key(const reader *r, int index, part_key key) {
    return written_node(&r->drafts[index], key) != NULL;
}

static span key_place(const reader *r, int index, part_key key) {
    const node *n = written_node(&r->drafts[index], key);
    return n ? n->key->span : r->a->parts[index].span;
}

// A line with another mistake may have said it, and it couldn't be read.
static bool line_has_error(const reader *r, uint32_t line) {
    for (int i = 0; i < r->out->count && i < MOST_HINTS; i++) {
        if (r->out->items[i].severity == SEVERITY_ERROR && r->out->items[i].where.line == line)
            return true;
    }
    return false;
}

static void must_have(reader *r, int index, part_key key, const char *hint) {
    const part *p = &r->a->parts[index];
    if (line_has_error(r, p->span.line))
        return;
    say_error(r, p->span, "missing-key", hint, "'", p->id,
              join(r, (const char *const[]){"' is ", with_article(r, kind_word(p->kind)),
                                            " and needs `", NULL}),
              join(r, (const char *const[]){key_word(key), "`", NULL}));
}

static bool may_do_without_supply(const reader *r, int index) {
    switch (r->a->parts[index].kind) {
    case KIND_INSTRUMENT:
    case KIND_PROBE:
    case KIND_IGNITION:
    case KIND_AMMETER:
    case KIND_LOADMETER:
    case KIND_VOLTMETER: return true;
    default: return written_key(r, index, KEY_OWN_BATTERY);
    }
}

static void look(reader *r, int part) {
    if (part >= 0)
        r->looked_at[part] = true;
}

// Which parts a meter's selector, a dimmed light, a moving thing or a condition looks at.
static void find_looked_at(reader *r) {
    static const part_key KEYS[] = {KEY_SELECTED_BY, KEY_DIMMED_BY, KEY_FOLLOWS};
    const aircraft *a = r->a;
    r->looked_at = arena_new(r->scratch, (size_t)a->part_count + 1, sizeof *r->looked_at);
    if (!r->looked_at)
        return;
    for (int i = 0; i < a->part_count; i++) {
        for (int k = 0; k < 3; k++)
            look(r, part_id(&a->parts[i], KEYS[k]));
    }
    for (int i = 0; i < a->condition_count; i++) {
        look(r, a->conditions[i].ref.part);
        look(r, a->conditions[i].other.part);
    }
}

static void check_ends(reader *r, int index) {
    const part *p = &r->a->parts[index];
    const draft *d = &r->drafts[index];
    part_class class = kind_class(p->kind);
    if ((class == CLASS_UNIT || class == CLASS_ITEM) && !d->has_from &&
        !(class == CLASS_ITEM && may_do_without_supply(r, index)))
        must_have(r, index, KEY_FROM, "name its supply, or write `from: unknown`");
    if (class == CLASS_PATH && !d->has_from && !d->has_to &&
        !(p->kind == KIND_SWITCH && r->looked_at[index]))
        say_error(r, p->span, "no-ends", "add `from`, `to` or both", "'", p->id,
                  "' names neither of its ends", NULL);
    if (written_key(r, index, KEY_PERHAPS_FROM) && !d->from_unknown)
        say_error(r, key_place(r, index, KEY_PERHAPS_FROM), "perhaps-from",
                  "write `from: unknown` beside it",
                  "`perhaps-from` is for a part whose `from` "
                  "isn't known",
                  NULL, NULL, NULL);
    if ((written_key(r, index, KEY_ROW_BREAKER) || written_key(r, index, KEY_ROW_FUSE) ||
         written_key(r, index, KEY_ROW_SWITCH)) &&
        !d->has_from)
        must_have(r, index, KEY_FROM, "name the bus that its breaker is on");
    if (written_key(r, index, KEY_ROW_BREAKER) && written_key(r, index, KEY_ROW_FUSE))
        say_error(r, key_place(r, index, KEY_ROW_FUSE), "together", "", "'", p->id,
                  "' has `breaker` and `fuse`: write one of them as a line of its own", NULL);
    if (d->from_unknown && !written_key(r, index, KEY_PERHAPS_FROM))
        say_note(r, key_place(r, index, KEY_FROM), "not-connected", "", "'", p->id,
                 "' is on the list, but nobody knows yet what feeds it", NULL);
}

static void check_coil(reader *r, int index) {
    const part *p = &r->a->parts[index];
    if (p->kind != KIND_RELAY && p->kind != KIND_CONTACTOR)
        return;
    bool closes = written_key(r, index, KEY_CLOSES_WHEN);
    bool opens = written_key(r, index, KEY_OPENS_WHEN);
    bool coil = written_key(r, index, KEY_COIL_FROM);
    if (!coil && !closes && !opens)
        say_error(r, p->span, "no-coil", "add `coil-from`, `closes-when` or `opens-when`", "'",
                  p->id, "' has neither a coil nor a condition: nothing moves it", NULL);
    if (!coil && (written_key(r, index, KEY_COIL_TO) || written_key(r, index, KEY_COIL)))
        must_have(r, index, KEY_COIL_FROM, "name what feeds its coil");
    if (written_key(r, index, KEY_RESTS_ON) && written_key(r, index, KEY_RESTS))
        say_error(r, key_place(r, index, KEY_RESTS), "together", "leave `rests` out", "'", p->id,
                  "' rests on something already", NULL);
    const figure *pulls = part_figure(p, KEY_PULLS_IN);
    const figure *drops = part_figure(p, KEY_DROPS_OUT);
    if (pulls && drops && pulls->value <= drops->value)
        say_error(r, key_place(r, index, KEY_PULLS_IN), "thresholds", "", "'", p->id,
                  "' would let go above the volts at which it pulls in", NULL);
}

static void check_contact(reader *r, int index) {
    const part *p = &r->a->parts[index];
    bool closes = written_key(r, index, KEY_CLOSES_WHEN);
    bool opens = written_key(r, index, KEY_OPENS_WHEN);
    if (closes && opens)
        say_error(r, key_place(r, index, KEY_OPENS_WHEN), "together", "one condition with `until`",
                  "'", p->id, "' has both `closes-when` and `opens-when`", NULL);
    const char *rests = part_text(p, KEY_RESTS);
    if (opens && p->kind != KIND_BATTERY && written_key(r, index, KEY_RESTS) && rests &&
        strcmp(rests, "closed") != 0)
        say_error(r, key_place(r, index, KEY_RESTS), "together", "write `rests: closed`", "'",
                  p->id, "' has `opens-when`, so it must rest closed", NULL);
    if (p->kind == KIND_SWITCH && written_key(r, index, KEY_RESTS) && !closes)
        say_error(r, key_place(r, index, KEY_RESTS), "together", "", "'", p->id,
                  "' is worked by hand: `rests` goes with `closes-when`", NULL);
    if (p->kind == KIND_SWITCH && closes &&
        (written_key(r, index, KEY_POSITIONS) || written_key(r, index, KEY_SPRINGS_BACK)))
        say_error(r, key_place(r, index, KEY_CLOSES_WHEN), "together", "", "'", p->id,
                  "' has `closes-when`, so no hand moves it: it has no positions", NULL);
    if (part_id(p, KEY_ONLY_WITH) == index || part_id(p, KEY_MOVES_WITH) == index)
        say_error(r, p->span, "itself", "", "'", p->id, "' goes with itself", NULL);
}

static bool is_end_of(const aircraft *a, reference end, reference read) {
    if (read.part < 0)
        return true;
    const part *p = &a->parts[read.part];
    if (end.part == read.part)
        return true;
    static const part_key ENDS[] = {KEY_FROM, KEY_TO};
    for (int k = 0; k < 2; k++) {
        const reference_list *list = part_references(p, ENDS[k]);
        for (int i = 0; list && i < list->count; i++) {
            if (list->items[i].part == end.part)
                return true;
        }
    }
    return end.part == PART_AIRFRAME;
}

static void check_meter(reader *r, int index) {
    const part *p = &r->a->parts[index];
    if (p->kind != KIND_AMMETER && p->kind != KIND_LOADMETER && p->kind != KIND_VOLTMETER)
        return;
    const part_value *reads = part_value_of(p, KEY_READS);
    const part_value *right = part_value_of(p, KEY_RIGHT);
    const char *sort = part_text(p, KEY_VALUE);
    if (!written_key(r, index, KEY_READS))
        must_have(r, index, KEY_READS, "name the point or part that it reads");
    if (sort && strcmp(sort, "center-zero") == 0 && !written_key(r, index, KEY_RIGHT))
        must_have(r, index, KEY_RIGHT, "say which way the needle goes: `right: towards ID`");
    for (int i = 0; reads && right && i < right->as.reads.count; i++) {
        const reading *end = &right->as.reads.items[i];
        for (int j = 0; j < reads->as.reads.count; j++) {
            const reading *read = &reads->as.reads.items[j];
            if (read->position == end->position && !is_end_of(r->a, end->ref, read->ref))
                say_error(r, end->ref.span, "not-an-end", "", "this is no end of '",
                          r->a->parts[read->ref.part].id, "', which it reads", NULL);
        }
    }
    for (int j = 0; reads && p->kind != KIND_VOLTMETER && j < reads->as.reads.count; j++) {
        int part = reads->as.reads.items[j].ref.part;
        if (part >= 0 && kind_class(r->a->parts[part].kind) == CLASS_POINT)
            say_error(r, reads->as.reads.items[j].ref.span, "reads", "name the shunt or source",
                      "'", r->a->parts[part].id, "' is a point: no current goes through it", NULL);
    }
}

static void check_figures(reader *r, int index) {
    const part *p = &r->a->parts[index];
    const draft *d = &r->drafts[index];
    const field *own = field_find(p->kind, KEY_VALUE);
    const node *amps = written_node(d, KEY_AMPS);
    const node *value = written_node(d, KEY_VALUE);
    if (amps && own && own->type == FIELD_FIGURE_OR_TEXT && value && value->type == NODE_TEXT &&
        starts_like_figure(value->text))
        say_error(r, amps->key->span, "together", "leave `amps` out", "'", p->id,
                  "' has its current in its first value already", NULL);
    const figure *works = part_figure(p, KEY_WORKS_ABOVE);
    const figure *off = part_figure(p, KEY_OFF_BELOW);
    const figure *sends = part_figure(p, KEY_TRANSMITS_ABOVE);
    if (works && off && works->value < off->value)
        say_error(r, key_place(r, index, KEY_WORKS_ABOVE), "thresholds", "", "'", p->id,
                  "' would be off at volts at which it works", NULL);
    if (works && sends && sends->value < works->value)
        say_warning(r, key_place(r, index, KEY_TRANSMITS_ABOVE), "thresholds", "", "'", p->id,
                    "' would transmit at volts at which it doesn't work", NULL);
    if (written_key(r, index, KEY_CHARGE_LIMIT) && !written_key(r, index, KEY_CHARGED_FROM))
        say_warning(r, key_place(r, index, KEY_CHARGE_LIMIT), "no-effect", "",
                    "`charge-limit` of '", p->id, "' has no effect without `charged-from`", NULL);
    if (written_key(r, index, KEY_TRANSMITS_ABOVE) && !part_figure(p, KEY_TRANSMIT))
        say_warning(r, key_place(r, index, KEY_TRANSMITS_ABOVE), "no-effect", "",
                    "`transmits-above` of '", p->id, "' has no effect without `transmit`", NULL);
    const figure *should = part_figure(p, KEY_SHOULD_BE);
    const figure *rating = part_figure(p, KEY_VALUE);
    if (should && rating && should->value < rating->value)
        say_warning(r, key_place(r, index, KEY_SHOULD_BE), "wrong-rating", "for the technician",
                    "'", p->id,
                    "' is fitted with a larger rating than the "
                    "drawing has",
                    NULL);
}

// Nothing that opens between it and its bus or source.
static bool always_fed(const aircraft *a, int index) {
    const part *p = &a->parts[index];
    if (!p->electric || p->row_switch >= 0 || part_text(p, KEY_OWN_SWITCH))
        return false;
    for (int steps = 0; steps < 16; steps++) {
        const reference_list *from = part_references(&a->parts[index], KEY_FROM);
        if (!from || from->count != 1 || from->items[0].part < 0)
            return false;
        index = from->items[0].part;
        part_kind k = a->parts[index].kind;
        if (k == KIND_SWITCH || k == KIND_RELAY || k == KIND_CONTACTOR || k == KIND_DIMMER)
            return false;
        if (kind_class(k) != CLASS_PATH)
            return kind_class(k) == CLASS_POINT || kind_class(k) == CLASS_SOURCE;
    }
    return false;
}

// A horn on a bus sounds in every phase.
static void check_sounder(reader *r, int index) {
    const part *p = &r->a->parts[index];
    if (p->kind == KIND_SOUNDER && !written_key(r, index, KEY_SOUNDS_WHEN) &&
        !written_key(r, index, KEY_RUNS_WHEN) && !written_key(r, index, KEY_NEEDS) &&
        always_fed(r->a, index))
        say_warning(r, p->span, "sounds-always",
                    "add `sounds-when`, or feed it through a switch with `closes-when`", "'", p->id,
                    "' sounds as long as its bus has volts", NULL);
}

void check_parts(reader *r) {
    find_looked_at(r);
    for (int i = 0; i < r->a->part_count && !reader_failed(r); i++) {
        if (r->a->parts[i].implied != IMPLIED_NO)
            continue;
        check_ends(r, i);
        check_coil(r, i);
        check_contact(r, i);
        check_meter(r, i);
        check_figures(r, i);
        check_sounder(r, i);
    }
}
