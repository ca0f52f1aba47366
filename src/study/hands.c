#include "study/hands.h"

#include "circuit/solver_state.h"
#include "study/moment.h"

#define LEAST_AMPS 0.2   // a battery that gives less isn't asked whether it idles
#define IDLES      0.05  // of what it gave before
enum { RADIOS_TOGETHER = 2 };

// ---- by what they do ---------------------------------------------------------------------------
bool hands_put_off(const outcome *before, const outcome *after, int i) {
    bool was = before->parts[i].status == ITEM_ON || before->parts[i].status == ITEM_WEAK;
    return was && (after->parts[i].status == ITEM_OFF || after->parts[i].status == ITEM_UNUSED);
}

bool hands_isolate(const outcome *before, const outcome *after) {
    for (int i = 0; i < before->source_count && i < after->source_count; i++) {
        const source_outcome *x = &before->sources[i], *y = &after->sources[i];
        if (!x->battery)
            continue;
        bool idles = x->amps > LEAST_AMPS && y->amps < IDLES * x->amps &&
                     y->amps > -IDLES * x->amps;  // one that is charged again isn't isolated
        if ((x->joins_bus && !y->joins_bus) || idles)
            return true;
    }
    return false;
}

bool hands_starve(const outcome *before, const outcome *after) {
    const aircraft *a = before->aircraft;
    for (int i = 0; i < a->supply_count; i++) {
        if (before->supplies[i] && !after->supplies[i])
            return true;
        for (int k = 0; k < a->supplies[i].count; k++)
            if (hands_put_off(before, after, a->supplies[i].makers[k]))
                return true;
    }
    for (int i = 0; i < a->part_count; i++) {
        part_kind k = a->parts[i].kind;
        if ((k == KIND_IGNITION || k == KIND_PUMP || k == KIND_ENGINE) && before->parts[i].works &&
            !after->parts[i].works)
            return true;
    }
    return false;
}

bool hands_silence(const outcome *before, const outcome *after) {
    int radios = 0;
    for (int i = 0; i < before->aircraft->part_count; i++)
        radios += before->aircraft->parts[i].kind == KIND_RADIO && hands_put_off(before, after, i);
    return radios >= RADIOS_TOGETHER;
}

// ---- what goes on after a loss -----------------------------------------------------------------
static bool carries(const outcome *o, const source_outcome *s) {
    return !s->battery && s->joins_bus && s->mode >= SOURCE_IDLE && s->mode < SOURCE_CHARGING &&
           !source_residual_only(o->aircraft, s);
}

static void tell_sources(const outcome *whole, const outcome *after, endurance *found) {
    for (int i = 0; i < whole->source_count; i++)
        found->source_lost[whole->sources[i].part] = carries(whole, &whole->sources[i]);
    for (int i = 0; i < after->source_count; i++) {
        int part = after->sources[i].part;
        found->source_goes_on[part] = carries(after, &after->sources[i]);
        found->source_lost[part] = found->source_lost[part] && !found->source_goes_on[part];
    }
}

// ---- what hands take ---------------------------------------------------------------------------
static bool stop_a_source(const outcome *before, const outcome *after) {
    for (int i = 0; i < before->source_count && i < after->source_count; i++)
        if (carries(before, &before->sources[i]) && !carries(after, &after->sources[i]))
            return true;
    return false;
}

// A master does it with one hand; radios put off one by one are another matter.
static status one_hand_silences(solver *s, const endurance_question *q, const moment *before,
                                state *now, bool *silences) {
    const aircraft *a = s->aircraft;
    *silences = false;
    for (int i = 0; i < a->part_count && !*silences; i++) {
        double was = now->setting[i];
        moment after;
        if (q->after->setting[i] == was)
            continue;
        now->setting[i] = q->after->setting[i];
        if (!moment_make(s, now, &after))
            return STATUS_NO_MEMORY;
        now->setting[i] = was;
        *silences = hands_silence(before->outcome, after.outcome);
        moment_free(&after);
    }
    return STATUS_OK;
}

static void tell_never(const moment *before, const moment *after, endurance *found) {
    const outcome *x = before->outcome, *y = after->outcome;
    if (!x->state.airborne)
        return;
    found->never |= hands_isolate(x, y) ? NEVER_BATTERY : 0u;
    found->never |= stop_a_source(x, y) ? NEVER_SOURCE : 0u;
    found->never |= hands_starve(x, y) ? NEVER_ENGINE : 0u;
}

static void tell_taken(const moment *before, const moment *after, endurance *found) {
    for (int i = 0; i < before->outcome->aircraft->function_count; i++) {
        uint8_t x = before->functions[i], y = after->functions[i];
        found->shed_functions[i] = found->shed_functions[i] || y > x;
        found->shed_lost[i] = found->shed_lost[i] || (y > x && y == FUNCTION_LOST);
    }
}

static status look_at_hands(solver *s, const endurance_question *q, const moment *before,
                            state *now, endurance *found) {
    const aircraft *a = s->aircraft;
    bool silences = false;
    moment after;
    if (now->airborne && now->cloud && one_hand_silences(s, q, before, now, &silences) != STATUS_OK)
        return STATUS_NO_MEMORY;
    for (int i = 0; i < a->part_count; i++)
        now->setting[i] = q->after->setting[i];
    if (!moment_make(s, now, &after))
        return STATUS_NO_MEMORY;
    found->never |= silences ? NEVER_RADIOS : 0u;
    tell_never(before, &after, found);
    tell_taken(before, &after, found);
    moment_free(&after);
    return STATUS_OK;
}

status hands_look(solver *s, const endurance_question *q, arena *memory, endurance *found) {
    const aircraft *a = s->aircraft;
    state whole = {.setting = arena_new(memory, (size_t)a->part_count + 1, sizeof(double))};
    state *now = moment_after_loss(s, q->asked, memory);
    moment first = {0}, before = {0};
    if (whole.setting == NULL || now == NULL)
        return STATUS_NO_MEMORY;
    state_copy(a, q->asked, &whole);
    whole.fault_count = 0;
    status result = STATUS_OK;
    if (!moment_make(s, &whole, &first) || !moment_make(s, now, &before))
        result = STATUS_NO_MEMORY;
    if (result == STATUS_OK)
        tell_sources(first.outcome, before.outcome, found);
    if (result == STATUS_OK && q->after != NULL)
        result = look_at_hands(s, q, &before, now, found);
    moment_free(&first);
    moment_free(&before);
    return result;
}
