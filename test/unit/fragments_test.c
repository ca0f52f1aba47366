// Everything that the fragments and the demo aircraft say is in what was read: each value is said
// again from the parsed aircraft, in SI, and compared word by word with the line it stands on.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
// cmocka needs the four above.
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/aircraft.h"
#include "model/yaml_tree.h"
#include "support/case_files.h"
#include "support/fragment_files.h"

// ---- saying it again ----------------------------------------------------------------------------

static void say_figure(text *t, const figure *g) {
    static const char *const SI[] = {[UNIT_NONE] = "",
                                     [UNIT_VOLT] = "V",
                                     [UNIT_AMP] = "A",
                                     [UNIT_OHM] = "ohm",
                                     [UNIT_WATT] = "W",
                                     [UNIT_AMP_HOUR] = "C",
                                     [UNIT_SECOND] = "s",
                                     [UNIT_CELSIUS] = "degC",
                                     [UNIT_PERCENT] = "",
                                     [UNIT_RPM] = "rpm",
                                     [UNIT_PER_MINUTE] = "per min",
                                     [UNIT_HERTZ] = "Hz",
                                     [UNIT_KNOT] = "kt",
                                     [UNIT_METER] = "m",
                                     [UNIT_RATIO] = "to 1"};
    static const char *const BASES[] = {"assumed", "guess", "", "book", "measured", "survey"};
    if (g->low != g->high) {
        text_number(t, g->low);
        text_put(t, " to ");
    }
    text_number(t, g->high);
    text_all(t, " ", SI[g->unit], NULL);
    if (g->at_unit != UNIT_NONE) {
        text_put(t, " at ");
        text_number(t, g->at);
        text_all(t, " ", SI[g->at_unit], NULL);
    }
    text_all(t, " ", BASES[g->basis], " ", g->where, NULL);
}

static void say_reference(text *t, const aircraft *a, reference ref) {
    if (ref.part < 0) {
        text_put(t, ref.part == PART_AIRFRAME ? "ground" : "unknown");
        return;
    }
    const part *p = &a->parts[ref.part];
    text_put(t, p->id);
    if (ref.terminal == TERMINAL_CONTACT)
        text_all(t, " at ", part_positions(p) ? part_positions(p)->labels[ref.position] : "OFF",
                 NULL);
    if (ref.terminal == TERMINAL_FIELD)
        text_put(t, " field");
    if (ref.terminal == TERMINAL_SENSE)
        text_put(t, " sense");
    if (ref.terminal == TERMINAL_COIL)
        text_put(t, " coil");
}

static const positions *places_of(const aircraft *a, int part) {
    const positions *p = part_positions(&a->parts[part]);
    int selector = part_id(&a->parts[part], KEY_FOLLOWS);
    return p || selector < 0 ? p : part_positions(&a->parts[selector]);
}

static void say_condition(text *t, const aircraft *a, int index, bool opposite);

static void say_compared(text *t, const aircraft *a, const condition *c, const char *who,
                         const char *si) {
    if (who)
        text_put(t, who);
    else
        say_reference(t, a, c->ref);
    text_put(t, c->below ? " below " : " above ");
    text_number(t, c->value);
    text_all(t, " ", si, NULL);
}

static void say_state(text *t, const aircraft *a, const condition *c, const char *word) {
    text_all(t, a->parts[c->ref.part].id, " ", word, NULL);
}

