#include "study/demanded.h"

#include "circuit/solver_state.h"
#include "model/settings.h"
#include "study/moment.h"

enum { ITEMS_AT_ONCE = 4 };  // a hand that brings more on is a master, and not what is asked for

static bool within_reach(const part *p) {
    unsigned unfit = FITTED_ABSENT | FITTED_INOPERATIVE | FITTED_SPARE | FITTED_COLLARED;
    bool breaker = p->kind == KIND_FUSE || p->kind == KIND_LIMITER;
    return p->hand && !(p->fitted & unfit) && !breaker;
}

// The settings that a hand can be put to: of a switch with places each of them.
static int setting_count(const part *p) {
    const positions *places = part_positions(p);
    return p->kind == KIND_SWITCH && places != NULL ? places->count : 2;
}

// Whether `now` gives function `i`. False: no memory.
static bool gives(solver *s, const state *now, int i, bool *given) {
    moment m;
    if (!moment_make(s, now, &m))
        return false;
    *given = m.functions[i] != FUNCTION_LOST;
    moment_free(&m);
    return true;
}

static bool is_on(const moment *m, int i) {
    return m->outcome->parts[i].status == ITEM_ON || m->outcome->parts[i].status == ITEM_WEAK;
}

// Whether this hand gives it, and little else. False: no memory.
static bool serves(solver *s, const state *now, const moment *before, int i, bool *given) {
    moment m;
    int more = 0;
    if (!moment_make(s, now, &m))
        return false;
    for (int k = 0; k < s->aircraft->part_count; k++)
        more += is_on(&m, k) && !is_on(before, k);
    *given = m.functions[i] != FUNCTION_LOST && more <= ITEMS_AT_ONCE;
    moment_free(&m);
    return true;
}

static bool find_hand(solver *s, state *now, const moment *before, demand *d) {
    const aircraft *a = s->aircraft;
    bool given = false;
    for (int i = 0; i < a->part_count; i++) {
        const part *p = &a->parts[i];
        double was = now->setting[i];
        if (!within_reach(p))
            continue;
        for (int k = 0; k < setting_count(p) && !given; k++) {
            if (k == (int)was || !settings_is_on(p, k))
                continue;
            now->setting[i] = k;
            if (!serves(s, now, before, d->function, &given))
                return false;
            d->setting = k;
        }
        now->setting[i] = was;
        if (given) {
            d->hand = i;
            return true;
        }
    }
    return true;
}

// In the weather that is asked about.
static bool find_phase(solver *s, const state *asked, state *now, demand *d) {
    const aircraft *a = s->aircraft;
    for (int pass = 0; pass < 2; pass++) {
        for (int i = 0; i < a->phase_count && d->phase < 0; i++) {
            bool given;
            if (a->phases[i].airborne != (pass == 0))
                continue;
            state_of_phase(a, i, now);
            now->night = asked->night;
            now->cloud = asked->cloud;
            now->icing = asked->icing;
            if (!gives(s, now, d->function, &given))
                return false;
            d->phase = given ? i : -1;
        }
    }
    return true;
}

int demands_missing(solver *s, const state *asked, const bool *demanded, arena *memory,
                    demand **list) {
    const aircraft *a = s->aircraft;
    size_t parts = (size_t)a->part_count + 1;
    state now = {.setting = arena_new(memory, parts, sizeof(double))};
    demand *all = arena_new(memory, (size_t)a->function_count + 1, sizeof *all);
    moment first;
    int count = 0;
    *list = all;
    if (memory->failed)
        return -1;
    state_copy(a, asked, &now);
    now.fault_count = 0;
    if (!moment_make(s, &now, &first))
        return -1;
    bool good = true;
    for (int i = 0; i < a->function_count && good; i++) {
        if (!demanded[i] || first.functions[i] != FUNCTION_LOST)
            continue;
        demand d = {.function = i, .hand = PART_NONE, .phase = -1};
        state_copy(a, asked, &now);
        now.fault_count = 0;
        good = find_hand(s, &now, &first, &d) && find_phase(s, asked, &now, &d);
        if (d.hand != PART_NONE || d.phase >= 0)
            all[count++] = d;
    }
    moment_free(&first);
    return good ? count : -1;
}
