#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "reference/support/lesson_peer_parts.h"

#define AT_ONCE 0.05  // a breaker that would open within this opens before anything else moves
#define RIDES   0.05  // of supply missing, that nothing notices
enum { ROUNDS = 12, FLIPS_MOST = 3 };
#define FLIPS_SECONDS 60.0

// ---- breakers ----------------------------------------------------------------------------------
static bool is_fuse(const peer *p, int breaker) {
    return p->aircraft->parts[p->made->breaker_owner[breaker]].kind == KIND_FUSE;
}

static double limit_of(const peer *p, int breaker) { return is_fuse(p, breaker) ? 1.44 : 1.5625; }
static double tau_of(const peer *p, int breaker) { return is_fuse(p, breaker) ? 2 : 40; }

static double square_ratio(const peer *p, int breaker) {
    const circuit *c = &p->made->circuit;
    double amps = conductance_amps(c, &p->now.settled.job, &p->now.solution,
                                   c->breakers[breaker].conductance);
    double ratio = amps / p->params[c->breakers[breaker].slot];
    return ratio * ratio;
}

static void open_breaker(peer *p, int breaker) {
    p->tripped[breaker] = 1;
    p->asked.setting[p->made->breaker_owner[breaker]] = 0;
    p->heat[breaker] = limit_of(p, breaker);
}

// The one that these currents open at once; -1: none.
static int fastest(const peer *p) {
    int found = -1;
    double least = AT_ONCE;
    for (int i = 0; i < p->made->circuit.breaker_count; i++) {
        double to = square_ratio(p, i), limit = limit_of(p, i);
        if (p->tripped[i] || to <= limit)
            continue;
        double seconds =
            p->heat[i] >= limit ? 0 : tau_of(p, i) * log((to - p->heat[i]) / (to - limit));
        if (seconds < least) {
            least = seconds;
            found = i;
        }
    }
    return found;
}

// ---- times -------------------------------------------------------------------------------------
static bool timer_holds(const peer *p, const peer_timer *t) {
    if (t->rule < 0)
        return signal_at(&p->now.settled, t->signal);
    int status = p->items[t->rule].status;
    return status == ITEM_ON || status == ITEM_WEAK || status == ITEM_NO_DATA;
}

static void find_timers(peer *p) {
    for (int i = 0; i < p->made->circuit.input_count; i++) {
        const input *in = &p->made->inputs[i];
        peer_timer t = {
            .input = i, .signal = -1, .rule = -1, .since = -1, .lost = -1, .over = true};
        if (in->kind == INPUT_ELAPSED) {
            const condition *c = &p->aircraft->conditions[in->detail];
            t.signal = p->made->condition_signal[c->a];
            t.seconds = c->value;
        } else if (in->kind == INPUT_STARTED) {
            t.rule = p->made->verdict->rule_of[in->part];
            t.seconds = part_number(&p->aircraft->parts[in->part], KEY_RESTARTS_IN, 0);
        } else if (in->kind == INPUT_RESERVE && p->made->verdict->rule_of[in->part] >= 0) {
            t.rule = p->made->verdict->rule_of[in->part];
            t.own_battery = true;
            t.seconds = part_number(&p->aircraft->parts[in->part], KEY_OWN_BATTERY, 0);
        } else {
            continue;
        }
        p->timers[p->timer_count++] = t;
    }
}

// Nothing else feeds it, and it is asked for.
static bool lives_on_itself(const peer *p, const peer_timer *t) {
    const item_rule *rule = &p->made->verdict->rules[t->rule];
    const solution *s = &p->now.solution;
    if (!p->items[t->rule].wanted)
        return false;
    if (rule->feeds >= 0)
        return !signal_at(&p->now.settled, rule->feeds);
    return rule->inner < 0 || (rule->power >= 0 && s->dropped[rule->power]) ||
           s->volts[rule->inner] - s->volts[rule->to] < rule->off;
}

