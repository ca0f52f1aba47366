// Every lesson against an integration in small even steps that shares no stepping code with it: the
// charge of every battery all along, and the time of everything that happens and lasts.
//
// What is compared: statuses, functions, lights, breakers, contacts. The peer's events stand on its
// steps and its currents are those of a step's beginning, so an event may be off by two steps; and
// where a voltage creeps towards a threshold by a millivolt a second, a millivolt is a second: 1 %
// of the time since the scenario last changed something at a time that it gives. Where batteries
// rest, their EMF creeps by less, and near its end hangs on the last drops: what the volts that a
// charge within the limit of this test makes take to pass counts, too. A run moves things
// by the first hundredth of their way at once: 0.09 s of nine. What becomes otherwise again within
// all that isn't compared.
#include <dirent.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "reference/support/lesson_peer.h"
#include "support/case_files.h"
#include "support/fleet_states.h"
#include "timeline/scenario_play.h"

#define CHARGE_OFF 3e-4  // of full
#define TIME_SHARE 0.01
#define FIRST_MOVE 0.09
enum { HANDS_MOST = 64, STEPS_MOST = 20000 };

// Seconds that the EMFs of all batteries take, as they went in the step that ended then, to pass by
// what a charge that is off makes of them.
typedef struct creep {
    double at, seconds;
} creep;

typedef struct ours {
    lesson_log log;
    const aircraft *aircraft;
    uint8_t *contacts;
    bool begun;
    double worst_charge;
    const lesson_log *peer;
    double hands[HANDS_MOST];
    int hand_count;
    creep creeps[STEPS_MOST];
    int creep_count;
    double *emf;  // per part: as last seen
    double seen_at;
} ours;

static void keep(ours *o, change_of of, int index, int was, int to, double at) {
    assert_true(o->log.count < OBSERVED_MOST);
    o->log.list[o->log.count++] = (observed){at, of, index, was, to};
}

static void see_event(void *ctx, const run_now *now, const run_event *e) {
    (void)now;
    ours *o = ctx;
    if (e->kind == RUN_STATUS)
        keep(o, OF_STATUS, e->part, e->from, e->to, e->at);
    if (e->kind == RUN_FUNCTION)
        keep(o, OF_FUNCTION, e->part, e->from, e->to, e->at);
    if (e->kind == RUN_LIT)
        keep(o, OF_LIT, e->part, e->from, e->to, e->at);
    if (e->kind == RUN_TRIPS)
        keep(o, OF_TRIP, e->part, e->from, e->to, e->at);
}

static double peer_charge(const lesson_log *l, int battery, double at) {
    double x = at / l->sample_seconds;
    int i = (int)x;
    if (i + 1 >= l->sample_count)
        return -1;
    return l->charge[i][battery] + (x - i) * (l->charge[i + 1][battery] - l->charge[i][battery]);
}

static double volts_off(const run_battery *b) {
    battery_charge less = b->charge;
    double full = b->model.wells.full, share = b->model.wells.share;
    less.wells.free -= CHARGE_OFF * share * full;
    less.wells.bound -= CHARGE_OFF * (1 - share) * full;
    return fabs(battery_law_now(&b->model, less, 0).emf -
                battery_law_now(&b->model, b->charge, 0).emf);
}

static void note_creep(ours *o, const run_now *now) {
    double least = INFINITY, step = now->at - o->seen_at;
    for (int i = 0; i < now->battery_count; i++) {
        const run_battery *b = &now->batteries[i];
        double went = fabs(b->law.emf - o->emf[b->part]);
        least = fmin(least, step * volts_off(b) / fmax(went, 1e-6));
        o->emf[b->part] = b->law.emf;
    }
    o->seen_at = now->at;
    assert_true(o->creep_count < STEPS_MOST);
    if (step > 0 && now->battery_count > 0)
        o->creeps[o->creep_count++] = (creep){now->at, least};
}

