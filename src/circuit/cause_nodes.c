// Walking the network: the way power came in the base, and where it ends now.
#include "circuit/cause_walk.h"

typedef struct step {
    int part;     // owner of the element, NOWHERE: none
    int to;       // node at its far end
    bool source;  // the element is a source: the way ends
    bool open;    // it doesn't conduct in the other state, or far worse
} step;

static bool path_role(element_role r) { return r == ROLE_PATH || r == ROLE_SENSE; }

static double node_volts(const settled_state *s, int node) { return s->solution->volts[node]; }

// The element that brings the most current into `node` from a higher one, in `s`.
static step feed_of(const settled_state *s, const settled_state *other_state, int node) {
    const circuit *c = &s->made->circuit;
    step best = {NOWHERE, NOWHERE, false, false};
    double most = 0.0;
    for (int i = 0; i < c->conductance_count; i++) {
        const conductance *e = &c->conductances[i];
        if (!path_role(s->made->conductance_owner[i].role) || (e->a != node && e->b != node))
            continue;
        int other = e->a == node ? e->b : e->a;
        double amps = element_siemens(s, i) * (node_volts(s, other) - node_volts(s, node));
        if (other == AIRFRAME_NODE || amps <= most)
            continue;
        most = amps;
        bool open = element_siemens(other_state, i) < 0.5 * element_siemens(s, i);
        best = (step){s->made->conductance_owner[i].part, other, false, open};
    }
    for (int i = 0; i < c->piecewise_count; i++) {
        element_role role = s->made->piecewise_owner[i].role;
        double amps = piecewise_amps(c, &s->job, s->solution, i);
        bool diode = role == ROLE_DIODE && c->piecewises[i].b == node && amps > most;
        bool source = role == ROLE_SOURCE && c->piecewises[i].a == node && -amps > most;
        if (!diode && !source)
            continue;
        most = diode ? amps : -amps;
        best = (step){s->made->piecewise_owner[i].part, c->piecewises[i].a, source,
                      diode && !diode_passes(other_state, i)};
    }
    return best;
}

// Nearest live node through parts that needn't conduct: what is open on that way? For branches that
// had no power in the base.
static int open_on_way(cause_walk *w, int node) {
    const circuit *c = &w->now->made->circuit;
    for (int i = 0; i < c->node_count; i++)
        w->way[i] = NOWHERE;
    w->way[node] = -2;  // the start
    bool grew = true;
    while (grew) {
        grew = false;
        for (int i = 0; i < c->conductance_count; i++) {
            int a = c->conductances[i].a, b = c->conductances[i].b;
            if (!path_role(w->now->made->conductance_owner[i].role) || a == AIRFRAME_NODE ||
                b == AIRFRAME_NODE || (w->way[a] == NOWHERE) == (w->way[b] == NOWHERE))
                continue;
            int fresh = w->way[a] == NOWHERE ? a : b;
            w->way[fresh] = i;
            grew = true;
            if (!w->now->live[fresh])
                continue;
            int open =
                NOWHERE;  // back from the live end: the last open one is nearest to the start
            for (int n = fresh; w->way[n] >= 0;) {
                int e = w->way[n];
                if (element_siemens(w->now, e) <= 0)
                    open = w->now->made->conductance_owner[e].part;
                n = c->conductances[e].a == n ? c->conductances[e].b : c->conductances[e].a;
            }
            return open;
        }
    }
    return NOWHERE;
}

int blown_on_way(cause_walk *w, int node) {
    if (node == NOWHERE || w->now->live[node] || w->now->solution->trip_count == 0)
        return NOWHERE;
    int open = open_on_way(w, node);
    if (open == NOWHERE || w->visited[open])
        return NOWHERE;
    int breaker = w->now->made->maps[open].breaker;
    return breaker >= 0 && w->now->solution->tripped[breaker] ? open : NOWHERE;
}

static int point_at(const cause_walk *w, int node) {
    const aircraft *a = w->now->made->aircraft;
    int owner = w->now->made->node_owner[node];
    return owner >= 0 && a->parts[owner].kind == KIND_BUS ? owner : NOWHERE;
}

// A point that has itself failed (a bus shorted or come away) ends the way.
static bool point_deviates(cause_walk *w, int node) {
    int owner = w->now->made->node_owner[node];
    if (owner < 0 || w->deviation[owner] == NOWHERE)
        return false;
    if (kind_class(w->now->made->aircraft->parts[owner].kind) != CLASS_POINT)
        return false;
    walk_part(w, owner);
    return true;
}

