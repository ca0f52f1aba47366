// ngspice (Debian package libngspice0) as an independent solver: random states of the five demo
// aircraft and of a hundred that nobody drew, the netlist written by separate code from the file's
// meaning (support/plain_network.c), the devices' modes given. Every node within 1 mV and 0.1 %,
// every current within 0.1 %; then each device's rule on ngspice's own volts.
//
// Floors: below 1 mV two volts count as equal within 1 uV, and below 1 mA two currents within 1 uA:
// a node that nothing feeds floats on the 1 nS leak alone, and 1 uA is 28 V over a thousand leaks.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

#include "reference/support/device_rules.h"
#include "reference/support/settled_modes.h"
#include "support/fleet_states.h"
#include "support/random_aircraft.h"

enum { STATES = 300, RANDOM_AIRCRAFT = 100, RANDOM_STATES = 12 };
enum { TOLD_MOST = 12, ALONE_EVERY = 12 };

typedef struct tally {
    int states, chattering, collapsed, alone, unsolved;
    long nodes, currents, rules;
    double volts_off, amps_off;  // largest differences: volts, share of the current
    int bad_volts, bad_amps, bad_rules, told;
} tally;

typedef struct comparison {
    subject *s;
    plain_network n;
    device_modes modes;
    spice_answer answer;
    tally *t;
} comparison;

static void tell(comparison *x, const char *part, const char *what, double ours, double theirs) {
    if (x->t->told++ < TOLD_MOST)
        print_message("%s\n    %s %s: %.9g, ngspice %.9g\n", subject_words(x->s), part, what, ours,
                      theirs);
}

static void compare_point(comparison *x, int part, point_name name, int detail) {
    const settled_state *s = &x->s->view.settled;
    int node = settled_node(s, part, name, detail);
    if (node == NOWHERE)
        return;
    double ours = s->solution->volts[node];
    double theirs = x->answer.volts[plain_point(&x->n, part, name, detail)];
    double off = fabs(ours - theirs);
    x->t->nodes++;
    x->t->volts_off = fmax(x->t->volts_off, off);
    if (off <= fmax(fmin(1e-3, 1e-3 * fabs(theirs)), 1e-6))
        return;
    static const char *const NAMES[] = {"near",  "far",       "inside", "coil",  "coil end",
                                        "field", "field end", "sense",  "other", "contact"};
    x->t->bad_volts++;
    tell(x, x->s->aircraft->parts[part].id, NAMES[name], ours, theirs);
}

static void compare_nodes(comparison *x) {
    const aircraft *a = x->s->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        if (p->implied == IMPLIED_WIRE || p->implied == IMPLIED_STRAP)
            continue;  // their ends are those of the part that they belong to
        if (kind_class(p->kind) == CLASS_POINT) {
            const part_map *m = &x->s->solver->made->maps[i];
            double ours = x->s->view.solution.volts[m->own];
            double theirs = x->answer.volts[plain_point(&x->n, i, POINT_NEAR, 0)];
            x->t->nodes++;
            if (fabs(ours - theirs) > fmax(fmin(1e-3, 1e-3 * fabs(theirs)), 1e-6)) {
                x->t->bad_volts++;
                tell(x, p->id, "point", ours, theirs);
            }
            continue;
        }
        for (int name = 0; name < POINT_CONTACT; name++)
            compare_point(x, i, (point_name)name, 0);
        const positions *places = part_positions(p);
        int contacts = p->kind == KIND_SWITCH ? (places ? places->count : 2) : 0;
        for (int k = 0; k < contacts; k++)
            compare_point(x, i, POINT_CONTACT, k);
    }
}

static void compare_currents(comparison *x) {
    for (int i = 0; i < x->n.element_count; i++) {
        const plain_element *e = &x->n.elements[i];
        double ours, theirs = x->answer.amps[i];
        if (!settled_amps(&x->s->view.settled, e, &ours))
            continue;
        double off = fabs(ours - theirs);
        x->t->currents++;
        if (fabs(theirs) > 1e-3)
            x->t->amps_off = fmax(x->t->amps_off, off / fabs(theirs));
        if (off <= fmax(1e-3 * fabs(theirs), 1e-6))
            continue;
        x->t->bad_amps++;
        tell(x, x->s->aircraft->parts[e->part].id, "amps", ours, theirs);
    }
}

static void check_rules(comparison *x) {
    rule_context context = {.n = &x->n,
                            .answer = &x->answer,
                            .s = &x->s->view.asked,
                            .m = &x->modes,
                            .collapsed = x->s->view.solution.settled == SETTLED_COLLAPSED};
    rule_report r = device_rules(&context);
    x->t->rules += r.checked;
    x->t->bad_rules += r.broken;
    if (r.broken > 0 && x->t->told++ < TOLD_MOST)
        print_message("%s\n    %s\n", subject_words(x->s), r.first);
}

// Our volts at each point, to begin from where ngspice finds no way of its own.
static double *our_volts(const comparison *x) {
    const aircraft *a = x->s->aircraft;
    double *guess = calloc((size_t)x->n.point_count, sizeof *guess);
    assert_non_null(guess);
    for (int i = 0; i < a->part_count; i++) {
        for (int name = 0; name < POINT_CONTACT; name++) {
            int node = settled_node(&x->s->view.settled, i, (point_name)name, 0);
            if (node != NOWHERE)
                guess[plain_point(&x->n, i, (point_name)name, 0)] = x->s->view.solution.volts[node];
        }
    }
    return guess;
}

