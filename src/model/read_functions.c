// Functions: what items give, and the routes that replace it.
#include <string.h>

#include "model/reader.h"

// The usual names: a name used once and near one of these is more likely a slip.
static const char *const USUAL[] = {
    "airspeed",
    "altitude",
    "climb-rate",
    "attitude",
    "heading",
    "turn-rate",
    "power",
    "flaps",
    "gear-extension",
    "communication",
    "radar-reply",
    "vor",
    "glideslope",
    "gps",
    "fuel-quantity",
    "oil-pressure",
    "stall-warning",
    "navigation-lights",
    "anti-collision-light",
    "landing-light",
    "panel-light",
    "intercom",
    "time",
};

typedef struct function_draft {
    function function;
    int *gives, *partly;
    int gives_count, gives_capacity, partly_count, partly_capacity;
    int uses;
} function_draft;

typedef struct functions {
    reader *r;
    function_draft *items;
    int count, capacity;
    name_table names;
} functions;

static function_draft *function_named(functions *f, const char *name, span where) {
    int at = name_add(&f->names, f->r->scratch, name, strlen(name), f->count);
    if (at < 0)
        return NULL;
    if (at == f->count) {
        function_draft *items =
            arena_grow(f->r->scratch, f->items, &f->capacity, f->count + 1, sizeof *items);
        if (!items)
            return NULL;
        f->items = items;
        items[f->count++] = (function_draft){.function = {.name = name, .span = where}};
    }
    f->items[at].uses++;
    return &f->items[at];
}

static void add_index(reader *r, int **list, int *count, int *capacity, int index) {
    int *items = arena_grow(r->keep, *list, capacity, *count + 1, sizeof *items);
    if (!items)
        return;
    *list = items;
    items[(*count)++] = index;
}

static void collect(functions *f, int index, part_key key) {
    reader *r = f->r;
    const part_value *v = draft_value(&r->drafts[index], key);
    if (!v || v->type != VALUE_NAMES)
        return;
    for (int i = 0; i < v->as.names.count; i++) {
        function_draft *d = function_named(f, v->as.names.items[i], v->span);
        if (!d)
            return;
        if (key == KEY_GIVES)
            add_index(r, &d->gives, &d->gives_count, &d->gives_capacity, index);
        else
            add_index(r, &d->partly, &d->partly_count, &d->partly_capacity, index);
    }
}

static void read_routes(reader *r, const node *n, const int **made, int *count) {
    const node **items = NULL;
    int entries = 0;
    *count = 0;
    if (!read_list(r, n, &items, &entries))
        return;
    int *routes = arena_new(r->keep, (size_t)entries + 1, sizeof *routes);
    if (!routes)
        return;
    for (int i = 0; i < entries; i++) {
        routes[*count] = read_condition(r, items[i], -1);
        if (routes[*count] >= 0)
            (*count)++;
    }
    *made = routes;
}

static void read_function(functions *f, const node *n) {
    reader *r = f->r;
    if (n->type != NODE_MAP) {
        say_error(r, n->span, "function", "", "a function is {kept-by: [...], partly-by: [...]}",
                  NULL, NULL, NULL);
        return;
    }
    const char *name = arena_text(r->keep, n->key->text, n->key->length);
    function_draft *d = name ? function_named(f, name, n->key->span) : NULL;
    if (!d)
        return;
    d->uses++;
    d->function.routed = true;
    d->function.span = n->key->span;
    for (const node *e = n->first; e; e = e->next) {
        if (strcmp(e->key->text, "kept-by") == 0)
            read_routes(r, e, &d->function.kept_by.items, &d->function.kept_by.count);
        else if (strcmp(e->key->text, "partly-by") == 0)
            read_routes(r, e, &d->function.partly_by.items, &d->function.partly_by.count);
        else if (e->key->length)
            say_error(r, e->key->span, "unknown-key", "it may have: kept-by, partly-by", "'",
                      e->key->text, "' is not a key of a function", NULL);
    }
    if (d->gives_count + d->partly_count > 0 && d->function.kept_by.count == 0 &&
        d->function.partly_by.count == 0)
        say_warning(r, n->key->span, "no-route", "", "'", d->function.name,
                    "' has no route: it is lost always", NULL);
}

// A name used once and near another, or near a usual one, is likely a slip.
static void check_name(functions *f, const function_draft *d) {
    reader *r = f->r;
    if (d->uses > 1)
        return;
    const char *name = d->function.name;
    int most = strlen(name) <= 4 ? 1 : 2;
    const char *near = NULL;
    for (size_t i = 0; i < sizeof USUAL / sizeof USUAL[0]; i++) {
        if (strcmp(USUAL[i], name) == 0)
            return;
        if (!near && text_distance(name, USUAL[i], most) <= most)
            near = USUAL[i];
    }
    for (int i = 0; i < f->count && !near; i++) {
        const function_draft *other = &f->items[i];
        if (other != d && text_distance(name, other->function.name, most) <= most)
            near = other->function.name;
    }
    if (near)
        say_warning(r, d->function.span, "near-function",
                    join(r, (const char *const[]){"did you mean '", near, "'?", NULL}), "'", name,
                    "' is given by one part only", NULL);
}

void read_functions(reader *r) {
    functions f = {.r = r};
    for (int i = 0; i < r->count; i++) {
        collect(&f, i, KEY_GIVES);
        collect(&f, i, KEY_GIVES_PARTLY);
    }
    const node *section = node_entry(r->tree.root, "functions");
    if (section && section->type != NODE_MAP && !section->refused)
        say_error(r, section->span, "not-map", "", "`functions` holds one entry for each function",
                  NULL, NULL, NULL);
    for (const node *n = section && section->type == NODE_MAP ? section->first : NULL; n;
         n = n->next) {
        if (!n->refused && n->key->length)
            read_function(&f, n);
    }
    function *made = arena_new(r->keep, (size_t)f.count + 1, sizeof *made);
    if (!made || reader_failed(r))
        return;
    for (int i = 0; i < f.count; i++) {
        function_draft *d = &f.items[i];
        check_name(&f, d);
        made[i] = d->function;
        made[i].gives.items = d->gives;
        made[i].gives.count = d->gives_count;
        made[i].gives_partly.items = d->partly;
        made[i].gives_partly.count = d->partly_count;
    }
    r->a->functions = made;
    r->a->function_count = f.count;
}