static void look_at_own_battery(const peer *p, peer_timer *t) {
    bool draws = lives_on_itself(p, t);
    if (draws && t->since >= 0)
        t->seconds -= p->t - t->since;
    t->since = draws ? p->t : -1;
    t->over = t->seconds > 1e-9;
}

static void look_at_times(peer *p) {
    for (int i = 0; i < p->timer_count; i++) {
        peer_timer *t = &p->timers[i];
        if (t->own_battery) {
            look_at_own_battery(p, t);
            continue;
        }
        if (timer_holds(p, t)) {
            if (t->since < 0)
                t->since = p->t;
            t->lost = -1;
            t->over = t->over || p->t - t->since >= t->seconds - 1e-9;
            continue;
        }
        t->since = -1;
        if (t->lost < 0)
            t->lost = p->t;
        if (t->rule < 0 || p->t - t->lost >= RIDES)
            t->over = false;
    }
}

// ---- motors that start -------------------------------------------------------------------------
// A rotor that stands is a resistance, by the current that it is said to draw then.
static void lock_rotor(peer *p, int part) {
    const piecewise *w = &p->made->circuit.piecewises[p->made->maps[part].piecewise];
    const figure *stall = part_figure(&p->aircraft->parts[part], KEY_STALL);
    double volts = stall->at_unit == UNIT_VOLT && stall->at > 0 ? stall->at : p->aircraft->nominal;
    double *law = p->params + w->slot;
    assert_true(w->pieces == 2 && stall->unit == UNIT_AMP);
    law[0] = 1000;
    law[1] = law[2] = stall->value / volts;
    law[3] = law[4] = 0;
}

// It has drawn next to nothing and draws at least half of its current now.
static bool has_started(peer *p, int part) {
    const struct part *x = &p->aircraft->parts[part];
    double amps = part_amps(&p->now.settled, part), was = p->drew[part];
    double full =
        x->kind == KIND_MOTOR && p->made->maps[part].piecewise >= 0 ? part_draw(x)->value : 0;
    p->drew[part] = amps;
    return full > 0 && was < 0.1 * full && amps >= 0.5 * full &&
           part_number(x, KEY_STARTS_IN, 0) > RIDES;
}

// ---- one instant -------------------------------------------------------------------------------
static void solve_now(peer *p) {
    const circuit *c = &p->made->circuit;
    settled_state *s = &p->now.settled;
    state_copy(p->aircraft, &p->asked, &p->now.asked);
    bind_state(p->made, &p->now.asked, p->solver->bases[p->asked.phase].amps, p->now.faults,
               p->params);
    for (int i = 0; i < p->battery_count; i++) {
        bool cut = p->params[p->batteries[i].slot + 2] <= 0;
        if (!cut)
            peer_battery_put(p, &p->batteries[i], p->params);
    }
    for (int i = 0; i < p->timer_count; i++)
        p->params[p->timers[i].input] = p->timers[i].over;
    for (int i = 0; i < p->aircraft->part_count; i++)
        if (p->stands[i])
            lock_rotor(p, i);
    for (int i = 0; i < c->power_count; i++) {
        if (!p->held[i])
            continue;
        p->params[c->powers[i].slot] = 0;
        p->params[p->made->maps[p->made->power_owner[i]].whole] = 0;  // off, whatever its volts
    }
    for (int i = 0; i < c->input_count; i++) {
        const input *in = &p->made->inputs[i];
        const condition *k =
            in->kind == INPUT_CONDITION ? &p->aircraft->conditions[in->detail] : NULL;
        for (int b = 0; k != NULL && k->op == CONDITION_CHARGE && b < p->battery_count; b++) {
            double x = peer_battery_charge(&p->batteries[b]);
            if (p->batteries[b].part == k->ref.part)
                p->params[i] = k->below ? x < k->value : x > k->value;
        }
    }
    s->asked = &p->now.asked;
    s->faults = p->now.faults;
    s->job = (job){.params = p->params, .start = &p->before, .keep_breakers = true};
    solve_one(p->solver->work, &s->job, &p->now.solution);
    s->solution = &p->now.solution;
    solution_signals(c, &s->job, s->solution, s->signals);
    verdict_block_begin(p->block, p->params);
    int slot = verdict_block_add(p->block, &s->job, s->solution);
    verdict_block_judge(p->block);
    p->items = verdict_block_items(p->block, slot);
    p->functions = verdict_block_functions(p->block, slot);
    solution_copy(c, &p->now.solution, &p->before);
    for (int i = 0; i < p->battery_count; i++)
        p->batteries[i].amps = part_amps(s, p->batteries[i].part);
}

