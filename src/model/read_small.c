// Small values: texts, words, lists, yes and no, places, positions, basis.
#include <string.h>

#include "base/number.h"
#include "model/reader.h"

const char *read_text(reader *r, const node *n) {
    if (n->refused)
        return "";
    if (n->type != NODE_TEXT) {
        say_error(r, n->span, "not-text", "", "one text stands here, not a list or map", NULL, NULL,
                  NULL);
        return "";
    }
    if (n->length == 0)
        say_error(r, n->span, "empty-value", "leave the key out if it isn't known",
                  "an empty text says nothing", NULL, NULL, NULL);
    const char *made = arena_text(r->keep, n->text, n->length);
    return made ? made : "";
}

bool read_list(reader *r, const node *n, const node ***items, int *count) {
    *count = 0;
    int entries = n->type == NODE_LIST ? n->count : 1;
    *items = arena_new(r->scratch, (size_t)entries, sizeof(void *));
    if (!*items || n->refused)
        return false;
    if (n->type == NODE_TEXT) {
        (*items)[(*count)++] = n;
        return true;
    }
    if (n->type == NODE_MAP) {
        say_error(r, n->span, "not-list", "", "a list [a, b] stands here, not a map", NULL, NULL,
                  NULL);
        return false;
    }
    if (n->count == 0) {
        say_error(r, n->span, "empty-list", "leave the key out", "an empty list says nothing", NULL,
                  NULL, NULL);
        return false;
    }
    for (const node *e = n->first; e; e = e->next) {
        if (e->refused)
            continue;
        if (e->type != NODE_TEXT) {
            say_error(r, e->span, "not-text", "", "an entry of this list is one text", NULL, NULL,
                      NULL);
            continue;
        }
        (*items)[(*count)++] = e;
    }
    return true;
}

bool read_yes(reader *r, const node *n, bool *yes) {
    *yes = node_is(n, "yes");
    if (*yes || node_is(n, "no"))
        return true;
    if (!n->refused)
        say_error(r, n->span, "yes-no", "", "yes or no stands here, nothing else", NULL, NULL,
                  NULL);
    return false;
}

// British spellings are read too.
static const char *one_spelling(const char *word) {
    return strcmp(word, "centre-zero") == 0 ? "center-zero" : word;
}

static int word_index(const char *words, const char *word) {
    size_t n = strlen(word);
    int index = 0;
    for (const char *w = words; *w; index++) {
        const char *end = strchr(w, ' ');
        size_t length = end ? (size_t)(end - w) : strlen(w);
        bool same = length == n;
        for (size_t i = 0; i < n && same; i++)  // `goes on` stands as goes-on in the list
            same = w[i] == word[i] || (w[i] == '-' && word[i] == ' ');
        if (same)
            return index;
        w += length + (end ? 1 : 0);
    }
    return -1;
}

int read_words(reader *r, const node *n, const field *f) {
    if (n->refused)
        return -1;
    if (n->type != NODE_TEXT) {
        say_error(r, n->span, "not-text", "", "one word stands here, not a list or map", NULL, NULL,
                  NULL);
        return -1;
    }
    int index = word_index(f->words, one_spelling(n->text));
    if (index >= 0)
        return index;
    const char *list = "";
    for (const char *w = f->words; *w;) {
        const char *end = strchr(w, ' ');
        size_t length = end ? (size_t)(end - w) : strlen(w);
        const char *word = arena_text(r->scratch, w, length);
        list = join(r, (const char *const[]){list, *list ? ", " : "", word ? word : "", NULL});
        w += length + (end ? 1 : 0);
    }
    // A voltmeter, by its scale or digital.
    if (f->type == FIELD_FIGURE_OR_TEXT)
        list = join(r, (const char *const[]){"a scale as ", f->example, ", or ", list, NULL});
    const char *name = f->key == KEY_VALUE ? "" : key_word(f->key);
    say_error(r, n->span, "unknown-word", "", "'", n->text,
              join(r, (const char *const[]){"' can't stand ", *name ? "after `" : "here", name,
                                            *name ? "`" : "", ": ", NULL}),
              list);
    return -1;
}

static bool basis_named(const char *s, size_t length, basis *b) {
    static const struct {
        const char *word;
        basis basis;
    } WORDS[] = {{"book", BASIS_BOOK},
                 {"survey", BASIS_SURVEY},
                 {"measured", BASIS_MEASURED},
                 {"guess", BASIS_GUESS}};
    for (int i = 0; i < 4; i++) {
        if (strlen(WORDS[i].word) == length && memcmp(WORDS[i].word, s, length) == 0) {
            *b = WORDS[i].basis;
            return true;
        }
    }
    return false;
}

// A document that the papers don't list is worth a look, but nothing is wrong.
static void check_paper(reader *r, const node *n, const char *where) {
    const char *space = strchr(where, ' ');
    if (!space || (where[0] >= '0' && where[0] <= '9'))
        return;
    const char *name = arena_text(r->scratch, where, (size_t)(space - where));
    if (name && !node_entry(node_entry(r->tree.root, "papers"), name))
        say_warning(r, n->span, "unknown-document", "add it with its revision", "'", name,
                    "' is not a document of `papers`", NULL);
}

bool read_basis(reader *r, const node *n, basis *b, const char **where) {
    const char *text = read_text(r, n);
    *where = "";
    if (!*text)
        return false;
    const char *space = strchr(text, ' ');
    size_t length = space ? (size_t)(space - text) : strlen(text);
    if (!basis_named(text, length, b)) {
        say_error(r, n->span, "basis", "", "'", text,
                  "' says not where it was learned: book PAGE, survey DATE, measured DATE or guess",
                  NULL);
        return false;
    }
    const char *rest = space ? space + 1 : "";
    bool dated = *b == BASIS_SURVEY || *b == BASIS_MEASURED;
    if (dated && *rest && !read_date(rest, strlen(rest))) {
        say_error(r, n->span, "date", "", "a date is written as 2026-03-02", NULL, NULL, NULL);
        return false;
    }
    *where = rest;
    if (*b == BASIS_BOOK)
        check_paper(r, n, rest);
    return true;
}