// Each clamp on the piece on which we have it; ngspice's own volts say whether it may stay.
static void hold_pieces(comparison *x) {
    for (int i = 0; i < x->n.element_count; i++) {
        plain_element *e = &x->n.elements[i];
        double amps;
        if (e->law != LAW_CLAMP)
            continue;
        e->piece = 1;
        if (settled_amps(&x->s->view.settled, e, &amps))
            e->piece = amps >= e->in ? 2 : amps <= -e->out ? -1 : 1;
    }
}

// Every twelfth state from nothing, if ngspice finds a way from there; the others begin near our
// volts. Where it begins doesn't decide what it accepts: only an operating point of its own
// netlist.
static bool solve(comparison *x) {
    if (x->t->states % ALONE_EVERY == 0) {
        if (spice_solve(&x->n, NULL, &x->answer)) {
            x->t->alone++;
            return true;
        }
    }
    double *guess = our_volts(x);
    bool solved = spice_solve(&x->n, guess, &x->answer) || spice_solve_anyhow(&x->n, &x->answer);
    if (!solved) {
        hold_pieces(x);
        solved = spice_solve_held(&x->n, guess, &x->answer);
    }
    free(guess);
    return solved;
}

static void compare_state(comparison *x) {
    x->n = plain_network_make(x->s->aircraft, &x->s->view.asked, &x->modes, x->s->base_amps);
    x->answer.volts = calloc((size_t)x->n.point_count, sizeof(double));
    x->answer.amps = calloc((size_t)x->n.element_count + 1, sizeof(double));
    assert_true(x->answer.volts && x->answer.amps);
    if (solve(x)) {
        compare_nodes(x);
        compare_currents(x);
        check_rules(x);
    } else {
        x->t->unsolved++;
        tell(x, "-", "unsolved", 0, 0);
    }
    free(x->answer.volts);
    free(x->answer.amps);
    plain_network_free(&x->n);
}

static void compare_states(subject *s, uint64_t seed, int states, tally *t) {
    comparison x = {.s = s, .modes = modes_make(s->aircraft), .t = t};
    int before = t->states;
    for (int i = 0; t->states < before + states && i < 2 * states; i++) {
        subject_draw(s, seed, i, 3);
        subject_settle(s);
        if (s->view.solution.settled == SETTLED_CHATTERS) {
            t->chattering++;  // no mode holds: nothing to compare
            continue;
        }
        t->collapsed += s->view.solution.settled == SETTLED_COLLAPSED;
        t->states++;
        modes_read(&s->view.settled, &x.modes);
        compare_state(&x);
    }
    modes_free(&x.modes);
}

static int tell_tally(const char *whose, const tally *t) {
    print_message("%s: %d states (%d collapsed, %d chattering left out), %ld nodes within %.1e V, "
                  "%ld currents within %.1e, %ld rules; off: %d nodes, %d currents, %d rules, "
                  "%d unsolved; from nothing: %d\n",
                  whose, t->states, t->collapsed, t->chattering, t->nodes, t->volts_off,
                  t->currents, t->amps_off, t->rules, t->bad_volts, t->bad_amps, t->bad_rules,
                  t->unsolved, t->alone);
    return t->bad_volts + t->bad_amps + t->bad_rules;
}

static void volts_and_amps_agree(void **ignored) {
    (void)ignored;
    int bad = 0;
    for (int i = 0; i < FLEET_COUNT; i++) {
        tally t = {0};
        subject s;
        assert_true(subject_open_fleet(&s, i));
        compare_states(&s, 2026u + (unsigned)i, STATES, &t);
        subject_close(&s);
        bad += tell_tally(fleet_names[i], &t) + t.unsolved;
        assert_true(t.states >= STATES);
    }
    assert_int_equal(bad, 0);
}

// The same of aeroplanes that nobody drew. Of two hundred states ngspice may find no operating
// point in one: its Newton's method jumps about where loads have just collapsed.
static void random_aircraft_agree(void **ignored) {
    (void)ignored;
    tally t = {0};
    for (int seed = 1; seed <= RANDOM_AIRCRAFT; seed++) {
        text file = text_make(allocator_default());
        random_aircraft((uint64_t)seed, &file);
        subject s;
        assert_true(subject_open_bytes(&s, "random", text_get(&file), file.length));
        compare_states(&s, 2026u, RANDOM_STATES, &t);
        subject_close(&s);
        text_free(&file);
    }
    assert_int_equal(tell_tally("random aeroplanes", &t), 0);
    assert_true(t.unsolved * 200 <= t.states);
    assert_true(t.states > RANDOM_AIRCRAFT * RANDOM_STATES / 2);
}

static int start_peer(void **ignored) {
    (void)ignored;
    spice_start();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(volts_and_amps_agree),
        cmocka_unit_test(random_aircraft_agree),
    };
    return cmocka_run_group_tests(tests, start_peer, NULL);
}