// ---- what is seen of it ------------------------------------------------------------------------
static int add_mark(peer *p, int at, change_of of, int index, int value) {
    if (p->log != NULL && p->seen[at] != value && p->t > 0) {
        assert_true(p->log->count < OBSERVED_MOST);
        p->log->list[p->log->count++] = (observed){p->t, of, index, p->seen[at], value};
    }
    p->seen[at] = (uint8_t)value;
    return at + 1;
}

static void take_marks(peer *p) {
    const verdict *v = p->made->verdict;
    int at = 0;
    for (int i = 0; i < v->rule_count; i++) {
        at = add_mark(p, at, OF_STATUS, v->rules[i].part, p->items[i].status);
        at = add_mark(p, at, OF_LIT, v->rules[i].part, peer_lit(p, i));
    }
    for (int i = 0; i < p->aircraft->function_count; i++)
        at = add_mark(p, at, OF_FUNCTION, i, p->functions[i]);
    for (int i = 0; i < p->made->circuit.breaker_count; i++) {
        if (p->pushed[i])
            p->seen[at] = 0;  // should it open again at once, that counts
        p->pushed[i] = 0;
        at = add_mark(p, at, OF_TRIP, p->made->breaker_owner[i], p->tripped[i]);
    }
    for (int i = 0; i < p->aircraft->part_count; i++) {
        part_kind k = p->aircraft->parts[i].kind;
        if (k == KIND_RELAY || k == KIND_CONTACTOR)
            at = add_mark(p, at, OF_CONTACT, i, peer_contact(&p->now.settled, i));
    }
}

// An item that drops out and comes back more than three times within a minute is held off until a
// hand or a fault changes something, and one that has the volts to come back once all has settled,
// but not once it draws.
static void count_flips(peer *p) {
    for (int i = 0; i < p->made->circuit.power_count; i++) {
        uint8_t dropped = p->now.solution.dropped[i];
        if (dropped == p->was_dropped[i])
            continue;
        p->was_dropped[i] = dropped;
        if (p->flips[i] == 0 || p->t - p->flips_since[i] > FLIPS_SECONDS) {
            p->flips[i] = 0;
            p->flips_since[i] = p->t;
        }
        if (++p->flips[i] > FLIPS_MOST)
            p->held[i] = 1;
    }
}

static bool same_devices(const peer *p, const uint8_t *kept) {
    size_t comparators = (size_t)p->made->circuit.comparator_count;
    return memcmp(kept, p->now.solution.comparator, comparators) == 0 &&
           memcmp(kept + comparators, p->now.solution.dropped,
                  (size_t)p->made->circuit.power_count) == 0;
}

static bool hold_off(peer *p) {
    bool any = false;
    for (int i = 0; i < p->made->circuit.power_count; i++) {
        const power_load *d = &p->made->circuit.powers[i];
        double volts = fabs(p->now.solution.volts[d->a] - p->now.solution.volts[d->b]);
        if (p->held[i] || !p->now.solution.dropped[i] || volts < d->restart ||
            !signal_at(&p->now.settled, d->gate))
            continue;
        p->held[i] = 1;
        any = true;
    }
    return any;
}

