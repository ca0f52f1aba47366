// Watches: `low-volts lit`, `main-bus below 24 V`. A student's page writes none: page_readers.c.
#include <string.h>

#include "model/scenario_reader.h"

#define BIT(u) (UINT32_C(1) << UNIT_##u)
static const field LEVEL = {
    .units = BIT(VOLT) | BIT(AMP) | BIT(PERCENT), .low = -1000, .high = 1000};
#undef BIT

static size_t word_end(const char *s, size_t at, size_t length) {
    while (at < length && s[at] != ' ')
        at++;
    return at;
}

static size_t past_spaces(const char *s, size_t at, size_t length) {
    while (at < length && s[at] == ' ')
        at++;
    return at;
}

static bool is_lamp(const part *p) { return p->kind == KIND_LIGHT || p->kind == KIND_SOUNDER; }

static bool is_contact(const part *p) {
    return p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR || p->kind == KIND_SWITCH;
}

static bool is_protector(const part *p) {
    return p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
}

static bool is_meter(const part *p) {
    return p->kind == KIND_AMMETER || p->kind == KIND_LOADMETER || p->kind == KIND_VOLTMETER;
}

static bool is_item(const part *p) {
    part_class c = kind_class(p->kind);
    return (c == CLASS_ITEM || p->kind == KIND_CONVERTER) && !is_lamp(p) && !is_meter(p);
}

static bool fits(const watch_word *w, const part *p) {
    switch (w->op) {
    case WATCH_LIT:
    case WATCH_DARK:
        return p->kind == (strcmp(w->said_of, "a light") == 0 ? KIND_LIGHT : KIND_SOUNDER);
    case WATCH_STATUS: return is_item(p);
    case WATCH_TRIPPED: return is_protector(p);
    case WATCH_OPEN:
    case WATCH_CLOSED: return is_contact(p);
    case WATCH_EXHAUSTED: return p->kind == KIND_BATTERY;
    default: return false;
    }
}

// The words that may follow this part, or a function.
static const char *words_for(scenario_reader *s, const part *p) {
    const char *list = "";
    for (int i = 0; watch_word_at(i); i++) {
        const watch_word *w = watch_word_at(i);
        if (p ? !fits(w, p) : w->op != WATCH_FUNCTION)
            continue;
        list = join(&s->r, (const char *const[]){list, *list ? ", " : "", w->word, NULL});
    }
    if (p && !is_lamp(p) && !is_meter(p))
        list = join(&s->r, (const char *const[]){list, *list ? ", " : "", "above, below", NULL});
    return list;
}

static void wrong_word(scenario_reader *s, const node *n, size_t start, size_t length,
                       const part *p, const char *name) {
    const char *word = arena_text(s->r.scratch, n->text + start, length);
    const char *can = words_for(s, p);
    const char *hint = *can ? join(&s->r, (const char *const[]){"after it: ", can, NULL}) : "";
    if (p && is_meter(p))
        hint = "a meter only shows: watch what it reads, as `main-bus below 24 V`";
    say_error(&s->r, node_part(n, start, length), "watch-word", hint, "'", word ? word : "",
              join(&s->r, (const char *const[]){"' says nothing of '", name, "'", NULL}), NULL);
}

static int keep(scenario_reader *s, scenario_watch w) {
    scenario_watch *grown =
        arena_grow(s->r.keep, s->watches, &s->watch_room, s->watch_count + 1, sizeof *grown);
    if (!grown)
        return -1;
    s->watches = grown;
    s->watches[s->watch_count] = w;
    return s->watch_count++;
}

