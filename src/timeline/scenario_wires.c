// What current makes of wires in a scenario: their copper warms up, and keeps it for the next
// reset. Wires whose gauge the file gives, one body each, losing heat with one time constant.
#include "part/heating.h"
#include "timeline/scenario_player.h"

// Limits of insulation classes, FAA AC 43.13-1B chapter 11: 105, 150 and 200 C; 260 C for nickel.
static const double LIMITS[] = {105.0, 150.0, 200.0, 260.0};
enum { LIMIT_COUNT = 4 };

#define WORTH_TELLING  15.0  // C above the air: choice
#define WARM_TO_A_HAND 30.0  // C: choice

static const wire_run *run_of_wire(const struct part *p) {
    const part_value *v = part_value_of(p, p->kind == KIND_WIRE ? KEY_VALUE : KEY_WIRE);
    if (v == NULL && p->implied == IMPLIED_WIRE)
        v = part_value_of(p, KEY_WIRE);
    return v != NULL && v->type == VALUE_WIRE ? &v->as.wire : NULL;
}

void player_find_wires(player *p) {
    const aircraft *a = p->aircraft;
    p->wires = arena_new(p->memory, (size_t)a->part_count + 1, sizeof *p->wires);
    for (int i = 0; p->wires != NULL && i < a->part_count; i++) {
        const wire_run *w = run_of_wire(&a->parts[i]);
        double area = w != NULL ? wire_area_mm2(w->gauge) : 0.0;
        if (area > 0)
            p->wires[p->wire_count++] = (warm_wire){.part = i, .area_mm2 = area};
    }
}

void player_cool_wires(player *p, double celsius) {
    p->air = celsius;
    for (int i = 0; i < p->wire_count; i++)
        p->wires[i].celsius = celsius;
}

// Beforehand: where this current ends, were it to last.
static void tell_ahead(player *p, warm_wire *w) {
    double seconds =
        wire_seconds(LIMITS[0], w->celsius, w->amps, w->area_mm2, p->air, WIRE_COOLS_SECONDS);
    if (seconds > 0 && !w->told)
        player_heats_line(p, w, LIMITS[0], seconds);
    w->told = seconds >= 0;
}

void player_warm_wires(player *p, const run_now *now) {
    double seconds = now->at - p->warmed_at;
    p->warmed_at = now->at;
    for (int i = 0; i < p->wire_count; i++) {
        warm_wire *w = &p->wires[i];
        double amps = part_amps(now->settled, w->part);
        double mean = 0.5 * (amps * amps + w->amps * w->amps);
        if (seconds > 0)
            w->celsius =
                wire_after(w->celsius, mean, w->area_mm2, p->air, WIRE_COOLS_SECONDS, seconds);
        w->amps = amps;
        int level = w->level;
        while (level < LIMIT_COUNT && w->celsius > LIMITS[level])
            level++;
        if (level > w->level)
            player_wire_line(p, w->part, w->celsius, LIMITS[level - 1]);
        w->level = level;
        tell_ahead(p, w);
    }
}

int player_warmest_wire(const player *p) {
    int found = -1;
    double most = p->air + WORTH_TELLING;
    most = most > WARM_TO_A_HAND ? most : WARM_TO_A_HAND;
    for (int i = 0; i < p->wire_count; i++) {
        if (p->wires[i].celsius <= most)
            continue;
        most = p->wires[i].celsius;
        found = i;
    }
    return found;
}
