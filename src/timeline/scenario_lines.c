// What is written down of a scenario: lines for what happens, and what a pilot sees of it.
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "model/part_words.h"
#include "model/settings.h"
#include "part/item_draw.h"
#include "timeline/scenario_player.h"

static const char *keep(player *p, text *t) {
    const char *kept = arena_text(p->memory, text_get(t), t->length);
    if (t->failed)
        p->memory->failed = true;
    text_free(t);
    return kept ? kept : "";
}

static const char *named(player *p, int part) {
    text t = text_make(p->memory->memory);
    part_sentence_name(p->aircraft, part, &t);
    return keep(p, &t);
}

void player_line(player *p, const char *what, int part, int function, bool by_hand,
                 const char *words, ...) {
    text t = text_make(p->memory->memory);
    va_list parts;
    va_start(parts, words);
    text_put(&t, words);
    for (const char *s = va_arg(parts, const char *); s; s = va_arg(parts, const char *))
        text_put(&t, s);
    va_end(parts);
    log_line l = {what, part, function, keep(p, &t), by_hand};
    log_line *grown =
        arena_grow(&p->scratch, p->lines, &p->line_room, p->line_count + 1, sizeof *grown);
    if (!grown)
        return;
    p->lines = grown;
    p->lines[p->line_count++] = l;
    p->open = true;
}

// ---- what the scenario brings -------------------------------------------------------------------
static void setting_line(player *p, const scenario_change *c, const char *name) {
    const struct part *part = &p->aircraft->parts[c->part];
    const char *back = settings_springs_to(part, c->setting);
    player_line(p, "set", c->part, -1, true, name, back ? back[0] ? ": held at " : ": held " : ": ",
                c->word, back ? " from here on; let go, it springs back" : "",
                back && back[0] ? " to " : "", back ? back : "", ".", NULL);
    int breaker = p->solver->made->maps[c->part].breaker;
    const run_now *now = run_where(p->run);
    bool tripped = breaker >= 0 && now->tripped[breaker] && c->setting > 0;
    const char *page = part_text(part, KEY_HANDBOOK);
    if (tripped && page)
        player_line(p, "says", c->part, -1, true, "A tripped breaker is pushed in: handbook page ",
                    page, " decides whether, and how often.", NULL);
    else if (tripped)
        player_line(p, "says", c->part, -1, true,
                    "A tripped breaker is pushed in. It stays out unless the handbook says "
                    "otherwise: the wire behind it keeps its heat, and an arc isn't shown here.",
                    NULL);
}

void player_change_line(player *p, const scenario_change *c) {
    static const char *const FLAGS[] = {"airborne", "night", "cloud", "icing", "near the stall"};
    const char *name = c->part >= 0 && c->kind != CHANGE_PHASE ? named(p, c->part) : "";
    switch (c->kind) {
    case CHANGE_SET: setting_line(p, c, name); return;
    case CHANGE_FLAG:
        player_line(p, "set", -1, -1, true, c->setting > 0 ? "Now " : "No longer ", FLAGS[c->flag],
                    ".", NULL);
        return;
    case CHANGE_THROTTLE:
        player_line(p, "set", -1, -1, true, "Throttle ", c->word, ".", NULL);
        return;
    case CHANGE_AIRSPEED:
        player_line(p, "set", -1, -1, true, "Airspeed ", c->word, ".", NULL);
        return;
    case CHANGE_TEMPERATURE:
        player_line(p, "set", -1, -1, true, "Outside ", c->word, ".", NULL);
        return;
    case CHANGE_FAIL:
        player_line(p, "fails", c->part, -1, true, "Failure: ", name, ", ", c->word, ".", NULL);
        return;
    case CHANGE_REPAIR:
        player_line(p, "repaired", c->part, -1, true, name, ": no longer ", c->word, ".", NULL);
        return;
    case CHANGE_PHASE: player_line(p, "phase", -1, -1, true, "Phase: ", c->word, ".", NULL); return;
    }
}

// ---- what the circuit does ----------------------------------------------------------------------
static const char *volts_words(player *p, const run_now *now, int part) {
    text t = text_make(p->memory->memory);
    text_put(&t, " (");
    words_figure(&t, part_volts(now->settled, part), 1, "V");
    text_put(&t, ")");
    return keep(p, &t);
}

