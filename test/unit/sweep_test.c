// A sweep and a question must not differ: thousands of combinations of 1 to 4 deviations of every
// aircraft, settled in lanes of every width, against the outcome of the same state.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "circuit/sweep.h"
#include "support/fleet_states.h"

enum { EACH = 1200, TOGETHER = 4, LANE_WIDTHS = 4 };
static const int LANES[LANE_WIDTHS] = {1, 2, 4, 8};

// Everything a sweep says of one combination, kept.
typedef struct answers {
    const circuit *circuit;
    int rules, functions, nodes;
    item_verdict *items;  // EACH x rules
    uint8_t *function;    // EACH x functions
    double *volts;        // EACH x nodes
    settled *settled;
    int *calls;
} answers;

static void *many(size_t count, size_t size) {
    void *p = calloc(count + 1, size);
    assert_non_null(p);
    return p;
}

static answers answers_make(const subject *s, const sweep *w) {
    const circuit *c = &s->solver->made->circuit;
    answers a = {.circuit = c,
                 .rules = sweep_verdict(w)->rule_count,
                 .functions = s->aircraft->function_count,
                 .nodes = c->node_count};
    a.items = many((size_t)EACH * (size_t)a.rules, sizeof *a.items);
    a.function = many((size_t)EACH * (size_t)a.functions, 1);
    a.volts = many((size_t)EACH * (size_t)a.nodes, sizeof *a.volts);
    a.settled = many(EACH, sizeof *a.settled);
    a.calls = many(EACH, sizeof *a.calls);
    return a;
}

static void answers_free(answers *a) {
    free(a->items);
    free(a->function);
    free(a->volts);
    free(a->settled);
    free(a->calls);
}

static void keep(void *ctx, const sweep_result *r) {
    answers *a = ctx;
    assert_in_range(r->index, 0, EACH - 1);
    size_t i = (size_t)r->index;
    for (int k = 0; k < a->rules; k++)
        a->items[i * (size_t)a->rules + (size_t)k] = verdict_block_item(r->verdicts, k, r->slot);
    for (int k = 0; k < a->functions; k++)
        a->function[i * (size_t)a->functions + (size_t)k] =
            verdict_block_function(r->verdicts, k, r->slot);
    memcpy(a->volts + i * (size_t)a->nodes, r->solution->volts,
           (size_t)a->nodes * sizeof *a->volts);
    a->settled[i] = r->solution->settled;
    a->calls[i]++;
}

static bool used(const combination *c, int which) {
    for (int i = 0; i < c->count; i++)
        if (c->deviations[i] == which)
            return true;
    return false;
}

// A part stands in one position only; two of them wouldn't be one state.
static bool same_hand(const sweep *w, const combination *c, int which) {
    const deviation *d = sweep_deviation(w, which);
    for (int i = 0; i < c->count; i++) {
        const deviation *other = sweep_deviation(w, c->deviations[i]);
        if (d->kind == FAULT_NONE && other->kind == FAULT_NONE && d->part == other->part)
            return true;
    }
    return false;
}

// The first ones go through all deviations alone; then 2 to 4 of them, drawn.
static void draw(const sweep *w, int index, combination *c) {
    int count = sweep_deviation_count(w);
    rng r = rng_make(rng_at(77, (uint64_t)index, 0));
    *c = (combination){.count = 0};
    int most = index < count ? 1 : 2 + (int)rng_below(&r, TOGETHER - 1);
    while (c->count < most) {
        int d = index < count ? index : (int)rng_below(&r, (uint64_t)count);
        if (!used(c, d) && !same_hand(w, c, d))
            c->deviations[c->count++] = d;
    }
}

static void state_of(const subject *s, const sweep *w, int phase, const combination *c,
                     state *out) {
    state_of_phase(s->aircraft, phase, out);
    for (int i = 0; i < c->count; i++) {
        const deviation *d = sweep_deviation(w, c->deviations[i]);
        if (d->kind == FAULT_NONE)
            out->setting[d->part] = d->setting;
        else
            out->faults[out->fault_count++] = (fault){d->part, d->kind};
    }
}

