// What a scenario that is written by a person is told about its mistakes: the nearest words, what
// could stand there, what can do nothing. A student's page writes its own, see page_readers.c.
#include <string.h>

#include "model/position_words.h"
#include "model/scenario_reader.h"

const char *scenario_nearest(scenario_reader *s, const char *word, const char *words) {
    int most = near_enough(strlen(word)), least = most + 1;
    const char *nearest = NULL;
    if (s->r.out->count > MOST_HINTS)
        return "";
    for (const char *w = words; *w;) {
        const char *end = strchr(w, ' ');
        size_t length = end ? (size_t)(end - w) : strlen(w);
        const char *one = arena_text(s->r.scratch, w, length);
        if (!one)
            return "";
        int edits = text_distance(word, one, most);
        if (edits < least) {
            least = edits;
            nearest = one;
        }
        w += length + (end ? 1 : 0);
    }
    return nearest ? join(&s->r, (const char *const[]){"did you mean '", nearest, "'?", NULL}) : "";
}

static const char *nearest_function(const scenario_reader *s, const char *name) {
    int least = near_enough(strlen(name)) + 1;
    const char *nearest = NULL;
    for (int i = 0; i < s->aircraft->function_count; i++) {
        int edits = text_distance(name, s->aircraft->functions[i].name, least - 1);
        if (edits < least) {
            least = edits;
            nearest = s->aircraft->functions[i].name;
        }
    }
    return nearest;
}

const char *scenario_nearest_id(scenario_reader *s, const char *id, bool functions) {
    bool many = s->r.out->count > MOST_HINTS;
    const char *nearest = many ? NULL : aircraft_nearest_part(s->aircraft, id);
    if (!nearest && !many && functions)
        nearest = nearest_function(s, id);
    return nearest ? join(&s->r, (const char *const[]){"did you mean '", nearest, "'?", NULL})
                   : "`deadbus show FILE --faults` lists every part";
}

void scenario_wrong_phase(scenario_reader *s, const node *n, const char *name) {
    const aircraft *a = s->aircraft;
    const char *all = "", *listed = "";
    for (int i = 0; i < a->phase_count; i++) {
        all = join(&s->r, (const char *const[]){all, i ? " " : "", a->phases[i].name, NULL});
        listed = join(&s->r, (const char *const[]){listed, i ? ", " : "", a->phases[i].name, NULL});
    }
    const char *hint = scenario_nearest(s, name, all);
    if (!*hint)
        hint = join(&s->r, (const char *const[]){"there are: ", listed, NULL});
    say_error(&s->r, n->span, "unknown-phase", hint, "the aircraft has no phase '", name, "'",
              NULL);
}

void scenario_wrong_position(scenario_reader *s, const node *n, int part) {
    const struct part *p = &s->aircraft->parts[part];
    text words = text_make(s->r.scratch->memory);
    position_words(s->aircraft, part, &words);
    const char *can = arena_text(s->r.scratch, text_get(&words), words.length);
    if (words.failed)
        s->r.scratch->failed = true;
    if (words.length)
        say_error(&s->r, n->span, "unknown-position",
                  join(&s->r, (const char *const[]){"it takes: ", can ? can : "", NULL}), "'",
                  n->text, join(&s->r, (const char *const[]){"' is no position of '", p->id, NULL}),
                  "'");
    else
        say_error(&s->r, n->key->span, "no-position",
                  "it is on when its supply is: set the switch or breaker that feeds it", "'",
                  p->id, "' has no positions", NULL);
    text_free(&words);
}

void scenario_wrong_fault(scenario_reader *s, const node *n, const part *p, uint32_t can) {
    const char *all = "", *listed = "";
    for (int i = 1; i < FAULT_COUNT; i++) {
        if (!(can >> i & 1))
            continue;
        const char *w = fault_word((fault_kind)i);
        all = join(&s->r, (const char *const[]){all, *all ? " " : "", w, NULL});
        listed = join(&s->r, (const char *const[]){listed, *listed ? ", " : "", w, NULL});
    }
    const char *hint = scenario_nearest(s, n->text, all);
    if (!*hint)
        hint = can ? join(&s->r, (const char *const[]){"it can be: ", listed, NULL})
                   : "it has no faults of its own";
    say_error(&s->r, n->span, "unknown-fault", hint, "'", n->text,
              join(&s->r, (const char *const[]){"' is no fault of '", p->id, "', ", NULL}),
              with_article(&s->r, kind_word(p->kind)));
}

bool scenario_odd_moment(scenario_reader *s, const node *n) {
    static const char AFTER[] = " after";
    const size_t tail = sizeof AFTER - 1;
    bool after = n->length > tail && text_equal(n->text + n->length - tail, AFTER);
    if (after)
        say_error(&s->r, n->span, "moment", "as `3 min after low-volts lit`",
                  "what it comes after is missing", NULL, NULL, NULL);
    else if (strchr(n->text, ':'))
        say_error(&s->r, n->span, "moment", "as `2 min`, `90 s` or `1.5 min`", "'", n->text,
                  "' is no figure with its unit", NULL);
    else
        return false;
    return true;
}

// ---- what can do nothing ------------------------------------------------------------------------
static bool fails_anywhere(const scenario *m, int part, const char *fault) {
    for (int i = -1; i < m->step_count; i++) {
        const scenario_change *list = i < 0 ? m->start : m->steps[i].changes;
        for (int k = 0; k < (i < 0 ? m->start_count : m->steps[i].change_count); k++)
            if (list[k].kind == CHANGE_FAIL && list[k].part == part &&
                text_equal(fault_word(list[k].fault), fault))
                return true;
    }
    return false;
}

static void look_at_repair(scenario_reader *s, const node *n) {
    int part = aircraft_part(s->aircraft, n->key->text);
    if (n->refused || n->type != NODE_TEXT || part < 0 || fails_anywhere(s->made, part, n->text))
        return;
    const char *const hint[] = {"add `fail: {",
                                n->key->text,
                                ": ",
                                n->text,
                                "}` to an entry before it, or leave this out",
                                NULL};
    const char *const end[] = {"' fail as '", n->text, "'", NULL};
    say_error(&s->r, n->span, "never-failed", join(&s->r, hint), "nothing lets '", n->key->text,
              join(&s->r, end), NULL);
}

void scenario_look_over(scenario_reader *s, const node *happens) {
    if (s->r.out->errors > 0)
        return;
    for (const node *e = happens->first; e != NULL; e = e->next)
        for (const node *k = e->first; e->type == NODE_MAP && k != NULL; k = k->next)
            for (const node *n = k->first; text_equal(k->key->text, "repair") && n; n = n->next)
                look_at_repair(s, n);
}
