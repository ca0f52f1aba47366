// Conditions: one string, read by descent into nodes of aircraft.conditions. The grammar is the
// format's section on conditions; every function below is one of its rules.
#include <string.h>

#include "base/number.h"
#include "model/condition_table.h"
#include "model/reader.h"
#include "model/units.h"

enum { DEEPEST = 16 };

typedef struct parse {
    reader *r;
    const node *n;
    const char *s;
    size_t length, i;
    int depth;
    bool failed;
} parse;

int add_condition(reader *r, condition c) {
    condition *items = arena_grow(r->keep, r->conditions, &r->condition_capacity,
                                  r->condition_count + 1, sizeof *items);
    if (!items)
        return -1;
    r->conditions = items;
    items[r->condition_count] = c;
    return r->condition_count++;
}

static int fail(parse *p, size_t from, size_t length, const char *code, const char *hint,
                const char *a, const char *b, const char *c) {
    if (!p->failed)
        say_error(p->r, node_part(p->n, from, length ? length : 1), code, hint, a, b, c, NULL);
    p->failed = true;
    return -1;
}

static void spaces(parse *p) {
    while (p->i < p->length && p->s[p->i] == ' ')
        p->i++;
}

// The next word: to a space or bracket; a bracket alone is a word.
static size_t peek(parse *p) {
    spaces(p);
    if (p->i >= p->length)
        return 0;
    if (p->s[p->i] == '(' || p->s[p->i] == ')')
        return 1;
    size_t n = 0;
    while (p->i + n < p->length && p->s[p->i + n] != ' ' && p->s[p->i + n] != '(' &&
           p->s[p->i + n] != ')')
        n++;
    return n;
}

static bool next_is(parse *p, const char *word) {
    size_t n = peek(p);
    return n == strlen(word) && memcmp(p->s + p->i, word, n) == 0;
}

static bool take(parse *p, const char *word) {
    if (!next_is(p, word))
        return false;
    p->i += strlen(word);
    return true;
}

static const char *word_copy(parse *p, size_t from, size_t n) {
    const char *copy = arena_text(p->r->scratch, p->s + from, n);
    return copy ? copy : "";
}

static int add(parse *p, condition c, size_t from) {
    c.span = node_part(p->n, from, p->i > from ? p->i - from : 1);
    int index = add_condition(p->r, c);
    if (index < 0)
        p->failed = true;
    return index;
}

static condition blank(condition_op op) {
    return (condition){.op = op,
                       .a = -1,
                       .b = -1,
                       .supply = -1,
                       .position = -1,
                       .ref = {.part = PART_NONE, .terminal = TERMINAL_NONE, .position = -1},
                       .other = {.part = PART_NONE, .terminal = TERMINAL_NONE, .position = -1}};
}

static condition about(parse *p, condition_op op, int part, size_t from, size_t length) {
    condition c = blank(op);
    c.ref = (reference){.part = part,
                        .terminal = TERMINAL_SELF,
                        .position = -1,
                        .span = node_part(p->n, from, length)};
    return c;
}

static int negated(parse *p, condition c, size_t from) {
    int a = add(p, c, from);
    if (a < 0)
        return -1;
    condition inverse = blank(CONDITION_NOT);
    inverse.a = a;
    return add(p, inverse, from);
}

// ---- comparisons --------------------------------------------------------------------------------

