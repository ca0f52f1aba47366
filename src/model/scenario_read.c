// Reading a scenario file: its keys by the table, then what they say.
#include <string.h>

#include "model/scenario_reader.h"

// ---- keys ---------------------------------------------------------------------------------------
static int key_named(scenario_place place, const char *name) {
    for (int k = 0; k < SCENARIO_KEYS; k++)
        if (scenario_field_at((scenario_key)k)->place == place &&
            strcmp(scenario_field_at((scenario_key)k)->name, name) == 0)
            return k;
    return -1;
}

static void unknown_key(scenario_reader *s, const node *key, scenario_place place) {
    const char *all = "", *listed = "", *elsewhere = NULL;
    for (int k = 0; k < SCENARIO_KEYS; k++) {
        const scenario_field *f = scenario_field_at((scenario_key)k);
        if (f->place == place) {
            all = join(&s->r, (const char *const[]){all, *all ? " " : "", f->name, NULL});
            listed = join(&s->r, (const char *const[]){listed, *listed ? ", " : "", f->name, NULL});
        } else if (strcmp(f->name, key->text) == 0 && !elsewhere) {
            elsewhere = scenario_place_word(f->place);
        }
    }
    const char *hint = scenario_nearest(s, key->text, all);
    if (elsewhere)
        hint = join(&s->r, (const char *const[]){"it belongs into ", elsewhere, NULL});
    if (!*hint)
        hint = join(&s->r, (const char *const[]){"there are: ", listed, NULL});
    say_error(&s->r, key->span, "unknown-key", hint, scenario_place_word(place), " has no key '",
              key->text, "'");
}

static void missing_keys(scenario_reader *s, const node *map, scenario_place place,
                         const node *const found[SCENARIO_KEYS]) {
    for (int k = 0; k < SCENARIO_KEYS; k++) {
        const scenario_field *f = scenario_field_at((scenario_key)k);
        if (f->place != place || !f->needed || found[k])
            continue;
        span where = place == PLACE_TOP ? (span){.line = 1, .column = 1} : map->span;
        say_error(&s->r, where, "missing-key",
                  join(&s->r,
                       (const char *const[]){"add it, as `", f->name, ": ", f->example, "`", NULL}),
                  scenario_place_word(place), " needs `", f->name, "`");
    }
}

void scenario_keys_of(scenario_reader *s, const node *map, scenario_place place,
                      const node *found[SCENARIO_KEYS]) {
    for (int k = 0; k < SCENARIO_KEYS; k++)
        found[k] = NULL;
    for (const node *n = map->first; n; n = n->next) {
        int k = key_named(place, n->key->text);
        if (k < 0 && n->key->length > 0 && !n->refused)
            unknown_key(s, n->key, place);
        else if (k >= 0 && !found[k])
            found[k] = n;
    }
    if (!s->r.tree.broken)
        missing_keys(s, map, place, found);
}

bool scenario_figure(scenario_reader *s, const node *n, scenario_key k, double *value) {
    figure g;
    const scenario_field *f = scenario_field_at(k);
    if (n->refused)
        return false;
    if (n->type != NODE_TEXT) {
        say_error(&s->r, n->span, "not-text", "", "one figure stands here", NULL, NULL, NULL);
        return false;
    }
    const char *whose = join(&s->r, (const char *const[]){"`", f->name, "`", NULL});
    if (!read_figure(&s->r, n, 0, &f->figure, whose, &g))
        return false;
    *value = g.value;
    return true;
}

static const char *text_or(scenario_reader *s, const node *n) {
    return n ? read_text(&s->r, n) : "";
}

// ---- the start ----------------------------------------------------------------------------------
static bool is_section(scenario_reader *s, const node *n, const char *as) {
    if (n->refused || n->type == NODE_MAP)
        return !n->refused;
    say_error(&s->r, n->span, "not-map", as, "`", n->key->text, "` holds keys of its own", NULL);
    return false;
}

