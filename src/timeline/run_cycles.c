// What draws its share of the time: a thermostat, a pump that runs now and then. It is on for that
// share of each cycle and off for the rest, from the moment on at which it gets its supply.
#include "part/item_draw.h"
#include "timeline/run_state.h"

static const verdict *verdict_of(const run *r) { return r->solver->made->verdict; }

void run_find_cycles(run *r) {
    const aircraft *a = r->solver->aircraft;
    const verdict *v = verdict_of(r);
    for (int i = 0; i < v->rule_count && r->options.cycles; i++) {
        int part = v->rules[i].part, selector = r->solver->made->maps[part].selector;
        double every = part_number(&a->parts[part], KEY_EVERY, 0.0);
        bool moves = selector >= 0 && selector != part;
        if (every > 0 && v->rules[i].inner >= 0 && !moves)
            r->cycles[r->cycle_count++] =
                (run_cycle){.part = part, .rule = i, .every = every, .since = -1.0, .on = true};
    }
}

static bool goes(const run_cycle *c) { return c->duty > 0 && c->duty < 1; }

int run_draw_slots(const run *r, int part, int slots[DRAW_SLOTS]) {
    const circuit *c = &r->solver->made->circuit;
    const part_map *m = &r->solver->made->maps[part];
    int count = 0;
    if (m->load >= 0)
        slots[count++] = c->conductances[m->load].slot;
    if (m->power >= 0)
        slots[count++] = c->powers[m->power].slot;
    if (m->lamp >= 0)
        slots[count++] = c->lamps[m->lamp].slot;
    if (m->piecewise < 0)
        return count;
    const piecewise *p = &c->piecewises[m->piecewise];
    for (int i = p->pieces - 1; i < 3 * p->pieces - 1; i++)
        slots[count++] = p->slot + i;
    return count;
}

// The average that is bound becomes all that it draws, or nothing.
static void scale(const run *r, int part, double by, double *params) {
    int slots[DRAW_SLOTS], count = run_draw_slots(r, part, slots);
    for (int i = 0; i < count; i++)
        params[slots[i]] *= by;
}

bool run_goes_by_average(const run *r, int part, double duty) {
    int selector = r->solver->made->maps[part].selector;
    for (int i = 0; i < r->cycle_count; i++)
        if (r->cycles[i].part == part)
            return false;
    return duty > 0 && duty < 1 &&
           !item_moving(r->solver->aircraft, &r->now.view.asked, part, selector);
}

void run_bind_cycles(run *r, double *params) {
    for (int i = 0; i < r->cycle_count; i++) {
        run_cycle *c = &r->cycles[i];
        c->duty = item_duty(r->solver->aircraft, &r->now.view.asked, c->part);
        if (goes(c))
            scale(r, c->part, c->on ? 1.0 / c->duty : 0.0, params);
    }
}

void run_look_cycles(run *r) {
    for (int i = 0; i < r->cycle_count; i++) {
        run_cycle *c = &r->cycles[i];
        int status = r->items[c->rule].status;
        bool supplied = status == ITEM_ON || status == ITEM_WEAK || status == ITEM_NO_DATA;
        if (supplied && goes(c)) {
            c->since = c->since < 0 ? r->at : c->since;
            continue;
        }
        c->since = -1.0;
        c->paused = false;
        c->stale = c->stale || !c->on;
        c->on = true;
    }
}

static double due(const run_cycle *c) { return c->since + (c->on ? c->duty : 1.0) * c->every; }

double run_next_cycle(const run *r) {
    double next = -1.0;
    for (int i = 0; i < r->cycle_count; i++) {
        const run_cycle *c = &r->cycles[i];
        double left = due(c) > r->at && !c->stale ? due(c) - r->at : 0.0;
        bool runs = c->since >= 0 && goes(c);
        if ((runs || c->stale) && (next < 0 || left < next))
            next = left;
    }
    return next;
}

bool run_take_cycles(run *r) {
    bool any = false;
    for (int i = 0; i < r->cycle_count; i++) {
        run_cycle *c = &r->cycles[i];
        any = any || c->stale;
        c->stale = false;
        if (c->since < 0 || !goes(c) || due(c) > r->at + SAME_MOMENT)
            continue;
        if (!c->on)
            c->since += c->every;
        c->on = !c->on;
        c->moved = any = true;
    }
    return any;
}

void run_tell_cycles(run *r, const run_hooks *h) {
    for (int i = 0; i < r->cycle_count; i++) {
        run_cycle *c = &r->cycles[i];
        if (!c->moved)
            continue;
        c->moved = false;
        run_tell(r, h, (run_event){r->at, RUN_CYCLES, c->part, !c->paused, c->on});
        c->paused = true;
    }
}
