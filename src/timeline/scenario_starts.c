// Motors and others that draw more as they start: what the volts do at that instant.
#include <string.h>

#include "model/part_words.h"
#include "part/item_draw.h"
#include "timeline/scenario_player.h"

#define STOOD 0.1  // of its figure: it drew no more than that before
#define RUNS  0.5  // and draws this at least now

void player_find_starters(player *p) {
    const aircraft *a = p->aircraft;
    const verdict *v = p->solver->made->verdict;
    p->starters = arena_new(p->memory, (size_t)a->part_count + 1, sizeof *p->starters);
    p->starting = arena_new(p->memory, (size_t)a->part_count + 1, sizeof *p->starting);
    p->lasting = arena_new(p->memory, (size_t)a->part_count + 1, sizeof *p->lasting);
    for (int i = 0; !p->memory->failed && i < v->rule_count; i++) {
        const part *x = &a->parts[v->rules[i].part];
        bool inrush = x->kind == KIND_MOTOR || part_figure(x, KEY_STARTS_WITH) != NULL;
        if (inrush && v->rules[i].inner >= 0 && item_amps(a, x) > 0)
            p->starters[p->starter_count++] =
                (starter){v->rules[i].part, item_amps(a, x), item_amps(a, x),
                          part_number(x, KEY_STARTS_IN, 0.0)};
    }
}

// Where the dip is told: the first bus of the file that is live.
static int first_bus(const player *p, const run_now *now) {
    for (int i = 0; i < p->aircraft->part_count; i++)
        if (p->aircraft->parts[i].kind == KIND_BUS && part_volts(now->settled, i) >= 1.0)
            return i;
    return NOWHERE;
}

// Items on that are off at this instant, named in `t`.
static int put_off(const player *p, const run_now *now, const solution *s, text *t) {
    const verdict *v = p->solver->made->verdict;
    int count = 0;
    for (int i = 0; i < v->rule_count; i++) {
        int status = now->items[i].status;
        if ((status != ITEM_ON && status != ITEM_WEAK) || player_is_seen(p, v->rules[i].part) ||
            !run_has_volts(&v->rules[i], now->settled->solution, 0.0) ||
            run_has_volts(&v->rules[i], s, 0.0))
            continue;
        text_put(t, count++ ? ", " : "; off for that moment: ");
        part_short_name(p->aircraft, v->rules[i].part, t);
    }
    return count;
}

// Items that drop out, contactors that let go.
static bool moves_devices(const player *p, const solution *now, const solution *dip) {
    const circuit *c = &p->solver->made->circuit;
    return memcmp(now->dropped, dip->dropped, (size_t)c->power_count) != 0 ||
           memcmp(now->comparator, dip->comparator, (size_t)c->comparator_count) != 0;
}

static void dip_line(player *p, const run_now *now, const solution *s) {
    int bus = first_bus(p, now);
    if (bus < 0)
        return;
    int node = p->solver->made->maps[bus].own;
    double volts = s->volts[node], dip = part_volts(now->settled, bus) - volts;
    text t = text_make(p->memory->memory);
    for (int i = 0; i < p->starting_count; i++) {
        text_put(&t, i ? ", " : "");
        if (i == 0)
            part_sentence_name(p->aircraft, p->starting[i], &t);
        else
            part_short_name(p->aircraft, p->starting[i], &t);
    }
    text_put(&t, ": the volts dip to ");
    words_figure(&t, volts, 1, "V");
    text_put(&t, " as it starts");
    int off = 0;
    if (p->lasting_count > 0) {
        const solution *first = run_first_instant(p->run, p->lasting, p->lasting_count);
        off = put_off(p, now, first, &t);
        p->dipped = off > 0 || moves_devices(p, now->settled->solution, first);
    }
    if (off > 0 || dip >= (aircraft_is_28(p->aircraft) ? 1.0 : 0.5))
        player_line(p, "dips", p->starting[0], -1, false, text_get(&t), ".", NULL);
    p->memory->failed = p->memory->failed || t.failed;
    text_free(&t);
}

void player_starts(player *p, const run_now *now) {
    p->starting_count = 0;
    p->lasting_count = 0;
    for (int i = 0; i < p->starter_count; i++) {
        starter *s = &p->starters[i];
        double amps = part_amps(now->settled, s->part);
        bool starts = s->amps < STOOD * s->runs_with && amps >= RUNS * s->runs_with;
        if (starts)
            p->starting[p->starting_count++] = s->part;
        if (starts && s->lasts > RUN_RIDES_THROUGH)
            p->lasting[p->lasting_count++] = s->part;
        s->amps = amps;
    }
    if (p->starting_count > 0)
        dip_line(p, now, run_first_instant(p->run, p->starting, p->starting_count));
}

void player_dip(player *p) {
    if (!p->dipped)
        return;
    p->dipped = false;
    run_dip(p->run, &p->hooks, p->lasting, p->lasting_count);
}