static void read_case(scenario_reader *s, const node *found[SCENARIO_KEYS]) {
    static const double HEALTH[] = {0.8, 0.9, 1.0};
    int which = 1;
    if (found[START_CASE]) {
        field words = {.key = KEY_VALUE, .words = scenario_field_at(START_CASE)->words};
        int index = read_words(&s->r, found[START_CASE], &words);
        which = index >= 0 ? index : which;
    }
    s->made->health = HEALTH[which];
    s->made->pessimistic = which == 0;
    if (found[START_CAPACITY])
        scenario_figure(s, found[START_CAPACITY], START_CAPACITY, &s->made->health);
}

static void read_start(scenario_reader *s, const node *n) {
    const node *found[SCENARIO_KEYS];
    scenario *m = s->made;
    if (!is_section(s, n, "as `start: {phase: cruise}`"))
        return;
    scenario_keys_of(s, n, PLACE_START, found);
    int phase = found[START_PHASE] ? scenario_phase(s, found[START_PHASE]) : -1;
    m->phase = phase >= 0 ? phase : 0;
    state_of_phase(s->aircraft, m->phase, &s->state);
    change_list list = {0};
    if (found[START_SET])
        scenario_settings(s, found[START_SET], &list);
    if (found[START_FAIL])
        scenario_faults(s, found[START_FAIL], CHANGE_FAIL, &list);
    m->start = list.items;
    m->start_count = list.count;
    if (found[START_CHARGE])
        scenario_figure(s, found[START_CHARGE], START_CHARGE, &m->charge);
    if (found[START_TEMPERATURE])
        m->has_temperature =
            scenario_figure(s, found[START_TEMPERATURE], START_TEMPERATURE, &m->temperature);
    read_case(s, found);
}

// ---- moments ------------------------------------------------------------------------------------
static const char AFTER[] = " after ";

// A part of a text as a text of its own, with its place.
static node part_of(scenario_reader *s, const node *n, size_t length) {
    node sub = *n;
    const char *copy = arena_text(s->r.scratch, n->text, length);
    sub.text = copy ? copy : "";
    sub.length = copy ? length : 0;
    sub.span = node_part(n, 0, length);
    return sub;
}

static bool read_moment(scenario_reader *s, const node *n, scenario_moment *m) {
    *m = (scenario_moment){.watch = -1};
    if (n->refused)
        return false;
    if (n->type != NODE_TEXT) {
        say_error(&s->r, n->span, "not-text", "as `6 min` or `3 min after low-volts lit`",
                  "one moment stands here", NULL, NULL, NULL);
        return false;
    }
    if (!starts_like_figure(n->text)) {
        m->watch = scenario_watch_read(s, n, 0);
        return m->watch >= 0;
    }
    const char *after = strstr(n->text, AFTER);
    if (!after && scenario_odd_moment(s, n))
        return false;
    if (!after)
        return scenario_figure(s, n, STEP_AT, &m->seconds);
    size_t length = (size_t)(after - n->text);
    node figure = part_of(s, n, length);
    bool good = scenario_figure(s, &figure, STEP_AT, &m->seconds);
    m->watch = scenario_watch_read(s, n, length + sizeof AFTER - 1);
    return good && m->watch >= 0;
}

// ---- what happens -------------------------------------------------------------------------------
static void only_with_question(scenario_reader *s, const node *n, const char *name) {
    if (n)
        say_error(&s->r, n->key->span, "no-question", "add `ask:` with the question", "`", name,
                  "` answers a question, and none is asked", NULL);
}

static void read_question(scenario_reader *s, const node *n, const node *found[SCENARIO_KEYS],
                          scenario_question *q) {
    q->until = -1;
    q->because = "";
    if (!found[STEP_ASK]) {
        only_with_question(s, found[STEP_ABOUT], "about");
        only_with_question(s, found[STEP_ANSWERED], "answered");
        only_with_question(s, found[STEP_HOW_LONG], "how-long-until");
        only_with_question(s, found[STEP_BECAUSE], "because");
        return;
    }
    q->ask = read_text(&s->r, found[STEP_ASK]);
    q->because = text_or(s, found[STEP_BECAUSE]);
    if (found[STEP_ABOUT])
        scenario_things(s, found[STEP_ABOUT], q);
    if (found[STEP_ANSWERED])
        scenario_figure(s, found[STEP_ANSWERED], STEP_ANSWERED, &q->answered);
    if (found[STEP_HOW_LONG])
        q->until = scenario_watch_read(s, found[STEP_HOW_LONG], 0);
    if (!found[STEP_ABOUT] && !found[STEP_HOW_LONG] && !n->refused)
        say_error(&s->r, found[STEP_ASK]->key->span, "no-answer",
                  "add `about: [ammeter]`, or `how-long-until: com-1 off`",
                  "nothing answers this question", NULL, NULL, NULL);
}

