// What radios take from the volts while they transmit, and what draws part of the time while it
// runs. Charge counts by the average; whether a radio can transmit, and what drops out meanwhile,
// is settled once more for each radio, and for the heaviest of the others.
#include <string.h>

#include "part/item_draw.h"
#include "timeline/run_state.h"

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }
static const verdict *verdict_of(const run *r) { return r->solver->made->verdict; }

// In some phase it draws part of the time.
static bool has_duty(const aircraft *a, int part) {
    double duty = part_number(&a->parts[part], KEY_DUTY, 0.0);
    bool any = duty > 0 && duty < 1;
    for (int i = 0; i < a->phase_count; i++)
        any = any || (a->phases[i].duty[part] > 0 && a->phases[i].duty[part] < 1);
    return any;
}

static bool is_radio(const run_transmitter *t) { return t->watts > 0; }

void run_choose_heaviest(run *r) {
    const aircraft *a = r->solver->aircraft;
    const verdict *v = verdict_of(r);
    run_transmitter *t = r->transmitters + r->transmitter_count - 1;
    if (r->transmitter_count == 0 || is_radio(t))
        return;
    *t = (run_transmitter){.part = PART_NONE, .rule = NOWHERE};
    double most = 0.0;
    for (int i = 0; i < r->heavy_count; i++) {
        int part = v->rules[r->heavies[i]].part;
        double duty = item_duty(a, &r->now.view.asked, part);
        double amps = item_amps(a, &a->parts[part]);
        if (amps <= most || !run_goes_by_average(r, part, duty))
            continue;
        most = amps;
        *t = (run_transmitter){.part = part, .rule = r->heavies[i], .times = 1.0 / duty};
    }
}

void run_find_transmitters(run *r) {
    const aircraft *a = r->solver->aircraft;
    r->heavy_count = 0;
    const verdict *v = verdict_of(r);
    for (int i = 0; i < v->rule_count && r->options.transmits; i++) {
        const part *p = &a->parts[v->rules[i].part];
        if (p->kind != KIND_RADIO && v->rules[i].inner >= 0 && has_duty(a, v->rules[i].part))
            r->heavies[r->heavy_count++] = i;
        if (p->kind != KIND_RADIO || v->rules[i].power < 0)
            continue;
        double watts = item_transmit_watts(a, p);
        if (watts <= 0)
            continue;
        r->transmitters[r->transmitter_count++] = (run_transmitter){
            .part = v->rules[i].part,
            .rule = i,
            .watts = watts,
            .least = part_number(p, KEY_TRANSMITS_ABOVE, v->rules[i].works),
        };
    }
    if (r->heavy_count > 0)
        r->transmitters[r->transmitter_count++] =
            (run_transmitter){.part = PART_NONE, .rule = NOWHERE};
}

int run_count_transmit_marks(const run *r) {
    return r->transmitter_count > 0 ? r->transmitter_count + verdict_of(r)->rule_count : 0;
}

void run_name_transmit_marks(run *r) {
    mark_owner *o = r->owners + r->first_transmit_mark;
    for (int i = 0; i < r->transmitter_count; i++)
        *o++ = (mark_owner){RUN_MUTE, r->transmitters[i].part};
    for (int i = 0; i < verdict_of(r)->rule_count && r->transmitter_count > 0; i++)
        *o++ = (mark_owner){RUN_OFF_TRANSMITTING, verdict_of(r)->rules[i].part};
}

// What has gone comes back at a little more than it went at: without, it would flicker.
#define DEAD_BAND 0.1  // volts: choice

bool run_is_supplied(const item_rule *rule, const solution *s, double more) {
    if (rule->inner < 0 || (rule->power >= 0 && s->dropped[rule->power]))
        return false;
    return s->volts[rule->inner] - s->volts[rule->to] >= rule->off + more;
}

bool run_has_volts(const item_rule *rule, const solution *s, double more) {
    return !rule->own_battery && run_is_supplied(rule, s, more);
}

static bool has_volts(const item_rule *rule, const solution *s, bool was_off) {
    return run_has_volts(rule, s, was_off ? DEAD_BAND : 0.0);
}

// Its own switch is on and it isn't broken: both are inputs.
bool run_is_asked(const item_rule *rule, const double *params) {
    return (rule->switched < 0 || params[rule->switched] != 0) &&
           (rule->whole < 0 || params[rule->whole] != 0);
}

static int slot_of(const run *r, int transmitter) {
    const item_rule *rule = &verdict_of(r)->rules[r->transmitters[transmitter].rule];
    return circuit_of(r)->powers[rule->power].slot;
}