static bool read_quantity(parse *p, uint32_t units, const char *whose, double *value, unit *u) {
    // A figure of the table's form, but it ends where the grammar goes on.
    spaces(p);
    size_t from = p->i;
    const char *s = p->s + from;
    size_t skip = p->length - from > 3 && memcmp(s, "\xE2\x88\x92", 3) == 0 ? 3 : 0;
    double number = 0;
    int used = number_read(s + skip, p->length - from - skip, &number);
    if (used <= 0) {
        fail(p, from, peek(p), "condition", "", "a number and its unit must stand here", "", "");
        return false;
    }
    if (skip)
        number = -number;
    p->i += skip + (size_t)used;
    if (p->i < p->length && p->s[p->i] == ',') {
        fail(p, from, p->i - from + 1, "number", "", "use a point", "", "");
        return false;
    }
    size_t n = peek(p);
    size_t unit_length = 0;
    const unit_word *w = n ? unit_read(p->s + p->i, n, &unit_length) : NULL;
    if (!w) {
        const char *hint =
            join(p->r, (const char *const[]){"it is in ", units_wanted(p->r, units), NULL});
        fail(p, from, p->i + n - from, "no-unit", hint, "a unit must stand after this number", "",
             "");
        return false;
    }
    p->i += unit_length;
    if (!(units >> w->unit & 1)) {
        fail(p, from, p->i - from, "wrong-unit", "", word_copy(p, from, p->i - from),
             join(p->r, (const char *const[]){" is ", unit_measures(w->unit),
                                              ": that can't be "
                                              "said of ",
                                              NULL}),
             whose);
        return false;
    }
    *value = (number + w->offset) * w->factor;
    *u = w->unit;
    return true;
}

#define BIT(u) (UINT32_C(1) << UNIT_##u)

// Which comparisons make sense for a part.
static uint32_t units_of(const part *d) {
    switch (kind_class(d->kind)) {
    case CLASS_POINT: return BIT(VOLT);
    case CLASS_SOURCE: return BIT(VOLT) | BIT(AMP) | (d->kind == KIND_BATTERY ? BIT(PERCENT) : 0);
    case CLASS_PATH: return BIT(VOLT) | BIT(AMP) | (d->kind == KIND_DIMMER ? BIT(PERCENT) : 0);
    case CLASS_UNIT:
    case CLASS_ITEM: return BIT(VOLT) | BIT(AMP) | BIT(PERCENT);
    case CLASS_DRY:
        return d->kind == KIND_ENGINE ? BIT(RPM) : d->kind == KIND_MECHANISM ? BIT(PERCENT) : 0;
    case CLASS_GROUP: break;
    }
    return 0;
}

static condition_op op_for(const part *d, unit u) {
    switch (u) {
    case UNIT_AMP: return CONDITION_AMPS;
    case UNIT_PERCENT: return d->kind == KIND_BATTERY ? CONDITION_CHARGE : CONDITION_TRAVEL;
    case UNIT_RPM: return CONDITION_RPM;
    default: return CONDITION_VOLTS;
    }
}

static bool is_terminal(parse *p, int part, size_t from, size_t length, reference *made) {
    const struct part *d = &p->r->drafts[part].part;
    // Across a battery or an item there are volts whatever its ends are called.
    part_class class = kind_class(d->kind);
    if (class == CLASS_ITEM || class == CLASS_SOURCE || class == CLASS_UNIT) {
        *made = (reference){.part = part,
                            .terminal = TERMINAL_SELF,
                            .position = -1,
                            .span = node_part(p->n, from, length)};
        if (class != CLASS_ITEM || d->electric)
            return true;
    }
    bool good = read_reference(p->r, p->n, from, length, made);
    p->failed = p->failed || !good;
    return good;
}

static int compare_part(parse *p, int part, size_t from, size_t length, bool below) {
    const struct part *d = &p->r->drafts[part].part;
    condition c = about(p, CONDITION_VOLTS, part, from, length);
    c.below = below;
    spaces(p);
    if (p->i < p->length && !starts_like_figure(p->s + p->i)) {  // ID above ID [by NUMBER V]
        size_t n = peek(p);
        size_t at = p->i;
        int other = need_id(p->r, p->n, p->i, n);
        if (other < 0) {
            p->failed = true;
            return -1;
        }
        p->i += n;
        c.op = CONDITION_DIFFER;
        if (!is_terminal(p, part, from, length, &c.ref) || !is_terminal(p, other, at, n, &c.other))
            return -1;
        unit u;
        if (take(p, "by") && !read_quantity(p, BIT(VOLT), "a difference", &c.value, &u))
            return -1;
        return add(p, c, from);
    }
    unit u = UNIT_NONE;
    if (!read_quantity(p, units_of(d), with_article(p->r, kind_word(d->kind)), &c.value, &u))
        return -1;
    c.op = op_for(d, u);
    if (c.op == CONDITION_VOLTS && !is_terminal(p, part, from, length, &c.ref))
        return -1;
    if (c.op == CONDITION_TRAVEL && d->kind != KIND_DIMMER && !places_for(p->r, part) &&
        !written_node(&p->r->drafts[part], KEY_TRAVEL))
        return fail(p, from, length, "no-position", "", "'", d->id, "' has no places");
    return add(p, c, from);
}