static void say_leaf(text *t, const aircraft *a, const condition *c, bool opposite) {
    switch (c->op) {
    case CONDITION_VOLTS: say_compared(t, a, c, NULL, "V"); break;
    case CONDITION_AMPS: say_compared(t, a, c, NULL, "A"); break;
    case CONDITION_CHARGE:
    case CONDITION_TRAVEL: say_compared(t, a, c, NULL, ""); break;
    case CONDITION_RPM: say_compared(t, a, c, NULL, "rpm"); break;
    case CONDITION_THROTTLE: say_compared(t, a, c, "throttle", ""); break;
    case CONDITION_AIRSPEED: say_compared(t, a, c, "airspeed", "kt"); break;
    case CONDITION_TEMPERATURE: say_compared(t, a, c, "temperature", "degC"); break;
    case CONDITION_DIFFER:
        say_reference(t, a, c->ref);
        text_put(t, c->below ? " below " : " above ");
        say_reference(t, a, c->other);
        text_put(t, " by ");
        text_number(t, c->value);
        text_put(t, " V");
        break;
    case CONDITION_ON: say_state(t, a, c, opposite ? "off" : "on"); break;
    case CONDITION_IN: say_state(t, a, c, opposite ? "out" : "in"); break;
    case CONDITION_CLOSED: say_state(t, a, c, opposite ? "open" : "closed"); break;
    case CONDITION_RUNNING: say_state(t, a, c, "running"); break;
    case CONDITION_WINDMILLING: say_state(t, a, c, "windmilling"); break;
    case CONDITION_STOPPED: say_state(t, a, c, "stopped"); break;
    case CONDITION_MOVING: say_state(t, a, c, "moving"); break;
    case CONDITION_WORKS: text_put(t, a->parts[c->ref.part].id); break;
    case CONDITION_AT:
        say_state(t, a, c, opposite ? "not at " : "at ");
        text_put(t, places_of(a, c->ref.part) ? places_of(a, c->ref.part)->labels[c->position]
                    : c->position             ? "ON"
                                              : "OFF");
        break;
    case CONDITION_PRESENT:
        text_all(t, a->supplies[c->supply].name, opposite ? " low" : "", NULL);
        break;
    case CONDITION_AIRBORNE: text_put(t, opposite ? "not airborne" : "airborne"); break;
    case CONDITION_NIGHT: text_put(t, opposite ? "day" : "night"); break;
    case CONDITION_CLOUD: text_put(t, "cloud"); break;
    case CONDITION_ICING: text_put(t, "icing"); break;
    case CONDITION_STALL_NEAR: text_put(t, "stall-near"); break;
    case CONDITION_ALWAYS: text_put(t, "always"); break;
    case CONDITION_NEVER: text_put(t, "never"); break;
    default: fail_msg("a condition of unknown sort");
    }
}

static void say_condition(text *t, const aircraft *a, int index, bool opposite) {
    const condition *c = &a->conditions[index];
    switch (c->op) {
    case CONDITION_NOT: say_condition(t, a, c->a, !opposite); return;
    case CONDITION_AND:
    case CONDITION_OR:
    case CONDITION_LATCH:
        say_condition(t, a, c->a, false);
        text_put(t, c->op == CONDITION_AND ? " and " : c->op == CONDITION_OR ? " or " : " until ");
        say_condition(t, a, c->b, false);
        return;
    case CONDITION_FOR:
        say_condition(t, a, c->a, false);
        text_put(t, " for ");
        text_number(t, c->value);
        text_put(t, " s");
        return;
    default: say_leaf(t, a, c, opposite);
    }
}

static void say_wire(text *t, const wire_run *w) {
    if (w->gauge < 0) {
        text_int(t, 1 - w->gauge);
        text_put(t, "/0");
    } else {
        text_int(t, w->gauge);
    }
    text_put(t, " AWG ");
    text_number(t, w->meters);
    text_put(t, " m");
    if (w->basis == BASIS_GUESS || w->basis == BASIS_BOOK || w->basis == BASIS_MEASURED)
        text_all(t,
                 w->basis == BASIS_GUESS  ? " guess "
                 : w->basis == BASIS_BOOK ? " book "
                                          : " measured ",
                 w->where, NULL);
}

