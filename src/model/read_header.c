// The small sections: aircraft, papers, together, questions.
#include <string.h>

#include "model/reader.h"

static const field NOMINAL = {.units = UINT32_C(1) << UNIT_VOLT, .low = 10, .high = 32};

static void say_unknown(reader *r, const node *key, const char *section, const char *const *known,
                        int count) {
    const char *nearest = NULL;
    const char *list = "";
    int most = near_enough(key->length);
    for (int i = 0; i < count; i++) {
        if (!nearest && text_distance(key->text, known[i], most) <= most)
            nearest = known[i];
        list = join(r, (const char *const[]){list, i ? ", " : "", known[i], NULL});
    }
    const char *hint = nearest
                           ? join(r, (const char *const[]){"did you mean `", nearest, "`?", NULL})
                           : join(r, (const char *const[]){"it may have: ", list, NULL});
    say_error(r, key->span, "unknown-key", hint, "'", key->text, "' is not a key of `",
              join(r, (const char *const[]){section, "`", NULL}));
}

static int index_of(const char *const *known, int count, const char *word) {
    for (int i = 0; i < count; i++) {
        if (strcmp(known[i], word) == 0)
            return i;
    }
    return -1;
}

static void read_seats(reader *r, const node *n) {
    int seats = 0;
    bool good = n->type == NODE_TEXT && n->length > 0 && n->length < 4;
    for (size_t i = 0; good && i < n->length; i++) {
        good = n->text[i] >= '0' && n->text[i] <= '9';
        seats = seats * 10 + (n->text[i] - '0');
    }
    if (good && seats > 0)
        r->a->seats = seats;
    else if (!n->refused)
        say_error(r, n->span, "number", "", "`seats` is a number of seats", NULL, NULL, NULL);
}

void read_header(reader *r) {
    static const char *const KEYS[] = {"name", "tail", "nominal", "seats", "note"};
    node *section = node_entry(r->tree.root, "aircraft");
    aircraft *a = r->a;
    a->nominal = 28;
    r->is_28 = true;
    if (section && section->type != NODE_MAP) {
        if (!section->refused)
            say_error(r, section->span, "not-map", "",
                      "`aircraft` holds name, tail, nominal, seats", NULL, NULL, NULL);
        return;
    }
    const node *nominal = node_entry(section, "nominal");
    figure g;
    if (nominal && nominal->type == NODE_TEXT && !nominal->refused) {
        if (read_figure(r, nominal, 0, &NOMINAL, "`nominal`", &g))
            a->nominal = g.value;
    } else if (!nominal && !r->tree.broken) {
        say_error(r, section ? section->key->span : (span){.line = 1, .column = 1}, "no-nominal",
                  "add `nominal: 28 V` or `nominal: 14 V` to `aircraft`",
                  "the running volts of the aeroplane are missing", NULL, NULL, NULL);
    }
    r->is_28 = a->nominal > 20;
    for (const node *n = section ? section->first : NULL; n; n = n->next) {
        switch (index_of(KEYS, 5, n->key->text)) {
        case 0: a->name = read_text(r, n); break;
        case 1: a->tail = read_text(r, n); break;
        case 2: break;
        case 3: read_seats(r, n); break;
        case 4: a->note = read_text(r, n); break;
        default:
            if (n->key->length)
                say_unknown(r, n->key, "aircraft", KEYS, 5);
        }
    }
}

// ---- papers -------------------------------------------------------------------------------------

static void check_date(reader *r, const node *n) {
    if (n->type == NODE_TEXT && !n->refused && !read_date(n->text, n->length))
        say_error(r, n->span, "date", "", "a date is written as 2026-03-02", NULL, NULL, NULL);
}

static void add_paper(reader *r, paper *papers, int *count, const node *key, const node *n) {
    const char *word = arena_text(r->keep, key->text, key->length);
    if (word)
        papers[(*count)++] = (paper){.key = word, .value = read_text(r, n), .span = key->span};
}

static void check_alteration(reader *r, const node *n) {
    if (n->length < 12 || !read_date(n->text, 10) || n->text[10] != ' ')
        say_error(r, n->span, "date", "",
                  "an alteration is a date and a text: 2019-05-20 LED lights", NULL, NULL, NULL);
}

