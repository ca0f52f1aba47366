// What meters read, which way is right, and how switches spring back.
#include <string.h>

#include "model/reader.h"

static const positions *selector_of(reader *r, const draft *d, const node *at, int *selector) {
    const node *by = written_node(d, KEY_SELECTED_BY);
    *selector = by && by->type == NODE_TEXT ? find_id(r, by->text, by->length) : -1;
    if (*selector < 0) {
        if (!by)
            say_error(r, at->span, "no-selector", "", "a map of positions needs `selected-by`",
                      NULL, NULL, NULL);
        return NULL;
    }
    return places_for(r, *selector);
}

// A thing that is read: a terminal, or a part as a whole.
static bool read_target(reader *r, const node *n, size_t start, bool whole, reference *made) {
    size_t length = n->length - start;
    const char *space = memchr(n->text + start, ' ', length);
    if (!whole || space)
        return read_reference(r, n, start, length, made);
    *made = (reference){.part = need_id(r, n, start, length),
                        .terminal = TERMINAL_SELF,
                        .position = -1,
                        .span = node_part(n, start, length)};
    if (made->part < 0)
        return false;
    const part *p = &r->drafts[made->part].part;
    if (p->electric || kind_class(p->kind) == CLASS_UNIT)
        return true;
    say_error(r, n->span, "reads", "", "'", p->id, "' carries no current: a meter can't read it",
              NULL);
    return false;
}

static bool read_end(reader *r, const node *n, part_key key, reference *made) {
    if (n->type != NODE_TEXT) {
        say_error(r, n->span, "not-text", "", "one id stands here", NULL, NULL, NULL);
        return false;
    }
    if (key == KEY_READS)
        return read_target(r, n, 0, true, made);
    if (strncmp(n->text, "towards ", 8) != 0) {
        say_error(r, n->span, "right",
                  "write `right: towards ID`, the end that the current flows to", "'", n->text,
                  "' doesn't say which way is right", NULL);
        return false;
    }
    return read_target(r, n, 8, false, made);
}

void read_meter(reader *r, draft *d, const written *w) {
    const node *n = w->value;
    int count = n->type == NODE_MAP ? n->count : 1;
    reading *made = arena_new(r->keep, (size_t)(count ? count : 1), sizeof *made);
    if (!made)
        return;
    int good = 0;
    if (n->type == NODE_MAP) {
        int selector = -1;
        const positions *p = selector_of(r, d, n, &selector);
        for (const node *e = n->first; p && e; e = e->next) {
            if (e->refused)
                continue;
            int position = position_named(p, e->key->text, e->key->length);
            if (position < 0) {
                say_error(r, e->key->span, "no-position", "", "'", r->drafts[selector].part.id,
                          "' has no such position", NULL);
                continue;
            }
            made[good].position = position;
            if (read_end(r, e, w->key, &made[good].ref))
                good++;
        }
    } else {
        made[0].position = -1;
        good = read_end(r, n, w->key, &made[0].ref) ? 1 : 0;
    }
    part_value *v = good ? add_value(r, d, w->key, VALUE_READS, n->span) : NULL;
    if (v) {
        v->as.reads.items = made;
        v->as.reads.count = good;
    }
}

// ---- springs-back: yes; X to Y; to Y ------------------------------------------------------------

static bool is_position(reader *r, draft *d, const node *n, size_t start, size_t length) {
    static const char *const PLAIN[] = {"OFF", "ON"};
    const positions plain = {.count = 2, .labels = PLAIN};
    const positions *p = d->places.count ? &d->places : &plain;
    if (position_named(p, n->text + start, length) >= 0)
        return true;
    say_error(r, node_part(n, start, length), "no-position", "", "'", d->part.id,
              "' has no such position", NULL);
    return false;
}

void read_spring(reader *r, draft *d, const written *w) {
    const node *n = w->value;
    const char *text = read_text(r, n);
    if (!*text)
        return;
    const char *to = strncmp(text, "to ", 3) == 0 ? text : strstr(text, " to ");
    bool good = strcmp(text, "yes") == 0;
    if (!good && to) {
        size_t from_length = (size_t)(to - text);
        size_t skip = to == text ? 3 : 4;
        size_t start = (size_t)(to - text) + skip;
        good = (from_length == 0 || is_position(r, d, n, 0, from_length)) &&
               is_position(r, d, n, start, n->length - start);
    } else if (!good) {
        say_error(r, n->span, "springs-back", "", "'", text,
                  "' can't stand here: yes, X to Y, or to Y", NULL);
    }
    part_value *v = good ? add_value(r, d, w->key, VALUE_TEXT, n->span) : NULL;
    if (v)
        v->as.text = text;
}
