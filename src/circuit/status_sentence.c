// The one plain sentence that says what just happened: the first line of every answer.
#include <math.h>

#include "circuit/indication.h"
#include "model/part_words.h"
#include "part/item_draw.h"

#define UNASKED_AMPS 0.5
// Beyond twice its rating a contact or a diode is said to burn: design choice.
#define BURNS_FROM 2.0
// A battery that gives so many times its capacity in an hour into a short, with every breaker that
// would open open already: more than a starter takes, and nothing stands in the way.
#define SHORT_FROM 10.0
// What the eye sees of a needle: a fiftieth of its scale, else of what it shows (design choice).
#define EYE 0.02

enum { DEAD_BUSES_NAMED = 2, FUNCTIONS_NAMED = 3, CHATTERING_NAMED = 3, METER_POINTS = 1000 };

// How much this part says that `bus` is the main one: what a voltmeter reads counts for more than
// all that is fed from it.
static int points_to(const part *p, int bus) {
    const part_value *reads = part_value_of(p, KEY_READS);
    const reference_list *from = part_references(p, KEY_FROM);
    int points = 0;
    for (int i = 0; reads && p->kind == KIND_VOLTMETER && i < reads->as.reads.count; i++)
        points += reads->as.reads.items[i].ref.part == bus ? METER_POINTS : 0;
    for (int i = 0; from && i < from->count; i++)
        points += from->items[i].part == bus;
    return points;
}

static int main_bus(const aircraft *a) {
    int best = PART_NONE, most = 0;
    for (int i = 0; i < a->part_count; i++) {
        int points = 0;
        for (int k = 0; k < a->part_count && a->parts[i].kind == KIND_BUS; k++)
            points += points_to(&a->parts[k], i);
        if (points > most) {
            most = points;
            best = i;
        }
    }
    return best;
}

static void bus_volts(const outcome *o, int bus, text *t) {
    const part_outcome *p = &o->parts[bus];
    part_sentence_name(o->aircraft, bus, t);
    if (!p->live) {
        text_put(t, " dead. ");
    } else if (o->settled == OUTCOME_CHATTERS && p->highest - p->lowest > 0.05) {
        text_put(t, " swings between ");
        words_figure(t, p->lowest, 1, "");
        text_put(t, " and ");
        words_figure(t, p->highest, 1, "V. ");
    } else {
        // Above the normal range of 30.3 V in a 28 V system (DO-160 section 16).
        bool high = p->volts > o->aircraft->nominal * 30.3 / 28.0;
        text_char(t, ' ');
        words_figure(t, p->volts, 1, high ? "V: too many volts for what hangs on it. " : "V. ");
    }
}

// Buses that are dead now and live in the base, the main one left out.
static void dead_buses(const outcome *o, const outcome *base, int main, text *t) {
    int dead = 0, live = 0;
    for (int i = 0; i < o->aircraft->part_count; i++)
        live += o->aircraft->parts[i].kind == KIND_BUS && o->parts[i].live;
    if (live == 0 && main >= 0) {
        text_put(t, "Every other bus dead. ");
        return;
    }
    for (int i = 0; base && i < o->aircraft->part_count; i++) {
        if (o->aircraft->parts[i].kind != KIND_BUS || i == main || o->parts[i].live ||
            !base->parts[i].live)
            continue;
        if (dead++ < DEAD_BUSES_NAMED) {
            part_sentence_name(o->aircraft, i, t);
            text_put(t, " dead. ");
        }
    }
    if (dead > DEAD_BUSES_NAMED) {
        text_int(t, dead - DEAD_BUSES_NAMED);
        text_put(t, dead - DEAD_BUSES_NAMED == 1 ? " more bus dead. " : " more buses dead. ");
    }
}

static bool on_line(source_mode m) {
    return m == SOURCE_IDLE || m == SOURCE_REGULATING || m == SOURCE_LIMITED;
}

static const source_outcome *source_in(const outcome *o, int which) {
    for (int i = 0; o && i < o->source_count; i++)
        if (o->sources[i].part == which)
            return &o->sources[i];
    return NULL;
}

// Joined to a bus or battery in the base and not any more: said first, since nothing else shows it.
static void alone(const outcome *o, const outcome *base, text *t) {
    for (int i = 0; base && i < o->source_count; i++) {
        const source_outcome *s = &o->sources[i];
        const source_outcome *was = source_in(base, s->part);
        if (s->battery || !on_line(s->mode) || !was || !on_line(was->mode))
            continue;
        bool cut_off = was->joins_bus && !s->joins_bus;
        if (!cut_off && (s->mode == SOURCE_IDLE || !was->joins_battery || s->joins_battery))
            continue;
        part_sentence_name(o->aircraft, s->part, t);
        if (cut_off) {
            text_put(t, " joined to no bus. ");
            continue;
        }
        // What magnetism is left in a generator excites it again.
        bool again = o->aircraft->parts[s->part].kind == KIND_GENERATOR;
        text_all(t, " carries its buses without a battery: it may go on, ",
                 again ? "" : "can't be restarted, ", "and its volts are not assured. ", NULL);
    }
}