static int compare_outside(parse *p, const char *word, size_t from, bool below) {
    static const struct {
        const char *word;
        condition_op op;
        uint32_t units;
    } OUTSIDE[] = {{"throttle", CONDITION_THROTTLE, BIT(PERCENT)},
                   {"airspeed", CONDITION_AIRSPEED, BIT(KNOT)},
                   {"temperature", CONDITION_TEMPERATURE, BIT(CELSIUS)}};
    for (int i = 0; i < 3; i++) {
        if (strcmp(OUTSIDE[i].word, word) != 0)
            continue;
        condition c = blank(OUTSIDE[i].op);
        c.below = below;
        unit u;
        if (!read_quantity(p, OUTSIDE[i].units, word, &c.value, &u))
            return -1;
        return add(p, c, from);
    }
    return -1;
}

// ---- words after an id --------------------------------------------------------------------------

static bool ends_label(parse *p) {
    static const char *const WORDS[] = {"and", "or", "for", "until", ")", "is"};
    if (peek(p) == 0)
        return true;
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        if (next_is(p, WORDS[i]))
            return true;
    }
    return false;
}

static int at_label(parse *p, int part, size_t from, size_t length, bool not_at) {
    spaces(p);
    size_t start = p->i;
    size_t end = p->i;
    while (!ends_label(p)) {
        p->i += peek(p);
        end = p->i;
    }
    const char *id = p->r->drafts[part].part.id;
    if (end == start)
        return fail(p, from, p->length - from, "condition", "", "a position must stand after 'at'",
                    "", "");
    const positions *places = places_for(p->r, part);
    if (!places)
        return fail(p, from, length, "no-position", "", "'", id, "' has no positions");
    condition c = about(p, CONDITION_AT, part, from, length);
    c.position = position_named(places, p->s + start, end - start);
    if (c.position < 0) {
        const char *list = "";
        for (int i = 0; i < places->count; i++)
            list = join(p->r, (const char *const[]){list, i ? ", " : "", places->labels[i], NULL});
        return fail(p, start, end - start, "no-position",
                    join(p->r, (const char *const[]){"its positions: ", list, NULL}), "'", id,
                    "' has no such position");
    }
    c.place = places->sort == POSITIONS_PLACES ? places->figures[c.position] : 0;
    return not_at ? negated(p, c, from) : add(p, c, from);
}

#undef BIT

static bool may_be_on(part_kind k) {
    part_class class = kind_class(k);
    return k == KIND_SWITCH || k == KIND_DIMMER || class == CLASS_SOURCE || class == CLASS_UNIT ||
           class == CLASS_ITEM || k == KIND_PUMP;
}

static const status_word *next_status(parse *p) {
    for (int i = 0; status_word_at(i); i++) {
        if (next_is(p, status_word_at(i)->word))
            return status_word_at(i);
    }
    return NULL;
}

static int part_status(parse *p, const status_word *w, int part, size_t from, size_t length,
                       bool inverse) {
    const struct part *d = &p->r->drafts[part].part;
    bool fits = w->kinds ? (w->kinds >> d->kind & 1) : may_be_on(d->kind);
    p->i += strlen(w->word);
    if (!fits)
        return fail(p, from, p->i - from, "condition",
                    join(p->r, (const char *const[]){"that is said of ", w->said_of, NULL}),
                    with_article(p->r, kind_word(d->kind)), " can't be called ", w->word);
    condition c = about(p, w->op, part, from, length);
    return w->inverse != inverse ? negated(p, c, from) : add(p, c, from);
}

