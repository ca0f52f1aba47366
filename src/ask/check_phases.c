#include "ask/check_phases.h"
#include "part/item_draw.h"

#include <string.h>

#include "model/part_words.h"

enum { NAMED_MOST = 3, STEPS_MOST = 32 };

typedef enum lack {
    LACK_NOTHING,
    LACK_VOLTS,
    LACK_FEED,  // switched on by its own hand, on what is dead
    LACK_NEEDS,
    LACK_SOURCE,  // a machine that is off line
    LACK_ENGINE,  // an engine that stops
    LACKS
} lack;

typedef struct lacking {
    uint8_t *of;   // per phase and part: a lack
    outcome *now;  // the phase at hand
    const aircraft *a;
} lacking;

static bool is_machine(const part *p) {
    return p->kind == KIND_ALTERNATOR || p->kind == KIND_GENERATOR;
}

static bool starter_turns(const aircraft *a, const outcome *o) {
    for (int i = 0; i < a->part_count; i++)
        if (part_id(&a->parts[i], KEY_TURNS) >= 0 && o->parts[i].amps > 1)
            return true;
    return false;
}

// All of them. On the ground before the start, or gliding, little volts may be meant so.
static bool engines_run(const aircraft *a, const outcome *o) {
    for (int i = 0; i < a->part_count; i++)
        if (a->parts[i].kind == KIND_ENGINE && o->state.setting[i] <= 0)
            return false;
    return true;
}

// A battery's own contactor is open: the phase is about that.
static bool off_line(const outcome *o) {
    const aircraft *a = o->aircraft;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        const reference_list *from = part_references(p, KEY_FROM);
        if (p->kind == KIND_CONTACTOR && !o->parts[i].closed && from && from->count == 1 &&
            from->items[0].part >= 0 && a->parts[from->items[0].part].kind == KIND_BATTERY)
            return true;
    }
    return false;
}

// A battery carries the load and no machine does, though one could.
static bool battery_only(const outcome *o) {
    bool discharges = false, could = false;
    bool off = off_line(o);
    for (int i = 0; i < o->source_count; i++) {
        const source_outcome *x = &o->sources[i];
        discharges = discharges || (x->battery && x->amps > 0.5);
        if (!is_machine(&o->aircraft->parts[x->part]))
            continue;
        if (x->mode == SOURCE_REGULATING || x->mode == SOURCE_LIMITED || x->mode == SOURCE_IDLE)
            return false;
        could = could || x->joins_battery || !off;
    }
    return could && discharges;
}

// By its own knob or the switch on its line.
static bool switched_on(const aircraft *a, const outcome *o, int part) {
    const struct part *p = &a->parts[part];
    if (p->row_switch >= 0)
        return o->state.setting[p->row_switch] > 0;
    return part_text(p, KEY_OWN_SWITCH) != NULL && o->state.setting[part] > 0;
}

static bool dead_on(const aircraft *a, const outcome *o, int part) {
    const part_outcome *now = &o->parts[part];
    bool off = now->status == ITEM_OFF || now->status == ITEM_UNUSED;
    return a->parts[part].electric && off && !now->live && switched_on(a, o, part);
}

static void find_lacks(const lacking *l, const outcome *o, uint8_t *of) {
    const aircraft *a = l->a;
    if (o->settled != OUTCOME_SETTLED || starter_turns(a, o) || !engines_run(a, o))
        return;
    bool stops = false;
    for (int i = 0; i < a->part_count; i++) {
        if (a->parts[i].kind != KIND_ENGINE || o->parts[i].works)
            continue;
        of[i] = LACK_ENGINE;
        stops = true;
    }
    if (stops)  // all else that is missing follows from that
        return;
    bool dead = battery_only(o), away = off_line(o);
    for (int i = 0; i < a->part_count; i++) {
        item_status s = o->parts[i].status;
        if (s == ITEM_WEAK || (s == ITEM_OFF && o->parts[i].live))
            of[i] = LACK_VOLTS;
        else if (!away && dead_on(a, o, i))
            of[i] = LACK_FEED;
        else if (s == ITEM_NO_DATA)
            of[i] = LACK_NEEDS;
        else if (dead && is_machine(&a->parts[i]))
            of[i] = LACK_SOURCE;
    }
}

