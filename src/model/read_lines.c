// First pass: every line's id, kind and keys, and the parts that a line implies.
#include <string.h>

#include "model/reader.h"

enum { LONGEST_ID = 40 };

static const char *const RESERVED[] = {
    "ground", "unknown", "none",  "always", "never",      "and",      "or",
    "not",    "is",      "for",   "until",  "above",      "below",    "by",
    "at",     "on",      "off",   "in",     "out",        "to",       "airborne",
    "night",  "day",     "cloud", "icing",  "stall-near", "throttle", "temperature",
    // Not `airspeed`: the instrument is called that. In a condition `airspeed below 60 kt` is the
    // phase's.
};

// What people write, and what is meant.
typedef struct slip {
    const char *written, *meant;
} slip;

static const slip KIND_SLIPS[] = {
    {"circuit-breaker", "breaker"},
    {"bulb", "lamp"},
    {"cb", "breaker"},
    {"annunciator", "light"},
    {"inverter", "converter"},
    {"ground-power", "external-power"},
    {"strobe", "led` or `lamp"},
    {"beacon", "led` or `lamp"},
    {"transponder", "radio"},
    {"gps", "display"},
    {"gauge", "instrument"},
    {"horn", "sounder"},
    {"buzzer", "sounder"},
    {"button", "switch"},
    {"selector", "switch"},
    {"rocker", "switch"},
    {"starter", "motor"},
    {"plug", "connector"},
    {"magneto", "ignition"},
    {"solenoid-switch", "contactor"},
};

static const slip KEY_SLIPS[] = {
    {"circuit-breaker", "breaker"},
    {"with", "only-with` or `moves-with"},
    {"powered-from", "from"},
    {"feed", "from"},
    {"across", "reads"},
    {"contact", "rests"},
    {"latched-until", "trips-when` or `lit-when` with `until"},
    {"dead-reads", "when-dead"},
    {"amp", "amps"},
    {"current", "amps"},
    {"placard", "label"},
    {"location", "place"},
    {"for", "lit-when` with `for"},
};

static const char *slip_for(const slip *slips, size_t count, const char *word) {
    for (size_t i = 0; i < count; i++) {
        if (strcmp(slips[i].written, word) == 0)
            return slips[i].meant;
    }
    return NULL;
}

static int kind_named(const char *word) {
    for (int k = 0; k < KIND_COUNT; k++) {
        if (strcmp(kind_word((part_kind)k), word) == 0)
            return k;
    }
    return -1;
}

static bool is_lower(char c) { return c >= 'a' && c <= 'z'; }

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

static bool id_is_well_formed(const char *id) {
    if (!is_lower(id[0]) || strlen(id) > LONGEST_ID)
        return false;
    for (const char *c = id; *c; c++) {
        bool hyphen = *c == '-' && (is_lower(c[1]) || is_digit(c[1]));
        if (!is_lower(*c) && !is_digit(*c) && !hyphen)
            return false;
    }
    return true;
}

static bool check_id(reader *r, const node *key) {
    if (key->length == 0)
        return false;
    for (size_t i = 0; i < sizeof RESERVED / sizeof RESERVED[0]; i++) {
        if (strcmp(RESERVED[i], key->text) == 0) {
            say_error(r, key->span, "reserved-id", "choose another id", "'", key->text,
                      "' is a word of the file itself", NULL);
            return false;
        }
    }
    if (!id_is_well_formed(key->text)) {
        say_error(r, key->span, "bad-id", "", "'", key->text,
                  "' can't be an id: lower-case words of letters and digits joined by single "
                  "hyphens, a letter first, at most 40 characters",
                  NULL);
        return false;
    }
    return true;
}

// ---- unknown words ------------------------------------------------------------------------------

static void say_unknown_kind(reader *r, const node *key) {
    const char *meant = slip_for(KIND_SLIPS, sizeof KIND_SLIPS / sizeof KIND_SLIPS[0], key->text);
    int best = near_enough(key->length) + 1;
    for (int k = 0; k < KIND_COUNT && !meant; k++) {
        int distance = text_distance(key->text, kind_word((part_kind)k), best - 1);
        if (distance < best)
            best = distance;
    }
    for (int k = 0; k < KIND_COUNT && !meant; k++) {
        if (text_distance(key->text, kind_word((part_kind)k), best) == best &&
            best <= near_enough(key->length))
            meant = kind_word((part_kind)k);
    }
    const char *hint = "";
    if (meant)
        hint = join(r, (const char *const[]){"did you mean `", meant, "`?", NULL});
    else if (name_find(&r->keys, key->text, key->length) >= 0)
        hint = "the kind comes first on a line";
    else
        hint = "the first key on a line is its kind, as `breaker` or `equipment`";
    say_error(r, key->span, "unknown-kind", hint, "'", key->text, "' is not a kind of part", NULL);
}

