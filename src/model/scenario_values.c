// Values of a scenario that name parts of the aircraft: positions, faults, things, what to record.
#include <string.h>

#include "base/number.h"
#include "model/position_words.h"
#include "model/scenario_reader.h"

// ---- names --------------------------------------------------------------------------------------
int scenario_part(scenario_reader *s, const node *n, size_t start, size_t length, bool functions) {
    const char *id = arena_text(s->r.scratch, n->text + start, length);
    if (!id)
        return -1;
    int part = aircraft_part(s->aircraft, id);
    if (part >= 0)
        return part;
    say_error(&s->r, node_part(n, start, length), "unknown-id",
              scenario_nearest_id(s, id, functions), "the aircraft has no '", id, "'", NULL);
    return -1;
}

int scenario_function(const scenario_reader *s, const char *name, size_t length) {
    for (int i = 0; i < s->aircraft->function_count; i++) {
        const char *one = s->aircraft->functions[i].name;
        if (strlen(one) == length && memcmp(one, name, length) == 0)
            return i;
    }
    return -1;
}

int scenario_phase(scenario_reader *s, const node *n) {
    const aircraft *a = s->aircraft;
    if (n->refused)
        return -1;
    const char *name = read_text(&s->r, n);
    int at = aircraft_phase(a, name);
    if (at >= 0 || n->type != NODE_TEXT)
        return at;
    scenario_wrong_phase(s, n, name);
    return -1;
}

// ---- positions ----------------------------------------------------------------------------------
static void add(scenario_reader *s, change_list *list, scenario_change c) {
    scenario_change *grown =
        arena_grow(s->r.keep, list->items, &list->room, list->count + 1, sizeof *grown);
    if (!grown)
        return;
    list->items = grown;
    list->items[list->count++] = c;
}

static const char FLAGS[][11] = {"airborne", "night", "cloud", "icing", "stall-near"};

static const struct {
    const char *name;
    change_kind kind;
    unit unit;
    float low, high;
} MEASURES[] = {
    {"throttle", CHANGE_THROTTLE, UNIT_PERCENT, 0, 1},
    {"airspeed", CHANGE_AIRSPEED, UNIT_KNOT, 0, 1000},
    {"temperature", CHANGE_TEMPERATURE, UNIT_CELSIUS, -60, 60},
};

// A condition that has a figure; the temperature only `outside`. False: it is none.
static bool set_measure(scenario_reader *s, const node *n, bool outside, change_list *list) {
    int which = 0, count = outside ? 3 : 2;
    while (which < count && strcmp(n->key->text, MEASURES[which].name) != 0)
        which++;
    if (which == count)
        return false;
    figure g;
    const field f = {.units = UINT32_C(1) << MEASURES[which].unit,
                     .low = (double)MEASURES[which].low,
                     .high = (double)MEASURES[which].high};
    const char *whose = join(&s->r, (const char *const[]){"the ", MEASURES[which].name, NULL});
    if (n->type != NODE_TEXT)
        read_text(&s->r, n);
    else if (!n->refused && read_figure(&s->r, n, 0, &f, whose, &g))
        add(s, list,
            (scenario_change){.kind = MEASURES[which].kind,
                              .part = -1,
                              .setting = g.value,
                              .word = read_text(&s->r, n)});
    return true;
}

// A condition of the phase. False: it is none.
static bool set_condition(scenario_reader *s, const node *n, bool outside, change_list *list) {
    bool yes = false;
    for (int i = 0; i < 5; i++) {
        if (strcmp(n->key->text, FLAGS[i]) != 0)
            continue;
        if (read_yes(&s->r, n, &yes))
            add(s, list,
                (scenario_change){.kind = CHANGE_FLAG,
                                  .part = -1,
                                  .flag = (condition_flag)i,
                                  .setting = yes,
                                  .word = n->text});
        return true;
    }
    if (strcmp(n->key->text, "day") == 0) {
        if (read_yes(&s->r, n, &yes))
            add(s, list,
                (scenario_change){.kind = CHANGE_FLAG,
                                  .part = -1,
                                  .flag = FLAG_NIGHT,
                                  .setting = !yes,
                                  .word = n->text});
        return true;
    }
    return set_measure(s, n, outside, list);
}