// ---- words --------------------------------------------------------------------------------------

static void put_volts(const lacking *l, int part, text *t) {
    const struct part *p = &l->a->parts[part];
    double works = item_works_volts(l->a, p), whole = item_whole_volts(l->a, p);
    double volts = l->now->parts[part].volts;
    int converter = item_feeder(l->a, part, KIND_CONVERTER);
    text_fixed(t, volts, 1);
    if (converter >= 0) {
        works = part_number(&l->a->parts[converter], KEY_VALUE, 5.0);
        text_put(t, " V of ");
    } else if (volts >= works && whole > works) {
        works = whole;
        text_put(t, " V, transmits above ");
    } else {
        text_put(t, " V, works above ");
    }
    text_short(t, works, 3);
    text_put(t, " V");
}

// The nearest part above that doesn't conduct, as far as the lines lead one way.
static void put_open(const lacking *l, int part, text *t) {
    const aircraft *a = l->a;
    for (int i = part, steps = 0; steps < STEPS_MOST; steps++) {
        const reference_list *r = part_references(&a->parts[i], KEY_FROM);
        if (r == NULL || r->count != 1 || r->items[0].part < 0)
            break;
        i = r->items[0].part;
        if (kind_class(a->parts[i].kind) != CLASS_PATH || l->now->parts[i].closed)
            continue;
        text_all(t, a->parts[i].id, " is open", NULL);
        return;
    }
    text_put(t, "no source on its bus");
}

// The first thing that it needs and that isn't there, as far as one can tell.
static void put_need(const lacking *l, int part, text *t) {
    const struct part *p = &l->a->parts[part];
    const part_value *v = part_value_of(p, KEY_NEEDS);
    for (int i = 0; v && i < v->as.conditions.count; i++) {
        const condition *c = &l->a->conditions[v->as.conditions.items[i]];
        bool supply = c->op == CONDITION_PRESENT;
        bool other = c->op == CONDITION_WORKS && c->ref.part >= 0;
        if ((supply && l->now->supplies[c->supply]) || (other && l->now->parts[c->ref.part].works))
            continue;
        if (supply)
            text_put(t, l->a->supplies[c->supply].name);
        else if (other)
            text_put(t, l->a->parts[c->ref.part].id);
        else
            condition_words(l->a, v->as.conditions.items[i], t);
        return;
    }
    int fails = part_condition(p, KEY_FAILS_WHEN);
    text_put(t, fails >= 0 ? "fails when " : "what turns it");
    if (fails >= 0)
        condition_words(l->a, fails, t);
}

static void put_items(const lacking *l, const uint8_t *of, lack which, text *t) {
    int count = 0;
    for (int i = 0; i < l->a->part_count; i++)
        count += of[i] == (uint8_t)which;
    for (int i = 0, named = 0; i < l->a->part_count && named < NAMED_MOST; i++) {
        if (of[i] != (uint8_t)which)
            continue;
        text_all(t, named++ == 0 ? "" : ", ", l->a->parts[i].id, NULL);
        if (which == LACK_SOURCE)
            continue;
        text_put(t, " (");
        if (which == LACK_VOLTS)
            put_volts(l, i, t);
        else if (which == LACK_FEED)
            put_open(l, i, t);
        else
            put_need(l, i, t);
        text_char(t, ')');
    }
    if (count > NAMED_MOST) {
        text_put(t, " and ");
        text_int(t, count - NAMED_MOST);
        text_put(t, " more");
    }
}

static bool same_lacks(const uint8_t *x, const uint8_t *y, int parts, lack which) {
    for (int i = 0; i < parts; i++)
        if ((x[i] == (uint8_t)which) != (y[i] == (uint8_t)which))
            return false;
    return true;
}

static uint8_t *lacks_of(const lacking *l, int phase) {
    return l->of + (size_t)phase * (size_t)l->a->part_count;
}

