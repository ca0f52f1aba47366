// Second pass: every key's value, now that all ids, positions and supplies are known.
#include <string.h>

#include "model/reader.h"

static const char *make_whose(reader *r, const draft *d, part_key key) {
    const char *kind = with_article(r, kind_word(d->part.kind));
    if (key != KEY_VALUE)
        return join(r, (const char *const[]){"`", key_word(key), "` of ", kind, NULL});
    switch (d->part.kind) {
    case KIND_BREAKER:
    case KIND_FUSE:
    case KIND_LIMITER: return join(r, (const char *const[]){kind, "'s rating", NULL});
    default: return join(r, (const char *const[]){"the figure of ", kind, NULL});
    }
}

// Words for complaints, needed by none of most files' figures: made once for a kind and key.
static const char *whose(reader *r, const draft *d, part_key key) {
    const char **made = &r->whose[(int)d->part.kind * KEY_COUNT + (int)key];
    if (!*made)
        *made = make_whose(r, d, key);
    return *made;
}

static void set_label(reader *r, draft *d, const char *text) {
    (void)r;
    if (*text)
        d->part.label = text;
}

static void figure_value(reader *r, draft *d, const written *w) {
    figure g;
    if (w->value->type != NODE_TEXT) {
        say_error(r, w->value->span, "not-text", "", "one figure stands here, not a list or map",
                  NULL, NULL, NULL);
        return;
    }
    if (!read_figure(r, w->value, 0, w->field, whose(r, d, w->key), &g))
        return;
    part_value *v = add_value(r, d, w->key, VALUE_FIGURE, w->value->span);
    if (v)
        v->as.figure = g;
}

static void text_value(reader *r, draft *d, const written *w) {
    const char *text = read_text(r, w->value);
    part_value *v = *text ? add_value(r, d, w->key, VALUE_TEXT, w->value->span) : NULL;
    if (!v)
        return;
    v->as.text = text;
    if (w->key == KEY_LABEL || w->key == KEY_VALUE)
        set_label(r, d, text);
}

// Figure or name: what starts with a digit must be a figure.
static void figure_or_text(reader *r, draft *d, const written *w) {
    const node *n = w->value;
    if (n->type == NODE_TEXT && starts_like_figure(n->text)) {
        figure_value(r, d, w);
        return;
    }
    if (w->field->words) {  // voltmeter: digital
        if (read_words(r, n, w->field) < 0)
            return;
        part_value *v = add_value(r, d, w->key, VALUE_TEXT, n->span);
        if (v)
            v->as.text = "digital";
        return;
    }
    set_label(r, d, read_text(r, n));
}

// The word as the format spells it.
static const char *canonical(reader *r, const char *words, int index) {
    for (; index > 0; index--)
        words = strchr(words, ' ') + 1;
    const char *end = strchr(words, ' ');
    const char *made = arena_text(r->keep, words, end ? (size_t)(end - words) : strlen(words));
    if (!made)
        return "";
    return strcmp(made, "goes-on") == 0 ? "goes on" : made;
}

static void word_value(reader *r, draft *d, const written *w) {
    int index = read_words(r, w->value, w->field);
    part_value *v = index < 0 ? NULL : add_value(r, d, w->key, VALUE_TEXT, w->value->span);
    if (!v)
        return;
    v->as.text = canonical(r, w->field->words, index);
    if (w->key == KEY_REACH)
        d->part.reach = (reach)index;
}

static void fitted_value(reader *r, draft *d, const written *w) {
    const node **items = NULL;
    int count = 0;
    uint8_t bits = 0;
    if (!read_list(r, w->value, &items, &count))
        return;
    for (int i = 0; i < count; i++) {
        int index = read_words(r, items[i], w->field);
        if (index >= 0)
            bits |= (uint8_t)(1u << index);
    }
    draft *holder = d->part.row_breaker >= 0 ? &r->drafts[d->part.row_breaker] : d;
    holder->part.fitted = bits;
}