// Until nothing moves any more. `changed`: by a hand, a fault or a breaker, which can be so much
// that a breaker comes before everything else.
static void settle(peer *p, bool changed) {
    size_t comparators = (size_t)p->made->circuit.comparator_count;
    for (int round = 0; round < ROUNDS; round++) {
        memcpy(p->marks, p->before.comparator, comparators);
        memcpy(p->marks + comparators, p->before.dropped, (size_t)p->made->circuit.power_count);
        solve_now(p);
        count_flips(p);
        int breaker = changed ? fastest(p) : -1;
        if (breaker >= 0)
            open_breaker(p, breaker);
        look_at_times(p);
        bool rests = breaker < 0 && (round > 0 || !changed) && same_devices(p, p->marks);
        if (rests && !hold_off(p))
            break;
    }
}

// How long a motor stands counts for those that notice: what has no supply then starts anew.
static bool stand_for_a_moment(peer *p) {
    bool any = false;
    for (int i = 0; i < p->aircraft->part_count; i++)
        any = (p->stands[i] = has_started(p, i)) || any;
    if (!any)
        return false;
    solve_now(p);
    memset(p->stands, 0, (size_t)p->aircraft->part_count);
    for (int i = 0; i < p->timer_count; i++) {
        peer_timer *t = &p->timers[i];
        if (t->rule < 0 || timer_holds(p, t))
            continue;
        t->over = false;
        t->since = -1;
    }
    return true;
}

static void settle_and_look(peer *p, bool changed) {
    settle(p, changed);
    if (stand_for_a_moment(p))
        settle(p, true);
    take_marks(p);
}

// ---- in time -----------------------------------------------------------------------------------
static void take_steps(peer *p) {
    const scenario *sc = p->sc;
    bool any = false;
    for (int i = 0; i < sc->step_count; i++) {
        const scenario_moment *m = &sc->steps[i].at;
        double from = m->watch < 0 ? 0 : p->held_at[m->watch];
        if (p->done[i] || from < 0 || from + m->seconds > p->t + 1e-6)
            continue;
        p->done[i] = true;
        for (int k = 0; k < sc->steps[i].change_count; k++)
            peer_apply(p, &sc->steps[i].changes[k]);
        any = true;
    }
    if (!any)
        return;
    memset(p->flips, 0, (size_t)p->made->circuit.power_count);
    memset(p->held, 0, (size_t)p->made->circuit.power_count);
    settle_and_look(p, true);
}

static bool look_at_watches(peer *p) {
    for (int i = 0; i < p->sc->watch_count; i++)
        if (p->held_at[i] < 0 && peer_watch(p, i))
            p->held_at[i] = p->t;
    return p->sc->ends >= 0 && peer_watch(p, p->sc->ends);
}

static void sample(peer *p) {
    lesson_log *l = p->log;
    if (p->t + 1e-9 < l->sample_count * l->sample_seconds || l->sample_count >= SAMPLES_MOST)
        return;
    for (int i = 0; i < p->battery_count; i++)
        l->charge[l->sample_count][i] = peer_battery_charge(&p->batteries[i]);
    l->sample_count++;
}

static void step(peer *p) {
    for (int i = 0; i < p->made->circuit.breaker_count; i++)
        p->heat[i] += p->h / tau_of(p, i) * (square_ratio(p, i) - p->heat[i]);
    for (int i = 0; i < p->battery_count; i++)
        peer_battery_step(&p->batteries[i], p->h);
    peer_move(p);
    p->t += p->h;
    bool opened = false;
    for (int i = 0; i < p->made->circuit.breaker_count; i++) {
        if (p->tripped[i] || p->heat[i] < limit_of(p, i))
            continue;
        open_breaker(p, i);
        opened = true;
    }
    settle_and_look(p, opened);
}

