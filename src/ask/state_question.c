#include "ask/state_question.h"

#include <stdarg.h>
#include <string.h>

#include "ask/state_asker.h"
#include "base/number.h"
#include "model/part_words.h"
#include "model/settings.h"

static const span nowhere = {0};

// ---- words to the person ------------------------------------------------------------------------
static const char *keep(asker *k, text *t) {
    const char *kept = arena_text(k->memory, text_get(t), t->length);
    if (t->failed)
        k->memory->failed = true;
    text_free(t);
    return kept;
}

void asker_complain(asker *k, const char *code, const char *hint, ...) {
    text t = text_make(k->memory->memory);
    va_list parts;
    va_start(parts, hint);
    for (const char *s = va_arg(parts, const char *); s; s = va_arg(parts, const char *))
        text_put(&t, s);
    va_end(parts);
    const char *all[] = {keep(k, &t), NULL};
    if (all[0])
        findings_add(k->out, SEVERITY_ERROR, nowhere, code, hint, all);
}

void asker_note(asker *k, ...) {
    text t = text_make(k->memory->memory);
    va_list parts;
    va_start(parts, k);
    for (const char *s = va_arg(parts, const char *); s; s = va_arg(parts, const char *))
        text_put(&t, s);
    va_end(parts);
    const char *sentence = keep(k, &t);
    question_notes *n = k->notes;
    const char **grown =
        arena_grow(k->memory, (void *)n->items, &n->capacity, n->count + 1, sizeof *grown);
    if (!grown || !sentence)
        return;
    n->items = grown;
    n->items[n->count++] = sentence;
}

// ---- conditions of the phase --------------------------------------------------------------------
static bool *condition_flag(state *s, const char *id, bool *inverted) {
    *inverted = false;
    if (text_equal(id, "airborne"))
        return &s->airborne;
    if (text_equal(id, "night"))
        return &s->night;
    if (text_equal(id, "day")) {
        *inverted = true;
        return &s->night;
    }
    if (text_equal(id, "cloud"))
        return &s->cloud;
    if (text_equal(id, "icing"))
        return &s->icing;
    return text_equal(id, "stall-near") ? &s->stall_near : NULL;
}

static bool set_flag(asker *k, const ask_pair *pair) {
    bool inverted;
    bool *flag = condition_flag(k->state, pair->id, &inverted);
    if (!flag)
        return false;
    if (text_equal(pair->word, "yes") || text_equal(pair->word, "no"))
        *flag = text_equal(pair->word, "yes") != inverted;
    else
        asker_complain(k, "unknown-position", "Write yes or no", "'", pair->word,
                       "' is no value for '", pair->id, "'", NULL);
    return true;
}

static bool set_measure(asker *k, const ask_pair *pair) {
    bool throttle = text_equal(pair->id, "throttle");
    if (!throttle && !text_equal(pair->id, "airspeed"))
        return false;
    double value;
    int used = number_read(pair->word, strlen(pair->word), &value);
    const char *rest = pair->word + (used > 0 ? used : 0);
    while (*rest == ' ')
        rest++;
    bool good = used > 0 && value >= 0 && text_equal(rest, throttle ? "%" : "kt") &&
                value <= (throttle ? 100 : 1000);
    if (!good)
        asker_complain(k, "unknown-position",
                       throttle ? "Write 0% to 100%" : "Write knots, such as 75kt", "'", pair->word,
                       "' is no value for '", pair->id, "'", NULL);
    else if (throttle)
        k->state->throttle = value / 100;
    else
        k->state->airspeed = value;
    return true;
}

// ---- ids ----------------------------------------------------------------------------------------
static const char *nearest_condition(const char *id) {
    static const char *const names[] = {"airborne",   "night",    "day",      "cloud", "icing",
                                        "stall-near", "throttle", "airspeed", NULL};
    const char *nearest = NULL;
    int least = 3;
    for (int i = 0; names[i]; i++) {
        int edits = text_distance(id, names[i], 2);
        if (edits < least) {
            least = edits;
            nearest = names[i];
        }
    }
    return nearest;
}