void walk_dead_node(cause_walk *w, int node) {
    int bus = NOWHERE;
    for (int n = node, hops = 0; hops < 64; hops++) {
        if (point_deviates(w, n))
            return;
        step s = feed_of(w->base, w->now, n);
        if (s.part == NOWHERE)
            break;
        // What is open there has been told: a relay that senses its own output is asked why.
        bool told = s.open && !s.source && w->visited[s.part];
        if ((s.open || s.source) && !told) {
            if (!s.source && (point_deviates(w, n) || point_deviates(w, s.to)))
                return;
            if (bus != NOWHERE && !w->visited[bus] && !w->now->live[node])
                walk_say(w, bus, "is dead");
            if (bus != NOWHERE)
                w->visited[bus] = 1;
            walk_part(w, s.part);
            if (w->cause == NOWHERE)
                walk_loads_below(w, NOWHERE);
            return;
        }
        n = s.to;
        if (point_at(w, n) != NOWHERE)
            bus = point_at(w, n);
    }
    int open = open_on_way(w, node);
    if (open != NOWHERE)
        walk_part(w, open);
    if (w->cause == NOWHERE)
        walk_loads_below(w, NOWHERE);
}

// Where the power comes from in a state: the source at the end of the way, NOWHERE if there is
// none.
static int source_of(const settled_state *s, int node) {
    for (int n = node, hops = 0; hops < 64; hops++) {
        step e = feed_of(s, s, n);
        if (e.part == NOWHERE || e.source)
            return e.part;
        n = e.to;
    }
    return NOWHERE;
}

// The part on the way with the largest gain in voltage drop since `base`; NULL: the largest drop.
static int largest_drop(const cause_walk *w, const settled_state *base, int node, double *gain) {
    int part = NOWHERE;
    *gain = 0.0;
    for (int n = node, hops = 0; hops < 64; hops++) {
        step e = feed_of(w->now, w->now, n);
        if (e.part == NOWHERE || e.source)
            break;
        double now = node_volts(w->now, e.to) - node_volts(w->now, n);
        double then = base != NULL ? node_volts(base, e.to) - node_volts(base, n) : 0.0;
        if (now - then > *gain) {
            *gain = now - then;
            part = e.part;
        }
        n = e.to;
    }
    return part;
}

// A part on the way that conducts far worse than in the base, or a point that has failed.
bool walk_worse_way(cause_walk *w, int node) {
    for (int n = node, hops = 0; hops < 64; hops++) {
        if (point_deviates(w, n))
            return true;
        step s = feed_of(w->base, w->now, n);
        if (s.part == NOWHERE || s.source)
            return false;
        if (s.open) {
            walk_part(w, s.part);
            return w->cause != NOWHERE;
        }
        n = s.to;
    }
    return false;
}

void walk_low_node(cause_walk *w, int node) {
    if (!w->now->live[node]) {
        walk_dead_node(w, node);
        return;
    }
    if (walk_worse_way(w, node))
        return;
    double gain;
    int part = largest_drop(w, w->base, node, &gain);
    double lost = node_volts(w->base, node) - node_volts(w->now, node);
    if (part != NOWHERE && gain > 0.5 * lost && w->deviation[part] == NOWHERE) {
        if (!w->visited[part])  // as what let go of itself by it
            walk_say(w, part, "carries more than it can without a loss of volts");
        walk_loads_below(w, part);
    } else if (part != NOWHERE && gain > 0.5 * lost) {
        walk_part(w, part);
    }
    int then = source_of(w->base, node), now = source_of(w->now, node);
    if (w->cause == NOWHERE && then != NOWHERE)
        walk_part(w, then);
    if (w->cause == NOWHERE && now != NOWHERE && now != then)
        walk_part(w, now);
    if (w->cause == NOWHERE)
        walk_loads_below(w, NOWHERE);
}

void walk_weak_node(cause_walk *w, int node) {
    double lost, short_of = w->now->made->aircraft->nominal - node_volts(w->now, node);
    int part = largest_drop(w, NULL, node, &lost);
    int source = source_of(w->now, node);
    bool on_the_way = part != NOWHERE && (lost > 0.5 * short_of || source == NOWHERE);
    if (!on_the_way && source != NOWHERE)
        walk_say(w, source, "gives no more with all that is on");
    else if (on_the_way)
        walk_say(w, part, "loses most of what is missing");
}

void walk_risen_node(cause_walk *w, int node) {
    for (int n = node, hops = 0; hops < 64; hops++) {
        step s = feed_of(w->now, w->base, n);  // open: in the base
        if (s.part == NOWHERE)
            return;
        if (s.open || s.source) {
            walk_part(w, s.part);
            return;
        }
        n = s.to;
    }
}