bool player_is_seen(const player *p, int which) {
    part_kind k = p->aircraft->parts[which].kind;
    return k == KIND_LIGHT || k == KIND_SOUNDER || k == KIND_AMMETER || k == KIND_LOADMETER ||
           k == KIND_VOLTMETER;
}

// It has its supply again and had none before, or a dip has just taken it: what it lacks is time.
static bool starts(const player *p, const run_event *e) {
    bool had_none = e->from == ITEM_OFF || e->from == ITEM_UNUSED || e->from == ITEM_NONE;
    bool restarts = part_number(&p->aircraft->parts[e->part], KEY_RESTARTS_IN, 0.0) > 0;
    return had_none ? restarts : e->from != ITEM_NO_DATA && run_restarts(p->run, e->part);
}

static void starts_line(player *p, const run_event *e) {
    text t = text_make(p->memory->memory);
    double seconds = part_number(&p->aircraft->parts[e->part], KEY_RESTARTS_IN, 0.0);
    text_int(&t, (int64_t)(seconds + 0.5));
    player_line(p, "restarts", e->part, -1, false, named(p, e->part),
                e->from == ITEM_OFF || e->from <= ITEM_WEAK ? " starts again, ready in "
                                                            : " starts, ready in ",
                keep(p, &t), " s.", NULL);
}

// A radio that goes off at the moment at which it could transmit no more doesn't receive either.
static void unsay_mute(player *p, int part) {
    int kept = 0;
    for (int i = 0; i < p->line_count; i++)
        if (p->lines[i].part != part || !text_equal(p->lines[i].what, "mute"))
            p->lines[kept++] = p->lines[i];
    p->line_count = kept;
}

static void status_line(player *p, const run_now *now, const run_event *e) {
    const struct part *part = &p->aircraft->parts[e->part];
    if (e->to == ITEM_OFF)
        unsay_mute(p, e->part);
    if (e->to == ITEM_NO_DATA && starts(p, e)) {
        starts_line(p, e);
        return;
    }
    // What a hand switches on is no news.
    if (player_is_seen(p, e->part) || e->to == ITEM_NONE ||
        (e->from != ITEM_OFF && e->from != ITEM_WEAK && e->from != ITEM_NO_DATA &&
         e->to == ITEM_ON))
        return;
    static const char *const WORDS[] = {"",      ": works",   ": weak",
                                        ": off", ": no data", ": switched off"};
    static const char *const WHAT[] = {"", "on", "weak", "off", "no-data", "unused"};
    bool volts = part->electric && (e->to == ITEM_WEAK || e->to == ITEM_OFF);
    player_line(p, WHAT[e->to], e->part, -1, e->to == ITEM_UNUSED, named(p, e->part), WORDS[e->to],
                volts ? volts_words(p, now, e->part) : "", ".", NULL);
}

static void function_line(player *p, const run_event *e) {
    const char *word = function_status_word((function_status)e->to);
    text t = text_make(p->memory->memory);
    words_of_id(p->aircraft->functions[e->part].name, &t);
    if (t.length > 0 && t.data[0] >= 'a' && t.data[0] <= 'z')
        t.data[0] = (char)(t.data[0] - 'a' + 'A');
    player_line(p, word, -1, e->part, false, keep(p, &t), ": ", word, ".", NULL);
}

static void hot_line(player *p, const char *what, int part, text *words) {
    const run_now *now = run_where(p->run);
    if (p->open && now->at > p->open_at)
        player_close(p);
    p->open_at = now->at;
    player_line(p, what, part, -1, false, named(p, part), keep(p, words), ".", NULL);
}

void player_wire_line(player *p, int part, double celsius, double limit) {
    text t = text_make(p->memory->memory);
    text_put(&t, " is at ");
    words_figure(&t, celsius, 0, "C");
    if (limit > 0) {
        text_put(&t, ", above the limit of ");
        words_figure(&t, limit, 0, "C");
        text_put(&t, " insulation");
    } else {
        text_put(&t, "; plain insulation holds 105 C");
    }
    hot_line(p, "hot", part, &t);
}

