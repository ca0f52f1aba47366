// What radios take from the volts while they transmit, in a coarse run: settled once more at an end
// of a step only where that could take something below what it needs, and told the first time.
// When it happens is found between the ends: what is left falls in step with the volts without it.
#include <string.h>

#include "part/item_draw.h"
#include "timeline/run_state.h"

// Nothing is settled while what is left is more than this many times what the volts have fallen by
// since the last time: they fall by less while somebody transmits (choice: a battery that is nearly
// empty is left a resistance of several times the usual). Nor before they have fallen at all: until
// then a radio takes from them what it took the last time.
#define FALLS_BY     3.0
#define ALWAYS       0.1      // volts
#define FALLEN       0.03     // volts
#define FALLEN_SHARE 0.25     // of what was left
#define TOO_FEW      (-0.01)  // volts that something lacks that has dropped out, at least

static const circuit *circuit_of(const run *r) { return &r->solver->made->circuit; }
static const verdict *verdict_of(const run *r) { return r->solver->made->verdict; }

bool run_make_talks(run *r) {
    size_t rules = (size_t)verdict_of(r)->rule_count + 1;
    r->talks = arena_new(&r->memory, (size_t)r->transmitter_count + 1, sizeof *r->talks);
    if (r->talks == NULL)
        return false;
    for (int i = 0; i < r->transmitter_count; i++) {
        r->talks[i].before = arena_new(&r->memory, rules, sizeof(double));
        r->talks[i].left = arena_new(&r->memory, rules, sizeof(double));
    }
    return !r->memory.failed;
}

void run_forget_talks(run *r) {
    for (int i = 0; i < r->transmitter_count; i++)
        r->talks[i].known = false;
    r->talk_begun = false;
    memset(r->now.marks + r->first_transmit_mark, 0, (size_t)run_count_transmit_marks(r));
}

// ---- what is looked at -------------------------------------------------------------------------
static const item_rule *radio_of(const run *r, int which) {
    return &verdict_of(r)->rules[r->transmitters[which].rule];
}

// Rule number rule_count is the radio itself, which needs its volts for transmitting.
static const item_rule *rule_at(const run *r, int which, int k) {
    return k < verdict_of(r)->rule_count ? &verdict_of(r)->rules[k] : radio_of(r, which);
}

static double needs_volts(const run *r, int which, int k) {
    const item_rule *rule = rule_at(r, which, k);
    if (k == verdict_of(r)->rule_count)
        return r->transmitters[which].least;
    double off = rule->off,
           dropout = rule->power < 0 ? 0.0 : circuit_of(r)->powers[rule->power].dropout;
    return off > dropout ? off : dropout;
}

static int mark_of(const run *r, int which, int k) {
    int mute = r->first_transmit_mark + which;
    return k == verdict_of(r)->rule_count ? mute
                                          : r->first_transmit_mark + r->transmitter_count + k;
}

static double volts_at(const item_rule *rule, const double *volts) {
    return volts[rule->inner] - volts[rule->to];
}

// Not told yet, asked for, and supplied. Of a radio that nobody speaks into in this phase only
// whether it could transmit is asked.
static bool is_looked_at(const run *r, int which, int k) {
    const item_rule *rule = rule_at(r, which, k);
    bool itself = k == verdict_of(r)->rule_count, radio = r->transmitters[which].watts > 0;
    bool speaks =
        radio ? itself || r->talks[which].speaks : !itself && k != r->transmitters[which].rule;
    return speaks && r->now.marks[mark_of(r, which, k)] == 0 && run_is_asked(rule, r->bound) &&
           rule->inner >= 0 && !rule->own_battery;
}

// ---- whether to settle -------------------------------------------------------------------------
bool run_talk_is_due(run *r, int which) {
    run_talk *t = &r->talks[which];
    const run_end *e = &r->now;
    if (!run_talker_is_on(r, e, which)) {
        t->known = false;
        return false;
    }
    t->speaks = item_duty(r->solver->aircraft, &e->view.asked, r->transmitters[which].part) > 0;
    if (t->stamp != r->bound_stamp || r->talk_differs || (t->relieved && r->talk_relieved))
        t->known = false;
    for (int k = 0; k <= verdict_of(r)->rule_count; k++) {
        if (!is_looked_at(r, which, k))
            continue;
        double fallen = t->before[k] - volts_at(rule_at(r, which, k), e->view.solution.volts);
        bool near = t->left[k] < FALLS_BY * fallen + ALWAYS;
        if (!t->known || (near && fallen > FALLEN && fallen > FALLEN_SHARE * t->left[k]))
            return true;
    }
    return false;
}