static void reference_values(reader *r, draft *d, const written *w) {
    const node *n = w->value;
    bool list = n->type == NODE_LIST;
    if (n->refused)
        return;
    if (list && w->field->type == FIELD_REFERENCE) {
        say_error(r, n->span, "list", "write the diodes as parts of their own", "`",
                  key_word(w->key), "` takes one terminal here, not a list", NULL);
        return;
    }
    const node **items = NULL;
    int count = 0;
    if (!read_list(r, n, &items, &count))
        return;
    reference *made = arena_new(r->keep, (size_t)(count ? count : 1), sizeof *made);
    if (!made)
        return;
    int good = 0;
    for (int i = 0; i < count; i++) {
        if (read_reference(r, items[i], 0, items[i]->length, &made[good]))
            good++;
    }
    if (count == 0)
        say_error(r, n->span, "empty", "", "this list is empty: leave the key out", NULL, NULL,
                  NULL);
    part_value *v = good ? add_value(r, d, w->key, VALUE_REFERENCES, n->span) : NULL;
    if (v)
        v->as.references = (reference_list){
            .items = made, .count = good, .diodes = list && w->field->type == FIELD_REFERENCES};
}

static const char *kinds_words(reader *r, uint64_t kinds) {
    const char *list = "";
    for (int k = 0; k < KIND_COUNT; k++) {
        if (kinds >> k & 1)
            list = join(r, (const char *const[]){list, *list ? " or " : "",
                                                 with_article(r, kind_word((part_kind)k)), NULL});
    }
    return list;
}

static void id_values(reader *r, draft *d, const written *w) {
    const node **items = NULL;
    int count = 0;
    if (w->field->type == FIELD_ID && w->value->type != NODE_TEXT) {
        say_error(r, w->value->span, "not-text", "", "one id stands here", NULL, NULL, NULL);
        return;
    }
    if (!read_list(r, w->value, &items, &count))
        return;
    int *made = arena_new(r->keep, (size_t)(count ? count : 1), sizeof *made);
    if (!made)
        return;
    int good = 0;
    for (int i = 0; i < count; i++) {
        int id = need_id(r, items[i], 0, items[i]->length);
        if (id < 0)
            continue;
        part_kind kind = r->drafts[id].part.kind;
        if (w->field->targets && !(w->field->targets >> kind & 1)) {
            say_error(
                r, items[i]->span, "wrong-kind", "",
                join(r, (const char *const[]){"`", key_word(w->key), "` names ",
                                              kinds_words(r, w->field->targets), "; '", NULL}),
                items[i]->text, "' is ", with_article(r, kind_word(kind)));
            continue;
        }
        made[good++] = id;
    }
    part_value *v = good ? add_value(r, d, w->key, VALUE_IDS, w->value->span) : NULL;
    if (v) {
        v->as.ids.items = made;
        v->as.ids.count = good;
    }
}

static void name_values(reader *r, draft *d, const written *w) {
    const node **items = NULL;
    int count = 0;
    if (!read_list(r, w->value, &items, &count) || count == 0)
        return;
    const char **made = arena_new(r->keep, (size_t)count, sizeof *made);
    if (!made)
        return;
    for (int i = 0; i < count; i++) {
        made[i] = arena_text(r->keep, items[i]->text, items[i]->length);
        if (!made[i])
            return;
    }
    part_value *v = add_value(r, d, w->key, VALUE_NAMES, w->value->span);
    if (v)
        v->as.names = (text_list){.items = made, .count = count};
}

static void needs_value(reader *r, draft *d, const written *w) {
    const node **items = NULL;
    int count = 0;
    if (!read_list(r, w->value, &items, &count))
        return;
    int *made = arena_new(r->keep, (size_t)(count ? count : 1), sizeof *made);
    if (!made)
        return;
    int good = 0;
    for (int i = 0; i < count; i++) {
        made[good] = read_condition(r, items[i], d->part.host);
        if (made[good] >= 0)
            good++;
    }
    part_value *v = good ? add_value(r, d, w->key, VALUE_CONDITIONS, w->value->span) : NULL;
    if (v) {
        v->as.conditions.items = made;
        v->as.conditions.count = good;
    }
}