void player_heats_line(player *p, const warm_wire *w, double limit, double seconds) {
    text t = text_make(p->memory->memory);
    text_put(&t, " carries ");
    words_figure(&t, fabs(w->amps), 0, "A");
    text_put(&t, ": were that to last, it would be at ");
    words_figure(&t, limit, 0, "C");
    text_put(&t, ", the limit of plain insulation, in ");
    words_figure(&t, seconds, seconds < 1 ? 2 : seconds < 9.95 ? 1 : 0, "s");
    hot_line(p, "warms", w->part, &t);
}

static void trip_line(player *p, const run_event *e) {
    if (!e->to)
        return;
    player_line(p, "trips", e->part, -1, false, named(p, e->part), " opens by itself.", NULL);
    int wire = player_warmest_wire(p);
    if (wire >= 0)
        player_wire_line(p, p->wires[wire].part, p->wires[wire].celsius, 0.0);
}

void player_radio_line(player *p, const run_transmitter *t, bool mute) {
    text volts = text_make(p->memory->memory);
    text_put(&volts, " (");
    words_figure(&volts, t->volts, 1, "V");
    text_put(&volts, " while it transmits)");
    const char *kept = keep(p, &volts);
    player_line(p, mute ? "mute" : "transmits", t->part, -1, false, named(p, t->part),
                mute ? " still receives, but transmits no more" : " can transmit again",
                mute ? kept : "", ".", NULL);
}

static void mute_line(player *p, const run_now *now, const run_event *e) {
    for (int i = 0; i < now->transmitter_count; i++)
        if (now->transmitters[i].part == e->part && now->transmitters[i].volts > 0)
            player_radio_line(p, &now->transmitters[i], e->to != 0);
}

static void off_transmitting_line(player *p, const run_now *now, const run_event *e) {
    if (e->to == 0 || e->from != 0 || player_is_seen(p, e->part))
        return;
    const run_transmitter *t = &now->transmitters[e->to - 1];
    bool radio = t->watts > 0;
    if (t->part != e->part)  // of the radio itself it is told that it can't transmit
        player_line(p, radio ? "off-transmitting" : "off-running", e->part, -1, false,
                    named(p, e->part), ": off while ", named(p, t->part),
                    radio ? " transmits." : " runs.", NULL);
}

// Told once: from then on it goes on and off all the time.
static void pause_line(player *p, const run_now *now, int part) {
    const figure *every = part_figure(&p->aircraft->parts[part], KEY_EVERY);
    double duty = item_duty(p->aircraft, now->settled->asked, part);
    text t = text_make(p->memory->memory);
    text_put(&t, " pauses: it draws ");
    words_figure(&t, 100.0 * duty, 0, "%");
    text_put(&t, " of the time, and starts every ");
    words_figure(&t, every->value, 0, "s");
    if (every->basis == BASIS_ASSUMED)
        text_put(&t, " (assumed)");
    player_line(p, "pauses", part, -1, false, named(p, part), keep(p, &t), ".", NULL);
}

// A part that chatters does so in more than one respect: device, status.
static bool has_line(const player *p, const char *what, int part) {
    for (int i = 0; i < p->line_count && p->open; i++)
        if (p->lines[i].part == part && text_equal(p->lines[i].what, what))
            return true;
    return false;
}

void player_event(void *ctx, const run_now *now, const run_event *e) {
    player *p = ctx;
    if (p->open && e->at > p->open_at)
        player_close(p);
    p->open_at = e->at;
    switch (e->kind) {
    case RUN_STATUS: status_line(p, now, e); return;
    case RUN_FUNCTION: function_line(p, e); return;
    case RUN_LIT:
        player_line(p, e->to ? "lit" : "out", e->part, -1, false, named(p, e->part),
                    e->to ? " comes on." : " goes out.", NULL);
        return;
    case RUN_TRIPS: trip_line(p, e); return;
    case RUN_EXHAUSTED:
        if (e->to)
            player_line(p, "exhausted", e->part, -1, false, named(p, e->part), " is exhausted.",
                        NULL);
        return;
    case RUN_CHATTERS:
        if (!has_line(p, "chatters", e->part))
            player_line(p, "chatters", e->part, -1, false, named(p, e->part), " chatters.", NULL);
        return;
    case RUN_CYCLES:
        if (e->to == 0 && e->from != 0)
            pause_line(p, now, e->part);
        return;
    case RUN_MUTE: mute_line(p, now, e); return;
    case RUN_OFF_TRANSMITTING: off_transmitting_line(p, now, e); return;
    case RUN_DEVICE:
    case RUN_HAPPENS:
    case RUN_DROPS_OUT:
    case RUN_LATCH:
    case RUN_WATCHED: return;
    }
}