void walk_outflow(cause_walk *w, int node) {
    const circuit *c = &w->base->made->circuit;
    for (int n = node, hops = 0; hops < 32; hops++) {
        if (point_deviates(w, n))
            return;
        double most = 1e-3;
        int next = NOWHERE;
        for (int i = 0; i < c->conductance_count; i++) {
            const conductance *e = &c->conductances[i];
            if (!path_role(w->base->made->conductance_owner[i].role) || (e->a != n && e->b != n))
                continue;
            int other = e->a == n ? e->b : e->a;
            double amps =
                element_siemens(w->base, i) * (node_volts(w->base, n) - node_volts(w->base, other));
            if (other == AIRFRAME_NODE || amps <= 1e-3)
                continue;
            if (element_siemens(w->now, i) < 0.5 * element_siemens(w->base, i)) {
                if (!point_deviates(w, other))
                    walk_part(w, w->base->made->conductance_owner[i].part);
                if (w->cause != NOWHERE)
                    return;
            }
            if (amps <= most)
                continue;
            most = amps;
            next = other;
        }
        for (int i = 0; i < c->piecewise_count; i++) {  // through a diode
            if (w->base->made->piecewise_owner[i].role != ROLE_DIODE || c->piecewises[i].a != n)
                continue;
            double amps = piecewise_amps(c, &w->base->job, w->base->solution, i);
            if (amps <= 1e-3)
                continue;
            if (!diode_passes(w->now, i))
                walk_part(w, w->base->made->piecewise_owner[i].part);
            if (w->cause != NOWHERE)
                return;
            if (amps <= most)
                continue;
            most = amps;
            next = c->piecewises[i].b;
        }
        if (next == NOWHERE)
            return;
        n = next;
    }
}

// Down from a return terminal to the airframe, as the current went in the base.
void walk_return(cause_walk *w, int node) {
    const circuit *c = &w->now->made->circuit;
    for (int n = node, hops = 0; n != AIRFRAME_NODE && hops < 16; hops++) {
        int next = NOWHERE, part = NOWHERE;
        for (int i = 0; i < c->conductance_count; i++) {
            const conductance *e = &c->conductances[i];
            if (!path_role(w->base->made->conductance_owner[i].role))
                continue;
            if ((e->a != n && e->b != n) || element_siemens(w->base, i) <= 0)
                continue;
            int other = e->a == n ? e->b : e->a;
            if (other != AIRFRAME_NODE && node_volts(w->base, other) >= node_volts(w->base, n))
                continue;
            part = w->base->made->conductance_owner[i].part;
            next = other;
            if (element_siemens(w->now, i) < 0.5 * element_siemens(w->base, i)) {
                walk_part(w, part);
                return;
            }
        }
        if (next == NOWHERE)
            return;
        n = next;
    }
}

// What a part draws, with what a short of it takes.
static double drawn(const settled_state *s, int part) {
    const part_map *m = &s->made->maps[part];
    const circuit *c = &s->made->circuit;
    double amps = part_amps(s, part);
    if (amps < 0)
        amps = -amps;
    const int shorts[] = {m->fault_short, m->fault_inside};
    for (int i = 0; i < 2; i++) {
        if (shorts[i] < 0)
            continue;
        double leak = conductance_amps(c, &s->job, s->solution, shorts[i]);
        amps += leak < 0 ? -leak : leak;
    }
    return amps;
}

// A fault that takes current, where what it took has itself cut it off since (a contactor that
// dropped out on the sagging volts).
static int heavy_fault(const cause_walk *w) {
    const uint32_t heavy = 1u << FAULT_SHORT | 1u << FAULT_OVERLOAD | 1u << FAULT_SHORTED |
                           1u << FAULT_STUCK | 1u << FAULT_STUCK_CLOSED | 1u << FAULT_DIODE_SHORTED;
    const state *asked = w->now->asked;
    for (int i = 0; i < asked->fault_count; i++)
        if (heavy >> asked->faults[i].kind & 1u)
            return asked->faults[i].part;
    return NOWHERE;
}

// A relay that had closed at the first instant and drew what made a breaker open.
static void walk_new_path(cause_walk *w) {
    const settled_state *now = w->now;
    const aircraft *a = now->made->aircraft;
    w->now = w->first;
    for (int i = 0; i < a->part_count && w->cause == NOWHERE; i++) {
        const part_map *m = &now->made->maps[i];
        bool relay = a->parts[i].kind == KIND_RELAY || a->parts[i].kind == KIND_CONTACTOR;
        if (!relay || signal_at(w->base, m->closed) || !signal_at(w->first, m->closed))
            continue;
        if (drawn(w->first, i) > drawn(w->base, i) + 1.0)
            walk_part(w, i);
    }
    w->now = now;
}

// What deviates and draws more than it did, most of all. A switch only passes on what something
// below it draws: that one is told first.
static int grown_load(const cause_walk *w, int except) {
    const settled_state *now = w->first != NULL ? w->first : w->now;
    const aircraft *a = w->now->made->aircraft;
    int most = NOWHERE;
    double gain = 0.0;
    for (int i = 0; i < a->part_count; i++) {
        if (w->deviation[i] == NOWHERE || i == except)
            continue;
        double more = drawn(now, i) - drawn(w->base, i);
        if (kind_class(a->parts[i].kind) == CLASS_PATH)
            more *= 0.9;
        if (more <= gain)
            continue;
        gain = more;
        most = i;
    }
    return most;
}

void walk_loads_below(cause_walk *w, int part) {
    int most = grown_load(w, part);
    if (most == NOWHERE)
        most = heavy_fault(w);
    if (most != NOWHERE) {
        walk_part(w, most);
    } else if (w->first != NULL) {
        walk_new_path(w);
    }
}