static const char *list_of_keys(reader *r, part_kind kind) {
    const char *list = "";
    for (int i = 0; i < field_count(); i++) {
        const field *f = field_at(i);
        if ((f->kinds >> kind & 1) && field_written(f) && f->key != KEY_VALUE)
            list = join(r, (const char *const[]){list, *list ? ", " : "", key_word(f->key), NULL});
    }
    return list;
}

static void say_wrong_key(reader *r, const node *key, part_kind kind, part_key known) {
    if (known == KEY_ROW_BREAKER || known == KEY_ROW_FUSE || known == KEY_ROW_SWITCH) {
        const char *own = kind == KIND_PUMP ? "; an electric pump is a `motor` with `makes`" : "";
        say_error(r, key->span, "wrong-key",
                  join(r, (const char *const[]){"write the ", key_word(known),
                                                " as a line of its own", own, NULL}),
                  "only an item may have a `", key_word(known), "` on its line", NULL);
        return;
    }
    // "a breaker has `as-fitted`; a switch doesn't"
    if (kind == KIND_PUMP && known == KEY_FROM) {
        say_error(
            r, key->span, "wrong-key",
            "an electric one is a `motor` with `makes`, as `motor: 5 A, makes: fuel-pressure`",
            "a pump is turned by an engine and has no `from`", NULL, NULL, NULL);
        return;
    }
    uint64_t kinds = field_kinds(known);
    const char *other = NULL;
    for (int k = 0; k < KIND_COUNT && !other; k++) {
        if (kinds >> k & 1)
            other = kind_word((part_kind)k);
    }
    say_error(
        r, key->span, "wrong-key",
        join(r, (const char *const[]){with_article(r, kind_word(kind)),
                                      " may have: ", list_of_keys(r, kind), NULL}),
        with_article(r, other ? other : "line"), " has `", key_word(known),
        join(r, (const char *const[]){"`; ", with_article(r, kind_word(kind)), " doesn't", NULL}));
}

static void say_unknown_key(reader *r, const node *key, part_kind kind) {
    const char *meant = slip_for(KEY_SLIPS, sizeof KEY_SLIPS / sizeof KEY_SLIPS[0], key->text);
    int best = near_enough(key->length) + 1;
    for (int i = 0; i < field_count() && !meant; i++) {
        const field *f = field_at(i);
        if (!(f->kinds >> kind & 1) || !field_written(f) || f->key == KEY_VALUE)
            continue;
        int distance = text_distance(key->text, key_word(f->key), best - 1);
        if (distance < best)
            best = distance;
    }
    for (int i = 0; i < field_count() && !meant && best <= near_enough(key->length); i++) {
        const field *f = field_at(i);
        if ((f->kinds >> kind & 1) && field_written(f) && f->key != KEY_VALUE &&
            text_distance(key->text, key_word(f->key), best) == best)
            meant = key_word(f->key);
    }
    const char *hint =
        meant ? join(r, (const char *const[]){"did you mean `", meant, "`?", NULL})
              : join(r, (const char *const[]){with_article(r, kind_word(kind)),
                                              " may have: ", list_of_keys(r, kind), NULL});
    say_error(r, key->span, "unknown-key", hint, "'", key->text, "' is not a key", NULL);
}

// ---- drafts -------------------------------------------------------------------------------------

static draft *new_draft(reader *r, const char *id, part_kind kind, section section, span where) {
    draft *d = arena_grow(r->scratch, r->drafts, &r->capacity, r->count + 1, sizeof *d);
    if (!d)
        return NULL;
    r->drafts = d;
    d = &r->drafts[r->count];
    *d = (draft){.part = {.id = id,
                          .label = id,
                          .kind = kind,
                          .section = section,
                          .span = where,
                          .host = r->count,
                          .wire = -1,
                          .row_breaker = -1,
                          .row_switch = -1,
                          .ground = -1,
                          .panel = "",
                          .connected = BASIS_UNSTATED,
                          .connected_where = ""}};
    name_add(&r->ids, r->scratch, id, strlen(id), r->count);
    r->count++;
    return d;
}