static void wire_value(reader *r, draft *d, const written *w) {
    wire_run run;
    if (w->value->type != NODE_TEXT) {
        say_error(r, w->value->span, "not-text", "", "a wire is written as `16 AWG 12 ft`", NULL,
                  NULL, NULL);
        return;
    }
    if (w->field->type == FIELD_WIRE_OR_TEXT && !looks_like_wire(w->value->text)) {
        set_label(r, d, read_text(r, w->value));
        return;
    }
    if (!read_wire(r, w->value, &run))
        return;
    draft *holder = w->key == KEY_WIRE && d->part.wire >= 0 ? &r->drafts[d->part.wire] : d;
    part_value *v = add_value(r, holder, w->key == KEY_VALUE ? KEY_VALUE : KEY_WIRE, VALUE_WIRE,
                              w->value->span);
    if (v)
        v->as.wire = run;
}

static void row_value(reader *r, draft *d, const written *w) {
    int implied = w->key == KEY_ROW_SWITCH ? d->part.row_switch : d->part.row_breaker;
    const char *text = read_text(r, w->value);
    if (implied < 0 || !*text)
        return;
    draft *row = &r->drafts[implied];
    if (w->key == KEY_ROW_SWITCH) {
        row->part.label = text;
        part_value *v = add_value(r, row, KEY_VALUE, VALUE_TEXT, w->value->span);
        if (v)
            v->as.text = text;
        return;
    }
    if (w->key == KEY_ROW_FUSE && row->part.kind != KIND_FUSE)
        return;  // both are written: said by the checks
    // The figure ends after its unit; what follows is printed at it.
    const char *end = text;
    while ((*end >= '0' && *end <= '9') || *end == '.')
        end++;
    while (*end == ' ')
        end++;
    while (*end && *end != ' ')
        end++;
    node figure_node = *w->value;
    figure_node.text = text;
    figure_node.length = (size_t)(end - text);
    figure g;
    if (!read_figure(r, &figure_node, 0, w->field, whose(r, row, KEY_VALUE), &g))
        return;
    part_value *v = add_value(r, row, KEY_VALUE, VALUE_FIGURE, w->value->span);
    if (v)
        v->as.figure = g;
    while (*end == ' ')
        end++;
    if (*end)
        row->part.label = end;
}

static void place_value(reader *r, draft *d, const written *w) {
    draft *holder = d->part.row_breaker >= 0 ? &r->drafts[d->part.row_breaker] : d;
    read_place(r, holder, w->value);
}

static void condition_value(reader *r, draft *d, const written *w) {
    int c = read_condition(r, w->value, d->part.host);
    part_value *v = c < 0 ? NULL : add_value(r, d, w->key, VALUE_CONDITION, w->value->span);
    if (v)
        v->as.condition = c;
}

static void basis_value(reader *r, draft *d, const written *w) {
    read_basis(r, w->value, &d->part.connected, &d->part.connected_where);
}

static void yes_value(reader *r, draft *d, const written *w) {
    bool yes = false;
    if (!read_yes(r, w->value, &yes))
        return;
    part_value *v = add_value(r, d, w->key, VALUE_YES, w->value->span);
    if (v)
        v->as.yes = yes;
}

static void handbook_value(reader *r, draft *d, const written *w) {
    draft *holder = d->part.row_breaker >= 0 ? &r->drafts[d->part.row_breaker] : d;
    text_value(r, holder, w);
}