static void read_step(scenario_reader *s, const node *n, scenario_step *step) {
    const node *found[SCENARIO_KEYS];
    scenario_keys_of(s, n, PLACE_STEP, found);
    *step = (scenario_step){.at = {0, -1}, .span = n->span, .say = text_or(s, found[STEP_SAY])};
    bool timed = found[STEP_AT] && read_moment(s, found[STEP_AT], &step->at);
    if (timed && step->at.watch < 0 && s->made->lasts > 0 && step->at.seconds > s->made->lasts)
        say_warning(&s->r, found[STEP_AT]->span, "never", "end later, or leave it out",
                    "this comes after the end of the run", NULL, NULL, NULL);
    change_list list = {0};
    int phase = found[STEP_PHASE] ? scenario_phase(s, found[STEP_PHASE]) : -1;
    if (phase >= 0) {
        scenario_change *first = list.items =
            arena_grow(s->r.keep, NULL, &list.room, 1, sizeof *first);
        if (first)
            list.items[list.count++] = (scenario_change){
                .kind = CHANGE_PHASE, .part = phase, .word = s->aircraft->phases[phase].name};
    }
    if (found[STEP_SET])
        scenario_settings(s, found[STEP_SET], &list);
    if (found[STEP_OUTSIDE])
        scenario_outside(s, found[STEP_OUTSIDE], &list);
    if (found[STEP_FAIL])
        scenario_faults(s, found[STEP_FAIL], CHANGE_FAIL, &list);
    if (found[STEP_REPAIR])
        scenario_faults(s, found[STEP_REPAIR], CHANGE_REPAIR, &list);
    step->changes = list.items;
    step->change_count = list.count;
    read_question(s, n, found, &step->question);
    bool something = found[STEP_SAY] || found[STEP_ASK] || found[STEP_PHASE] || found[STEP_SET] ||
                     found[STEP_OUTSIDE] || found[STEP_FAIL] || found[STEP_REPAIR];
    if (!something && n->count == 1 && found[STEP_AT])
        say_error(&s->r, n->span, "empty-step", "add say, set, outside, fail, repair, phase or ask",
                  "nothing happens in this entry", NULL, NULL, NULL);
}

static void read_steps(scenario_reader *s, const node *n) {
    if (n->refused)
        return;
    if (n->type != NODE_LIST) {
        say_error(&s->r, n->span, "not-list", "as `- {at: 6 min, fail: {alternator: dead}}`",
                  "`happens` is a list: each entry starts with '- '", NULL, NULL, NULL);
        return;
    }
    scenario_step *made = arena_new(s->r.keep, (size_t)n->count + 1, sizeof *made);
    if (!made)
        return;
    s->made->steps = made;
    for (const node *e = n->first; e; e = e->next) {
        if (e->refused)
            continue;
        if (e->type != NODE_MAP)
            say_error(&s->r, e->span, "not-map", "as `- {at: 6 min, fail: {alternator: dead}}`",
                      "an entry of `happens` holds keys", NULL, NULL, NULL);
        else
            read_step(s, e, &made[s->made->step_count++]);
    }
}

static void read_ends(scenario_reader *s, const node *n) {
    const node *found[SCENARIO_KEYS];
    if (!is_section(s, n, "as `ends: {at: 90 min}`"))
        return;
    scenario_keys_of(s, n, PLACE_ENDS, found);
    if (found[ENDS_AT])
        scenario_figure(s, found[ENDS_AT], ENDS_AT, &s->made->lasts);
    if (found[ENDS_WHEN])
        s->made->ends = scenario_watch_read(s, found[ENDS_WHEN], 0);
}