static int of_part(parse *p, int part, size_t from, size_t length) {
    take(p, "is");
    bool inverse = take(p, "not");
    if (take(p, "at"))
        return at_label(p, part, from, length, inverse);
    const status_word *w = next_status(p);
    if (w)
        return part_status(p, w, part, from, length, inverse);
    if (inverse)
        return fail(p, from, p->i - from, "condition", "`not` stands before a condition",
                    "what is it not?", "", "");
    if (next_is(p, "above") || next_is(p, "below")) {
        bool below = next_is(p, "below");
        p->i += 5;
        return compare_part(p, part, from, length, below);
    }
    return add(p, about(p, CONDITION_WORKS, part, from, length), from);
}

static int of_supply(parse *p, int supply, size_t from) {
    condition c = blank(CONDITION_PRESENT);
    c.supply = supply;
    take(p, "is");
    if (take(p, "low"))
        return negated(p, c, from);
    take(p, "present");
    return add(p, c, from);
}

// ---- names --------------------------------------------------------------------------------------

static int outside_name(parse *p, const char *word, size_t from) {
    for (int i = 0; outside_word_at(i); i++) {
        const outside_word *w = outside_word_at(i);
        if (strcmp(w->word, word) == 0) {
            take(p, "is");
            return w->inverse ? negated(p, blank(w->op), from) : add(p, blank(w->op), from);
        }
    }
    return -2;
}