// A part that the line of `host` stands for too. Its index, -1 without memory.
static int new_implied(reader *r, int host, const char *suffix, part_kind kind, implied im) {
    const part *h = &r->drafts[host].part;
    const char *id = join(r, (const char *const[]){h->id, suffix, NULL});
    id = arena_text(r->keep, id, strlen(id));
    if (!id)
        return -1;
    draft *d = new_draft(r, id, kind, h->section, h->span);
    if (!d)
        return -1;
    d->part.implied = im;
    d->part.host = host;
    d->part.electric = true;
    d->has_from = true;
    return r->count - 1;
}

static void read_key(reader *r, draft *d, node *entry) {
    const char *word = entry->key->text;
    if (strcmp(word, "colour") == 0)
        word = "color";
    int key = name_find(&r->keys, word, strlen(word));
    if (key < 0 && entry->refused)
        return;
    if (key < 0) {
        say_unknown_key(r, entry->key, d->part.kind);
        return;
    }
    const field *f = reader_field(r, d->part.kind, (part_key)key);
    if (!f || !field_written(f)) {
        say_wrong_key(r, entry->key, d->part.kind, (part_key)key);
        return;
    }
    d->written[d->written_count++] = (written){.key = (part_key)key, .field = f, .value = entry};
    key_set_add(&d->written_keys, (part_key)key);
}

static void add_implied(reader *r, int host) {
    const draft *d = &r->drafts[host];
    part_class class = kind_class(d->part.kind);
    bool load = class == CLASS_ITEM || d->part.kind == KIND_CONVERTER;
    bool breaker = load && written_node(d, KEY_ROW_BREAKER);
    bool fuse = load && !breaker && written_node(d, KEY_ROW_FUSE);
    bool knob = load && written_node(d, KEY_ROW_SWITCH);
    bool wire = (load && d->has_from) || (class == CLASS_PATH && written_node(d, KEY_WIRE));
    bool strap = class == CLASS_POINT && d->has_from;
    int made = -1;
    if (breaker || fuse) {
        made = breaker ? new_implied(r, host, ".breaker", KIND_BREAKER, IMPLIED_ROW_BREAKER)
                       : new_implied(r, host, ".fuse", KIND_FUSE, IMPLIED_ROW_BREAKER);
        r->drafts[host].part.row_breaker = made;
    }
    if (knob) {
        made = new_implied(r, host, ".switch", KIND_SWITCH, IMPLIED_ROW_SWITCH);
        r->drafts[host].part.row_switch = made;
    }
    if (wire) {
        made = new_implied(r, host, ".wire", KIND_WIRE, IMPLIED_WIRE);
        r->drafts[host].part.wire = made;
    }
    if (strap) {
        made = new_implied(r, host, ".strap", KIND_WIRE, IMPLIED_STRAP);
        r->drafts[host].part.wire = made;
    }
}

static bool is_electric(const draft *d) {
    switch (kind_class(d->part.kind)) {
    case CLASS_POINT:
    case CLASS_SOURCE:
    case CLASS_UNIT: return true;
    case CLASS_PATH: return d->has_from || d->has_to;
    case CLASS_ITEM: return d->has_from;
    case CLASS_DRY:
    case CLASS_GROUP: break;
    }
    return false;
}

static void lose(reader *r, const node *key) {
    name_add(&r->tree.lost, r->scratch, key->text, key->length, 0);
}

static void read_line(reader *r, section section, node *entry) {
    const node *key = entry->key;
    if (entry->refused || !check_id(r, key)) {
        lose(r, key);
        return;
    }
    int before = find_id(r, key->text, key->length);
    if (before >= 0) {
        const char *line = number_words(r, r->drafts[before].part.span.line);
        say_error(r, key->span, "id-twice", "", "'", key->text,
                  "' is declared a second time: the first is on line ", line);
        return;
    }
    if (entry->type != NODE_MAP || !entry->first) {
        say_error(r, entry->span, "not-a-line", "write `id: {KIND: value, key: value, ...}`", "'",
                  key->text, "' isn't followed by its kind and keys", NULL);
        lose(r, key);
        return;
    }
    int kind = kind_named(entry->first->key->text);
    if (kind < 0) {
        if (!entry->first->refused)
            say_unknown_kind(r, entry->first->key);
        lose(r, key);
        return;
    }
    const char *id = arena_text(r->keep, key->text, key->length);
    draft *d = id ? new_draft(r, id, (part_kind)kind, section, key->span) : NULL;
    if (!d)
        return;
    d->written = arena_new(r->scratch, (size_t)entry->count, sizeof *d->written);
    if (!d->written)
        return;
    const field *own = reader_field(r, d->part.kind, KEY_VALUE);
    d->written[d->written_count++] =
        (written){.key = KEY_VALUE, .field = own, .value = entry->first};
    key_set_add(&d->written_keys, KEY_VALUE);
    for (node *n = entry->first->next; n; n = n->next) {
        if (n->key->length)
            read_key(r, d, n);
    }
    const node *from = written_node(d, KEY_FROM);
    d->has_from = from != NULL;
    d->from_unknown = from && node_is(from, "unknown");
    d->has_to = written_node(d, KEY_TO) != NULL;
    d->part.electric = is_electric(d);
    const node *places = written_node(d, KEY_POSITIONS);
    if (places && !places->refused)
        read_positions(r, d, places);
    add_implied(r, r->count - 1);
}