static void sources(const outcome *o, const outcome *base, text *t) {
    for (int i = 0; i < o->source_count; i++) {
        const source_outcome *s = &o->sources[i];
        bool flows = s->battery && fabs(s->amps) >= 0.5;
        const source_outcome *was = source_in(base, s->part);
        bool lost =
            s->battery ? !o->parts[s->part].closed : !on_line(s->mode) && was && on_line(was->mode);
        bool idle = !s->battery && on_line(s->mode) && s->amps < 0.05 && was && was->amps >= 0.5;
        bool limited = !s->battery && s->mode == SOURCE_LIMITED;
        if (!flows && !lost && !limited && !idle)
            continue;
        part_sentence_name(o->aircraft, s->part, t);
        if (flows) {
            text_put(t, s->amps > 0 ? " discharging " : " charging ");
            words_figure(t, fabs(s->amps), 0, "A. ");
        } else {
            text_put(t, limited                     ? " at its limit. "
                        : s->mode == SOURCE_TRIPPED ? " tripped off line. "
                        : lost                      ? " off line. "
                                                    : " gives nothing. ");
        }
    }
}

static void engines(const outcome *o, const outcome *base, text *t) {
    for (int i = 0; base && i < o->aircraft->part_count; i++) {
        if (o->aircraft->parts[i].kind != KIND_ENGINE || o->parts[i].works || !base->parts[i].works)
            continue;
        part_sentence_name(o->aircraft, i, t);
        text_put(t, " gives no power. ");
    }
}

static bool same_hands(const outcome *o, const outcome *base) {
    for (int i = 0; i < o->aircraft->part_count; i++)
        if (o->state.setting[i] != base->state.setting[i])
            return false;
    return true;
}

// A motor that runs now and didn't, though nobody has moved anything: a contact is stuck.
static void unasked(const outcome *o, const outcome *base, text *t) {
    if (!base || !same_hands(o, base))
        return;
    for (int i = 0; i < o->aircraft->part_count; i++) {
        double amps = o->parts[i].amps;
        if (o->aircraft->parts[i].kind != KIND_MOTOR || amps < UNASKED_AMPS ||
            base->parts[i].amps >= UNASKED_AMPS ||
            2 * base->parts[i].amps >= item_amps(o->aircraft, &o->aircraft->parts[i]))
            continue;
        part_sentence_name(o->aircraft, i, t);
        text_put(t, " is powered though nobody asked for it, ");
        words_figure(t, amps, 0, "A. ");
    }
}

// What a path may carry for good; 0: nothing is said of it.
static double rated_amps(const part *p) {
    if (p->kind == KIND_DIODE)
        return part_number(p, KEY_VALUE, 0.0);
    bool contact = p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR;
    return contact ? part_number(p, KEY_RATING, 0.0) : 0.0;
}

// Diodes and contacts that carry far too much, all breakers that open being open.
static void burning(const outcome *o, text *t) {
    for (int i = 0; i < o->aircraft->part_count; i++) {
        double rating = rated_amps(&o->aircraft->parts[i]), amps = fabs(o->parts[i].amps);
        if (rating <= 0 || amps <= BURNS_FROM * rating)
            continue;
        part_sentence_name(o->aircraft, i, t);
        text_put(t, " carries ");
        words_figure(t, amps, 0, "A, made for ");
        words_figure(t, rating, 0, "A: it burns out, and what it then does isn't shown. ");
    }
}

static bool is_short(fault_kind f) {
    return f == FAULT_SHORT || f == FAULT_SHORTED || f == FAULT_DIODE_SHORTED;
}

// A short that goes on once all has opened that opens.
static void unprotected(const outcome *o, text *t) {
    bool shorted = false;
    for (int i = 0; i < o->state.fault_count; i++)
        shorted = shorted || is_short(o->state.faults[i].kind);
    double most = 0.0;
    for (int i = 0; shorted && i < o->source_count; i++) {
        const source_outcome *s = &o->sources[i];
        double hour = part_number(&o->aircraft->parts[s->part], KEY_CAPACITY, INFINITY) / 3600.0;
        if (s->battery && s->amps > SHORT_FROM * hour && s->amps > most)
            most = s->amps;
    }
    if (most <= 0)
        return;
    text_put(t, "No breaker or fuse stands in the way of ");
    words_figure(t, most, 0, "A: wires burn. ");
}

static bool working(item_status s) { return s == ITEM_ON || s == ITEM_WEAK; }