const job *run_talk_job(run *r, int which) {
    r->talk_job = run_job_transmitting(r, &r->now, which);
    return &r->talk_job;
}

// ---- what came of it ---------------------------------------------------------------------------
// Share of the way of the last step after which nothing was left of what is now `left`, below zero.
static double crosses(const run_talk *t, const item_rule *rule, int k, double left,
                      const double *last, const double *now) {
    double fallen = t->before[k] - volts_at(rule, now);
    double since = t->before[k] - volts_at(rule, last);
    double was = fallen > 0 ? t->left[k] - (t->left[k] - left) * since / fallen : left;
    return was > 0 && was > left ? was / (was - left) : 1.0;
}

// What an item lacks that has dropped out: its own volts are higher now than they were.
static double lacks(const run_talk *t, const item_rule *rule, int k, const double *now) {
    double left = t->known ? t->left[k] - (t->before[k] - volts_at(rule, now)) : TOO_FEW;
    return left < TOO_FEW ? left : TOO_FEW;
}

static void tell(run *r, const run_hooks *h, int which, int k, double at) {
    int mark = mark_of(r, which, k);
    bool mute = k == verdict_of(r)->rule_count;
    int to = mute ? 1 : 1 + which;
    r->now.marks[mark] = r->seen[mark] = r->last_told[mark] = (uint8_t)to;
    run_event e = {.at = at,
                   .kind = mute ? RUN_MUTE : RUN_OFF_TRANSMITTING,
                   .part = rule_at(r, which, k)->part,
                   .to = to};
    if (h->event != NULL && r->talk_begun)
        h->event(h->ctx, &r->told, &e);
}

// What has too little left while the radio takes from it what it took the last time. Where all
// breaks down in a step, volts are taken to have gone on falling until then as in the step before.
void run_talk_pass(run *r, const run_hooks *h, int which, bool breaks_down) {
    const run_talk *t = &r->talks[which];
    const solution *now = &r->now.view.solution, *last = &r->trial.view.solution;
    int rules = verdict_of(r)->rule_count;
    for (int k = 0; k <= rules && t->known && t->stamp == r->bound_stamp; k++) {
        const item_rule *rule = rule_at(r, which, k);
        if (!is_looked_at(r, which, k) || !run_has_volts(rule, last, 0.0))
            continue;
        double first = volts_at(rule, last->volts), then = volts_at(rule, now->volts);
        if (breaks_down)
            then = first + r->volts_rate * r->last_step;
        double least = t->before[k] - t->left[k];
        if (then >= least || then >= first)
            continue;
        double share = first > least ? (first - least) / (first - then) : 0.0;
        tell(r, h, which, k, breaks_down ? r->at : run_passed_at(r, share));
    }
}

void run_talk_look(run *r, const run_hooks *h, int which) {
    run_talk *t = &r->talks[which];
    const double *now = r->now.view.solution.volts;
    for (int k = 0; k <= verdict_of(r)->rule_count; k++) {
        const item_rule *rule = rule_at(r, which, k);
        if (!is_looked_at(r, which, k))
            continue;
        double left = volts_at(rule, r->transmitting.volts) - needs_volts(r, which, k);
        bool has =
            run_has_volts(rule, r->turns ? &r->trial.view.solution : &r->now.view.solution, 0.0);
        if (rule->power >= 0 && r->transmitting.dropped[rule->power])
            left = lacks(t, rule, k, now);
        if (left < 0 && has) {
            double share =
                t->known ? crosses(t, rule, k, left, r->trial.view.solution.volts, now) : 1.0;
            tell(r, h, which, k, share < 1.0 ? run_passed_at(r, share) : r->at);
        }
        t->before[k] = volts_at(rule, now);
        t->left[k] = left;
    }
    t->known = true;
    t->relieved = false;
    for (int i = 0; i < circuit_of(r)->power_count; i++)
        t->relieved |= r->transmitting.dropped[i] && !r->now.view.solution.dropped[i];
    t->stamp = r->bound_stamp;
}

void run_talk_end(run *r) {
    r->talk_begun = true;
    r->talk_relieved = false;
}