// A word of the grammar that joins: something is missing before it.
static bool joins(const char *word) {
    static const char *const WORDS[] = {"until", "for", "and", "or", "above", "below", "at"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if (strcmp(WORDS[i], word) == 0)
            return true;
    return false;
}

static int unknown_name(parse *p, const char *word, size_t from, size_t length) {
    p->i += peek(p);
    if (joins(word))
        return fail(p, from, length, "condition",
                    "as `main-bus below 25 V until main-bus above 26 V`", "nothing stands before '",
                    word, "'");
    if (name_find(&p->r->tree.lost, word, length) >= 0) {
        p->failed = true;
        return -1;
    }
    const char *nearest = nearest_id(p->r, word);
    int best = nearest ? text_distance(word, nearest, 20) : near_enough(length) + 1;
    for (int i = 0; i < p->r->supply_count && p->r->out->count < MOST_HINTS; i++) {
        int distance = text_distance(word, p->r->supplies[i].name, best - 1);
        if (distance < best) {
            best = distance;
            nearest = p->r->supplies[i].name;
        }
    }
    const char *outside = outside_word_near(word, best - 1);
    if (outside)
        nearest = outside;
    const char *hint =
        nearest ? join(p->r, (const char *const[]){"did you mean '", nearest, "'?", NULL})
                : join(p->r, (const char *const[]){"add a line that has this id, or one that "
                                                   "`makes` it. words that need no line: ",
                                                   outside_words, NULL});
    return fail(p, from, length, "unknown-name", hint, "'", word,
                "' is no id, no supply that something makes, and no word of conditions");
}

static int read_any(parse *p);

// throttle, airspeed, temperature: of the phase. False: the word isn't followed by above or below.
static bool is_outside_figure(parse *p, const char *word, size_t length) {
    if (strcmp(word, "throttle") != 0 && strcmp(word, "airspeed") != 0 &&
        strcmp(word, "temperature") != 0)
        return false;
    size_t from = p->i;
    p->i += length;
    take(p, "is");
    bool compared = next_is(p, "above") || next_is(p, "below");
    p->i = from;
    return compared;
}

static int outside_figure(parse *p, const char *word, size_t length) {
    size_t from = p->i;
    p->i += length;
    take(p, "is");
    bool below = next_is(p, "below");
    p->i += 5;
    return compare_outside(p, word, from, below);
}

// WHO, ID or NAME, and what follows it.
static int read_who(parse *p, size_t n) {
    size_t from = p->i;
    const char *word = word_copy(p, p->i, n);
    if (is_outside_figure(p, word, n))
        return outside_figure(p, word, n);
    int id = find_id(p->r, word, n);
    int made_supply = supply_number(p->r, word, n);
    p->i += n;
    if (id >= 0) {
        return of_part(p, id, from, n);
    }
    if (made_supply >= 0)
        return of_supply(p, made_supply, from);
    int made = outside_name(p, word, from);
    if (made != -2)
        return made;
    p->i = from;
    return unknown_name(p, word, from, n);
}

static int read_one(parse *p) {
    size_t n = peek(p);
    size_t from = p->i;
    if (n == 0)
        return fail(p, p->length ? p->length - 1 : 0, 1, "condition", "",
                    "the condition ends too early", "", "");
    if (++p->depth > DEEPEST)
        return fail(p, from, n, "condition", "", "this condition is nested too deep", "", "");
    int made = -1;
    if (take(p, "not")) {
        condition c = blank(CONDITION_NOT);
        c.a = read_one(p);
        made = c.a < 0 ? -1 : add(p, c, from);
    } else if (take(p, "(")) {
        made = read_any(p);
        if (made >= 0 && !take(p, ")"))
            made = fail(p, from, 1, "condition", "", "this bracket isn't closed", "", "");
    } else {
        made = read_who(p, n);
    }
    p->depth--;
    return made;
}

static int read_any(parse *p) {
    spaces(p);
    size_t from = p->i;
    int made = read_one(p);
    condition_op op = CONDITION_ALWAYS;  // none yet
    while (made >= 0) {
        bool both = next_is(p, "and");
        if (!both && !next_is(p, "or"))
            break;
        condition_op now = both ? CONDITION_AND : CONDITION_OR;
        if (op != CONDITION_ALWAYS && now != op)
            return fail(p, from, p->length - from, "condition",
                        "put brackets around what belongs together",
                        "'and' and 'or' in one condition", "", "");
        op = now;
        p->i += both ? 3 : 2;
        condition c = blank(op);
        c.a = made;
        c.b = read_one(p);
        made = c.b < 0 ? -1 : add(p, c, from);
    }
    return made;
}

static int read_held(parse *p) {
    spaces(p);
    size_t from = p->i;
    int made = read_any(p);
    if (made < 0 || !take(p, "for"))
        return made;
    condition c = blank(CONDITION_FOR);
    c.a = made;
    unit u;
    if (!read_quantity(p, UINT32_C(1) << UNIT_SECOND, "a delay", &c.value, &u))
        return -1;
    if (c.value <= 0 || c.value > 86400)
        return fail(p, from, p->i - from, "out-of-range", "",
                    "a delay must be above 0 and at most "
                    "one day",
                    "", "");
    return add(p, c, from);
}

int read_condition(reader *r, const node *n, int self) {
    (void)self;
    if (n->refused)
        return -1;
    if (n->type != NODE_TEXT) {
        say_error(r, n->span, "not-text", "join them with and, or", "one condition stands here",
                  NULL, NULL, NULL);
        return -1;
    }
    parse p = {.r = r, .n = n, .s = n->text, .length = n->length};
    const char *comma = memchr(p.s, ',', p.length);
    if (comma)
        return fail(&p, (size_t)(comma - p.s), 1, "condition", "join them with and, or",
                    "a condition has no commas", "", "");
    int made = read_held(&p);
    if (made >= 0 && take(&p, "until")) {
        condition c = blank(CONDITION_LATCH);
        c.a = made;
        c.b = read_held(&p);
        made = c.b < 0 ? -1 : add(&p, c, 0);
    }
    size_t left = peek(&p);
    if (made >= 0 && left)
        return fail(&p, p.i, left, "condition",
                    strchr("<>=", p.s[p.i])
                        ? "write above or below"
                        : "after a condition stands and, or, until, for, or the end",
                    "'", word_copy(&p, p.i, left), "' doesn't fit here");
    return made;
}