static void same_as_outcome(subject *s, const sweep *w, const answers *a, int index) {
    outcome *o = NULL;
    assert_int_equal(solver_outcome(s->solver, &s->view.asked, (outcome_options){0}, &o),
                     STATUS_OK);
    static const outcome_settled SETTLED[] = {OUTCOME_SETTLED, OUTCOME_CHATTERS, OUTCOME_COLLAPSED};
    if (o->settled != SETTLED[a->settled[index]])
        fail_msg("settled differs: %s", subject_words(s));
    // The same parameters from the same start: the same bits.
    if (memcmp(s->solver->now.solution.volts, a->volts + (size_t)index * (size_t)a->nodes,
               (size_t)a->nodes * sizeof *a->volts) != 0)
        fail_msg("volts differ: %s", subject_words(s));
    const verdict *v = sweep_verdict(w);
    const item_verdict *items = a->items + (size_t)index * (size_t)a->rules;
    for (int k = 0; k < v->rule_count; k++) {
        const part_outcome *p = &o->parts[v->rules[k].part];
        // An outcome calls what is dead in the phase anyway, and wasn't asked for, not in use.
        bool idle = p->status == ITEM_UNUSED && p->base_status == ITEM_UNUSED &&
                    items[k].status == ITEM_OFF;
        bool same = (p->status == items[k].status || idle) && p->wanted == items[k].wanted &&
                    p->available == items[k].available;
        if (!same)
            fail_msg("%s: sweep says %s, outcome %s: %s", s->aircraft->parts[v->rules[k].part].id,
                     item_status_word((item_status)items[k].status), item_status_word(p->status),
                     subject_words(s));
    }
    for (int k = 0; k < a->functions; k++)
        if (o->functions[k].status != a->function[(size_t)index * (size_t)a->functions + k])
            fail_msg("function %s differs: %s", s->aircraft->functions[k].name, subject_words(s));
    outcome_free(o);
}

static void same_answers(const answers *a, const answers *b) {
    assert_memory_equal(a->settled, b->settled, EACH * sizeof *a->settled);
    assert_memory_equal(a->function, b->function, (size_t)EACH * (size_t)a->functions);
    assert_memory_equal(a->items, b->items, (size_t)EACH * (size_t)a->rules * sizeof *a->items);
    assert_memory_equal(a->volts, b->volts, (size_t)EACH * (size_t)a->nodes * sizeof *a->volts);
}

static void sweep_phase(subject *s, int phase) {
    sweep *w = NULL;
    assert_int_equal(sweep_make(s->solver, phase, &w), STATUS_OK);
    assert_true(sweep_deviation_count(w) > 50);
    combination *list = many(EACH, sizeof *list);
    for (int i = 0; i < EACH; i++)
        draw(w, i, &list[i]);
    answers first = {0};
    for (int k = 0; k < LANE_WIDTHS; k++) {
        answers a = answers_make(s, w);
        sweep_run(w, LANES[k], list, EACH, keep, &a);
        for (int i = 0; i < EACH; i++)
            assert_int_equal(a.calls[i], 1);
        if (k == 0) {
            first = a;
            continue;
        }
        same_answers(&first, &a);
        answers_free(&a);
    }
    for (int i = 0; i < EACH; i++) {
        state_of(s, w, phase, &list[i], &s->view.asked);
        same_as_outcome(s, w, &first, i);
    }
    answers_free(&first);
    free(list);
    sweep_free(w);
}

static int phase_named(const aircraft *a, const char *name) {
    for (int i = 0; i < a->phase_count; i++)
        if (strcmp(a->phases[i].name, name) == 0)
            return i;
    return 0;
}

static void sweeps_agree_with_outcomes(void **ignored) {
    (void)ignored;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        sweep_phase(&s, phase_named(s.aircraft, "cruise"));
        sweep_phase(&s, s.aircraft->phase_count - 1);
        subject_close(&s);
    }
}

// More patches in one combination than a batch holds: settled by itself, and right all the same.
static void eight_together(void **ignored) {
    (void)ignored;
    subject s;
    assert_true(subject_open_fleet(&s, 0));
    int phase = phase_named(s.aircraft, "cruise");
    sweep *w = NULL;
    assert_int_equal(sweep_make(s.solver, phase, &w), STATUS_OK);
    combination *list = many(EACH, sizeof *list);
    rng r = rng_make(5);
    for (int i = 0; i < EACH; i++)
        while (list[i].count < SWEEP_TOGETHER) {
            int d = (int)rng_below(&r, (uint64_t)sweep_deviation_count(w));
            if (!used(&list[i], d) && !same_hand(w, &list[i], d))
                list[i].deviations[list[i].count++] = d;
        }
    answers a = answers_make(&s, w);
    sweep_run(w, 0, list, EACH, keep, &a);
    for (int i = 0; i < EACH; i++) {
        assert_int_equal(a.calls[i], 1);
        state_of(&s, w, phase, &list[i], &s.view.asked);
        same_as_outcome(&s, w, &a, i);
    }
    answers_free(&a);
    free(list);
    sweep_free(w);
    subject_close(&s);
}

