// Statuses that change on the way from one end of a step to the other, in a coarse run. Nothing
// of that reacts on the circuit, so no step has to end there: all volts go from end to end as do
// those of the battery whose volts change most, which its own law tells for any time between. The
// verdict is made for all those moments at once.
#include <string.h>

#include "timeline/run_state.h"

enum { SEARCHES_MOST = 20 };
#define JUST_AFTER 1e-7  // of the way: where the threshold is passed for certain
#define CLOSE      1e-3  // of the way
#define LEAST_WAY  1e-6  // volts

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

bool run_make_between(run *r) {
    size_t nodes = (size_t)circuit_of(r)->node_count;
    r->between.solutions = arena_new(&r->memory, CROSSINGS_MOST, sizeof(solution));
    r->between.volts = arena_new(&r->memory, CROSSINGS_MOST * nodes, sizeof(double));
    return !r->memory.failed;
}

// ---- the way ------------------------------------------------------------------------------------
typedef struct way {
    const run_end *from, *to;
    int battery;  // -1: straight in time
    double first, last, seconds;
} way;

static double battery_volts(const battery_law *law, double amps) {
    return law->emf - amps * law->ohms;
}

static way way_of(const run *r, const run_end *from, const run_end *to) {
    way w = {.from = from, .to = to, .battery = -1, .seconds = r->aim};
    double most = LEAST_WAY;
    for (int i = 0; i < r->battery_count; i++) {
        double first = battery_volts(&from->law[i], from->amps[i]);
        double last = battery_volts(&to->law[i], to->amps[i]);
        double far = last > first ? last - first : first - last;
        if (far > most && from->law[i].ohms > 0) {
            most = far;
            w.battery = i;
            w.first = first;
            w.last = last;
        }
    }
    return w;
}

// How far along the way the volts are after a share of the time.
static double share_of_way(const run *r, const way *w, double share) {
    const run_battery *b = &r->batteries[w->battery];
    double from = w->from->amps[w->battery];
    double amps = from + share * (w->to->amps[w->battery] - from);
    battery_charge q =
        battery_after(&b->model, w->from->charge[w->battery], from, amps, share * w->seconds);
    battery_law law = battery_law_now(&b->model, q, w->from->view.faults[b->part]);
    return (battery_volts(&law, amps) - w->first) / (w->last - w->first);
}

// The share of the time after which a share of the way is behind: by regula falsi, halved by turns.
static double time_share(const run *r, const way *w, double share) {
    double low = 0.0, high = 1.0, at_low = 0.0, at_high = 1.0;
    if (w->battery < 0)
        return share;
    for (int i = 0; i < SEARCHES_MOST && high - low > CLOSE; i++) {
        double middle = low + (high - low) * (share - at_low) / (at_high - at_low);
        if (i % 3 == 2 || middle <= low || middle >= high)
            middle = 0.5 * (low + high);
        double at = share_of_way(r, w, middle);
        if (at - share < CLOSE && share - at < CLOSE)
            return middle;
        if (at < share) {
            low = middle;
            at_low = at;
        } else {
            high = middle;
            at_high = at;
        }
    }
    return high;
}

double run_passed_at(const run *r, double share) {
    way w = way_of(r, &r->trial, &r->now);
    return r->at - w.seconds * (1.0 - time_share(r, &w, share));
}

double run_time_of_way(const run *r, double share) {
    way w = way_of(r, &r->now, &r->trial);
    return w.seconds * time_share(r, &w, share);
}

double run_way_at(const run *r, double seconds) {
    way w = way_of(r, &r->now, &r->trial);
    double share = seconds / w.seconds, way = w.battery < 0 ? share : share_of_way(r, &w, share);
    return way < 0 ? 0.0 : way > 1 ? 1.0 : way;
}

double run_volts_rate(const run *r) {
    way w = way_of(r, &r->now, &r->trial);
    return w.battery < 0 ? 0.0 : (w.last - w.first) / w.seconds;
}

// Of the way, just after which the threshold is passed.
static double crossing(const run *r, const threshold *t) {
    const double *now = r->now.view.solution.volts, *trial = r->trial.view.solution.volts;
    double first = now[t->a] - now[t->b], last = trial[t->a] - trial[t->b];
    double share = last != first ? (t->limit - first) / (last - first) : 1.0;
    share = (share > 0 ? share : 0.0) + JUST_AFTER;
    return share < 1.0 ? share : 1.0;
}

// In order; the latest go where there are too many: they are told at the end of the step.
static void put_share(between *b, double share) {
    int i = b->count;
    for (; i > 0 && b->shares[i - 1] >= share; i--)
        if (b->shares[i - 1] == share)
            return;
    if (i == CROSSINGS_MOST)
        return;
    int moved = (b->count < CROSSINGS_MOST ? b->count : CROSSINGS_MOST - 1) - i;
    memmove(&b->shares[i + 1], &b->shares[i], (size_t)moved * sizeof *b->shares);
    b->shares[i] = share;
    b->count = i + moved + 1;
}