static void counted(int n, const char *what, text *t) {
    if (n == 0)
        return;
    text_int(t, n);
    text_all(t, n == 1 ? " item " : " items ", what, ". ", NULL);
}

// No item that is on is lost; what is switched off and wouldn't come on is said by its function.
static void idle_losses(const outcome *o, text *t) {
    int gone = 0;
    for (int i = 0; i < o->aircraft->function_count; i++) {
        const function_outcome *f = &o->functions[i];
        if (f->status != FUNCTION_LOST || f->base_status == FUNCTION_LOST)
            continue;
        if (gone < FUNCTIONS_NAMED) {
            text_put(t, gone ? ", " : "Nothing that is on is lost. No longer there if wanted: ");
            words_of_id(o->aircraft->functions[i].name, t);
        }
        gone++;
    }
    if (gone > FUNCTIONS_NAMED) {
        text_put(t, " and ");
        text_int(t, gone - FUNCTIONS_NAMED);
        text_put(t, " more");
    }
    text_put(t, gone ? ". " : "Nothing is lost. ");
}

static bool looks_as_normal(const indication *i) {
    if (i->valid != i->normal_valid)
        return false;
    double full = i->high > i->low ? i->high - i->low : fabs(i->normal);
    return !i->valid || fabs(i->figure - i->normal) <= EYE * full;
}

// A failure that takes nothing and moves no needle: found on the ground, if at all.
static void unseen(const outcome *o, const outcome *base, text *t) {
    bool same = base && o->state.fault_count > 0 && o->indication_count > 0 && same_hands(o, base);
    for (int i = 0; same && i < o->indication_count; i++)
        same = looks_as_normal(&o->indications[i]);
    for (int i = 0; same && i < o->aircraft->function_count; i++)
        same = o->functions[i].status == o->functions[i].base_status;
    if (same)
        text_put(t, "Nothing on the panel shows it. ");
}

static void items(const outcome *o, const outcome *base, text *t) {
    int lost = 0, weak = 0, blind = 0;
    for (int i = 0; i < o->aircraft->part_count; i++) {
        const part_outcome *p = &o->parts[i];
        lost += p->status == ITEM_OFF && p->base_status != ITEM_OFF;
        weak += p->status == ITEM_WEAK && p->base_status != ITEM_WEAK;
        blind += p->status == ITEM_NO_DATA && working(p->base_status);
    }
    counted(lost, "lost", t);
    counted(blind, "without data", t);
    counted(weak, "weak", t);
    if (!lost && !weak && !blind) {
        idle_losses(o, t);
        unseen(o, base, t);
    }
}

static bool flips(const aircraft *a, const part_outcome *parts, int which, bool contacts) {
    return parts[which].chatters && (!contacts || kind_class(a->parts[which].kind) == CLASS_PATH);
}

bool chatter_words(const aircraft *a, const part_outcome *parts, text *t) {
    int count = 0;
    bool contacts = false;
    for (int i = 0; i < a->part_count && !contacts; i++)
        contacts = flips(a, parts, i, true);
    for (int i = 0; i < a->part_count; i++) {
        if (!flips(a, parts, i, contacts))
            continue;
        if (count < CHATTERING_NAMED) {
            text_put(t, count ? ", " : "");
            part_name(a, i, t);
        }
        count++;
    }
    if (count > CHATTERING_NAMED) {
        text_put(t, " and ");
        text_int(t, count - CHATTERING_NAMED);
        text_put(t, " more");
    }
    return count > 0;
}

static void never_settles(const outcome *o, text *t) {
    text names = text_make(t->memory);
    text_put(t, "It never settles: parts switch on and off without end");
    if (chatter_words(o->aircraft, o->parts, &names))
        text_all(t, ": ", text_get(&names), NULL);
    text_put(t, ". ");
    t->failed = t->failed || names.failed;
    text_free(&names);
}

const char *outcome_sentence(const aircraft *a, const outcome *now, const outcome *base,
                             arena *memory) {
    text t = text_make(memory->memory);
    int bus = main_bus(a);
    if (bus >= 0)
        bus_volts(now, bus, &t);
    dead_buses(now, base, bus, &t);
    alone(now, base, &t);
    unasked(now, base, &t);
    sources(now, base, &t);
    unprotected(now, &t);
    burning(now, &t);
    engines(now, base, &t);
    items(now, base, &t);
    if (now->settled == OUTCOME_CHATTERS)
        never_settles(now, &t);
    else if (now->settled == OUTCOME_COLLAPSED)
        text_put(&t, "The volts gave way: what dropped out stays out. ");
    const char *kept = NULL;
    if (!t.failed && t.length > 0)
        kept = arena_text(memory, t.data, t.length - 1);  // without the last space
    text_free(&t);
    return kept;
}