// The circuit of a step was shown what a current that differs all along the step would make of each
// battery. Somebody speaks for a few seconds: it is as its charge leaves it.
static void patch_batteries(const run *r, run_end *e, job *j) {
    double pieces[BATTERY_PARAMS];
    for (int i = 0; i < r->battery_count; i++) {
        int slot = run_battery_slot(r, i);
        battery_pieces(&e->law[i], pieces);
        for (int k = 0; k < BATTERY_PARAMS && !r->batteries[i].cut; k++)
            e->patches[j->patch_count++] = (patch){slot + k, pieces[k]};
    }
}

static void patch_heaviest(const run *r, run_end *e, const run_transmitter *t, bool runs, job *j) {
    int slots[DRAW_SLOTS], count = t->rule != NOWHERE ? run_draw_slots(r, t->part, slots) : 0;
    for (int i = 0; i < count; i++)
        e->patches[j->patch_count++] =
            (patch){slots[i], r->bound[slots[i]] * (runs ? t->times : 1.0)};
}

job run_job_transmitting(run *r, run_end *e, int which) {
    job j = e->job;
    j.figures = circuit_of(r);
    patch_batteries(r, e, &j);
    // All of them, always: the next settling goes by this list to undo it.
    for (int i = 0; i < r->transmitter_count; i++) {
        const run_transmitter *t = &r->transmitters[i];
        if (!is_radio(t)) {
            patch_heaviest(r, e, t, i == which, &j);
            continue;
        }
        int slot = slot_of(r, i);
        double watts = i == which ? t->watts : r->bound[slot];
        e->patches[j.patch_count++] = (patch){slot, watts};
    }
    j.start = &e->view.solution;
    return j;
}

bool run_talker_is_on(const run *r, const run_end *e, int which) {
    const run_transmitter *t = &r->transmitters[which];
    if (t->rule == NOWHERE)
        return false;
    const item_rule *rule = &verdict_of(r)->rules[t->rule];
    if (!is_radio(t))
        return run_is_asked(rule, r->bound) && has_volts(rule, &e->view.solution, false);
    return power_amps(circuit_of(r), &e->view.settled.job, &e->view.solution, rule->power) != 0;
}

// Into r->transmitting; false: it is off.
static bool settle_transmitting(run *r, run_end *e, int which) {
    if (!run_talker_is_on(r, e, which))
        return false;
    job j = run_job_transmitting(r, e, which);
    solve_again(r->solver->work, &j, &r->transmitting);
    r->solves++;
    return true;
}

static bool is_mute(const run_transmitter *t, const item_rule *radio, const run *r, double volts,
                    bool was) {
    return !has_volts(radio, &r->transmitting, was) || volts < t->least + (was ? DEAD_BAND : 0.0);
}

// What drops out while radio `which` transmits, or that item runs. Of a radio that nobody speaks
// into in this phase it isn't asked; what runs and drops out itself is no news of others.
static void mark_items(const run *r, const run_end *e, int which, const uint8_t *was,
                       uint8_t *off) {
    const verdict *v = verdict_of(r);
    const aircraft *a = r->solver->aircraft;
    if (item_duty(a, &e->view.asked, r->transmitters[which].part) <= 0)
        return;
    int own = is_radio(&r->transmitters[which]) ? NOWHERE : r->transmitters[which].rule;
    for (int k = 0; k < v->rule_count; k++) {
        const item_rule *rule = &v->rules[k];
        if (off[k] == 0 && k != own && run_is_asked(rule, r->bound) &&
            has_volts(rule, &e->view.solution, false) &&
            !has_volts(rule, &r->transmitting, was[k] != 0))
            off[k] = (uint8_t)(1 + which);
    }
}

void run_mark_transmitting(run *r, run_end *e) {
    if (r->options.coarse)  // see run_talk.c
        return;
    size_t count = (size_t)run_count_transmit_marks(r);
    uint8_t *mute = e->marks + r->first_transmit_mark, *off = mute + r->transmitter_count;
    uint8_t *was = r->transmit_was;
    memcpy(was, r->now.marks + r->first_transmit_mark, count);
    memset(mute, 0, count);
    for (int i = 0; i < r->transmitter_count; i++) {
        const run_transmitter *t = &r->transmitters[i];
        const double *volts = r->transmitting.volts;
        e->transmit_volts[i] = 0.0;
        if (!settle_transmitting(r, e, i))
            continue;
        const item_rule *rule = &verdict_of(r)->rules[t->rule];
        if (is_radio(t)) {
            e->transmit_volts[i] = volts[rule->inner] - volts[rule->to];
            mute[i] = is_mute(t, rule, r, e->transmit_volts[i], was[i] != 0);
        }
        mark_items(r, e, i, was + r->transmitter_count, off);
    }
}