// Room for all drafts at once: a line of an item stands for up to four parts, most for two.
static void reserve_drafts(reader *r, const char *const *names, int count) {
    int lines = 0;
    for (int s = 0; s < count; s++) {
        const node *n = node_entry(r->tree.root, names[s]);
        lines += n && n->type == NODE_MAP ? n->count : 0;
    }
    if (lines > MOST_LINES)
        lines = MOST_LINES;
    r->drafts = arena_new(r->scratch, (size_t)lines * 5 / 2 + 8, sizeof *r->drafts);
    r->capacity = r->drafts ? lines * 5 / 2 + 8 : 0;
    name_reserve(&r->ids, r->scratch, lines * 5 / 2 + 8);
}

void read_lines(reader *r) {
    if (!fields_by_kind(r))
        return;
    for (int k = 1; k < KEY_COUNT; k++)
        name_add(&r->keys, r->scratch, key_word((part_key)k), strlen(key_word((part_key)k)), k);
    static const char *const NAMES[] = {"parts", "seen", "together"};
    reserve_drafts(r, NAMES, 3);
    for (int s = 0; s < 3; s++) {
        node *lines = node_entry(r->tree.root, NAMES[s]);
        if (!lines || lines->refused)
            continue;
        if (lines->type != NODE_MAP) {
            say_error(r, lines->span, "not-lines", "", "'", NAMES[s],
                      "' holds lines: `id: {KIND: value, ...}`", NULL);
            continue;
        }
        for (node *n = lines->first; n && !reader_failed(r); n = n->next) {
            if (r->count > MOST_LINES) {
                say_error(r, n->key->span, "too-many", "", "an aircraft has at most 20,000 parts",
                          NULL, NULL, NULL);
                return;
            }
            read_line(r, (section)s, n);
        }
    }
}

// One supply that part `maker` makes; what memory lacks is remembered by the arenas.
static void add_supply(reader *r, const node *n, int maker) {
    if (n->refused || n->type != NODE_TEXT)
        return;  // said when the part's values are read
    for (size_t i = 0; i < sizeof RESERVED / sizeof RESERVED[0]; i++) {
        if (strcmp(RESERVED[i], n->text) == 0) {
            say_error(r, n->span, "reserved-id", "choose another name", "'", n->text,
                      "' is a word of the file itself: nothing makes it", NULL);
            return;
        }
    }
    if (find_id(r, n->text, n->length) >= 0) {
        say_error(r, n->span, "supply-is-id", "choose another name", "'", n->text,
                  "' is an id: what a part makes has a name of its own", NULL);
        return;
    }
    int at = name_add(&r->supply_names, r->scratch, n->text, n->length, r->supply_count);
    if (at < 0)
        return;
    if (at == r->supply_count) {
        supply_draft *s = arena_grow(r->scratch, r->supplies, &r->supply_capacity,
                                     r->supply_count + 1, sizeof *s);
        if (!s)
            return;
        r->supplies = s;
        s[at] = (supply_draft){.name = arena_text(r->keep, n->text, n->length)};
        r->supply_count++;
    }
    supply_draft *s = &r->supplies[at];
    int *makers = arena_grow(r->keep, s->makers, &s->capacity, s->count + 1, sizeof *makers);
    if (!makers)
        return;
    s->makers = makers;
    makers[s->count++] = maker;
}

void read_supplies(reader *r) {
    for (int i = 0; i < r->count; i++) {
        const node *makes = written_node(&r->drafts[i], KEY_MAKES);
        if (!makes || makes->refused)
            continue;
        if (makes->type != NODE_LIST)
            add_supply(r, makes, i);
        for (const node *n = makes->type == NODE_LIST ? makes->first : NULL; n; n = n->next)
            add_supply(r, n, i);
    }
}
