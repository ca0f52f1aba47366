// Small networks, all mode vectors: every relay, excitation, drop-out, comparison and latch in
// either mode, each vector solved by ngspice and judged by each device's own rule. The settled
// modes must be among the consistent ones; where there are several (hysteresis: a contactor that
// holds itself, an alternator that feeds its own field), they must be those that the start leads
// to: ngspice's own volts, the lowest level that breaks its rule moving first.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "reference/support/device_rules.h"
#include "reference/support/settled_modes.h"
#include "support/fleet_states.h"

enum { BITS_MOST = 10, STATES = 10, MOVES_MOST = 60 };

static const char *const SMALL[] = {
    "battery-contactor", "changeover", "excited-alternator", "over-volts-latch",
    "sealed-contactor",  "shedding",   "weak-feed",
};

typedef struct tally {
    int states, unique, several, left_out, wrong, unsolved;
    long vectors;
} tally;

typedef struct search {
    subject *s;
    device_modes settled, trial;
    uint8_t *bits[BITS_MOST];  // into trial: what may be either way
    uint8_t truth[BITS_MOST];  // as settled
    int bit_count;
    tally *t;
} search;

static int lone_condition(const part *p) {
    int opens = part_condition(p, KEY_OPENS_WHEN);
    bool coil = part_references(p, KEY_COIL_FROM) != NULL;
    return coil ? -1 : opens >= 0 ? opens : part_condition(p, KEY_CLOSES_WHEN);
}

// What follows from others: and, or, not, for; a relay without a coil.
static void derive(const aircraft *a, device_modes *m) {
    for (int pass = 0; pass < a->condition_count; pass++) {
        for (int i = 0; i < a->condition_count; i++) {
            const struct condition *c = &a->conditions[i];
            if (c->op == CONDITION_AND)
                m->condition[i] = m->condition[c->a] && m->condition[c->b];
            else if (c->op == CONDITION_OR)
                m->condition[i] = m->condition[c->a] || m->condition[c->b];
            else if (c->op == CONDITION_NOT)
                m->condition[i] = !m->condition[c->a];
            else if (c->op == CONDITION_FOR)
                m->condition[i] = m->condition[c->a];
        }
    }
    for (int i = 0; i < a->part_count; i++) {
        part_kind k = a->parts[i].kind;
        int c = k == KIND_RELAY || k == KIND_CONTACTOR ? lone_condition(&a->parts[i]) : -1;
        if (c >= 0)
            m->of[i].energized = m->condition[c];
    }
}

static void copy_modes(const aircraft *a, const device_modes *from, device_modes *to) {
    memcpy(to->of, from->of, (size_t)a->part_count * sizeof *from->of);
    memcpy(to->condition, from->condition, (size_t)a->condition_count);
}

static rule_report judge(search *x, const device_modes *m) {
    subject *s = x->s;
    plain_network n = plain_network_make(s->aircraft, &s->view.asked, m, s->base_amps);
    spice_answer answer = {.volts = calloc((size_t)n.point_count, sizeof(double)),
                           .amps = calloc((size_t)n.element_count + 1, sizeof(double))};
    assert_true(answer.volts && answer.amps);
    x->t->vectors++;
    rule_report r = {.broken = -1};
    if (spice_solve_anyhow(&n, &answer)) {
        rule_context context = {.n = &n, .answer = &answer, .s = &s->view.asked, .m = m};
        r = device_rules(&context);
    } else {
        x->t->unsolved++;
    }
    free(answer.volts);
    free(answer.amps);
    plain_network_free(&n);
    return r;
}

static bool draws_power(const search *x, int part) {
    device_modes m = modes_make(x->s->aircraft);
    copy_modes(x->s->aircraft, &x->settled, &m);
    m.of[part].dropped = false;
    plain_network n = plain_network_make(x->s->aircraft, &x->s->view.asked, &m, x->s->base_amps);
    bool found = false;
    for (int i = 0; i < n.element_count; i++)
        found = found || (n.elements[i].part == part && n.elements[i].law == LAW_WATTS);
    plain_network_free(&n);
    modes_free(&m);
    return found;
}

static void add_bit(search *x, void *mode) {
    assert_true(x->bit_count < BITS_MOST);
    x->truth[x->bit_count] = *(uint8_t *)mode;
    x->bits[x->bit_count++] = mode;
}

static void list_bits(search *x) {
    const aircraft *a = x->s->aircraft;
    x->bit_count = 0;
    copy_modes(a, &x->settled, &x->trial);
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        device_mode *m = &x->trial.of[i];
        bool coil = part_references(p, KEY_COIL_FROM) != NULL;
        if ((p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR) && coil)
            add_bit(x, &m->energized);
        else if (p->kind == KIND_ALTERNATOR || p->kind == KIND_GENERATOR)
            add_bit(x, &m->excited);
        else if (draws_power(x, i))
            add_bit(x, &m->dropped);
    }
    for (int i = 0; i < a->condition_count; i++) {
        condition_op op = a->conditions[i].op;
        if (op == CONDITION_VOLTS || op == CONDITION_AMPS || op == CONDITION_DIFFER ||
            op == CONDITION_LATCH)
            add_bit(x, &x->trial.condition[i]);
    }
}

// How many vectors are consistent; whether the settled one is.
static int consistent(search *x, bool *settled_is) {
    int count = 0;
    *settled_is = false;
    for (int v = 0; v < 1 << x->bit_count; v++) {
        bool same = true;
        for (int b = 0; b < x->bit_count; b++) {
            *x->bits[b] = v >> b & 1;
            same = same && *x->bits[b] == x->truth[b];
        }
        derive(x->s->aircraft, &x->trial);
        if (judge(x, &x->trial).broken != 0)
            continue;
        count++;
        *settled_is = *settled_is || same;
    }
    return count;
}