// How many later phases say the same; -1: nothing to say, or an earlier one has said so.
static int phases_more(const lacking *l, int phase, lack which) {
    int parts = l->a->part_count, more = 0;
    if (memchr(lacks_of(l, phase), (int)which, (size_t)parts) == NULL)
        return -1;
    for (int i = 0; i < l->a->phase_count; i++) {
        if (i == phase || !same_lacks(lacks_of(l, i), lacks_of(l, phase), parts, which))
            continue;
        if (i < phase)
            return -1;
        more++;
    }
    return more;
}

static void say_lack(const lacking *l, int phase, lack which, int more, findings *f) {
    static const struct {
        severity severity;
        const char *code, *text, *hint;
    } SAYS[LACKS] = {
        [LACK_VOLTS] = {SEVERITY_WARNING, "base-weak", "what is on gets too few volts: ",
                        "is a source off that should be on? Else look at its `works-above` and at "
                        "what stands on its way"},
        [LACK_FEED] = {SEVERITY_WARNING, "base-dead", "what is switched on gets no volts: ",
                       "a switch forgotten in the phase's `on`, or a feeder in the file?"},
        [LACK_NEEDS] = {SEVERITY_WARNING, "base-no-data", "what is on lacks what it needs: ",
                        "see what gives it, and whether the phase has that on"},
        [LACK_SOURCE] = {SEVERITY_NOTE, "base-on-battery",
                         "the engine runs and the battery carries the load; off line: ",
                         "see what the field needs, and what the phase has `on`; a phase about "
                         "a failed source may stay so"},
        [LACK_ENGINE] = {SEVERITY_WARNING, "base-engine-stops",
                         "an engine that should run doesn't: ",
                         "in brackets stands what it lacks: a key or pump switch forgotten?"},
    };
    const struct phase *p = &l->a->phases[phase];
    text t = text_make(f->memory.memory);
    text_all(&t, "in phase ", p->name, NULL);
    if (more > 0) {
        text_put(&t, " and ");
        text_int(&t, more);
        text_put(&t, " more");
    }
    text_all(&t, " ", SAYS[which].text, NULL);
    put_items(l, lacks_of(l, phase), which, &t);
    findings_say(f, SAYS[which].severity, p->span, SAYS[which].code, SAYS[which].hint, text_get(&t),
                 NULL);
    f->memory.failed = f->memory.failed || t.failed;
    text_free(&t);
}

static status solve_phase(solver *s, lacking *l, int phase, state *asked) {
    state_of_phase(l->a, phase, asked);
    asked->charge = -1;
    return solver_outcome(s, asked, (outcome_options){0}, &l->now);
}

static status tell_phase(solver *s, lacking *l, int phase, state *asked, findings *f) {
    int more[LACKS];
    bool any = false;
    for (int k = LACK_VOLTS; k < LACKS; k++) {
        more[k] = phases_more(l, phase, (lack)k);
        any = any || more[k] >= 0;
    }
    if (!any)
        return STATUS_OK;
    status result = solve_phase(s, l, phase, asked);
    for (int k = LACK_VOLTS; k < LACKS && result == STATUS_OK; k++)
        if (more[k] >= 0)
            say_lack(l, phase, (lack)k, more[k], f);
    outcome_free(l->now);
    return result;
}

status check_phases(solver *s, const aircraft *a, arena *memory, findings *f) {
    state asked = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof(double))};
    lacking l = {.a = a,
                 .of = arena_new(memory, (size_t)a->phase_count * (size_t)a->part_count + 1, 1)};
    status result = asked.setting && l.of ? STATUS_OK : STATUS_NO_MEMORY;
    for (int i = 0; i < a->phase_count && result == STATUS_OK; i++) {
        result = solve_phase(s, &l, i, &asked);
        if (result == STATUS_OK)
            find_lacks(&l, l.now, lacks_of(&l, i));
        outcome_free(l.now);
    }
    for (int i = 0; i < a->phase_count && result == STATUS_OK; i++)
        result = tell_phase(s, &l, i, &asked, f);
    return result;
}
