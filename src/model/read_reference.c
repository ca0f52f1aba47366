// References: a text that names a terminal. The rules are those of the format's section on
// terminals.
#include <string.h>

#include "model/reader.h"

static bool said(reader *r, const node *n, size_t start, size_t length, const char *code,
                 const char *hint, const char *a, const char *b, const char *c) {
    say_error(r, node_part(n, start, length), code, hint, a, b, c, NULL);
    return false;
}

// A selector feeds in one of its positions, or in all of them.
static const char *on_hint(reader *r, const char *id, const positions *places) {
    static const char all[] =
        "`; if it feeds in every position, write them as places: `positions: {";
    const char *first = places->labels[0];
    return join(r, (const char *const[]){"name a position, as `", id, " at ", first, all, first,
                                         ": 0 %, ...}`", NULL});
}

// The id alone: what it stands for, by class.
static bool whole_part(reader *r, const node *n, size_t start, size_t length, reference *made) {
    const draft *d = &r->drafts[made->part];
    const char *id = d->part.id;
    if (d->part.implied == IMPLIED_WIRE || d->part.implied == IMPLIED_STRAP)
        return said(r, n, start, length, "no-terminal", "name the part that it belongs to", "'", id,
                    "' is a name for faults and answers, not a terminal");
    switch (kind_class(d->part.kind)) {
    case CLASS_DRY:
    case CLASS_GROUP:
        return said(r, n, start, length, "no-terminal", "",
                    with_article(r, kind_word(d->part.kind)),
                    " has no terminal: nothing can be joined to it", "");
    case CLASS_ITEM:
        if (!d->part.electric)
            return said(r, n, start, length, "no-terminal", "", "'", id,
                        "' has no `from`: nothing can be joined to it");
        break;
    case CLASS_PATH: break;
    default: return true;
    }
    if (kind_class(d->part.kind) != CLASS_PATH)
        return true;
    if (d->part.kind == KIND_SWITCH && d->places.count && d->places.sort == POSITIONS_CONTACTS) {
        int on = position_named(&d->places, "ON", 2);
        if (on < 0)
            return said(r, n, start, length, "no-on", on_hint(r, id, &d->places), "'", id,
                        "' has no position ON");
        made->terminal = TERMINAL_CONTACT;
        made->position = on;
        return true;
    }
    if (d->has_from && d->has_to) {
        const node *from = written_node(d, KEY_FROM);
        const node *to = written_node(d, KEY_TO);
        bool texts = from && to && from->type == NODE_TEXT && to->type == NODE_TEXT;
        const char *hint = texts ? join(r, (const char *const[]){"join '", from->text, "' or '",
                                                                 to->text, "'", NULL})
                                 : "";
        return said(r, n, start, length, "both-ends-named", hint, "both ends of '", id,
                    "' are named, so its id is no terminal");
    }
    return true;
}

static bool contact(reader *r, const node *n, size_t start, size_t length, const char *label,
                    size_t label_length, reference *made) {
    draft *d = &r->drafts[made->part];
    const char *id = d->part.id;
    if (d->part.kind != KIND_SWITCH)
        return said(r, n, start, length, "no-position", "", "'", id,
                    "' is no switch: it has no contacts");
    const positions *p = places_for(r, made->part);
    if (!p || p->sort != POSITIONS_CONTACTS)
        return said(r, n, start, length, "no-position", "join the id alone", "'", id,
                    "' passes power in every position");
    made->position = position_named(p, label, label_length);
    if (made->position < 0) {
        const char *list = "";
        for (int i = 0; i < p->count; i++)
            list = join(r, (const char *const[]){list, i ? ", " : "", p->labels[i], NULL});
        return said(r, n, start, length, "no-position",
                    join(r, (const char *const[]){"its positions: ", list, NULL}), "'", id,
                    "' has no such position");
    }
    made->terminal = TERMINAL_CONTACT;
    // A plain switch at ON is its open end.
    if (d->places.count == 0 && made->position == 1)
        return whole_part(r, n, start, length, made) && (made->terminal = TERMINAL_SELF, true);
    return true;
}

static bool small_pin(reader *r, const node *n, size_t start, size_t length, const char *word,
                      size_t word_length, reference *made) {
    static const struct {
        const char *word;
        terminal terminal;
        part_kind kinds[2];
    } PINS[] = {
        {"field", TERMINAL_FIELD, {KIND_ALTERNATOR, KIND_GENERATOR}},
        {"sense", TERMINAL_SENSE, {KIND_REGULATOR, KIND_EXTERNAL_POWER}},
        {"coil", TERMINAL_COIL, {KIND_RELAY, KIND_CONTACTOR}},
    };
    const part *p = &r->drafts[made->part].part;
    for (int i = 0; i < 3; i++) {
        if (strlen(PINS[i].word) != word_length || memcmp(PINS[i].word, word, word_length) != 0)
            continue;
        made->terminal = PINS[i].terminal;
        if (p->kind == PINS[i].kinds[0] || p->kind == PINS[i].kinds[1])
            return true;
        return said(r, n, start, length, "no-terminal", "", with_article(r, kind_word(p->kind)),
                    " has no terminal called ", PINS[i].word);
    }
    return said(r, n, start, length, "reference",
                "write `id`, `id at POSITION`, `id field`, "
                "`id sense`, `id coil`, `ground` or `unknown`",
                "after an id a terminal of it may stand, and this isn't one", "", "");
}

bool read_reference(reader *r, const node *n, size_t start, size_t length, reference *made) {
    const char *s = n->text + start;
    *made = (reference){.part = PART_NONE,
                        .terminal = TERMINAL_NONE,
                        .position = -1,
                        .span = node_part(n, start, length)};
    if (length == 6 && memcmp(s, "ground", 6) == 0) {
        made->part = PART_AIRFRAME;
        made->terminal = TERMINAL_SELF;
        return true;
    }
    if (length == 7 && memcmp(s, "unknown", 7) == 0)
        return true;
    const char *space = memchr(s, ' ', length);
    size_t id_length = space ? (size_t)(space - s) : length;
    if (space && (strncmp(s, "ground ", 7) == 0 || strncmp(s, "unknown ", 8) == 0))
        return said(r, n, start, length, "reference", "",
                    "nothing may stand after `ground` or "
                    "`unknown`",
                    "", "");
    made->part = need_id(r, n, start, id_length);
    if (made->part < 0) {
        made->part = PART_NONE;
        return false;
    }
    made->terminal = TERMINAL_SELF;
    if (!space)
        return whole_part(r, n, start, length, made);
    const char *word = space;
    while (word < s + length && *word == ' ')
        word++;
    size_t left = (size_t)(s + length - word);
    if (left > 3 && memcmp(word, "at ", 3) == 0)
        return contact(r, n, start, length, word + 3, left - 3, made);
    return small_pin(r, n, start, length, word, left, made);
}