static bool is_up(source_mode m) {
    return m == SOURCE_REGULATING || m == SOURCE_LIMITED || m == SOURCE_IDLE;
}

static void source_line(player *p, const source_outcome *s, source_mode before) {
    static const char *const WORDS[] = {
        " gives nothing",
        " turns, but has no field",
        " is taken off by its over-voltage relay",
        " gives nothing: something else holds the volts above its set point",
        " holds the volts",
        " is at its limit",
        "",
        ""};
    if (s->battery || (!is_up(before) && (s->mode == SOURCE_OFF || s->mode == SOURCE_NO_FIELD)))
        return;
    static const char *const WHAT[] = {"source-off", "no-field", "over-volts", "idle",
                                       "regulating", "limited",  "",           ""};
    bool off_bus = is_up(s->mode) && !s->joins_bus;
    player_line(p, off_bus ? "off-bus" : WHAT[s->mode], s->part, -1, false, named(p, s->part),
                off_bus ? " turns, joined to no bus" : WORDS[s->mode], ".", NULL);
}

void player_contacts(player *p, const run_now *now) {
    bool first = !p->sources_known;
    for (int i = 0; i < p->aircraft->part_count; i++) {
        part_kind kind = p->aircraft->parts[i].kind;
        if (kind != KIND_RELAY && kind != KIND_CONTACTOR && kind != KIND_BATTERY)
            continue;
        uint8_t closed = player_contact_closed(now->settled, i);
        if (!first && closed != p->contacts[i])
            player_line(p, closed ? "closes" : "opens", i, -1, false, named(p, i),
                        kind == KIND_BATTERY
                            ? closed ? " is on line again." : " disconnects itself."
                        : closed ? " closes."
                                 : " opens.",
                        NULL);
        p->contacts[i] = closed;
    }
}

void player_sources(player *p, const run_now *now) {
    p->source_count = snapshot_sources(now->settled, p->parts, p->sources);
    if (p->open && now->at > p->open_at)
        player_close(p);
    p->open_at = now->at;
    player_contacts(p, now);
    for (int i = 0; p->sources_known && i < p->source_count; i++)
        if (p->sources[i].mode != p->before[i].mode ||
            (is_up(p->sources[i].mode) && p->sources[i].joins_bus != p->before[i].joins_bus))
            source_line(p, &p->sources[i], p->before[i].mode);
    p->sources_known = true;
    source_outcome *swapped = p->before;
    p->before = p->sources;
    p->sources = swapped;
}

// ---- what is seen -------------------------------------------------------------------------------
// Two readings of a needle closer than this look the same: 5 % of the scale and 2 A, 0.5 V on a
// 28 V aeroplane and half of that on a 14 V one. Choices.
static double apart(const player *p, const indication *i) {
    if (!i->unit || strcmp(i->unit, "V") == 0)
        return aircraft_is_28(p->aircraft) ? 0.5 : 0.25;
    double scale = 0.05 * (i->high - i->low);
    return scale > 2.0 ? scale : 2.0;
}

static bool news(const player *p, const indication *i) {
    const char *last = p->last_reading[i->part];
    if (!last)
        return true;
    if (text_equal(last, i->reading))
        return false;
    return !i->unit || !i->valid || fabs(i->figure - p->last_figure[i->part]) >= apart(p, i);
}

// A light that is out at the beginning is no news.
static bool quiet(const player *p, const indication *i) {
    return !p->last_reading[i->part] && i->figure == 0 && !i->unit &&
           (p->aircraft->parts[i->part].kind == KIND_LIGHT ||
            p->aircraft->parts[i->part].kind == KIND_SOUNDER);
}

