#include "circuit/bare_feeders.h"

#include "circuit/solver_state.h"

enum {
    ROWS_LEAST = 2,  // a point with fewer rows is a stud on the way, no bus that hands power out
    NAMED_MOST = 3
};

// A part that carries power from `a` to `b`, and back unless it is a diode.
typedef struct lead {
    int a, b, part;
    bool one_way;
} lead;

typedef struct leads {
    const compiled *made;
    const lead *list;
    int *head, *next;  // entries 2k+1 (at a) and 2k+2 (at b) of lead k, by node; 0: the end
    bool *cable;       // per lead: of a battery, starter, ground plug or source
    bool *told;        // per lead: a finding names it
    bool *bare;        // per node: a source reaches it past no protector
    bool *hands_out;   // per node: a bus with rows
    int *way;          // per node, scratch: the lead by which it was reached, NOWHERE
    int *stack;        // scratch, two entries a node
    uint8_t *seen;     // per node, scratch
} leads;

static bool protects(const part *p) {
    return p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER ||
           p->kind == KIND_RESISTOR;  // which limits the current by itself
}

static bool opens(const part *p) {
    return p->kind == KIND_SWITCH || p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR;
}

static bool carries_on(const compiled *c, element_owner o, element_role role) {
    if (o.role != role || o.part < 0)
        return false;
    const part *p = &c->aircraft->parts[o.part];
    // An item's own wire ends at the item; a path's own wire belongs to the path.
    // A list of feeds has diodes as well, but what they feed is no bus.
    if (role == ROLE_DIODE)
        return p->kind == KIND_DIODE;
    // An item's own wire ends at the item; a path's own wire belongs to the path.
    const part *host = p->implied == IMPLIED_WIRE ? &c->aircraft->parts[p->host] : p;
    bool path = kind_class(host->kind) == CLASS_PATH || p->implied == IMPLIED_STRAP;
    return path && !protects(host);
}

static void hang(leads *l, int k, int a, int b) {
    l->next[2 * k] = l->head[a];
    l->head[a] = 2 * k + 1;
    l->next[2 * k + 1] = l->head[b];
    l->head[b] = 2 * k + 2;
}

static void list_leads(leads *l, lead *list) {
    const compiled *c = l->made;
    int count = 0;
    for (int i = 0; i < c->circuit.conductance_count; i++) {
        const conductance *e = &c->circuit.conductances[i];
        if (!carries_on(c, c->conductance_owner[i], ROLE_PATH) || e->a <= 0 || e->b <= 0)
            continue;
        list[count] = (lead){e->a, e->b, c->conductance_owner[i].part, false};
        hang(l, count++, e->a, e->b);
    }
    for (int i = 0; i < c->circuit.piecewise_count; i++) {
        const piecewise *e = &c->circuit.piecewises[i];
        if (!carries_on(c, c->piecewise_owner[i], ROLE_DIODE) || e->a <= 0 || e->b <= 0)
            continue;
        list[count] = (lead){e->a, e->b, c->piecewise_owner[i].part, true};
        hang(l, count++, e->a, e->b);
    }
    l->list = list;
}

static void count_rows(leads *l, int *rows) {
    const aircraft *a = l->made->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        int node = l->made->maps[i].from;
        bool row = p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER ||
                   kind_class(p->kind) == CLASS_ITEM;
        if (row && p->electric && node > 0)
            rows[node]++;
    }
    for (int n = 1; n < l->made->circuit.node_count; n++) {
        int owner = l->made->node_owner[n];
        l->hands_out[n] = owner >= 0 && a->parts[owner].kind == KIND_BUS && rows[n] >= ROWS_LEAST;
    }
}

static bool leads_make(leads *l, const compiled *c, arena *m) {
    size_t nodes = (size_t)c->circuit.node_count;
    size_t most = (size_t)c->circuit.conductance_count + (size_t)c->circuit.piecewise_count;
    *l = (leads){.made = c};
    lead *list = arena_new(m, most + 1, sizeof *list);
    int *rows = arena_new(m, nodes, sizeof *rows);
    l->head = arena_new(m, nodes, sizeof *l->head);
    l->next = arena_new(m, 2 * most + 1, sizeof *l->next);
    l->cable = arena_new(m, most + 1, sizeof *l->cable);
    l->told = arena_new(m, most + 1, sizeof *l->told);
    l->bare = arena_new(m, nodes, sizeof *l->bare);
    l->hands_out = arena_new(m, nodes, sizeof *l->hands_out);
    l->way = arena_new(m, nodes, sizeof *l->way);
    l->stack = arena_new(m, 2 * nodes, sizeof *l->stack);
    l->seen = arena_new(m, nodes, sizeof *l->seen);
    if (m->failed)
        return false;
    list_leads(l, list);
    count_rows(l, rows);
    return true;
}

static bool is_strap(const part *p) {
    const part_value *v = part_value_of(p, KEY_VALUE);
    return p->implied == IMPLIED_STRAP ||
           (p->kind == KIND_WIRE && p->implied == IMPLIED_NO && (!v || v->type != VALUE_WIRE));
}

// The far end of the entry's lead, NOWHERE against a diode.
static int far_end(const leads *l, int entry) {
    const lead *e = &l->list[(entry - 1) / 2];
    bool at_a = (entry - 1) % 2 == 0;
    if (at_a)
        return e->b;
    return e->one_way ? NOWHERE : e->a;
}