static int find_part(asker *k, const char *id, bool conditions_too) {
    int which = aircraft_part(k->aircraft, id);
    if (which >= 0)
        return which;
    const char *nearest = conditions_too ? nearest_condition(id) : NULL;
    if (!nearest)
        nearest = aircraft_nearest_part(k->aircraft, id);
    text hint = text_make(k->memory->memory);
    if (nearest)
        text_all(&hint, "Did you mean '", nearest, "'?", NULL);
    else
        text_put(&hint, "`deadbus show FILE --faults` lists every part");
    asker_complain(k, "unknown-part", text_get(&hint), "there is no part '", id, "'", NULL);
    text_free(&hint);
    return -1;
}

static fault_kind fault_of_word(const char *word) {
    for (int i = 1; i < FAULT_COUNT; i++)
        if (text_equal(fault_word((fault_kind)i), word))
            return (fault_kind)i;
    return FAULT_NONE;
}

static bool can_fail_so(const part *p, fault_kind kind) {
    return kind != FAULT_NONE && kind_faults(p->kind, p->electric) >> kind & 1;
}

// ---- --set --------------------------------------------------------------------------------------
// Why a part takes no position, and what does instead.
static void no_position(asker *k, int which, text *hint) {
    const aircraft *a = k->aircraft;
    const part *p = &a->parts[which];
    if (p->kind == KIND_SWITCH) {
        text_put(hint, "No hand moves it: it follows ");
        int c = part_condition(p, KEY_CLOSES_WHEN);
        condition_words(a, c >= 0 ? c : part_condition(p, KEY_OPENS_WHEN), hint);
        text_all(hint, ". To see it fail: --fail ", p->id, "=stuck-open", NULL);
        return;
    }
    const reference_list *from = part_references(p, KEY_FROM);
    int feeder = from && from->count > 0 ? from->items[0].part : PART_NONE;
    while (feeder >= 0 && a->parts[feeder].kind == KIND_WIRE) {
        from = part_references(&a->parts[feeder], KEY_FROM);
        feeder = from && from->count > 0 ? from->items[0].part : PART_NONE;
    }
    if (feeder >= 0 && a->parts[feeder].hand)
        text_all(hint, "It has no switch of its own: set '", a->parts[feeder].id,
                 "', which feeds it", NULL);
    else
        text_put(hint,
                 "It is on when its supply is; switches, breakers, dimmers, engines, ground power "
                 "and items with a switch of their own have positions");
}

static void wrong_position(asker *k, int which, const char *word) {
    const part *p = &k->aircraft->parts[which];
    text hint = text_make(k->memory->memory), words = text_make(k->memory->memory);
    position_words(k->aircraft, which, &words);
    bool fault = can_fail_so(p, fault_of_word(word)), none = !fault && words.length == 0;
    if (fault)
        text_all(&hint, "To let it fail: --fail ", p->id, "=", word, NULL);
    else if (none)
        no_position(k, which, &hint);
    else
        text_all(&hint, "It takes: ", text_get(&words), NULL);
    if (none)
        asker_complain(k, "no-position", text_get(&hint), "'", p->id, "' has no positions", NULL);
    else
        asker_complain(k, "unknown-position", text_get(&hint), "'", word, "' is no position of '",
                       p->id, fault ? "' but a fault" : "'", NULL);
    if (hint.failed || words.failed)
        k->memory->failed = true;
    text_free(&hint);
    text_free(&words);
}

// A position that the switch won't keep by itself.
static void tell_spring(asker *k, int which, const char *word) {
    const part *p = &k->aircraft->parts[which];
    const char *back = settings_springs_to(p, k->state->setting[which]);
    if (!back)
        return;
    text name = text_make(k->memory->memory);
    part_sentence_name(k->aircraft, which, &name);
    asker_note(k, text_get(&name), back[0] ? " held at " : " held ", word,
               ": let go, it springs back", back[0] ? " to " : "", back, ".", NULL);
    text_free(&name);
}

