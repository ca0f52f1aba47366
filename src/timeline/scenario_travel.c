// Things that move: flaps, gear. While its motor works and its selector stands elsewhere a thing
// goes on, at an even speed whatever the volts, in tenths of its way.
#include "part/item_draw.h"
#include "timeline/scenario_player.h"

enum { TENTHS = 10 };
#define FIRST_SHARE 0.01  // of the way: contacts at its ends open as soon as it moves

void player_find_movers(player *p) {
    const aircraft *a = p->aircraft;
    p->movers = arena_new(p->memory, (size_t)a->part_count + 1, sizeof *p->movers);
    for (int i = 0; p->movers != NULL && i < a->part_count; i++) {
        double seconds = part_number(&a->parts[i], KEY_TRAVEL, 0.0);
        int selector = p->solver->made->maps[i].selector;
        if (seconds > 0 && selector >= 0 && selector != i)
            p->movers[p->mover_count++] =
                (mover){i, selector, seconds, p->solver->made->verdict->rule_of[i]};
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

double player_travel_in(const player *p, const run_now *now) {
    double least = NOT_YET;
    for (int i = 0; i < p->mover_count; i++) {
        const mover *m = &p->movers[i];
        if (!goes(p, now, m))
            continue;
        double way = target(p, now->settled->asked, m) - now->settled->asked->setting[m->part];
        double share = way < 0 ? -way : way;
        double most = at_a_place(p, now->settled->asked, m) ? FIRST_SHARE : 1.0 / TENTHS;
        share = share > most ? most : share;
        if (least < 0 || share * m->seconds < least)
            least = share * m->seconds;
    }
    return least;
}

bool player_travel(player *p, const run_now *now, double seconds) {
    bool moved = false;
    state_copy(p->aircraft, now->settled->asked, &p->asked);
    for (int i = 0; i < p->mover_count; i++) {
        const mover *m = &p->movers[i];
        if (!goes(p, now, m))
            continue;
        double to = target(p, &p->asked, m), *at = &p->asked.setting[m->part];
        double way = seconds / m->seconds;
        double left = to > *at ? to - *at : *at - to;
        *at = left <= way * (1 + 1e-9) ? to : to > *at ? *at + way : *at - way;
        moved = true;
    }
    return moved;
}
