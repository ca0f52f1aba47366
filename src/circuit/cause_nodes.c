// Walking the network: the way power came in the base, and where it ends now.
#include "circuit/cause_walk.h"

typedef struct step {
    int part;      // owner of the element, NOWHERE: none
    int to;        // node at its far end
    bool source;   // the element is a source: the way ends
    bool open;     // it doesn't conduct now
} step;

static bool path_role(element_role r) { return r == ROLE_PATH || r == ROLE_SENSE; }

static double node_volts(const settled_state *s, int node) { return s->solution->volts[node]; }

// The element that brings the most current into `node` from a higher one.
static step feed_of(const settled_state *s, const settled_state *now, int node)
{
    const circuit *c = &s->made->circuit;
    step best = {NOWHERE, NOWHERE, false, false};
    double most = 0.0;
    for (int i = 0; i < c->conductance_count; i++) {
        const conductance *e = &c->conductances[i];
        if (!path_role(s->made->conductance_owner[i].role) || (e->a != node && e->b != node)) continue;
        int other = e->a == node ? e->b : e->a;
        double amps = element_siemens(s, i) * (node_volts(s, other) - node_volts(s, node));
        if (other == AIRFRAME_NODE || amps <= most) continue;
        most = amps;
        best = (step){s->made->conductance_owner[i].part, other, false, element_siemens(now, i) <= 0};
    }
    for (int i = 0; i < c->piecewise_count; i++) {
        element_role role = s->made->piecewise_owner[i].role;
        double amps = piecewise_amps(c, &s->job, s->solution, i);
        bool diode = role == ROLE_DIODE && c->piecewises[i].b == node && amps > most;
        bool source = role == ROLE_SOURCE && c->piecewises[i].a == node && -amps > most;
        if (!diode && !source) continue;
        most = diode ? amps : -amps;
        best = (step){s->made->piecewise_owner[i].part, c->piecewises[i].a, source,
                      diode && !diode_passes(now, i)};
    }
    return best;
}

// Nearest live node through parts that needn't conduct: what is open on that way? For branches that
// had no power in the base.
static int open_on_way(cause_walk *w, int node)
{
    const circuit *c = &w->now->made->circuit;
    for (int i = 0; i < c->node_count; i++) w->way[i] = NOWHERE;
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
            if (!w->now->live[fresh]) continue;
            int open = NOWHERE;  // back from the live end: the last open one is nearest to the start
            for (int n = fresh; w->way[n] >= 0;) {
                int e = w->way[n];
                if (element_siemens(w->now, e) <= 0) open = w->now->made->conductance_owner[e].part;
                n = c->conductances[e].a == n ? c->conductances[e].b : c->conductances[e].a;
            }
            return open;
        }
    }
    return NOWHERE;
}

static int point_at(const cause_walk *w, int node)
{
    const aircraft *a = w->now->made->aircraft;
    int owner = w->now->made->node_owner[node];
    return owner >= 0 && a->parts[owner].kind == KIND_BUS ? owner : NOWHERE;
}

void walk_dead_node(cause_walk *w, int node)
{
    int bus = NOWHERE;
    for (int n = node, hops = 0; hops < 64; hops++) {
        step s = feed_of(w->base, w->now, n);
        if (s.part == NOWHERE) break;
        if (s.open || s.source) {
            if (bus != NOWHERE && !w->visited[bus]) walk_say(w, bus, "is dead");
            if (bus != NOWHERE) w->visited[bus] = 1;
            walk_part(w, s.part);
            return;
        }
        n = s.to;
        if (point_at(w, n) != NOWHERE) bus = point_at(w, n);
    }
    int open = open_on_way(w, node);
    if (open != NOWHERE) walk_part(w, open);
}

// Where the power comes from in a state: the source at the end of the way, NOWHERE if there is none.
static int source_of(const settled_state *s, int node)
{
    for (int n = node, hops = 0; hops < 64; hops++) {
        step e = feed_of(s, s, n);
        if (e.part == NOWHERE || e.source) return e.part;
        n = e.to;
    }
    return NOWHERE;
}

// The part on the way with the largest gain in voltage drop since the base.
static int largest_drop(const cause_walk *w, int node, double *gain)
{
    int part = NOWHERE;
    *gain = 0.0;
    for (int n = node, hops = 0; hops < 64; hops++) {
        step e = feed_of(w->now, w->now, n);
        if (e.part == NOWHERE || e.source) break;
        double now = node_volts(w->now, e.to) - node_volts(w->now, n);
        double then = node_volts(w->base, e.to) - node_volts(w->base, n);
        if (now - then > *gain) {
            *gain = now - then;
            part = e.part;
        }
        n = e.to;
    }
    return part;
}

void walk_low_node(cause_walk *w, int node)
{
    if (!w->now->live[node]) {
        walk_dead_node(w, node);
        return;
    }
    double gain;
    int part = largest_drop(w, node, &gain);
    double lost = node_volts(w->base, node) - node_volts(w->now, node);
    if (part != NOWHERE && gain > 0.5 * lost) {
        if (w->deviation[part] != NOWHERE) {
            walk_part(w, part);
        } else {
            walk_say(w, part, "carries more than it can without a loss of volts");
            walk_loads_below(w, part);
        }
        return;
    }
    int then = source_of(w->base, node), now = source_of(w->now, node);
    if (then != NOWHERE) walk_part(w, then);
    if (w->cause == NOWHERE && now != NOWHERE && now != then) walk_part(w, now);
}

void walk_risen_node(cause_walk *w, int node)
{
    for (int n = node, hops = 0; hops < 64; hops++) {
        step s = feed_of(w->now, w->base, n);  // open: in the base
        if (s.part == NOWHERE) return;
        if (s.open || s.source) {
            walk_part(w, s.part);
            return;
        }
        n = s.to;
    }
}

// Down from a return terminal to the airframe, as the current went in the base.
void walk_return(cause_walk *w, int node)
{
    const circuit *c = &w->now->made->circuit;
    for (int n = node, hops = 0; n != AIRFRAME_NODE && hops < 16; hops++) {
        int next = NOWHERE, part = NOWHERE;
        for (int i = 0; i < c->conductance_count; i++) {
            const conductance *e = &c->conductances[i];
            if (!path_role(w->base->made->conductance_owner[i].role)) continue;
            if ((e->a != n && e->b != n) || element_siemens(w->base, i) <= 0) continue;
            int other = e->a == n ? e->b : e->a;
            if (other != AIRFRAME_NODE && node_volts(w->base, other) >= node_volts(w->base, n)) continue;
            part = w->base->made->conductance_owner[i].part;
            next = other;
            if (element_siemens(w->now, i) < 0.5 * element_siemens(w->base, i)) {
                walk_part(w, part);
                return;
            }
        }
        if (next == NOWHERE) return;
        n = next;
    }
}

void walk_loads_below(cause_walk *w, int part)
{
    const settled_state *now = w->first != NULL ? w->first : w->now;
    const aircraft *a = w->now->made->aircraft;
    int most = NOWHERE;
    double gain = 0.0;
    for (int i = 0; i < a->part_count; i++) {  // what deviates and draws more than it did
        if (w->deviation[i] == NOWHERE || i == part) continue;
        double before = part_amps(w->base, i), after = part_amps(now, i);
        double more = (after < 0 ? -after : after) - (before < 0 ? -before : before);
        if (more <= gain) continue;
        gain = more;
        most = i;
    }
    if (most != NOWHERE) walk_part(w, most);
}