// What the source reaches past no protector.
static void lay_bare(leads *l, int node) {
    int depth = 0;
    if (!l->bare[node])
        l->stack[depth++] = node;
    l->bare[node] = true;
    while (depth > 0) {
        for (int e = l->head[l->stack[--depth]], n; e != 0; e = l->next[e - 1]) {
            n = far_end(l, e);
            if (n == NOWHERE || l->bare[n])
                continue;
            l->bare[n] = true;
            l->stack[depth++] = n;
        }
    }
}

// The source's own cables: as far as the first bus that hands power out, and on through an
// ammeter's shunt. On a battery's hot bus the cable goes on as well, through the contactor or
// switch that takes the battery off line.
static void lay_cables(leads *l, int node, bool battery) {
    const part *parts = l->made->aircraft->parts;
    uint8_t past = battery ? 1 : 2;  // bits of `seen`: reached before and past a contactor
    int depth = 0;
    for (int n = 0; n < l->made->circuit.node_count; n++)
        l->seen[n] = 0;
    l->seen[node] = past;
    l->stack[depth++] = 2 * node + (past == 2);
    while (depth > 0) {
        int at = l->stack[--depth];
        int from = at / 2;
        past = at % 2 != 0 ? 2 : 1;
        bool ends = past == 2 && l->hands_out[from];
        for (int e = l->head[from]; e != 0; e = l->next[e - 1]) {
            int k = (e - 1) / 2, n = far_end(l, e);
            if (ends && parts[l->list[k].part].kind != KIND_SHUNT)
                continue;
            uint8_t then = opens(&parts[l->list[k].part]) ? 2 : past;
            l->cable[k] = true;
            if (n == NOWHERE || (l->seen[n] & then) != 0)
                continue;
            l->seen[n] |= then;
            l->stack[depth++] = 2 * n + (then == 2);
        }
    }
}

// The parts on the way back from `end` that no finding has named yet, straps left out. `named` has
// room for NAMED_MOST.
static int name_way(leads *l, int end, int *named) {
    const part *parts = l->made->aircraft->parts;
    int count = 0;
    for (int n = end; l->way[n] != NOWHERE;) {
        int k = l->way[n];
        const lead *e = &l->list[k];
        const part *p = &parts[e->part];
        n = e->a == n ? e->b : e->a;
        if (is_strap(p) || l->told[k])
            continue;
        l->told[k] = true;
        int who = p->host;
        if (count == 0 || named[(count - 1) % NAMED_MOST] != who)
            named[count++ % NAMED_MOST] = who;
    }
    return count < NAMED_MOST ? count : NAMED_MOST;
}

static void say_bare(leads *l, int start, int end, findings *f) {
    const part *parts = l->made->aircraft->parts;
    int named[NAMED_MOST];
    int count = name_way(l, end, named);
    if (count == 0)
        return;
    int first = named[0];
    for (int i = 1; i < count; i++)
        first = named[i] < first ? named[i] : first;
    text names = text_make(f->memory.memory);
    for (int i = 0; i < count; i++)
        text_all(&names,
                 i == 0          ? "'"
                 : i + 1 < count ? ", '"
                                 : " and '",
                 parts[named[i]].id, "'", NULL);
    findings_say(f, SEVERITY_NOTE, parts[first].span, "bare-feeder",
                 "a feeder usually has one where it leaves the bus (common practice, no source): "
                 "add its line, or see with the technician what is fitted",
                 text_get(&names), count == 1 ? " joins '" : " join '",
                 parts[l->made->node_owner[start]].id, "' and '",
                 parts[l->made->node_owner[end]].id, "' with no breaker, fuse or limiter between",
                 NULL);
    f->memory.failed = f->memory.failed || names.failed;
    text_free(&names);
}

// All buses that a bus feeds by something other than a source's cable.
static void follow_feeders(leads *l, int start, findings *f) {
    int depth = 0;
    for (int n = 0; n < l->made->circuit.node_count; n++) {
        l->way[n] = NOWHERE;
        l->seen[n] = 0;
    }
    l->seen[start] = 1;
    l->stack[depth++] = start;
    while (depth > 0) {
        int from = l->stack[--depth];
        for (int e = l->head[from]; e != 0; e = l->next[e - 1]) {
            int n = far_end(l, e);
            if (n == NOWHERE || l->cable[(e - 1) / 2] || l->seen[n])
                continue;
            l->seen[n] = 1;
            l->way[n] = (e - 1) / 2;
            if (!l->hands_out[n])
                l->stack[depth++] = n;
            else if (l->bare[n] || l->bare[start])
                say_bare(l, start, n, f);
        }
    }
}

status bare_feeders_find(const solver *s, arena *scratch, findings *f) {
    const aircraft *a = s->aircraft;
    leads l;
    if (!leads_make(&l, s->made, scratch))
        return STATUS_NO_MEMORY;
    for (int i = 0; i < a->part_count; i++) {
        int node = s->made->maps[i].to;
        if (kind_class(a->parts[i].kind) != CLASS_SOURCE || node <= 0)
            continue;
        lay_bare(&l, node);
        lay_cables(&l, node, a->parts[i].kind == KIND_BATTERY);
    }
    for (int n = 1; n < s->made->circuit.node_count; n++)
        if (l.hands_out[n])
            follow_feeders(&l, n, f);
    return STATUS_OK;
}
