// The flight-bag card of every aircraft at hand, on both papers: on one sheet, nothing over the
// edge of its side, no text on another, no type below 10 pt; and what it says agrees with the
// solved states.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "ask/card_content.h"
#include "draw/card_sheet.h"
#include "draw/text_width.h"
#include "support/fleet_states.h"

typedef struct carded {
    subject *subject;
    arena memory;
    outcome *phases[64], *dead;
    card card;
} carded;

static outcome *solved(subject *s, int phase, bool dead) {
    double *setting = calloc((size_t)s->aircraft->part_count + 1, sizeof *setting);
    state asked = {.setting = setting};
    state_of_phase(s->aircraft, phase, &asked);
    for (int i = 0; dead && i < s->aircraft->part_count; i++) {
        part_kind k = s->aircraft->parts[i].kind;
        if (k == KIND_BATTERY || k == KIND_ALTERNATOR || k == KIND_GENERATOR)
            asked.faults[asked.fault_count++] = (fault){i, FAULT_DEAD};
    }
    outcome *o = NULL;
    assert_int_equal(solver_outcome(s->solver, &asked, (outcome_options){0}, &o), STATUS_OK);
    free(setting);
    return o;
}

static void make(carded *c, subject *s) {
    *c = (carded){.subject = s, .memory = arena_make(allocator_default())};
    int usual = 0;
    assert_true(s->aircraft->phase_count <= 64);
    for (int i = 0; i < s->aircraft->phase_count; i++) {
        c->phases[i] = solved(s, i, false);
        usual = strcmp(s->aircraft->phases[i].name, "cruise") == 0 ? i : usual;
    }
    c->dead = solved(s, usual, true);
    card_source from = {.aircraft = s->aircraft,
                        .memory = &c->memory,
                        .phases = c->phases,
                        .usual = c->phases[usual],
                        .dead = c->dead};
    assert_int_equal(card_make(&from, &c->card), STATUS_OK);
}

static void forget(carded *c) {
    for (int i = 0; i < c->subject->aircraft->phase_count; i++)
        outcome_free(c->phases[i]);
    outcome_free(c->dead);
    arena_free(&c->memory);
}

static bool overlap(const label_shape *a, const label_shape *b) {
    // Lines of one paragraph stand as close as their letters allow.
    const double close = 2.5;
    return a->left + 1 < b->right && b->left + 1 < a->right && a->top + close < b->bottom &&
           b->top + close < a->bottom;
}

static bool has_label(const picture *p, const char *words) {
    for (int i = 0; i < p->label_count; i++)
        if (strstr(p->labels[i].text, words))
            return true;
    return false;
}

static int check_sheet(const picture *p, paper_id paper, const char *where) {
    int wrong = 0;
    assert_true(paper_points(paper, 15, p->width) >= 10);
    for (int i = 0; i < p->label_count; i++) {
        const label_shape *a = &p->labels[i];
        double half = p->width / 2.0, side = a->left < half ? 0 : half;
        // 6 mm are left free at every edge, and along the cut.
        double edge = 6 * p->width / paper_width(paper);
        if (a->left < side + edge || a->right > side + half - edge || a->top < edge / 2 ||
            a->bottom > p->height - edge / 2 || a->size < 15) {
            print_message("%s: '%s' at %g..%g, %g, size %g\n", where, a->text, a->left, a->right,
                          a->y, a->size);
            wrong++;
        }
        if (strlen(a->text) == 1 && strchr("AV%", *a->text)) {
            print_message("%s: a unit alone in its line\n", where);
            wrong++;
        }
        for (int k = 0; k < i; k++)
            if (overlap(a, &p->labels[k])) {
                print_message("%s: '%s' on '%s'\n", where, a->text, p->labels[k].text);
                wrong++;
            }
    }
    return wrong;
}