static double creeping(const ours *o, double at) {
    for (int i = 0; i < o->creep_count; i++)
        if (o->creeps[i].at >= at)
            return o->creeps[i].seconds;
    return 0;
}

static bool see_step(void *ctx, const run_now *now) {
    ours *o = ctx;
    note_creep(o, now);
    for (int i = 0; i < o->aircraft->part_count; i++) {
        part_kind k = o->aircraft->parts[i].kind;
        uint8_t closed = (k == KIND_RELAY || k == KIND_CONTACTOR) && peer_contact(now->settled, i);
        if (o->begun && closed != o->contacts[i])
            keep(o, OF_CONTACT, i, !closed, closed, now->at);
        o->contacts[i] = closed;
    }
    o->begun = true;
    for (int i = 0; i < now->battery_count; i++) {
        double theirs = peer_charge(o->peer, i, now->at);
        double off =
            fabs(battery_fraction(&now->batteries[i].model, now->batteries[i].charge) - theirs);
        if (theirs >= 0 && off > o->worst_charge)
            o->worst_charge = off;
    }
    return true;
}

// Seconds of the peer's steps, by how long it lasts: a short that a breaker ends a step later takes
// some 10 C more, and in a short lesson that is all there is to see.
static double step_of(const scenario *sc) {
    return sc->lasts <= 300 ? 0.02 : sc->lasts <= 1200 ? 0.04 : sc->lasts <= 7300 ? 0.1 : 1.0;
}

// What waits for a watch comes as late as that, so only times that are written count.
static void find_hands(ours *o, const scenario *sc) {
    for (int i = 0; i < sc->step_count; i++)
        if (sc->steps[i].at.watch < 0 && sc->steps[i].change_count > 0 &&
            o->hand_count < HANDS_MOST)
            o->hands[o->hand_count++] = sc->steps[i].at.seconds;
}

static double tolerance(const ours *o, double at, double step) {
    double from = 0;
    for (int i = 0; i < o->hand_count; i++)
        if (o->hands[i] <= at + 1e-6 && o->hands[i] > from)
            from = o->hands[i];
    return 2 * step + FIRST_MOVE + TIME_SHARE * (at - from) + creeping(o, at);
}

static bool same_thing(const observed *a, const observed *b) {
    return a->of == b->of && a->index == b->index;
}

// What comes and goes within one of the peer's steps it can't see: the last counts, and nothing if
// all is as before.
static void forget_blinks(lesson_log *l, double step) {
    int kept = 0;
    for (int i = 0; i < l->count; i++) {
        int last = -1, before = -1;
        for (int k = 0; k < kept; k++) {
            if (!same_thing(&l->list[k], &l->list[i]))
                continue;
            before = last;
            last = k;
        }
        if (last < 0 || l->list[i].at - l->list[last].at > 1.5 * step) {
            l->list[kept++] = l->list[i];
            continue;
        }
        bool back =
            before >= 0 ? l->list[before].to == l->list[i].to : l->list[last].was == l->list[i].to;
        l->list[last].to = l->list[i].to;
        if (!back)
            continue;
        memmove(&l->list[last], &l->list[last + 1], (size_t)(kept - last - 1) * sizeof l->list[0]);
        kept--;
    }
    l->count = kept;
}

// Until it becomes otherwise again.
static double lasts(const lesson_log *l, int i, double ended) {
    for (int k = i + 1; k < l->count; k++)
        if (same_thing(&l->list[i], &l->list[k]))
            return l->list[k].at - l->list[i].at;
    return ended - l->list[i].at;
}

// How far off the nearest of the same is; 1e9: there is none.
static double nearest(const observed *x, const lesson_log *among) {
    double least = 1e9;
    for (int i = 0; i < among->count; i++)
        if (same_thing(x, &among->list[i]) && x->to == among->list[i].to)
            least = fmin(least, fabs(x->at - among->list[i].at));
    return least;
}

