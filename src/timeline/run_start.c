// The first instant of what is switched on: a rotor that still stands is a mere winding, and what
// has a `starts-with` draws that. One settling of the same moment with it. If it lasts, all goes on
// from there.
#include <string.h>

#include "part/item_draw.h"
#include "timeline/run_state.h"

enum { PIECES = 2 };      // of a motor's law: see item.c
#define STANDS_UP_TO 2.0  // times nominal

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }

double run_starts_with(const run *r, int which) {
    const aircraft *a = r->solver->aircraft;
    const part *p = &a->parts[which];
    const figure *f = part_figure(p, KEY_STARTS_WITH);
    if (f == NULL)
        return p->kind == KIND_MOTOR ? a->nominal / item_stall_ohms(a, p) : 0.0;
    double volts = f->at_unit == UNIT_VOLT && f->at > 0 ? f->at : a->nominal;
    return f->unit == UNIT_WATT ? f->value / volts : f->value * a->nominal / volts;
}

static void patch_winding(const run *r, const part_map *m, double amps, job *j, patch *patches) {
    double top = STANDS_UP_TO * r->solver->aircraft->nominal;
    double most = amps * STANDS_UP_TO;
    const double law[3 * PIECES - 1] = {top, most / top, 0.0, 0.0, most};
    int slot = circuit_of(r)->piecewises[m->piecewise].slot;
    for (int i = 0; i < 3 * PIECES - 1; i++)
        patches[j->patch_count++] = (patch){slot + i, law[i]};
}

static void patch_part(const run *r, int which, job *j, patch *patches) {
    const circuit *c = circuit_of(r);
    const part_map *m = &r->solver->made->maps[which];
    double nominal = r->solver->aircraft->nominal, amps = run_starts_with(r, which);
    if (m->piecewise >= 0)
        patch_winding(r, m, amps, j, patches);
    else if (m->power >= 0)
        patches[j->patch_count++] = (patch){c->powers[m->power].slot, amps * nominal};
    else if (m->lamp >= 0)
        patches[j->patch_count++] = (patch){c->lamps[m->lamp].slot, amps};
    else if (m->load >= 0)
        patches[j->patch_count++] = (patch){c->conductances[m->load].slot, amps / nominal};
}

const solution *run_first_instant(run *r, const int *parts, int count) {
    job j = r->now.job;
    memcpy(r->start_patches, j.patches, (size_t)j.patch_count * sizeof *j.patches);
    for (int i = 0; i < count; i++)
        patch_part(r, parts[i], &j, r->start_patches);
    j.patches = r->start_patches;
    j.start = &r->now.view.solution;
    solve_again(r->solver->work, &j, &r->transmitting);
    r->solves++;
    return &r->transmitting;
}

void run_dip(run *r, const run_hooks *h, const int *parts, int count) {
    const solution *dip = run_first_instant(r, parts, count);
    run_interrupt(r, dip);
    run_settle_from(r, h, dip);
}