static void say_value(text *t, const aircraft *a, const part *p, const part_value *v) {
    switch (v->type) {
    case VALUE_FIGURE: say_figure(t, &v->as.figure); break;
    case VALUE_TEXT: text_put(t, v->as.text); break;
    case VALUE_YES: text_put(t, v->as.yes ? "yes" : "no"); break;
    case VALUE_WIRE: say_wire(t, &v->as.wire); break;
    case VALUE_CONDITION: say_condition(t, a, v->as.condition, false); break;
    case VALUE_REFERENCES:
        for (int i = 0; i < v->as.references.count; i++) {
            say_reference(t, a, v->as.references.items[i]);
            text_char(t, ' ');
        }
        break;
    case VALUE_IDS:
        for (int i = 0; i < v->as.ids.count; i++)
            text_all(t, a->parts[v->as.ids.items[i]].id, " ", NULL);
        break;
    case VALUE_CONDITIONS:
        for (int i = 0; i < v->as.conditions.count; i++) {
            say_condition(t, a, v->as.conditions.items[i], false);
            text_char(t, ' ');
        }
        break;
    case VALUE_NAMES:
        for (int i = 0; i < v->as.names.count; i++)
            text_all(t, v->as.names.items[i], " ", NULL);
        break;
    case VALUE_POSITIONS:
        for (int i = 0; i < v->as.positions.count; i++) {
            text_all(t, v->as.positions.labels[i], " ", NULL);
            if (v->as.positions.sort != POSITIONS_CONTACTS)
                text_number(t, v->as.positions.figures[i]);
            text_put(t, v->as.positions.sort == POSITIONS_SETTINGS ? " A " : " ");
        }
        break;
    case VALUE_READS:
        for (int i = 0; i < v->as.reads.count; i++) {
            const reading *read = &v->as.reads.items[i];
            int by = part_id(p, KEY_SELECTED_BY);
            if (read->position >= 0)
                text_all(t, part_positions(&a->parts[by])->labels[read->position], " ", NULL);
            text_put(t, v->key == KEY_RIGHT ? "towards " : "");
            say_reference(t, a, read->ref);
            text_char(t, ' ');
        }
        break;
    }
}

// ---- comparing word by word ---------------------------------------------------------------------

static const struct {
    const char *word;
    double factor;
    const char *si;
} CONVERT[] = {{"mA", 1e-3, "A"}, {"mV", 1e-3, "V"},   {"mohm", 1e-3, "ohm"},
               {"h", 3600, "s"},  {"min", 60, "s"},    {"Ah", 3600, "C"},
               {"%", 0.01, ""},   {"ft", 0.3048, "m"}, {"C", 1, "degC"}};

typedef struct words {
    const char *s;
    char word[160];
} words;

static bool next_word(words *w) {
    static const char SKIPPED[] = " \n\r\t[]{}(),\"";
    while (*w->s && (strchr(SKIPPED, *w->s) || (*w->s == ':' && (w->s[1] == ' ' || !w->s[1]))))
        w->s++;
    size_t n = 0;
    while (w->s[n] && !strchr(SKIPPED, w->s[n]) && n < sizeof w->word - 1 &&
           !(w->s[n] == ':' && (w->s[n + 1] == ' ' || !w->s[n + 1])))
        n++;
    memcpy(w->word, w->s, n);
    w->word[n] = 0;
    w->s += n;
    // Words that change nothing.
    if (strcmp(w->word, "is") == 0 || strcmp(w->word, "present") == 0)
        return next_word(w);
    return n > 0;
}

static bool is_number(const char *s, double *value) {
    char *end = NULL;
    *value = strtod(s, &end);
    return end != s && *end == 0;
}

// The line's own text with every "NUMBER UNIT" in SI.
static void in_si(text *t, const char *line) {
    words w = {.s = line};
    while (next_word(&w)) {
        double value = 0;
        if (!is_number(w.word, &value)) {
            text_all(t, w.word, " ", NULL);
            continue;
        }
        words ahead = w;
        bool more = next_word(&ahead);
        bool converted = false;
        for (size_t i = 0; more && i < sizeof CONVERT / sizeof CONVERT[0] && !converted; i++) {
            if (strcmp(CONVERT[i].word, ahead.word) != 0)
                continue;
            text_number(t, value * CONVERT[i].factor);
            text_all(t, " ", CONVERT[i].si, " ", NULL);
            w = ahead;
            converted = true;
        }
        if (!converted) {
            text_number(t, value);
            text_char(t, ' ');
        }
    }
}