// ---- the file -----------------------------------------------------------------------------------
static const file_mark SCENARIO_FILE = {
    .key = "scenario",
    .other_key = "deadbus",
    .isnt = "this isn't a scenario file",
    .is_other = "this is an aircraft file, not a scenario",
    .is_version = "this scenario is version ",
    .hint = "the aircraft comes first, then the scenario",
};

static void check_aircraft(scenario_reader *s, const node *n) {
    const aircraft *a = s->aircraft;
    s->made->aircraft = text_or(s, n);
    if (n && n->type == NODE_TEXT && !n->refused && !text_equal(s->made->aircraft, a->name))
        say_warning(&s->r, n->span, "other-aircraft", "what it teaches may not hold here",
                    "this is written for '", s->made->aircraft, "', not for '",
                    join(&s->r, (const char *const[]){a->name, "'", NULL}));
}

static void read_all(scenario_reader *s, const char *source, size_t length) {
    reader *r = &s->r;
    status made = yaml_tree_read(r->scratch, source, length, r->out, &r->tree);
    if (made == STATUS_NO_MEMORY)
        r->scratch->failed = true;
    const node *root = r->tree.root;
    if (made != STATUS_OK || read_version(&s->r, root, &SCENARIO_FILE) != VERSION_GOOD)
        return;
    const node *found[SCENARIO_KEYS];
    scenario_keys_of(s, root, PLACE_TOP, found);
    s->made->title = text_or(s, found[TOP_TITLE]);
    check_aircraft(s, found[TOP_AIRCRAFT]);
    s->made->teaches = text_or(s, found[TOP_TEACHES]);
    s->made->belief = text_or(s, found[TOP_BELIEF]);
    s->made->note = text_or(s, found[TOP_NOTE]);
    if (found[TOP_START])
        read_start(s, found[TOP_START]);
    if (found[TOP_ENDS])
        read_ends(s, found[TOP_ENDS]);
    if (found[TOP_HAPPENS]) {
        read_steps(s, found[TOP_HAPPENS]);
        scenario_look_over(s, found[TOP_HAPPENS]);
    }
    if (found[TOP_RECORD])
        scenario_records(s, found[TOP_RECORD]);
    else
        scenario_usual_records(s);
    s->made->watches = s->watches;
    s->made->watch_count = s->watch_count;
}

status scenario_read(allocator memory, const aircraft *a, const char *source, size_t length,
                     scenario **made, findings *out) {
    *made = NULL;
    scenario *m = memory_new(memory, sizeof *m);
    if (!m)
        return STATUS_NO_MEMORY;
    *m = (scenario){.memory = arena_make(memory), .charge = -1, .ends = -1};
    m->title = m->aircraft = m->teaches = m->belief = m->note = "";
    arena scratch = arena_make(memory);
    scenario_reader s = {
        .r = {.keep = &m->memory, .scratch = &scratch, .out = out}, .aircraft = a, .made = m};
    int before = out->errors;
    s.state.setting = arena_new(&scratch, (size_t)a->part_count + 1, sizeof(double));
    if (s.state.setting && length > YAML_LARGEST) {
        findings_say(out, SEVERITY_ERROR, (span){.line = 1, .column = 1}, "too-large", "",
                     "this file is larger than 4 MB: it isn't a scenario", NULL);
    } else if (s.state.setting) {
        state_of_phase(a, 0, &s.state);
        read_all(&s, source, length);
    }
    status result = out->errors > before || s.r.tree.broken ? STATUS_BAD_FILE : STATUS_OK;
    if (reader_failed(&s.r))
        result = STATUS_NO_MEMORY;
    arena_free(&scratch);
    findings_sort(out);
    if (out->memory.failed)
        result = STATUS_NO_MEMORY;
    if (result != STATUS_OK)
        scenario_free(m);
    else
        *made = m;
    return result;
}

void scenario_free(scenario *s) {
    if (!s)
        return;
    allocator memory = s->memory.memory;
    arena_free(&s->memory);
    memory_free(memory, s, sizeof *s);
}