static int check_both(carded *c, const char *name, const char *left_out[2]) {
    static const paper_id papers[] = {PAPER_A5, PAPER_HALF_LETTER};
    int wrong = 0;
    for (int i = 0; i < 2; i++) {
        const picture *p = card_sheet(&c->memory, &c->card, papers[i], &left_out[i]);
        assert_non_null(p);
        wrong += check_sheet(p, papers[i], name);
        // What is left out is told on the card itself.
        assert_int_equal(*left_out[i] != 0, has_label(p, "Left out for want of room:"));
        assert_true(has_label(p, "not a checklist"));
        assert_true(has_label(p, "Void after any equipment change."));
        assert_true(has_label(p, "Checked by"));
        assert_true(has_label(p, "approved handbook"));
        assert_true(has_label(p, c->card.hash));
    }
    return wrong;
}

// A figure and its unit, a heading's unit and a date stay whole; a word with a hyphen may part.
static void what_belongs_together_stays_together(void **unused) {
    (void)unused;
    static const struct {
        const char *words, *first;
    } cases[] = {{"less than 19 min", "less"},
                 {"Ammeter load, A", "Ammeter"},
                 {"passed on 2025-12-04", "passed on"},
                 {"alternate-feed-cruise", "alternate-feed-"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *words = cases[i].words;
        size_t next;
        double room = text_width_n(words, strlen(words) - 1, 15, false);
        assert_int_equal(text_line(words, room, 15, false, &next), strlen(cases[i].first));
    }
}

static void every_card_holds_its_words(void **unused) {
    (void)unused;
    int wrong = 0;
    for (int i = 0; i < FLEET_COUNT; i++) {
        subject s;
        assert_true(subject_open_fleet(&s, i));
        carded c;
        const char *left_out[2];
        make(&c, &s);
        wrong += check_both(&c, fleet_names[i], left_out);
        // Four of the five have room for everything; the fifth says where its map is.
        bool crowded = strstr(fleet_names[i], "clove");
        for (int k = 0; k < 2; k++)
            if (crowded)
                assert_non_null(strstr(left_out[k], "see wall diagram"));
            else
                assert_string_equal(left_out[k], "");
        forget(&c);
        subject_close(&s);
    }
    assert_int_equal(wrong, 0);
}

// All labels from one on, as one text.
static char *text_from(const picture *p, const char *words) {
    text t = text_make(allocator_default());
    bool on = false;
    for (int i = 0; i < p->label_count; i++) {
        on = on || strcmp(p->labels[i].text, words) == 0;
        if (on)
            text_all(&t, p->labels[i].text, " ", NULL);
    }
    char *copy = strdup(text_get(&t));
    text_free(&t);
    return copy;
}

// A side without room for the drawn map tells each feed that is there in flight, bus by bus.
static void a_map_may_be_told_in_words(void **unused) {
    (void)unused;
    subject s;
    assert_true(subject_open(&s, "aircraft/sheetbend.yaml"));
    carded c;
    make(&c, &s);
    const char *left_out;
    const picture *p = card_sheet(&c.memory, &c.card, PAPER_A5, &left_out);
    assert_non_null(p);
    assert_string_equal(left_out, "");
    // What its feeders take has no room beside that: the heading says where it stands.
    assert_true(has_label(p, "feeders: see wall diagram"));
    char *said = text_from(p, "Feeds, cruise:");
    assert_non_null(strstr(said, "Main bus: Feed stud by 80 MAIN FEED. "));
    assert_non_null(strstr(said, "ESS BUS ALTN FEED switch (open); Main bus by 25 ESS FEED. "));
    assert_null(strstr(said, "Ground plug"));
    assert_null(strstr(said, "diode"));
    for (int i = 0; i < c.card.feed_count; i++) {
        const char *from = c.card.feeds[i].from;
        assert_true(strcmp(from, "Ground plug") == 0 || strstr(said, from));
        assert_non_null(strstr(said, c.card.feeds[i].to));
    }
    free(said);
    forget(&c);
    subject_close(&s);
}

// Markup, quotes, marks that turn the text round, 10,000 letters, five buses, 24 rows on one.
static void odd_aircraft_have_cards_too(void **unused) {
    (void)unused;
    static const char *const paths[] = {
        "test/case/card/hostile.yaml",     "test/case/draw/five_buses.yaml",
        "test/case/draw/long_labels.yaml", "test/case/draw/many_rows.yaml",
        "test/case/draw/no_bus.yaml",      "test/case/draw/no_source.yaml",
        "test/case/draw/odd_branches.yaml"};
    int wrong = 0;
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
        subject s;
        assert_true(subject_open(&s, paths[i]));
        carded c;
        const char *left_out[2];
        make(&c, &s);
        wrong += check_both(&c, paths[i], left_out);
        forget(&c);
        subject_close(&s);
    }
    assert_int_equal(wrong, 0);
}