static void tell_reach(asker *k, int which, double value) {
    const part *p = &k->aircraft->parts[which];
    bool opens =
        value == 0 && (p->kind == KIND_BREAKER || p->kind == KIND_FUSE || p->kind == KIND_LIMITER);
    // A breaker without a place is only not written down yet.
    bool known =
        p->reach == REACH_SEAT || (p->kind == KIND_BREAKER && !part_value_of(p, KEY_REACH));
    if (!opens || (!(p->fitted & FITTED_NO_PULL) && known))
        return;
    text name = text_make(k->memory->memory);
    part_sentence_name(k->aircraft, which, &name);
    asker_note(k, text_get(&name),
               p->fitted & FITTED_NO_PULL ? " can't be pulled by hand: taken as opened."
                                          : " is out of reach in flight: taken as opened.",
               NULL);
    text_free(&name);
}

void asker_set(asker *k, const ask_pair *pair) {
    if (set_flag(k, pair) || set_measure(k, pair))
        return;
    int which = find_part(k, pair->id, true);
    if (which < 0)
        return;
    const part *p = &k->aircraft->parts[which];
    double value;
    // The short row's switch is meant when its item is named, as in a phase's `on`.
    if (!position_value(k->aircraft, which, pair->word, k->state, &value) && p->row_switch >= 0)
        which = p->row_switch;
    if (!position_value(k->aircraft, which, pair->word, k->state, &value)) {
        wrong_position(k, which, pair->word);
        return;
    }
    k->state->setting[which] = value;
    k->said[which] = true;
    tell_spring(k, which, pair->word);
    tell_reach(k, which, value);
}

// ---- --fail -------------------------------------------------------------------------------------
static void wrong_fault(asker *k, int which, const char *word, uint32_t can) {
    const part *p = &k->aircraft->parts[which];
    text hint = text_make(k->memory->memory);
    double value;
    bool is_position = position_value(k->aircraft, which, word, k->state, &value);
    int least = 3;
    const char *nearest = NULL;
    for (int i = 1; i < FAULT_COUNT; i++) {
        int edits = can >> i & 1 ? text_distance(word, fault_word((fault_kind)i), 2) : 3;
        if (edits < least) {
            least = edits;
            nearest = fault_word((fault_kind)i);
        }
    }
    if (is_position)
        text_all(&hint, "To put it there: --set ", p->id, "=", word, ". ", NULL);
    else if (nearest)
        text_all(&hint, "Did you mean ", nearest, "? ", NULL);
    text_put(&hint, can ? "It can be: " : "It has no faults of its own");
    bool first = true;
    for (int i = 1; i < FAULT_COUNT; i++) {
        if (!(can >> i & 1))
            continue;
        text_all(&hint, first ? "" : ", ", fault_word((fault_kind)i), NULL);
        first = false;
    }
    asker_complain(k, "unknown-fault", text_get(&hint), "'", word, "' is no fault of '", p->id,
                   "' (", kind_word(p->kind), ")", NULL);
    if (hint.failed)
        k->memory->failed = true;
    text_free(&hint);
}

// Faults of which a part has one at most: what it gives, where its current goes, where it stands.
static bool exclude_each_other(fault_kind x, fault_kind y) {
    static const uint32_t groups[] = {
        1u << FAULT_DEAD | 1u << FAULT_LOW | 1u << FAULT_HIGH | 1u << FAULT_FULL_FIELD |
            1u << FAULT_WEAK,
        1u << FAULT_DEAD | 1u << FAULT_STUCK | 1u << FAULT_WRONG,
        1u << FAULT_OPEN | 1u << FAULT_SHORT | 1u << FAULT_RESISTIVE | 1u << FAULT_OVERLOAD |
            1u << FAULT_SHORTED | 1u << FAULT_STUCK,
        1u << FAULT_STUCK_OPEN | 1u << FAULT_STUCK_CLOSED | 1u << FAULT_RESISTIVE,
        1u << FAULT_TRIPPED | 1u << FAULT_STUCK | 1u << FAULT_TRIPS_EARLY,
        1u << FAULT_FAILED | 1u << FAULT_WINDMILLING};
    for (size_t i = 0; i < sizeof groups / sizeof *groups; i++)
        if (groups[i] >> x & 1u && groups[i] >> y & 1u)
            return true;
    return false;
}