// ---- what the start leads to
// -----------------------------------------------------------------------
static void flip(const aircraft *a, device_modes *m, const broken_rule *b, uint8_t *dropped_now) {
    if (b->condition >= 0) {
        m->condition[b->condition] = !m->condition[b->condition];
        return;
    }
    device_mode *d = &m->of[b->part];
    part_kind k = a->parts[b->part].kind;
    if (b->level == 1) {
        if (d->dropped && dropped_now[b->part])
            return;  // one that dropped out doesn't restart in this settling
        d->dropped = !d->dropped;
        dropped_now[b->part] = d->dropped;
    } else if (k == KIND_ALTERNATOR || k == KIND_GENERATOR) {
        d->excited = !d->excited;
    } else {
        d->energized = !d->energized;
    }
}

static bool same_modes(const search *x) {
    for (int b = 0; b < x->bit_count; b++) {
        if (*x->bits[b] != x->truth[b])
            return false;
    }
    return true;
}

// From the base's modes with the facts of this state, all violators of the lowest level move
// together.
static bool follows_from_start(search *x, const device_modes *base) {
    const aircraft *a = x->s->aircraft;
    uint8_t *dropped_now = calloc((size_t)a->part_count + 1, 1);
    assert_non_null(dropped_now);
    for (int i = 0; i < a->part_count; i++) {
        x->trial.of[i].energized = base->of[i].energized;
        x->trial.of[i].excited = base->of[i].excited;
        x->trial.of[i].dropped = base->of[i].dropped;
    }
    for (int i = 0; i < a->condition_count; i++) {
        condition_op op = a->conditions[i].op;
        bool kept = op == CONDITION_VOLTS || op == CONDITION_AMPS || op == CONDITION_DIFFER ||
                    op == CONDITION_LATCH;
        x->trial.condition[i] = kept ? base->condition[i] : x->settled.condition[i];
    }
    bool there = false;
    for (int move = 0; move < MOVES_MOST && !there; move++) {
        derive(a, &x->trial);
        rule_report r = judge(x, &x->trial);
        there = r.broken == 0;
        int lowest = 9;
        for (int i = 0; i < r.broken && i < BROKEN_MOST; i++)
            lowest = r.list[i].level > 0 && r.list[i].level < lowest ? r.list[i].level : lowest;
        for (int i = 0; i < r.broken && i < BROKEN_MOST; i++) {
            if (r.list[i].level == lowest)
                flip(a, &x->trial, &r.list[i], dropped_now);
        }
    }
    free(dropped_now);
    return there && same_modes(x);
}

static void check_state(search *x) {
    const solution *r = &x->s->view.solution;
    if (r->settled != SETTLED_YES || r->trip_count > 0) {
        x->t->left_out++;
        return;
    }
    modes_read(&x->s->view.settled, &x->settled);
    list_bits(x);
    bool settled_is;
    int count = consistent(x, &settled_is);
    x->t->states++;
    x->t->unique += count == 1;
    x->t->several += count > 1;
    bool follows = true;
    if (count > 1) {
        device_modes base = modes_make(x->s->aircraft);
        modes_read(&x->s->solver->bases[x->s->view.asked.phase].view.settled, &base);
        follows = follows_from_start(x, &base);
        modes_free(&base);
        print_message("  %d consistent, the settled one %s from the start: %s\n", count,
                      follows ? "follows" : "DOESN'T FOLLOW", subject_words(x->s));
    }
    if (settled_is && follows)
        return;
    x->t->wrong++;
    rule_report report = judge(x, &x->settled);
    print_message("%s\n    %d consistent, settled %s: %s\n", subject_words(x->s), count,
                  settled_is ? "is one" : "is none", report.first);
}

static void check_small(const char *name, tally *t) {
    char path[96];
    snprintf(path, sizeof path, "test/case/small/%s.yaml", name);
    subject s;
    assert_true(subject_open(&s, path));
    search x = {
        .s = &s, .settled = modes_make(s.aircraft), .trial = modes_make(s.aircraft), .t = t};
    for (int i = 0; i < s.aircraft->phase_count + STATES; i++) {
        subject_draw(&s, 5u, i, 1);
        if (i < s.aircraft->phase_count) {  // each phase as it is, then random states
            state_of_phase(s.aircraft, i, &s.view.asked);
            s.start = &s.solver->bases[i].view.solution;
            s.base_amps = s.solver->bases[i].amps;
        }
        subject_settle(&s);
        check_state(&x);
    }
    modes_free(&x.settled);
    modes_free(&x.trial);
    subject_close(&s);
}

static void settled_modes_are_the_only_ones(void **ignored) {
    (void)ignored;
    spice_start();
    int wrong = 0;
    for (size_t i = 0; i < sizeof SMALL / sizeof SMALL[0]; i++) {
        tally t = {0};
        check_small(SMALL[i], &t);
        print_message("%s: %d states (%d left out: chattering, collapsed or a breaker opened), "
                      "%ld vectors (%d unsolved); unique %d, several %d, wrong %d\n",
                      SMALL[i], t.states, t.left_out, t.vectors, t.unsolved, t.unique, t.several,
                      t.wrong);
        wrong += t.wrong + t.unsolved;
    }
    assert_int_equal(wrong, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(settled_modes_are_the_only_ones),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