typedef struct score {
    int compared, missed;
    double worst, worst_share;  // seconds; of what it may be
} score;

static void compare(const ours *o, const lesson_log *a, const lesson_log *b, double step,
                    score *s) {
    double ended = fmin(o->log.ended, o->peer->ended);
    for (int i = 0; i < a->count; i++) {
        const observed *x = &a->list[i];
        double may = tolerance(o, x->at, step);
        if (x->at + may > ended || lasts(a, i, ended) < 2 * may)
            continue;
        double off = nearest(x, b);
        s->compared++;
        if (off > may) {
            const aircraft *c = o->aircraft;
            printf("    %s: %s %d to %d at %.2f s, the other %.2f s off (may be %.2f)\n",
                   a == &o->log ? "run" : "peer",
                   x->of == OF_FUNCTION ? c->functions[x->index].name : c->parts[x->index].id,
                   (int)x->of, x->to, x->at, off, may);
            s->missed++;
            continue;
        }
        s->worst = fmax(s->worst, off);
        s->worst_share = fmax(s->worst_share, off / may);
    }
}

// ---- lessons -----------------------------------------------------------------------------------
static int play_both(const char *name) {
    static lesson_log peer;
    static ours o;
    char path[512];
    size_t length;
    snprintf(path, sizeof path, "%s/lessons/%.100s", DEADBUS_SOURCE_DIR, name);
    char *words = case_file_needed(path, &length);
    subject s;
    assert_true(subject_open_fleet(&s, lesson_fleet(words)));
    findings f = findings_make(allocator_default());
    scenario *sc = NULL;
    assert_int_equal(scenario_read(allocator_default(), s.aircraft, words, length, &sc, &f),
                     STATUS_OK);
    findings_free(&f);
    double step = step_of(sc);
    lesson_peer_play(s.solver, sc, step, &peer);
    o = (ours){.aircraft = s.aircraft,
               .peer = &peer,
               .contacts = calloc((size_t)s.aircraft->part_count + 1, 1),
               .emf = calloc((size_t)s.aircraft->part_count + 1, sizeof(double))};
    assert_true(o.contacts && o.emf);
    scenario_log *log = NULL;
    run_hooks also = {.ctx = &o, .step = see_step, .event = see_event};
    assert_int_equal(scenario_play_told(s.solver, sc, &also, &log), STATUS_OK);
    o.log.ended = log->ended;
    find_hands(&o, sc);
    forget_blinks(&o.log, step);
    forget_blinks(&peer, step);
    score sum = {0};
    compare(&o, &o.log, &peer, step, &sum);
    compare(&o, &peer, &o.log, step, &sum);
    printf("%s: %d events of both, worst %.2f s off (%.0f %% of what may be); charge off by %.1e; "
           "ends at %.1f and %.1f s\n",
           name, sum.compared, sum.worst, 100 * sum.worst_share, o.worst_charge, log->ended,
           peer.ended);
    bool good = sum.missed == 0 && sum.compared > 0 && o.worst_charge < CHARGE_OFF &&
                fabs(log->ended - peer.ended) <= tolerance(&o, log->ended, step);
    free(o.contacts);
    free(o.emf);
    scenario_log_free(log);
    scenario_free(sc);
    subject_close(&s);
    free(words);
    return good ? 0 : 1;
}

static void every_lesson(void **x) {
    (void)x;
    DIR *d = opendir(DEADBUS_SOURCE_DIR "/lessons");
    assert_non_null(d);
    int count = 0, bad = 0;
    for (struct dirent *e = readdir(d); e; e = readdir(d)) {
        size_t n = strlen(e->d_name);
        if (n <= 5 || strcmp(e->d_name + n - 5, ".yaml") != 0)
            continue;
        bad += play_both(e->d_name);
        count++;
    }
    closedir(d);
    assert_true(count >= 19);
    assert_int_equal(bad, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_lesson)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