static bool same_words(const char *a, const char *b) {
    words x = {.s = a};
    words y = {.s = b};
    for (;;) {
        bool more = next_word(&x);
        if (more != next_word(&y))
            return false;
        if (!more)
            return true;
        double p = 0;
        double q = 0;
        bool numbers = is_number(x.word, &p) && is_number(y.word, &q);
        if (numbers ? fabs(p - q) > 1e-9 * fabs(p) : strcmp(x.word, y.word) != 0)
            return false;
    }
}

// ---- lines --------------------------------------------------------------------------------------

static int mistakes;

static void expect_words(const char *id, const char *key, const char *made, const char *line) {
    text si = text_make(allocator_default());
    in_si(&si, line);
    if (!same_words(made, text_get(&si))) {
        print_error("%s %s: the file says '%s', what was read says '%s'\n", id, key, line, made);
        mistakes++;
    }
    text_free(&si);
}

static int key_named(const char *word, bool first) {
    for (int k = 1; k < KEY_COUNT && !first; k++) {
        if (strcmp(key_word((part_key)k), word) == 0)
            return k;
    }
    return KEY_VALUE;
}

static void check_other(const aircraft *a, const part *p, part_key key, const char *line) {
    const part *breaker = p->row_breaker >= 0 ? &a->parts[p->row_breaker] : p;
    text t = text_make(allocator_default());
    static const char *const BASES[] = {"assumed", "guess", "", "book", "measured", "survey"};
    static const char *const FITTED[] = {"no-pull", "collared", "spare", "inoperative",
                                         "not-fitted"};
    switch (key) {
    case KEY_PLACE:
        text_put(&t, breaker->panel);
        if (breaker->row) {
            text_put(&t, " row ");
            text_int(&t, breaker->row);
        }
        if (breaker->number) {
            text_put(&t, " no ");
            text_int(&t, breaker->number);
        }
        break;
    case KEY_BASIS: text_all(&t, BASES[p->connected], " ", p->connected_where, NULL); break;
    case KEY_AS_FITTED:
        for (int i = 0; i < 5; i++) {
            if (breaker->fitted >> i & 1)
                text_all(&t, FITTED[i], " ", NULL);
        }
        break;
    case KEY_HANDBOOK: text_put(&t, part_text(breaker, KEY_HANDBOOK)); break;
    case KEY_ROW_SWITCH: text_put(&t, a->parts[p->row_switch].label); break;
    case KEY_ROW_BREAKER:
    case KEY_ROW_FUSE:
        say_figure(&t, part_figure(breaker, KEY_VALUE));
        text_all(&t, " ", breaker->label, NULL);
        break;
    case KEY_WIRE: say_value(&t, a, p, part_value_of(&a->parts[p->wire], KEY_WIRE)); break;
    case KEY_VALUE: text_put(&t, p->label); break;  // a name where a figure could stand
    default: fail_msg("%s: `%s` was lost", p->id, key_word(key));
    }
    expect_words(p->id, key_word(key), text_get(&t), line);
    text_free(&t);
}