static int see(player *p, const outcome *o, log_sight *sights) {
    int count = 0;
    for (int i = 0; i < o->indication_count; i++) {
        const indication *one = &o->indications[i];
        if (!news(p, one))
            continue;
        const char *reading = arena_text(p->memory, one->reading, strlen(one->reading));
        if (!reading)
            return count;
        if (!quiet(p, one))
            sights[count++] = (log_sight){one->part, reading};
        p->last_reading[one->part] = reading;
        p->last_figure[one->part] = one->figure;
    }
    return count;
}

// Gauges that told that they were dead and now say nothing: they work again.
static int see_again(player *p, const outcome *o, log_sight *sights, int count) {
    for (int part = 0; part < p->aircraft->part_count; part++) {
        bool there = false;
        for (int i = 0; i < o->indication_count && !there; i++)
            there = o->indications[i].part == part;
        if (there || !p->last_reading[part])
            continue;
        p->last_reading[part] = NULL;
        if (o->parts[part].status == ITEM_ON)
            sights[count++] = (log_sight){part, "works again"};
    }
    return count;
}

void player_close(player *p) {
    const run_now *now = run_where(p->run);
    outcome *o = NULL;
    if (!p->open)
        return;
    p->open = false;
    if (snapshot_make(p->solver, now->settled, &o) != STATUS_OK) {
        p->memory->failed = true;
        return;
    }
    log_sight *sights =
        arena_new(p->memory, 2 * (size_t)p->aircraft->part_count + 1, sizeof *sights);
    log_line *lines = arena_new(p->memory, (size_t)p->line_count + 1, sizeof *lines);
    log_entry *grown =
        arena_grow(p->memory, p->entries, &p->entry_room, p->log->entry_count + 1, sizeof *grown);
    if (sights && lines && grown) {
        if (p->line_count > 0)
            memcpy(lines, p->lines, (size_t)p->line_count * sizeof *lines);
        p->log->entries = p->entries = grown;
        log_entry *e = &grown[p->log->entry_count++];
        *e = (log_entry){p->open_at, lines, p->line_count, sights, 0};
        e->sight_count = see_again(p, o, sights, see(p, o, sights));
    }
    p->line_count = 0;
    outcome_free(o);
}

// ---- answers ------------------------------------------------------------------------------------
static const char *share_words(player *p, double share) {
    text t = text_make(p->memory->memory);
    words_figure(&t, 100 * share, 0, "%");
    return keep(p, &t);
}

static const char *part_state(player *p, const outcome *o, int part) {
    const struct part *x = &p->aircraft->parts[part];
    const run_now *now = run_where(p->run);
    for (int i = 0; i < o->indication_count; i++)
        if (o->indications[i].part == part)
            return arena_text(p->memory, o->indications[i].reading,
                              strlen(o->indications[i].reading));
    for (int i = 0; i < now->battery_count; i++)
        if (now->batteries[i].part == part)
            return share_words(
                p, battery_fraction(&now->batteries[i].model, now->batteries[i].charge));
    part_class c = kind_class(x->kind);
    text t = text_make(p->memory->memory);
    if (c == CLASS_ITEM || x->kind == KIND_CONVERTER)
        text_put(&t, item_status_word(o->parts[part].status));
    else if (c == CLASS_SOURCE)
        words_figure(&t, o->parts[part].amps, 0, "A");
    else if (c == CLASS_POINT)
        words_figure(&t, part_volts(now->settled, part), 1, "V");
    else if (x->kind == KIND_RELAY || x->kind == KIND_CONTACTOR)
        text_put(&t, o->parts[part].closed ? "closed" : "open");
    else
        text_put(&t, o->parts[part].closed ? "in" : "out");
    return keep(p, &t);
}

void player_answer_now(player *p, log_answer *a) {
    outcome *o = NULL;
    const scenario_question *q = a->question;
    if (snapshot_make(p->solver, run_where(p->run)->settled, &o) != STATUS_OK) {
        p->memory->failed = true;
        return;
    }
    log_fact *facts = arena_new(p->memory, (size_t)q->about_count + 1, sizeof *facts);
    for (int i = 0; facts && i < q->about_count; i++) {
        scenario_thing t = q->about[i];
        const char *words = t.part >= 0 ? part_state(p, o, t.part)
                                        : function_status_word(o->functions[t.function].status);
        facts[a->fact_count++] = (log_fact){t, words ? words : ""};
    }
    a->facts = facts;
    a->looked = run_where(p->run)->at;
    outcome_free(o);
}