static bool goes_with_another(asker *k, int which, fault_kind kind) {
    for (int i = 0; i < k->state->fault_count; i++) {
        fault_kind other = k->state->faults[i].kind;
        if (k->state->faults[i].part != which || !exclude_each_other(kind, other))
            continue;
        asker_complain(k, "two-faults-at-once", "Leave one of them out", "'",
                       k->aircraft->parts[which].id, "' can't be ", fault_word(other), " and ",
                       fault_word(kind), " at once", NULL);
        return true;
    }
    return false;
}

static void add_fault(asker *k, const ask_pair *pair) {
    int which = find_part(k, pair->id, false);
    if (which < 0)
        return;
    const part *p = &k->aircraft->parts[which];
    uint32_t can = kind_faults(p->kind, p->electric);
    fault_kind kind = fault_of_word(pair->word);
    if (!can_fail_so(p, kind)) {
        wrong_fault(k, which, pair->word, can);
    } else if (p->fitted & FITTED_ABSENT) {
        asker_complain(k, "not-fitted", "", "'", p->id, "' is not fitted: it can't fail", NULL);
    } else if (goes_with_another(k, which, kind)) {
        return;
    } else if (k->state->fault_count == STATE_FAULTS) {
        asker_complain(k, "too-many-faults", "Leave some out", "'", p->id, "=", pair->word,
                       "' is one fault too many: at most 8 at a time", NULL);
    } else {
        k->state->faults[k->state->fault_count++] = (fault){which, kind};
    }
}

// ---- the phase ----------------------------------------------------------------------------------
int phase_usual(const aircraft *a) {
    int cruise = aircraft_phase(a, "cruise");
    if (cruise >= 0)
        return cruise;
    for (int i = 0; i < a->phase_count; i++)
        if (a->phases[i].airborne)
            return i;
    return 0;
}

static int phase_named(asker *k, const char *name) {
    const aircraft *a = k->aircraft;
    int at = aircraft_phase(a, name);
    if (at >= 0)
        return at;
    text hint = text_make(k->memory->memory);
    const char *nearest = NULL;
    int least = 3;
    for (int i = 0; i < a->phase_count; i++) {
        int edits = text_distance(name, a->phases[i].name, 2);
        if (edits < least) {
            least = edits;
            nearest = a->phases[i].name;
        }
    }
    if (nearest)
        text_all(&hint, "Did you mean '", nearest, "'? ", NULL);
    text_put(&hint, "There are: ");
    for (int i = 0; i < a->phase_count; i++)
        text_all(&hint, i ? ", " : "", a->phases[i].name, NULL);
    asker_complain(k, "unknown-phase", text_get(&hint), "there is no phase '", name, "'", NULL);
    text_free(&hint);
    return -1;
}

status state_of_question(const aircraft *a, const ask_options *o, arena *memory, state *s,
                         question_notes *notes, findings *f) {
    *s = (state){.charge = -1};
    *notes = (question_notes){0};
    asker k = {a,     s, memory,
               notes, f, arena_new(memory, (size_t)a->part_count + 1, sizeof *k.said)};
    s->setting = arena_new(memory, (size_t)a->part_count + 1, sizeof *s->setting);
    if (!k.said || !s->setting)
        return STATUS_NO_MEMORY;
    int errors = f->errors;
    int at = o->phase ? phase_named(&k, o->phase) : phase_usual(a);
    state_of_phase(a, at >= 0 ? at : 0, s);
    s->charge = o->charge;
    if (o->given[OPTION_TEMPERATURE])
        s->temperature = o->temperature;
    if (a->phase_count == 1 && text_equal(a->phases[0].name, "as-set"))
        asker_note(
            &k,
            "The file has no `phases:`: every switch is off but what --set moves, and nothing "
            "that is off can be lost.",
            NULL);
    for (int i = 0; i < o->set_count; i++)
        asker_set(&k, &o->sets[i]);
    asker_follow(&k);
    for (int i = 0; i < o->fail_count; i++)
        add_fault(&k, &o->fails[i]);
    if (memory->failed || f->memory.failed)
        return STATUS_NO_MEMORY;
    return f->errors > errors ? STATUS_BAD_REQUEST : STATUS_OK;
}