// ---- places on the panel ------------------------------------------------------------------------

// Takes `WORD N` off the end of a text. 0: it doesn't end so.
static int take_number(const char *text, size_t *length, const char *word) {
    size_t n = *length;
    size_t digits = 0;
    while (digits < n && digits < 4 && text[n - 1 - digits] >= '0' && text[n - 1 - digits] <= '9')
        digits++;
    size_t w = strlen(word);
    if (digits == 0 || n < digits + 1 + w || text[n - digits - 1] != ' ')
        return 0;
    size_t start = n - digits - 1 - w;
    if (memcmp(text + start, word, w) != 0 || (start > 0 && text[start - 1] != ' '))
        return 0;
    int value = 0;
    for (size_t i = n - digits; i < n; i++)
        value = value * 10 + (text[i] - '0');
    *length = start > 0 ? start - 1 : 0;
    return value;
}

void read_place(reader *r, draft *d, const node *n) {
    const char *text = read_text(r, n);
    size_t length = strlen(text);
    size_t whole = length;
    d->part.number = take_number(text, &length, "no");
    bool none = length != whole && d->part.number == 0;
    whole = length;
    d->part.row = take_number(text, &length, "row");
    if (none || (length != whole && d->part.row == 0))
        say_error(r, n->span, "place", "rows and numbers begin with 1", "'", text,
                  "' is no place on a panel", NULL);
    const char *panel = arena_text(r->keep, text, length);
    if (panel)
        d->part.panel = panel;
}

// ---- positions ----------------------------------------------------------------------------------

static const field PLACE_OR_SETTING = {
    .units = UINT32_C(1) << UNIT_PERCENT | UINT32_C(1) << UNIT_AMP, .low = 0, .high = 500};

static bool label_twice(reader *r, const char *const *labels, int count, const node *at) {
    for (int i = 0; i < count; i++) {
        if (strcmp(labels[i], at->text) == 0) {
            say_error(r, at->span, "position-twice", "", "'", at->text, "' is a position already",
                      NULL);
            return true;
        }
    }
    return false;
}

static void read_labels(reader *r, draft *d, const node *n, const char **labels) {
    const node **items = NULL;
    int count = 0;
    if (!read_list(r, n, &items, &count))
        return;
    positions *p = &d->places;
    for (int i = 0; i < count; i++) {
        if (label_twice(r, labels, p->count, items[i]))
            continue;
        labels[p->count] = arena_text(r->keep, items[i]->text, items[i]->length);
        if (!labels[p->count])
            return;
        p->count++;
    }
    if (d->part.kind != KIND_SWITCH) {
        say_error(r, n->span, "positions", "write `positions: {OFF: 0 A, LOW: 2 A}` or places in %",
                  "only a switch has a plain list of positions", NULL, NULL, NULL);
        p->count = 0;
    }
}

static void read_figured(reader *r, draft *d, const node *n, const char **labels) {
    double *figures = arena_new(r->keep, (size_t)n->count, sizeof *figures);
    if (!figures)
        return;
    positions *p = &d->places;
    unit first = UNIT_NONE;
    for (const node *e = n->first; e; e = e->next) {
        figure g;
        if (e->refused || e->key->length == 0)
            continue;
        if (e->type != NODE_TEXT) {
            say_error(r, e->span, "not-text", "", "a place in % or a setting in A stands here",
                      NULL, NULL, NULL);
            continue;
        }
        if (!read_figure(r, e, 0, &PLACE_OR_SETTING, "a place or a setting", &g))
            continue;
        if (first == UNIT_NONE)
            first = g.unit;
        if (g.unit != first) {
            say_error(r, e->span, "positions", "",
                      "all positions are places in %, or all "
                      "settings in A",
                      NULL, NULL, NULL);
            continue;
        }
        if (g.unit == UNIT_PERCENT && g.value > 1) {
            say_error(r, e->span, "out-of-range", "", "a place must be from 0 to 100 %", NULL, NULL,
                      NULL);
            continue;
        }
        labels[p->count] = arena_text(r->keep, e->key->text, e->key->length);
        if (!labels[p->count])
            return;
        figures[p->count++] = g.value;
    }
    p->figures = figures;
    p->sort = first == UNIT_AMP ? POSITIONS_SETTINGS : POSITIONS_PLACES;
    part_kind k = d->part.kind;
    if ((k == KIND_SWITCH || k == KIND_MECHANISM) && p->sort == POSITIONS_SETTINGS) {
        say_error(r, n->span, "positions", "", "the positions of ", with_article(r, kind_word(k)),
                  " are labels or places in %, not amps", NULL);
        p->count = 0;
    }
}

void read_positions(reader *r, draft *d, const node *n) {
    int entries = n->type == NODE_TEXT ? 1 : n->count;
    const char **labels = arena_new(r->keep, (size_t)entries, sizeof *labels);
    if (!labels)
        return;
    d->places = (positions){.labels = labels};
    if (n->type == NODE_MAP)
        read_figured(r, d, n, labels);
    else
        read_labels(r, d, n, labels);
    if (d->places.count == 1 && entries == 1) {
        say_error(r, n->span, "positions", "", "one position is none: name at least two", NULL,
                  NULL, NULL);
    }
}