static const carded *card_of(carded *c, subject *s, const char *path) {
    assert_true(subject_open(s, path));
    make(c, s);
    return c;
}

static void what_works_with_everything_dead(void **unused) {
    (void)unused;
    subject s;
    carded c;
    card_of(&c, &s, "aircraft/bowline.yaml");
    assert_non_null(strstr(c.card.dead, "airspeed"));
    assert_non_null(strstr(c.card.dead, "(handheld, own battery, in part)"));
    assert_null(strstr(c.card.dead, "fuel quantity"));
    assert_null(strstr(c.card.dead, "stops"));
    forget(&c);
    subject_close(&s);
    // Electronic ignition: with no volts there is no spark.
    card_of(&c, &s, "aircraft/halyard.yaml");
    assert_non_null(strstr(c.card.dead, "Engine stops: it needs volts."));
    assert_null(strstr(c.card.dead, "power,"));
    forget(&c);
    subject_close(&s);
}

static void readings_are_the_solved_ones(void **unused) {
    (void)unused;
    subject s;
    carded c;
    card_of(&c, &s, "aircraft/clove.yaml");
    // Every phase stands in exactly one line, and its readings are that phase's.
    int phases = 0;
    for (int i = 0; i < c.card.phase_count; i++) {
        const char *name = c.card.phases[i].name;
        while (*name) {
            const char *expected = s.aircraft->phases[phases].name;
            assert_memory_equal(name, expected, strlen(expected));
            name += strlen(expected);
            name += *name == ',' ? 2 : 0;
            const outcome *o = c.phases[phases++];
            for (int k = 0, meter = 0; k < o->indication_count; k++) {
                if (!card_is_meter(&s.aircraft->parts[o->indications[k].part]))
                    continue;
                const char *shown = c.card.phases[i].readings[meter++];
                assert_non_null(strstr(o->indications[k].reading, shown));
            }
        }
    }
    assert_int_equal(phases, s.aircraft->phase_count);
    forget(&c);
    subject_close(&s);
}

static void lists_are_in_order(void **unused) {
    (void)unused;
    for (int n = 0; n < FLEET_COUNT; n++) {
        subject s;
        carded c;
        assert_true(subject_open_fleet(&s, n));
        make(&c, &s);
        assert_int_equal(c.card.eater_count, CARD_EATERS);
        for (int i = 1; i < c.card.eater_count; i++)
            assert_true(c.card.eaters[i].amps <= c.card.eaters[i - 1].amps);
        assert_true(c.card.fading_count > 0);
        for (int i = 1; i < c.card.fading_count; i++)
            assert_true(c.card.fading[i].volts < c.card.fading[i - 1].volts);
        // Breakers: each once, and those that can be found from the seat first.
        int protectors = 0;
        for (int i = 0; i < s.aircraft->part_count; i++) {
            part_kind k = s.aircraft->parts[i].kind;
            protectors += (k == KIND_BREAKER || k == KIND_FUSE || k == KIND_LIMITER) &&
                          !(s.aircraft->parts[i].fitted & FITTED_ABSENT);
        }
        assert_int_equal(c.card.breaker_count, protectors);
        for (int i = 1; i < c.card.breaker_count; i++) {
            const card_breaker *a = &c.card.breakers[i - 1];
            const card_breaker *b = &c.card.breakers[i];
            assert_true(*a->group || !*b->group);
            if (*a->group && strcmp(a->group, b->group) == 0)
                assert_true(a->number < b->number);
        }
        forget(&c);
        subject_close(&s);
    }
}