static bool is_map(scenario_reader *s, const node *n, const char *as) {
    if (n->refused || n->type == NODE_MAP)
        return !n->refused;
    say_error(&s->r, n->span, "not-map", as, "a map in braces stands here", NULL, NULL, NULL);
    return false;
}

void scenario_settings(scenario_reader *s, const node *n, change_list *list) {
    if (!is_map(s, n, "as {alternator-switch: off}"))
        return;
    for (const node *e = n->first; e; e = e->next) {
        if (e->refused || set_condition(s, e, false, list))
            continue;
        if (strcmp(e->key->text, "temperature") == 0) {
            say_error(&s->r, e->key->span, "not-set",
                      "it stands in `start` by itself, later on in `outside`",
                      "no hand sets the temperature", NULL, NULL, NULL);
            continue;
        }
        int which = scenario_part(s, e->key, 0, e->key->length, false);
        if (which < 0)
            continue;
        const char *word = read_text(&s->r, e);
        if (e->type != NODE_TEXT)
            continue;
        scenario_change c = {.kind = CHANGE_SET, .part = which, .word = word};
        const part *p = &s->aircraft->parts[which];
        bool found = position_value(s->aircraft, which, word, &s->state, &c.setting);
        // The short row's switch is meant when its item is named.
        if (!found && p->row_switch >= 0) {
            c.part = p->row_switch;
            found = position_value(s->aircraft, c.part, word, &s->state, &c.setting);
        }
        if (found)
            add(s, list, c);
        else
            scenario_wrong_position(s, e, c.part);
    }
}

void scenario_outside(scenario_reader *s, const node *n, change_list *list) {
    static const char WORDS[] =
        "temperature night day cloud icing airborne stall-near airspeed throttle";
    if (!is_map(s, n, "as {temperature: -10 C, icing: yes}"))
        return;
    for (const node *e = n->first; e; e = e->next) {
        if (e->refused || set_condition(s, e, true, list))
            continue;
        const char *hint = scenario_nearest(s, e->key->text, WORDS);
        if (!*hint)
            hint = join(&s->r, (const char *const[]){"there are: ", WORDS, NULL});
        say_error(&s->r, e->key->span, "not-outside", hint, "'", e->key->text,
                  "' is no condition outside", NULL);
    }
}

// ---- faults -------------------------------------------------------------------------------------
void scenario_faults(scenario_reader *s, const node *n, change_kind kind, change_list *list) {
    if (!is_map(s, n, "as {alternator: dead}"))
        return;
    for (const node *e = n->first; e; e = e->next) {
        if (e->refused)
            continue;
        int which = scenario_part(s, e->key, 0, e->key->length, false);
        if (which < 0)
            continue;
        const part *p = &s->aircraft->parts[which];
        const char *word = read_text(&s->r, e);
        if (e->type != NODE_TEXT)
            continue;
        uint32_t can = kind_faults(p->kind, p->electric);
        fault_kind fault = FAULT_NONE;
        for (int i = 1; i < FAULT_COUNT; i++)
            if ((can >> i & 1) && text_equal(fault_word((fault_kind)i), word))
                fault = (fault_kind)i;
        if (fault == FAULT_NONE) {
            scenario_wrong_fault(s, e, p, can);
        } else if (p->fitted & FITTED_ABSENT) {
            say_error(&s->r, e->key->span, "not-fitted", "", "'", p->id,
                      "' is not fitted: it can't fail", NULL);
        } else {
            add(s, list,
                (scenario_change){.kind = kind, .part = which, .fault = fault, .word = word});
            s->failures += kind == CHANGE_FAIL;
            if (s->failures == STATE_FAULTS + 1 && kind == CHANGE_FAIL)
                say_error(&s->r, e->span, "too-many-faults", "leave some out",
                          "this is one fault too many: at most 8 in a scenario", NULL, NULL, NULL);
        }
    }
}

// ---- things -------------------------------------------------------------------------------------
static bool has_state(const part *p) {
    part_class c = kind_class(p->kind);
    return c == CLASS_ITEM || c == CLASS_SOURCE || c == CLASS_POINT || p->kind == KIND_CONVERTER ||
           p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER ||
           p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR;
}