// `above` or `below`, and the figure behind it.
static bool read_level(scenario_reader *s, const node *n, size_t at, const part *p,
                       scenario_watch *w) {
    figure g;
    if (at >= n->length) {
        say_error(&s->r, n->span, "watch-figure", "as `main-bus below 24 V`",
                  "a figure is missing after 'above' or 'below'", NULL, NULL, NULL);
        return false;
    }
    if (!read_figure(&s->r, n, at, &LEVEL, "a watch", &g))
        return false;
    w->value = g.value;
    w->op = g.unit == UNIT_VOLT ? WATCH_VOLTS : g.unit == UNIT_AMP ? WATCH_AMPS : WATCH_CHARGE;
    bool battery = p->kind == KIND_BATTERY;
    if ((w->op == WATCH_CHARGE && !battery) || (w->op != WATCH_CHARGE && !p->electric)) {
        say_error(&s->r, node_part(n, at, n->length - at), "watch-figure",
                  w->op == WATCH_CHARGE ? "only batteries have a charge" : "", "'", p->id,
                  w->op == WATCH_CHARGE ? "' has no percentage" : "' has neither volts nor amps",
                  NULL);
        return false;
    }
    return true;
}

static bool read_state(scenario_reader *s, const node *n, size_t at, size_t end, const part *p,
                       const char *name, scenario_watch *w) {
    for (int i = 0; watch_word_at(i); i++) {
        const watch_word *word = watch_word_at(i);
        bool mine = p ? fits(word, p) : word->op == WATCH_FUNCTION;
        if (!mine || strlen(word->word) != end - at ||
            memcmp(n->text + at, word->word, end - at) != 0)
            continue;
        if (past_spaces(n->text, end, n->length) < n->length) {
            say_error(&s->r, node_part(n, end + 1, n->length - end - 1), "watch-rest",
                      "one watch is an id and one word, or an id, above or below, and a figure",
                      "something is left over here", NULL, NULL, NULL);
            return false;
        }
        w->op = word->op;
        w->status = word->status;
        return true;
    }
    wrong_word(s, n, at, end - at, p, name);
    return false;
}

// A word that is said of functions: kept, reduced, lost.
static bool of_functions(const char *s, size_t at, size_t end) {
    for (int i = 0; watch_word_at(i); i++)
        if (watch_word_at(i)->op == WATCH_FUNCTION && strlen(watch_word_at(i)->word) == end - at &&
            memcmp(s + at, watch_word_at(i)->word, end - at) == 0)
            return true;
    return false;
}

int scenario_watch_read(scenario_reader *s, const node *n, size_t start) {
    if (n->refused)
        return -1;
    if (n->type != NODE_TEXT) {
        say_error(&s->r, n->span, "not-text", "as `low-volts lit`", "one watch stands here", NULL,
                  NULL, NULL);
        return -1;
    }
    size_t end = word_end(n->text, start, n->length);
    size_t at = past_spaces(n->text, end, n->length), at_end = word_end(n->text, at, n->length);
    scenario_watch w = {.part = -1, .function = -1};
    w.words = arena_text(s->r.keep, n->text + start, n->length - start);
    const char *name = arena_text(s->r.scratch, n->text + start, end - start);
    if (!w.words || !name)
        return -1;
    w.function = scenario_function(s, name, end - start);
    bool is_part = aircraft_part(s->aircraft, name) >= 0;
    if (w.function >= 0 && (!is_part || of_functions(n->text, at, at_end)))
        return read_state(s, n, at, at_end, NULL, name, &w) ? keep(s, w) : -1;
    w.function = -1;
    w.part = scenario_part(s, n, start, end - start, true);
    if (w.part < 0)
        return -1;
    const part *p = &s->aircraft->parts[w.part];
    if (at >= n->length) {
        say_error(&s->r, n->span, "watch-word",
                  join(&s->r, (const char *const[]){"after it: ", words_for(s, p), NULL}), "what '",
                  name, "' must do is missing", NULL);
        return -1;
    }
    w.below = at_end - at == 5 && memcmp(n->text + at, "below", 5) == 0;
    bool above = at_end - at == 5 && memcmp(n->text + at, "above", 5) == 0;
    bool level = (w.below || above) && !is_lamp(p) && !is_meter(p);
    bool good = level ? read_level(s, n, past_spaces(n->text, at_end, n->length), p, &w)
                      : read_state(s, n, at, at_end, p, name, &w);
    return good ? keep(s, w) : -1;
}