static void check_key(const aircraft *a, const part *p, const node *entry, bool first) {
    char line[1024];
    int length = (int)entry->span.length;
    if (entry->type != NODE_TEXT && entry->style == STYLE_BLOCK)
        return;
    if (entry->type == NODE_TEXT)
        snprintf(line, sizeof line, "%s", entry->text);
    else
        snprintf(line, sizeof line, "%.*s", length, a->source + entry->span.offset);
    part_key key = (part_key)key_named(entry->key->text, first);
    const part *holder = p;
    // On a row the supply is that of its first part.
    if (key == KEY_FROM && p->row_switch >= 0)
        holder = &a->parts[p->row_switch];
    if (key == KEY_FROM && p->row_breaker >= 0)
        holder = &a->parts[p->row_breaker];
    const part_value *v = part_value_of(holder, key);
    bool label_kept = key == KEY_VALUE && v && v->span.line == 0;
    bool elsewhere = key == KEY_WIRE || key == KEY_PLACE || key == KEY_BASIS ||
                     key == KEY_AS_FITTED || key == KEY_HANDBOOK;
    bool named = key == KEY_VALUE && v && v->type == VALUE_FIGURE && entry->type == NODE_TEXT &&
                 (entry->text[0] < '0' || entry->text[0] > '9');
    if (!v || elsewhere || label_kept || named) {
        check_other(a, p, key, line);
        return;
    }
    assert_true(v->span.line > 0);
    text t = text_make(allocator_default());
    say_value(&t, a, p, v);
    expect_words(p->id, entry->key->text, text_get(&t), line);
    text_free(&t);
}

static int check_lines(const aircraft *a) {
    static const char *const SECTIONS[] = {"parts", "seen", "together"};
    arena memory = arena_make(allocator_default());
    findings f = findings_make(allocator_default());
    yaml_tree tree;
    int checked = 0;
    assert_int_equal(yaml_tree_read(&memory, a->source, a->source_length, &f, &tree), STATUS_OK);
    for (int s = 0; s < 3; s++) {
        const node *lines = node_entry(tree.root, SECTIONS[s]);
        for (const node *n = lines ? lines->first : NULL; n; n = n->next) {
            int index = aircraft_part(a, n->key->text);
            assert_true(index >= 0);
            assert_int_equal(a->parts[index].section, s);
            assert_string_equal(kind_word(a->parts[index].kind), n->first->key->text);
            for (const node *e = n->first; e; e = e->next) {
                check_key(a, &a->parts[index], e, e == n->first);
                checked++;
            }
        }
    }
    findings_free(&f);
    arena_free(&memory);
    return checked;
}

static aircraft *read_well(const char *name, const char *source, size_t length) {
    findings f = findings_make(allocator_default());
    aircraft *a = NULL;
    status s = aircraft_read(allocator_default(), source, length, &a, &f);
    if (s != STATUS_OK) {
        text t = text_make(allocator_default());
        findings_write(&f, name, &t);
        print_error("%s", text_get(&t));
        text_free(&t);
    }
    assert_int_equal(s, STATUS_OK);
    findings_free(&f);
    return a;
}

// ---- fragments ----------------------------------------------------------------------------------

static void all_fragments_read_and_say_the_same(void **unused) {
    (void)unused;
    mistakes = 0;
    static fragment pieces[FRAGMENTS_MOST];
    size_t length = 0;
    char *all = case_file_needed(DEADBUS_TEST_DIR "/case/fragments.yaml", &length);
    int count = fragments_split(all, pieces, FRAGMENTS_MOST);
    assert_int_equal(count, 61);
    for (int i = 1; i < count; i++) {
        text t = text_make(allocator_default());
        fragment_file(&pieces[0], &pieces[i], &t);
        aircraft *a = read_well(pieces[i].name, text_get(&t), t.length);
        assert_true(check_lines(a) > 40);
        aircraft_free(a);
        text_free(&t);
    }
    free(all);
    assert_int_equal(mistakes, 0);
}

static void all_demo_aircraft_say_the_same(void **unused) {
    (void)unused;
    mistakes = 0;
    static const char *const NAMES[] = {"bowline", "reef", "sheetbend", "clove", "halyard"};
    for (int i = 0; i < 5; i++) {
        char path[512];
        size_t length = 0;
        snprintf(path, sizeof path, DEADBUS_SOURCE_DIR "/aircraft/%s.yaml", NAMES[i]);
        char *source = case_file_needed(path, &length);
        aircraft *a = read_well(NAMES[i], source, length);
        assert_true(check_lines(a) > 200);
        aircraft_free(a);
        free(source);
    }
    assert_int_equal(mistakes, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_fragments_read_and_say_the_same),
        cmocka_unit_test(all_demo_aircraft_say_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