static void make(peer *p) {
    const circuit *c = &p->made->circuit;
    arena *m = &p->memory;
    size_t parts = (size_t)p->aircraft->part_count + 1;
    size_t marks = 2 * parts + (size_t)p->aircraft->function_count + parts +
                   (size_t)c->breaker_count + (size_t)c->comparator_count + (size_t)c->power_count;
    p->asked.setting = arena_new(m, parts, sizeof(double));
    p->params = arena_new(m, (size_t)c->param_count, sizeof(double));
    p->timers = arena_new(m, (size_t)c->input_count + 1, sizeof *p->timers);
    p->heat = arena_new(m, (size_t)c->breaker_count + 1, sizeof(double));
    p->tripped = arena_new(m, (size_t)c->breaker_count + 1, 1);
    p->pushed = arena_new(m, (size_t)c->breaker_count + 1, 1);
    p->stands = arena_new(m, parts, 1);
    p->drew = arena_new(m, parts, sizeof(double));
    p->flips = arena_new(m, (size_t)c->power_count + 1, 1);
    p->held = arena_new(m, (size_t)c->power_count + 1, 1);
    p->was_dropped = arena_new(m, (size_t)c->power_count + 1, 1);
    p->flips_since = arena_new(m, (size_t)c->power_count + 1, sizeof(double));
    p->seen = arena_new(m, marks, 1);
    p->marks = arena_new(m, marks, 1);
    p->done = arena_new(m, (size_t)p->sc->step_count + 1, sizeof(bool));
    p->held_at = arena_new(m, (size_t)p->sc->watch_count + 1, sizeof(double));
    void *before = arena_new(m, 1, solution_size(c));
    p->block = verdict_block_make(m, p->made);
    assert_true(p->block != NULL && view_make(&p->now, p->made, m) && !m->failed);
    p->before = solution_carve(c, before);
    for (int i = 0; i < p->sc->watch_count; i++)
        p->held_at[i] = -1;
}

static void begin(peer *p) {
    const scenario *sc = p->sc;
    state_of_phase(p->aircraft, sc->phase, &p->asked);
    p->asked.charge = sc->charge;
    if (sc->has_temperature)
        p->asked.temperature = sc->temperature;
    for (int i = 0; i < sc->start_count; i++)
        peer_apply(p, &sc->start[i]);
    for (int i = 0; i < p->aircraft->part_count; i++)
        if (p->aircraft->parts[i].kind == KIND_BATTERY)
            peer_battery_make(p, i);
    find_timers(p);
    solution_copy(&p->made->circuit, &p->solver->bases[p->asked.phase].view.solution, &p->before);
    solve_now(p);
    for (int i = 0; i < p->made->circuit.breaker_count; i++)
        p->heat[i] = square_ratio(p, i);
    memcpy(p->was_dropped, p->now.solution.dropped, (size_t)p->made->circuit.power_count);
    for (int i = 0; i < p->timer_count; i++) {
        peer_timer *t = &p->timers[i];
        t->over = timer_holds(p, t);
        t->since = t->over ? 0 : -1;
    }
    for (int i = 0; i < p->aircraft->part_count; i++)
        p->drew[i] = part_amps(&p->now.settled, i);
    take_marks(p);
}

void lesson_peer_play(solver *s, const scenario *sc, double seconds, lesson_log *log) {
    peer p = {.solver = s,
              .aircraft = s->aircraft,
              .made = s->made,
              .sc = sc,
              .memory = arena_make(s->allocator),
              .h = seconds,
              .log = log};
    log->count = log->sample_count = 0;
    log->sample_seconds = fmax(sc->lasts / (SAMPLES_MOST - 2), seconds);
    make(&p);
    begin(&p);
    bool over = false;
    while (!over && p.t < sc->lasts - 1e-6) {
        take_steps(&p);
        over = look_at_watches(&p);
        sample(&p);
        step(&p);
        over = over || look_at_watches(&p);
    }
    log->ended = p.t;
    arena_free(&p.memory);
}