// A bus that came away, with every other deviation: what else changes at its node mustn't be laid
// over what the bus opens.
static void an_open_bus_with_anything_else(void **ignored) {
    (void)ignored;
    for (int n = 0; n < FLEET_COUNT; n++) {
        subject s;
        assert_true(subject_open_fleet(&s, n));
        int phase = phase_named(s.aircraft, "cruise"), buses = 0;
        sweep *w = NULL;
        assert_int_equal(sweep_make(s.solver, phase, &w), STATUS_OK);
        for (int d = 0; d < sweep_deviation_count(w); d++) {
            const deviation *bus = sweep_deviation(w, d);
            if (bus->kind != FAULT_OPEN || s.aircraft->parts[bus->part].kind != KIND_BUS)
                continue;
            buses++;
            combination *list = many(EACH, sizeof *list);
            int count = sweep_deviation_count(w);
            assert_true(count <= EACH);
            for (int i = 0; i < count; i++)
                list[i] = (combination){.count = 2, .deviations = {d, i}};
            list[d].count = 1;
            answers a = answers_make(&s, w);
            sweep_run(w, 0, list, count, keep, &a);
            for (int i = 0; i < count; i++) {
                state_of(&s, w, phase, &list[i], &s.view.asked);
                same_as_outcome(&s, w, &a, i);
            }
            answers_free(&a);
            free(list);
        }
        assert_true(buses > 1);
        sweep_free(w);
        subject_close(&s);
    }
}

// A bound on what the test can see: most kinds of verdict turn up in the answers compared.
static void every_status_turns_up(void **ignored) {
    (void)ignored;
    subject s;
    assert_true(subject_open_fleet(&s, 0));
    sweep *w = NULL;
    assert_int_equal(sweep_make(s.solver, phase_named(s.aircraft, "cruise"), &w), STATUS_OK);
    combination *list = many(EACH, sizeof *list);
    for (int i = 0; i < EACH; i++)
        draw(w, i, &list[i]);
    answers a = answers_make(&s, w);
    sweep_run(w, 0, list, EACH, keep, &a);
    int statuses[ITEM_UNUSED + 1] = {0}, functions[FUNCTION_LOST + 1] = {0};
    for (size_t i = 0; i < (size_t)EACH * (size_t)a.rules; i++)
        statuses[a.items[i].status]++;
    for (size_t i = 0; i < (size_t)EACH * (size_t)a.functions; i++)
        functions[a.function[i]]++;
    for (int i = ITEM_ON; i <= ITEM_UNUSED; i++)
        assert_true(statuses[i] > 0);
    for (int i = FUNCTION_KEPT; i <= FUNCTION_LOST; i++)
        assert_true(functions[i] > 0);
    answers_free(&a);
    free(list);
    sweep_free(w);
    subject_close(&s);
}

// Parameters bound by groups of parts are those bound whole, to the bit.
static void groups_are_bound_as_the_whole(void **x) {
    (void)x;
    for (int k = 0; k < FLEET_COUNT; k++) {
        subject s;
        sweep *w = NULL;
        assert_true(subject_open_fleet(&s, k));
        assert_int_equal(sweep_make(s.solver, 0, &w), STATUS_OK);
        const compiled *made = s.solver->made;
        size_t size = (size_t)made->circuit.param_count * sizeof(double);
        double *base = many(size, 1), *whole = many(size, 1), *parts_alone = many(size, 1);
        uint32_t *faults = many((size_t)s.aircraft->part_count, sizeof *faults);
        state_of_phase(s.aircraft, 0, &s.view.asked);
        bind_state(made, &s.view.asked, NULL, faults, base);
        for (int i = 0; i < EACH; i++) {
            combination c;
            int parts[TOGETHER];
            draw(w, i, &c);
            state_of(&s, w, 0, &c, &s.view.asked);
            for (int d = 0; d < c.count; d++)
                parts[d] = sweep_deviation(w, c.deviations[d])->part;
            bind_state(made, &s.view.asked, NULL, faults, whole);
            memcpy(parts_alone, base, size);
            bind_parts(made, &s.view.asked, NULL, parts, c.count, faults, parts_alone);
            if (memcmp(whole, parts_alone, size) != 0)
                fail_msg("bound otherwise: %s", subject_words(&s));
        }
        free(base);
        free(whole);
        free(parts_alone);
        free(faults);
        sweep_free(w);
        subject_close(&s);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sweeps_agree_with_outcomes),
        cmocka_unit_test(groups_are_bound_as_the_whole),
        cmocka_unit_test(eight_together),
        cmocka_unit_test(an_open_bus_with_anything_else),
        cmocka_unit_test(every_status_turns_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