static void read_value(reader *r, draft *d, const written *w) {
    if (w->value->refused)
        return;
    switch (w->field->type) {
    case FIELD_FIGURE: figure_value(r, d, w); break;
    case FIELD_FIGURE_OR_TEXT: figure_or_text(r, d, w); break;
    case FIELD_TEXT: w->key == KEY_HANDBOOK ? handbook_value(r, d, w) : text_value(r, d, w); break;
    case FIELD_WORD: word_value(r, d, w); break;
    case FIELD_YES: yes_value(r, d, w); break;
    case FIELD_REFERENCE:
    case FIELD_REFERENCES:
    case FIELD_CHOICES: reference_values(r, d, w); break;
    case FIELD_ID:
    case FIELD_IDS: id_values(r, d, w); break;
    case FIELD_CONDITION: condition_value(r, d, w); break;
    case FIELD_NEEDS: needs_value(r, d, w); break;
    case FIELD_NAMES: name_values(r, d, w); break;
    case FIELD_WIRE:
    case FIELD_WIRE_OR_TEXT: wire_value(r, d, w); break;
    case FIELD_SPRING: read_spring(r, d, w); break;
    case FIELD_READS:
    case FIELD_RIGHT: read_meter(r, d, w); break;
    case FIELD_BASIS: basis_value(r, d, w); break;
    case FIELD_PLACE: place_value(r, d, w); break;
    case FIELD_FITTED: fitted_value(r, d, w); break;
    case FIELD_ROW_FIGURE:
    case FIELD_ROW_TEXT: row_value(r, d, w); break;
    case FIELD_POSITIONS:  // read with the lines: others refer to them
    case FIELD_DERIVED: break;
    }
}

// ---- the row on one line ------------------------------------------------------------------------

static reference own_end(const draft *d, int index) {
    return (reference){
        .part = index, .terminal = TERMINAL_SELF, .position = -1, .span = d->part.span};
}

static void set_from(reader *r, draft *d, reference one, span where) {
    reference *made = arena_new(r->keep, 1, sizeof *made);
    part_value *v = draft_value(d, KEY_FROM);
    if (!v)
        v = add_value(r, d, KEY_FROM, VALUE_REFERENCES, where);
    if (!made || !v)
        return;
    *made = one;
    v->as.references = (reference_list){.items = made, .count = 1};
}

// main-bus -> id.breaker -> id.switch -> the item.
static void join_row(reader *r, int host) {
    draft *d = &r->drafts[host];
    int breaker = d->part.row_breaker;
    int knob = d->part.row_switch;
    part_value *from = draft_value(d, KEY_FROM);
    if ((breaker < 0 && knob < 0) || !from)
        return;
    if (from->as.references.diodes) {
        say_error(r, from->span, "list", "write the breaker or switch as a line of its own",
                  "a row on one line has one `from`, not a list", NULL, NULL, NULL);
        return;
    }
    reference feed = from->as.references.items[0];
    span where = from->span;
    int order[2] = {breaker, knob};
    for (int i = 0; i < 2; i++) {
        if (order[i] < 0)
            continue;
        draft *row = &r->drafts[order[i]];
        row->part.connected = d->part.connected;
        row->part.connected_where = d->part.connected_where;
        set_from(r, row, feed, where);
        feed = own_end(row, order[i]);
        if (i == 0)
            continue;
    }
    set_from(r, d, feed, where);
}

static void join_strap(reader *r, int host) {
    draft *d = &r->drafts[host];
    if (kind_class(d->part.kind) != CLASS_POINT || d->part.wire < 0)
        return;
    const part_value *from = draft_value(d, KEY_FROM);
    draft *strap = &r->drafts[d->part.wire];
    reference *made = arena_new(r->keep, 1, sizeof *made);
    if (!from || !made)
        return;
    set_from(r, strap, from->as.references.items[0], from->span);
    part_value *to = add_value(r, strap, KEY_TO, VALUE_REFERENCES, from->span);
    *made = own_end(d, host);
    if (to)
        to->as.references = (reference_list){.items = made, .count = 1};
}

static void add_positions(reader *r, draft *d) {
    if (d->places.count == 0)
        return;
    part_value *v =
        add_value(r, d, KEY_POSITIONS, VALUE_POSITIONS, written_node(d, KEY_POSITIONS)->span);
    if (v)
        v->as.positions = d->places;
}

void read_values(reader *r) {
    for (int i = 0; i < r->count && !reader_failed(r); i++) {
        draft *d = &r->drafts[i];
        d->part.reach = REACH_TOOLS;
        for (int j = 0; j < d->written_count && !reader_failed(r); j++)
            read_value(r, d, &d->written[j]);
        add_positions(r, d);
    }
    for (int i = 0; i < r->count && !reader_failed(r); i++) {
        join_row(r, i);
        join_strap(r, i);
    }
}
