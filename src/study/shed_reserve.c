// What is kept in hand for the landing: a landing light, and one cycle of what moves by a motor.
#include "base/text.h"
#include "circuit/solver_state.h"
#include "study/demanded.h"
#include "study/shed_state.h"

#define SLOWER     1.5  // than at nominal volts, on a tired battery: choice
#define AFTERWARDS 1.0  // seconds after what is switched off, so that the two are told apart

// ---- what there is -----------------------------------------------------------------------------
static int light_of(const aircraft *a) {
    for (int i = 0; i < a->function_count; i++)
        if (text_equal(a->functions[i].name, "landing-light"))
            return i;
    return -1;
}

static bool find_light(solver *s, const shed_question *q, const moment *now, arena *m,
                       shed_reserve *r) {
    const aircraft *a = s->aircraft;
    r->light_function = light_of(a);
    r->light_hand = PART_NONE;
    if (r->light_function < 0)
        return true;
    r->light = now->functions[r->light_function] != FUNCTION_LOST;
    if (r->light)
        return true;
    bool *wanted = arena_new(m, (size_t)a->function_count + 1, sizeof *wanted);
    demand *list = NULL;
    if (wanted == NULL)
        return false;
    wanted[r->light_function] = true;
    int count = demands_missing(s, q->asked, wanted, m, &list);
    for (int i = 0; i < count; i++) {
        r->light = list[i].hand != PART_NONE;
        r->light_hand = list[i].hand;
        r->light_setting = list[i].setting;
    }
    return count >= 0;
}

static bool at_the_seat(const part *p) {
    return p->hand && p->reach == REACH_SEAT &&
           !(p->fitted & (FITTED_ABSENT | FITTED_INOPERATIVE | FITTED_SPARE));
}

// The end that is farther from where it stands.
static void find_other_end(const part *selector, double place, shed_cycle *c) {
    const positions *list = part_positions(selector);
    double farthest = -1.0;
    for (int i = 0; i < list->count; i++) {
        double way = list->figures[i] > place ? list->figures[i] - place : place - list->figures[i];
        if (way <= farthest)
            continue;
        farthest = way;
        c->other = i;
        c->place = list->figures[i];
    }
}

static void find_cycles(const solver *s, const state *now, shed_reserve *r) {
    const aircraft *a = s->aircraft;
    for (int i = 0; i < a->part_count && r->cycle_count < SHED_CYCLES_MOST; i++) {
        double travel = part_number(&a->parts[i], KEY_TRAVEL, 0.0);
        int selector = s->made->maps[i].selector;
        if (travel <= 0 || selector < 0 || selector == i || !at_the_seat(&a->parts[selector]))
            continue;
        const positions *list = part_positions(&a->parts[selector]);
        if (list == NULL || list->figures == NULL || list->sort != POSITIONS_PLACES)
            continue;
        shed_cycle *c = &r->cycles[r->cycle_count++];
        *c = (shed_cycle){.part = i, .selector = selector, .travel = travel};
        find_other_end(&a->parts[selector], now->setting[i], c);
    }
}

// ---- whether it works --------------------------------------------------------------------------
static void light_up(const shed_question *q, const shed_reserve *r, const shed_candidate *list,
                     unsigned choice, state *now) {
    for (int i = 0; i < SHED_STEPS_MOST; i++)
        if (choice >> i & 1u && list[i].takes_light)
            now->setting[list[i].part] = q->asked->setting[list[i].part];
    if (r->light_hand != PART_NONE)
        now->setting[r->light_hand] = r->light_setting;
}

static bool moves(const moment *m, int part) {
    const part_outcome *p = &m->outcome->parts[part];
    return p->works || p->status == ITEM_ON || p->status == ITEM_WEAK;
}

static bool cycle_works(solver *s, state *now, const shed_cycle *c, bool *works) {
    double was = now->setting[c->selector];
    moment m;
    now->setting[c->selector] = c->other;
    bool good = moment_make(s, now, &m);
    *works = good && moves(&m, c->part);
    now->setting[c->selector] = was;
    if (good)
        moment_free(&m);
    return good;
}