static void put_solution(run *r, int k) {
    size_t nodes = (size_t)circuit_of(r)->node_count;
    const double *now = r->now.view.solution.volts, *trial = r->trial.view.solution.volts;
    double *volts = r->between.volts + (size_t)k * nodes, share = r->between.shares[k];
    for (size_t i = 0; i < nodes; i++)
        volts[i] = now[i] + share * (trial[i] - now[i]);
    r->between.solutions[k] = r->trial.view.solution;
    r->between.solutions[k].volts = volts;
}

// ---- told ---------------------------------------------------------------------------------------
static void tell_charges(run *r, double share) {
    for (int i = 0; i < r->battery_count; i++) {
        const battery_charge *from = &r->now.charge[i], *to = &r->trial.charge[i];
        battery_charge *q = &r->batteries[i].charge;
        q->wells.free = from->wells.free + share * (to->wells.free - from->wells.free);
        q->wells.bound = from->wells.bound + share * (to->wells.bound - from->wells.bound);
    }
}

static void tell_change(run *r, const run_hooks *h, int mark, uint8_t to) {
    run_event e = {.at = r->told.at,
                   .kind = r->owners[mark].kind,
                   .part = r->owners[mark].part,
                   .from = r->seen[mark],
                   .to = to};
    r->seen[mark] = to;
    if (e.from != e.to && h->event != NULL)
        h->event(h->ctx, &r->told, &e);
}

// With what slot `slot` of the block has found.
static void tell_moment(run *r, const run_hooks *h, const way *w, int k, int slot) {
    const verdict *v = r->solver->made->verdict;
    double share = time_share(r, w, r->between.shares[k]);
    int mark = r->first_status_mark;
    r->items = verdict_block_items(r->block, slot);
    r->functions = verdict_block_functions(r->block, slot);
    r->told.at = r->at + share * w->seconds;
    r->told.items = r->items;
    r->told.functions = r->functions;
    tell_charges(r, share);
    if (h->step != NULL && !h->step(h->ctx, &r->told))
        r->ended = true;
    for (int i = 0; i < v->rule_count; i++, mark += 2)
        tell_change(r, h, mark, r->items[i].status);
    for (int i = 0; i < r->solver->aircraft->function_count; i++)
        tell_change(r, h, mark + i, r->functions[i]);
}

// Whether somebody asks when an item's own volts have gone below.
static bool asks_of_item(const run *r, const run_hooks *h, const threshold *t) {
    int part = r->solver->made->verdict->rules[t->rule].part;
    run_event e = {0.0, RUN_STATUS, part, ITEM_ON, ITEM_OFF};
    return t->holds && h->asks(h->ctx, &e);
}

static bool asks_of_functions(const run *r, const run_hooks *h) {
    int first = r->first_watch_mark - r->solver->aircraft->function_count;
    for (int i = first; i < r->first_watch_mark; i++) {
        run_event e = {0.0, RUN_FUNCTION, r->owners[i].part, r->seen[i], r->trial.marks[i]};
        if (e.from != e.to && h->asks(h->ctx, &e))
            return true;
    }
    return false;
}

// The end of the step and, if `moments`, what lies between; answers the end's slot. What is so just
// after the last crossing is so at the end.
static int judge(run *r, bool moments) {
    between *b = &r->between;
    run_open_block(r);
    for (int k = 0; moments && k < b->count - 1; k++) {
        put_solution(r, k);
        verdict_block_add(r->block, &r->trial.job, &b->solutions[k]);
    }
    int end = verdict_block_add(r->block, &r->trial.job, &r->trial.view.solution);
    verdict_block_judge(r->block);
    return end;
}

void run_tell_crossings(run *r, const run_hooks *h) {
    way w = way_of(r, &r->now, &r->trial);
    between *b = &r->between;
    bool moments = h->asks == NULL;
    b->count = 0;
    for (int i = 0; i < r->threshold_count; i++) {
        const threshold *t = &r->thresholds[i];
        if (run_passed(t, r->trial.view.solution.volts) == t->holds)
            continue;
        put_share(b, crossing(r, t));
        moments = moments || asks_of_item(r, h, t);
    }
    if (b->count == 0)
        return;
    int end = judge(r, moments);
    run_take_verdict(r, &r->trial, r->trial.marks, end);
    if (!moments && asks_of_functions(r, h))
        end = judge(r, moments = true);
    for (int k = 0; moments && k < b->count; k++)
        tell_moment(r, h, &w, k, k < b->count - 1 ? k : end);
    run_rest_asked(r, h, &r->trial);
}
