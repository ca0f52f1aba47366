// Things that move: flaps, gear. While its motor works and its selector stands elsewhere a thing
// goes on in tenths of its way, each at the speed that the volts give its motor.
#include "part/item_draw.h"
#include "timeline/scenario_player.h"

enum { TENTHS = 10 };
#define FIRST_SHARE 0.01  // of the way: contacts at its ends open as soon as it moves

// The motor that makes what this condition asks for.
static int motor_behind(const aircraft *a, const condition *c) {
    if (c->op == CONDITION_WORKS && a->parts[c->ref.part].kind == KIND_MOTOR)
        return c->ref.part;
    if (c->op != CONDITION_PRESENT && c->op != CONDITION_WORKS)
        return NOWHERE;
    const supply *s = c->op == CONDITION_PRESENT ? &a->supplies[c->supply] : NULL;
    for (int i = 0; s != NULL && i < s->count; i++)
        if (a->parts[s->makers[i]].kind == KIND_MOTOR)
            return s->makers[i];
    return NOWHERE;
}

static int motor_of(const aircraft *a, int part) {
    if (a->parts[part].kind == KIND_MOTOR)
        return part;
    const part_value *needs = part_value_of(&a->parts[part], KEY_NEEDS);
    int found = NOWHERE;
    for (int i = 0; needs != NULL && i < needs->as.conditions.count && found == NOWHERE; i++)
        found = motor_behind(a, &a->conditions[needs->as.conditions.items[i]]);
    return found;
}

void player_find_movers(player *p) {
    const aircraft *a = p->aircraft;
    p->movers = arena_new(p->memory, (size_t)a->part_count + 1, sizeof *p->movers);
    for (int i = 0; p->movers != NULL && i < a->part_count; i++) {
        double seconds = part_number(&a->parts[i], KEY_TRAVEL, 0.0);
        int selector = p->solver->made->maps[i].selector;
        if (seconds > 0 && selector >= 0 && selector != i)
            p->movers[p->mover_count++] = (mover){.part = i,
                                                  .selector = selector,
                                                  .seconds = seconds,
                                                  .works = p->solver->made->verdict->rule_of[i],
                                                  .motor = motor_of(a, i)};
    }
}

static bool goes(const player *p, const run_now *now, const mover *m) {
    const settled_state *s = now->settled;
    if (!item_moving(p->aircraft, s->asked, m->part, m->selector) ||
        (s->faults[m->part] >> FAULT_STUCK & 1u) != 0)
        return false;
    if (m->works < 0)
        return signal_at(s, s->made->maps[m->part].needs);
    int status = now->items[m->works].status;
    return status == ITEM_ON || status == ITEM_WEAK;
}

// A torque that doesn't change takes a current that doesn't change: what the volts leave beyond its
// loss in the armature turns the motor.
static double speed_of(const player *p, const run_now *now, const mover *m) {
    if (m->motor < 0)
        return 1.0;
    const part *motor = &p->aircraft->parts[m->motor];
    int rule = p->solver->made->verdict->rule_of[m->motor];
    int status = rule >= 0 ? now->items[rule].status : ITEM_NONE;
    if (status != ITEM_ON && status != ITEM_WEAK)
        return 1.0;  // something else drives it
    double lost = item_amps(p->aircraft, motor) * item_stall_ohms(p->aircraft, motor);
    double usual = item_figure_volts(p->aircraft, motor) - lost;
    double left = part_volts(now->settled, m->motor) - lost;
    return left <= 0 || usual <= 0 ? 0.0 : left / usual;
}

static double target(const player *p, const state *s, const mover *m) {
    const positions *list = part_positions(&p->aircraft->parts[m->selector]);
    return list->figures[(int)s->setting[m->selector]];
}

static bool at_a_place(const player *p, const state *s, const mover *m) {
    const positions *list = part_positions(&p->aircraft->parts[m->selector]);
    for (int i = 0; i < list->count; i++) {
        double away = s->setting[m->part] - list->figures[i];
        if (away < 1e-9 && away > -1e-9)
            return true;
    }
    return false;
}

double player_travel_in(player *p, const run_now *now) {
    double least = NOT_YET;
    for (int i = 0; i < p->mover_count; i++) {
        mover *m = &p->movers[i];
        m->speed = goes(p, now, m) ? speed_of(p, now, m) : 0.0;
        if (m->speed <= 0)
            continue;
        double way = target(p, now->settled->asked, m) - now->settled->asked->setting[m->part];
        double share = way < 0 ? -way : way;
        double most = at_a_place(p, now->settled->asked, m) ? FIRST_SHARE : 1.0 / TENTHS;
        share = share > most ? most : share;
        double seconds = share * m->seconds / m->speed;
        if (least < 0 || seconds < least)
            least = seconds;
    }
    return least;
}

bool player_travel(player *p, const run_now *now, double seconds) {
    bool moved = false;
    state_copy(p->aircraft, now->settled->asked, &p->asked);
    for (int i = 0; i < p->mover_count; i++) {
        const mover *m = &p->movers[i];
        if (m->speed <= 0 || !goes(p, now, m))
            continue;
        double to = target(p, &p->asked, m), *at = &p->asked.setting[m->part];
        double way = seconds * m->speed / m->seconds;
        double left = to > *at ? to - *at : *at - to;
        *at = left <= way * (1 + 1e-9) ? to : to > *at ? *at + way : *at - way;
        moved = true;
    }
    return moved;
}