void scenario_things(scenario_reader *s, const node *n, scenario_question *q) {
    const node **items = NULL;
    int count = 0;
    if (n->refused || !read_list(&s->r, n, &items, &count))
        return;
    scenario_thing *made = arena_new(s->r.keep, (size_t)count + 1, sizeof *made);
    if (!made)
        return;
    q->about = made;
    for (int i = 0; i < count; i++) {
        scenario_thing t = {-1, -1};
        t.part = aircraft_part(s->aircraft, items[i]->text);
        if (t.part < 0)
            t.function = scenario_function(s, items[i]->text, items[i]->length);
        if (t.part < 0 && t.function < 0) {
            scenario_part(s, items[i], 0, items[i]->length, true);
            continue;
        }
        if (t.part >= 0 && !has_state(&s->aircraft->parts[t.part])) {
            say_error(&s->r, items[i]->span, "no-answer",
                      "instruments, lights, items, batteries, buses, breakers and functions can",
                      "'", items[i]->text, "' can't answer a question", NULL);
            continue;
        }
        made[q->about_count++] = t;
    }
}

// ---- what to record -----------------------------------------------------------------------------
enum { RECORDS_MOST = 12 };

static bool record_of(scenario_reader *s, const node *n, scenario_record *made) {
    static const char *const OF[] = {"volts", "amps", "charge"};
    const char *space = strchr(n->text, ' ');
    size_t length = space ? (size_t)(space - n->text) : n->length;
    made->part = scenario_part(s, n, 0, length, false);
    if (made->part < 0)
        return false;
    const part *p = &s->aircraft->parts[made->part];
    const char *word = space ? space + 1 : "volts";
    int of = -1;
    for (int i = 0; i < 3; i++)
        if (strcmp(word, OF[i]) == 0)
            of = i;
    if (of < 0) {
        const char *hint = scenario_nearest(s, word, "volts amps charge");
        say_error(&s->r, node_part(n, length + 1, n->length - length - 1), "record",
                  *hint ? hint : "volts, amps or charge", "'", word, "' can't be recorded", NULL);
        return false;
    }
    made->of = (scenario_record_of)of;
    bool point = kind_class(p->kind) == CLASS_POINT;
    bool meter = p->kind == KIND_AMMETER || p->kind == KIND_LOADMETER || p->kind == KIND_VOLTMETER;
    bool good = p->electric && !(meter || (of == RECORD_CHARGE && p->kind != KIND_BATTERY) ||
                                 (of == RECORD_AMPS && point));
    if (!good)
        say_error(&s->r, n->span, "record",
                  meter                 ? "record what it reads"
                  : of == RECORD_CHARGE ? "only batteries have a charge"
                                        : "",
                  "'", p->id, "' has no ", OF[of]);
    return good;
}

void scenario_records(scenario_reader *s, const node *n) {
    const node **items = NULL;
    int count = 0;
    if (n->refused || !read_list(&s->r, n, &items, &count))
        return;
    if (count > RECORDS_MOST) {
        say_error(&s->r, items[RECORDS_MOST]->span, "too-many-records", "leave some out",
                  "at most 12 things are recorded", NULL, NULL, NULL);
        count = RECORDS_MOST;
    }
    scenario_record *made = arena_new(s->r.keep, (size_t)count + 1, sizeof *made);
    if (!made)
        return;
    s->made->records = made;
    for (int i = 0; i < count; i++)
        if (record_of(s, items[i], &made[s->made->record_count]))
            s->made->record_count++;
}

void scenario_usual_records(scenario_reader *s) {
    const aircraft *a = s->aircraft;
    scenario_record *made = arena_new(s->r.keep, RECORDS_MOST + 2, sizeof *made);
    if (!made)
        return;
    int count = 0;
    for (int i = 0; i < a->part_count && count == 0; i++)
        if (a->parts[i].kind == KIND_BUS)
            made[count++] = (scenario_record){i, RECORD_VOLTS};
    for (int i = 0; i < a->part_count && count < RECORDS_MOST; i++) {
        if (a->parts[i].kind != KIND_BATTERY)
            continue;
        made[count++] = (scenario_record){i, RECORD_AMPS};
        made[count++] = (scenario_record){i, RECORD_CHARGE};
    }
    s->made->records = made;
    s->made->record_count = count;
}