void read_papers(reader *r) {
    static const char *const DATES[] = {"equipment-list", "last-survey", "capacity-test"};
    const node *section = node_entry(r->tree.root, "papers");
    if (!section || section->refused)
        return;
    if (section->type != NODE_MAP) {
        say_error(r, section->span, "not-map", "", "`papers` holds documents and dates", NULL, NULL,
                  NULL);
        return;
    }
    int room = 0;
    for (const node *n = section->first; n; n = n->next)
        room += n->type == NODE_LIST ? n->count : 1;
    paper *papers = arena_new(r->keep, (size_t)room + 1, sizeof *papers);
    int count = 0;
    if (!papers)
        return;
    for (const node *n = section->first; n; n = n->next) {
        if (n->key->length == 0 || n->refused)
            continue;
        if (strcmp(n->key->text, "alterations") == 0) {
            const node **items = NULL;
            int entries = 0;
            if (!read_list(r, n, &items, &entries))
                continue;
            for (int i = 0; i < entries; i++) {
                check_alteration(r, items[i]);
                add_paper(r, papers, &count, n->key, items[i]);
            }
            continue;
        }
        if (index_of(DATES, 3, n->key->text) >= 0)
            check_date(r, n);
        add_paper(r, papers, &count, n->key, n);
    }
    r->a->papers = papers;
    r->a->paper_count = count;
}

// ---- together -----------------------------------------------------------------------------------

static void carry(reader *r, int ground, int index, span where) {
    draft *item = &r->drafts[index];
    part_class class = kind_class(item->part.kind);
    const char *id = item->part.id;
    if (class != CLASS_ITEM && class != CLASS_UNIT && class != CLASS_SOURCE) {
        say_error(r, where, "carries", "list the items that return through it", "'", id,
                  "' has no return to go through a ground", NULL);
    } else if (item->has_to && class == CLASS_ITEM) {
        say_error(r, where, "carries", "leave one of the two out", "'", id,
                  "' has a `to` of its own already", NULL);
    } else if (item->part.ground >= 0) {
        say_error(r, where, "carries", "", "'", id, "' returns through '",
                  join(r, (const char *const[]){r->drafts[item->part.ground].part.id, "' already",
                                                NULL}));
    } else {
        item->part.ground = ground;
    }
}

static span list_place(const node *n, int index) {
    if (n->type != NODE_LIST)
        return n->span;
    const node *e = n->first;
    for (; e && index > 0; index--)
        e = e->next;
    return e ? e->span : n->span;
}

void read_together(reader *r) {
    for (int i = 0; i < r->count; i++) {
        draft *d = &r->drafts[i];
        const part_value *carries = draft_value(d, KEY_CARRIES);
        if (!carries || d->part.kind != KIND_GROUND)
            continue;
        const node *n = written_node(d, KEY_CARRIES);
        for (int j = 0; j < carries->as.ids.count; j++)
            carry(r, i, carries->as.ids.items[j], list_place(n, j));
    }
}

// ---- questions ----------------------------------------------------------------------------------

static int question_id(reader *r, const node *entry, const char *key) {
    const node *n = node_entry(entry, key);
    if (!n) {
        say_error(r, entry->key->span, "question", "found, but, by, asked", "`", key,
                  "` is missing from this question", NULL);
        return -1;
    }
    if (n->refused)
        return -1;
    if (n->type == NODE_TEXT && strcmp(n->text, "unknown") != 0 && strcmp(n->text, "ground") != 0)
        return need_id(r, n, 0, n->length);
    return -1;
}

static const char *question_basis(reader *r, const node *entry, const char *key) {
    const node *n = node_entry(entry, key);
    basis b = BASIS_UNSTATED;
    const char *where = "";
    if (!n || !read_basis(r, n, &b, &where))
        return "";
    return read_text(r, n);
}

void read_questions(reader *r) {
    static const char *const KEYS[] = {"found", "but", "by", "asked"};
    const node *section = node_entry(r->tree.root, "questions");
    if (!section || section->refused)
        return;
    if (section->type != NODE_MAP) {
        say_error(r, section->span, "not-map", "", "`questions` holds one entry for each id", NULL,
                  NULL, NULL);
        return;
    }
    question *made = arena_new(r->keep, (size_t)section->count + 1, sizeof *made);
    int count = 0;
    for (const node *n = section->first; n && made; n = n->next) {
        if (n->refused || n->key->length == 0)
            continue;
        if (n->type != NODE_MAP) {
            say_error(r, n->span, "question", "",
                      "a question is {found: ID, but: ID, by: ..., "
                      "asked: ...}",
                      NULL, NULL, NULL);
            continue;
        }
        for (const node *e = n->first; e; e = e->next) {
            if (e->key->length && index_of(KEYS, 4, e->key->text) < 0)
                say_unknown(r, e->key, "questions", KEYS, 4);
        }
        made[count++] = (question){.part = need_id(r, n->key, 0, n->key->length),
                                   .found = question_id(r, n, "found"),
                                   .but = question_id(r, n, "but"),
                                   .by = question_basis(r, n, "by"),
                                   .asked = question_basis(r, n, "asked"),
                                   .span = n->key->span};
    }
    r->a->questions = made;
    r->a->question_count = count;
}