static const card_breaker *breaker_of(const card *c, const char *label) {
    int found = 0;
    while (found < c->breaker_count && strcmp(c->breakers[found].label, label) != 0)
        found++;
    assert_true(found < c->breaker_count);
    return &c->breakers[found];
}

// Pulling a feeder takes its bus's items away (common practice, no source): they are named. What is
// out of reach isn't pulled.
static void a_feeder_tells_what_it_takes(void **unused) {
    (void)unused;
    subject s;
    carded c;
    card_of(&c, &s, "aircraft/bowline.yaml");
    const card_breaker *feeder = breaker_of(&c.card, "RADIO 2");
    assert_string_equal(feeder->carries, "Radio bus 2: com 2, nav 2, GPS, radio fan");
    assert_string_equal(feeder->bus, "Radio bus 2");
    assert_string_equal(breaker_of(&c.card, "ALT OUTPUT")->carries, "Main bus");
    assert_string_equal(breaker_of(&c.card, "AUDIO")->bus, "");
    forget(&c);
    subject_close(&s);
}

// 4 A at 5 V behind a converter of 88 % are 4 x 5 / 0.88 / 28 = 0.81 A of the bus, by the watts:
// less than each of the five on this card.
static void an_eater_behind_a_converter_takes_less(void **unused) {
    (void)unused;
    subject s;
    carded c;
    card_of(&c, &s, "aircraft/sheetbend.yaml");
    for (int i = 0; i < c.card.eater_count; i++) {
        assert_null(strstr(c.card.eaters[i].name, "Telephones"));
        assert_true(c.card.eaters[i].amps > 0.82);
    }
    forget(&c);
    subject_close(&s);
}

// Facts of the trade (common practice, no source): the needle of a center-zero ammeter in the
// battery's lead shows charge on the side that `right:` names; a source's own meter never shows
// what the battery gives.
static void meters_are_told_as_they_sit(void **unused) {
    (void)unused;
    subject s;
    carded c;
    card_of(&c, &s, "aircraft/bowline.yaml");
    assert_string_equal(c.card.meters[0].place, "feed stud to main bus");
    assert_string_equal(c.card.meters[0].told[0].where, "Left of 0");
    assert_non_null(strstr(c.card.meters[0].told[0].means, "battery carries the loads"));
    assert_non_null(strstr(c.card.meters[0].told[2].means, "starter"));
    forget(&c);
    subject_close(&s);
    card_of(&c, &s, "aircraft/halyard.yaml");
    assert_string_equal(c.card.meters[0].told[0].where, "At 0");
    assert_non_null(strstr(c.card.meters[0].told[0].means, "never shows what the battery gives"));
    forget(&c);
    subject_close(&s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_belongs_together_stays_together),
        cmocka_unit_test(a_map_may_be_told_in_words),
        cmocka_unit_test(every_card_holds_its_words),
        cmocka_unit_test(odd_aircraft_have_cards_too),
        cmocka_unit_test(what_works_with_everything_dead),
        cmocka_unit_test(readings_are_the_solved_ones),
        cmocka_unit_test(lists_are_in_order),
        cmocka_unit_test(a_feeder_tells_what_it_takes),
        cmocka_unit_test(an_eater_behind_a_converter_takes_less),
        cmocka_unit_test(meters_are_told_as_they_sit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