bool shed_reserve_works(solver *s, const shed_question *q, const shed_candidate *list,
                        unsigned choice, arena *memory, bool *works) {
    const shed_reserve *r = q->reserve;
    state *now = moment_after_loss(s, q->asked, memory);
    moment m;
    if (now == NULL)
        return false;
    shed_choose(now, list, choice);
    light_up(q, r, list, choice, now);
    if (!moment_make(s, now, &m))
        return false;
    *works = !r->light || m.functions[r->light_function] != FUNCTION_LOST;
    moment_free(&m);
    for (int i = 0; i < r->cycle_count && *works; i++)
        if (!cycle_works(s, now, &r->cycles[i], works))
            return false;
    return true;
}

status shed_reserve_find(solver *s, const shed_question *q, arena *memory, shed_reserve *out) {
    static const shed_candidate none[SHED_STEPS_MOST];
    *out = (shed_reserve){.light_hand = PART_NONE, .light_function = -1};
    if (!q->asked->airborne)
        return STATUS_OK;
    state *now = moment_after_loss(s, q->asked, memory);
    moment m = {0};
    bool good = now != NULL && moment_make(s, now, &m) && find_light(s, q, &m, memory, out);
    moment_free(&m);
    if (!good)
        return STATUS_NO_MEMORY;
    find_cycles(s, now, out);
    int kept = 0;
    for (int i = 0; i < out->cycle_count; i++) {
        bool works;
        if (!cycle_works(s, now, &out->cycles[i], &works))
            return STATUS_NO_MEMORY;
        if (works)
            out->cycles[kept++] = out->cycles[i];
    }
    out->cycle_count = kept;
    shed_question only = *q;
    shed_reserve light = *out;
    light.cycle_count = 0;
    only.reserve = &light;
    bool lit;
    if (!shed_reserve_works(s, &only, none, 0, memory, &lit))
        return STATUS_NO_MEMORY;
    out->light = out->light && lit;
    return STATUS_OK;
}

// ---- done near the end -------------------------------------------------------------------------
static double cycle_seconds(const shed_cycle *c) { return 2 * SLOWER * c->travel; }

static double no_sooner(const shed_question *q, double at) {
    double first = q->noticed + AFTERWARDS;
    return at > first ? at : first;
}

static double moving_seconds(const shed_reserve *r) {
    double seconds = 0.0;
    for (int i = 0; i < r->cycle_count; i++)
        seconds += cycle_seconds(&r->cycles[i]);
    return seconds;
}

double shed_reserve_moves_at(const shed_question *q) {
    double seconds = q->reserve != NULL ? moving_seconds(q->reserve) : 0.0;
    return seconds > 0 ? no_sooner(q, q->needed - seconds) : q->needed;
}

int shed_reserve_events(const shed_question *q, const shed_candidate *list, unsigned choice,
                        happening *events) {
    const shed_reserve *r = q->reserve;
    double moving = moving_seconds(r);
    int count = 0;
    double lit = SHED_LIGHT_SECONDS > moving ? SHED_LIGHT_SECONDS : moving;
    double at = no_sooner(q, q->needed - lit);
    for (int i = 0; i < SHED_STEPS_MOST && r->light; i++)
        if (choice >> i & 1u && list[i].takes_light)
            events[count++] = (happening){
                .at = at, .part = list[i].part, .setting = q->asked->setting[list[i].part]};
    if (r->light && r->light_hand != PART_NONE)
        events[count++] = (happening){.at = at, .part = r->light_hand, .setting = r->light_setting};
    at = shed_reserve_moves_at(q);
    for (int i = 0; i < r->cycle_count; i++) {
        const shed_cycle *c = &r->cycles[i];
        double half = at + 0.5 * cycle_seconds(c), over = at + cycle_seconds(c);
        double selected = q->asked->setting[c->selector], stood = q->asked->setting[c->part];
        events[count++] = (happening){.at = at, .part = c->selector, .setting = c->other};
        events[count++] = (happening){.at = half, .part = c->part, .setting = c->place};
        events[count++] = (happening){.at = half, .part = c->selector, .setting = selected};
        events[count++] = (happening){.at = over, .part = c->part, .setting = stood};
        at = over;
    }
    return count;
}
