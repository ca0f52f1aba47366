#include "draw/board.h"

#include <string.h>

#include "draw/board_parts.h"
#include "draw/board_words.h"

#define SMALLEST_AMPS 0.0005

static const part_outcome *outcome_of(const board *b, int which) {
    return &b->outcome->parts[which];
}

fault_kind board_fault(const board *b, int which) {
    const state *s = &b->outcome->state;
    for (int i = 0; i < s->fault_count; i++)
        if (s->faults[i].part == which)
            return s->faults[i].kind;
    return FAULT_NONE;
}

static bool selected(const board *b, const graph_edge *e) {
    return e->position < 0 || (int)b->outcome->state.setting[e->part] == e->position;
}

bool board_edge_closed(const board *b, int edge) {
    const graph_edge *e = &b->topology->graph->edges[edge];
    const part_outcome *o = outcome_of(b, e->part);
    // A source that stands between two points conducts as long as it is whole.
    if (part_is_source(&b->aircraft->parts[e->part]) ||
        kind_class(b->aircraft->parts[e->part].kind) == CLASS_POINT)
        return true;
    const part *p = &b->aircraft->parts[e->part];
    if (board_fault(b, e->part) != FAULT_NONE)
        return o->closed;
    if (e->position >= 0)
        return selected(b, e) && o->closed;
    // A plain switch in a hand: its position says it.
    if (p->kind == KIND_SWITCH && p->hand && !part_positions(p))
        return b->outcome->state.setting[e->part] >= 0.5;
    return o->closed;
}

double board_amps_from(const board *b, int edge, int point) {
    const graph_edge *e = &b->topology->graph->edges[edge];
    if (!selected(b, e))
        return 0;
    double amps = outcome_of(b, e->part)->amps;
    return e->a == point ? amps : -amps;
}

int board_tenths(double amps) { return (int)(amps < 0 ? amps * 10 - 0.5 : amps * 10 + 0.5); }

void board_apportion(const double *values, int count, int sum, int *tenths) {
    int given = 0;
    for (int i = 0; i < count; i++) {
        tenths[i] = (int)(values[i] * 10);
        given += tenths[i];
    }
    // At most one tenth more for each, largest remainder first; at a tie the upper one.
    for (; given < sum; given++) {
        int best = -1;
        double most = -1;
        for (int i = 0; i < count; i++) {
            double rest = values[i] * 10 - tenths[i];
            if (values[i] >= SMALLEST_AMPS && rest > most && rest < 1) {
                most = rest;
                best = i;
            }
        }
        if (best < 0 || most < 0)
            return;
        tenths[best]++;
    }
}

// ---- what is live ----------------------------------------
static power power_of(const part_outcome *o) {
    return !o->live ? POWER_DEAD : o->draining ? POWER_DRAINING : POWER_LIVE;
}

static bool stronger(power a, power b) { return a < b; }

static void spread_power(board *b, bool *fixed) {
    const power_graph *g = b->topology->graph;
    bool changed = true;
    while (changed) {
        changed = false;
        for (int i = 0; i < g->edge_count; i++) {
            const graph_edge *e = &g->edges[i];
            if (!board_edge_closed(b, i))
                continue;
            bool one_way = b->aircraft->parts[e->part].kind == KIND_DIODE;
            for (int way = 0; way < (one_way ? 1 : 2); way++) {
                int from = way ? e->b : e->a, to = way ? e->a : e->b;
                if (from == AIRFRAME_POINT || to == AIRFRAME_POINT || fixed[to] ||
                    !stronger(b->points[from], b->points[to]))
                    continue;
                b->points[to] = b->points[from];
                changed = true;
            }
        }
    }
}

static bool find_power(board *b) {
    const power_graph *g = b->topology->graph;
    b->points = arena_new(b->memory, (size_t)g->point_count, sizeof *b->points);
    bool *fixed = arena_new(b->memory, (size_t)g->point_count, sizeof *fixed);
    if (!b->points || !fixed)
        return false;
    for (int i = 0; i < g->point_count; i++)
        b->points[i] = POWER_DEAD;
    for (int i = 0; i < b->aircraft->part_count; i++) {
        part_class c = kind_class(b->aircraft->parts[i].kind);
        int point = g->own[i];
        if (point <= AIRFRAME_POINT || (c != CLASS_POINT && c != CLASS_SOURCE))
            continue;
        power w = power_of(outcome_of(b, i));
        if (!fixed[point] || stronger(w, b->points[point]))
            b->points[point] = w;
        fixed[point] = true;
    }
    spread_power(b, fixed);
    return true;
}

// ---- words of paths ----------------------------------------
static bool pulled(const board *b, int which) { return b->outcome->state.setting[which] < 0.5; }

const char *board_path_word(const board *b, int edge) {
    int which = b->topology->graph->edges[edge].part;
    const part *p = &b->aircraft->parts[which];
    fault_kind wrong = board_fault(b, which);
    bool closed = board_edge_closed(b, edge);
    if (p->wire >= 0 && board_fault(b, p->wire) == FAULT_OPEN)
        return "wire open";
    switch (p->kind) {
    case KIND_BREAKER:
        if (outcome_of(b, which)->tripped || wrong == FAULT_TRIPPED || wrong == FAULT_TRIPS_EARLY)
            return closed ? "" : "out, tripped";
        if (closed)
            return outcome_of(b, which)->may_trip ? "may trip" : "";
        return p->fitted & FITTED_COLLARED ? "out, collared"
               : pulled(b, which)          ? "out, pulled"
                                           : "out";
    case KIND_FUSE:
    case KIND_LIMITER: return closed ? "" : pulled(b, which) ? "out" : "blown";
    default: break;
    }
    if (wrong == FAULT_STUCK_OPEN || wrong == FAULT_STUCK_CLOSED || wrong == FAULT_COIL_OPEN ||
        wrong == FAULT_OPEN || wrong == FAULT_SHORTED || wrong == FAULT_SHORT ||
        wrong == FAULT_RESISTIVE)
        return wrong == FAULT_STUCK_OPEN     ? "stuck open"
               : wrong == FAULT_STUCK_CLOSED ? "stuck closed"
               : wrong == FAULT_COIL_OPEN    ? "coil open"
               : wrong == FAULT_RESISTIVE    ? "poor contact"
                                             : fault_word(wrong);
    if (closed)
        return "";
    if (p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR)
        return "open";
    return p->kind == KIND_DIODE ? "blocks" : "off";
}

static symbol_id path_symbol(part_kind k, bool closed) {
    switch (k) {
    case KIND_BREAKER: return closed ? SYMBOL_BREAKER : SYMBOL_BREAKER_OUT;
    case KIND_FUSE: return closed ? SYMBOL_FUSE : SYMBOL_FUSE_BLOWN;
    case KIND_LIMITER: return closed ? SYMBOL_LIMITER : SYMBOL_FUSE_BLOWN;
    case KIND_SWITCH: return closed ? SYMBOL_SWITCH : SYMBOL_SWITCH_OPEN;
    case KIND_RELAY:
    case KIND_CONTACTOR: return closed ? SYMBOL_CONTACT : SYMBOL_CONTACT_OPEN;
    case KIND_DIODE: return SYMBOL_DIODE;
    case KIND_SHUNT: return SYMBOL_SHUNT;
    case KIND_RESISTOR: return SYMBOL_RESISTOR;
    case KIND_DIMMER: return closed ? SYMBOL_DIMMER : SYMBOL_DIMMER_OPEN;
    case KIND_BATTERY: return SYMBOL_BATTERY;
    default: return SYMBOL_JOINT;
    }
}

symbol_shape board_path_symbol(const board *b, int edge) {
    const graph_edge *e = &b->topology->graph->edges[edge];
    part_kind kind = b->aircraft->parts[e->part].kind;
    bool closed = board_edge_closed(b, edge);
    power before = b->points[e->a], after = b->points[e->b];
    symbol_shape s = {.id = path_symbol(kind, closed), .part = e->part};
    s.power = stronger(after, before) ? after : before;
    if (kind == KIND_DIODE && !closed)
        s.power = POWER_DEAD;
    // What a hand or a fault has opened stands out in ink, whatever is live around it.
    s.ink = !closed &&
            (kind == KIND_BREAKER || kind == KIND_SWITCH || kind == KIND_FUSE ||
             kind == KIND_LIMITER || kind == KIND_CONTACTOR || kind == KIND_RELAY) &&
            s.power != POWER_DEAD;
    fault_kind wrong = board_fault(b, e->part);
    s.warn = wrong != FAULT_NONE && wrong != FAULT_TRIPPED;
    return s;
}

// ---- figures of rows ----------------------------------------
// Current into a stop of which the outcome keeps no figure (coil, field, sense wire, one of several
// feeds): what the point leaves over, shared by what each would draw.
static double share_of(const board *b, const graph_stop *s) {
    const part *p = &b->aircraft->parts[s->part];
    const part_outcome *o = outcome_of(b, s->part);
    switch (s->kind) {
    case STOP_COIL: return o->energized ? part_number(p, KEY_COIL, 0) : 1e-6;
    case STOP_FIELD: return part_number(p, KEY_FIELD, 1);
    case STOP_SENSE: return 1e-6;
    default: return o->amps > 0 ? o->amps : 1e-6;
    }
}

static bool has_figure(const board *b, const graph_stop *s) {
    const reference_list *from = part_references(&b->aircraft->parts[s->part], KEY_FROM);
    return s->kind == STOP_SOURCE || (s->kind == STOP_ITEM && !(from && from->count > 1));
}

// A short at the point itself takes what nothing else does.
static bool shorted_at(const board *b, int point) {
    for (int i = 0; i < b->aircraft->part_count; i++)
        if (b->topology->graph->own[i] == point && board_fault(b, i) == FAULT_SHORT)
            return true;
    return false;
}

static double left_over(const board *b, const graph_stop *wanted) {
    const power_graph *g = b->topology->graph;
    double in = 0, shares = 0;
    for (int i = g->first[wanted->point]; i < g->first[wanted->point + 1]; i++) {
        int k = g->at[i];
        if (graph_is_edge(g, k)) {
            in -= board_amps_from(b, k, wanted->point);
            continue;
        }
        const graph_stop *s = graph_stop_at(g, k);
        if (s->kind == STOP_SOURCE)
            in += outcome_of(b, s->part)->amps;
        else if (has_figure(b, s))
            in -= outcome_of(b, s->part)->amps;
        else
            shares += share_of(b, s);
    }
    if (shorted_at(b, wanted->point))
        return 0;
    // What an outlet or converter hands on isn't seen here.
    double amps = shares > 0 ? in * share_of(b, wanted) / shares : 0;
    return amps < SMALLEST_AMPS ? 0 : amps;
}

static stop_kind stop_of_end(row_end e) {
    switch (e) {
    case END_SECOND: return STOP_SECOND;
    case END_COIL: return STOP_COIL;
    case END_FIELD: return STOP_FIELD;
    case END_SENSE: return STOP_SENSE;
    case END_SOURCE: return STOP_SOURCE;
    default: return STOP_ITEM;
    }
}

static double row_amps(const board *b, const row *r) {
    const power_graph *g = b->topology->graph;
    if (r->end == END_STRIP || r->end == END_JOIN || r->end == END_GROUND) {
        // Of the edge, from its far end on.
        return r->last >= 0 ? -board_amps_from(b, r->last, r->point) : 0;
    }
    if (r->part < 0 || r->end == END_NOTHING || r->end == END_PATH)
        return 0;
    for (int i = g->first[r->point]; i < g->first[r->point + 1]; i++) {
        int k = g->at[i];
        if (graph_is_edge(g, k) || graph_stop_at(g, k)->part != r->part ||
            graph_stop_at(g, k)->kind != stop_of_end(r->end))
            continue;
        const graph_stop *s = graph_stop_at(g, k);
        return has_figure(b, s) ? outcome_of(b, r->part)->amps : left_over(b, s);
    }
    return 0;
}

// True if a row hangs behind a converter: its amps are at other volts, and no part of the sum.
static bool behind_converter(const board *b, const row *r) {
    while (r->joint == JOINT_UNDER || r->from >= 0) {
        if (r->from < 0)
            return false;
        r = &b->topology->rows[r->from];
        if (r->end == END_ITEM && b->aircraft->parts[r->part].kind == KIND_CONVERTER)
            return true;
    }
    return false;
}

static void number_value(const board *b, row_view *v, double amps) {
    v->numeric = true;
    v->amps = amps;
    v->value_bold = true;
    v->value = NULL;  // written once the column is rounded
    (void)b;
}

static void word_value(row_view *v, const char *word, bool bold, tone value_tone) {
    v->value = word;
    v->value_bold = bold;
    v->value_tone = value_tone;
}

// The first symbol of the row (or one that it shares) that is open and why, "" if none is.
static const char *open_word(const board *b, const row *r, bool *own) {
    *own = false;
    if (r->first >= 0 && !board_edge_closed(b, r->first)) {
        *own = r->joint == JOINT_BAR;
        return board_path_word(b, r->first);
    }
    if (r->second >= 0 && !board_edge_closed(b, r->second)) {
        *own = r->joint != JOINT_SECOND;
        return board_path_word(b, r->second);
    }
    if (r->third >= 0 && !board_edge_closed(b, r->third)) {
        *own = true;
        return board_path_word(b, r->third);
    }
    return "";
}

static void item_value(const board *b, const row *r, row_view *v) {
    const part *p = &b->aircraft->parts[r->part];
    const part_outcome *o = outcome_of(b, r->part);
    fault_kind wrong = board_fault(b, r->part);
    fault_kind wire = p->wire >= 0 ? board_fault(b, p->wire) : FAULT_NONE;
    v->wire_open = wire == FAULT_OPEN;
    v->failed = wrong != FAULT_NONE;
    // One with several feeds stands on each of their buses: here is what it takes from this one.
    const reference_list *from = part_references(p, KEY_FROM);
    bool shared = from && from->count > 1;
    double amps = shared ? row_amps(b, r) : o->amps;
    if (wire != FAULT_NONE) {
        word_value(v,
                   wire == FAULT_OPEN    ? "wire open"
                   : wire == FAULT_SHORT ? "wire shorted"
                                         : "poor joint",
                   true, TONE_WARN);
        v->amps = amps;
    } else if (wrong != FAULT_NONE) {
        word_value(v, wrong == FAULT_OPEN ? "failed" : fault_word(wrong), true, TONE_WARN);
        v->amps = amps;
    } else if (o->chatters) {
        word_value(v, "chatters", true, TONE_WARN);
    } else if (p->kind == KIND_OUTLET) {
        word_value(v, "", false, TONE_QUIET);
    } else if (behind_converter(b, r)) {
        word_value(v,
                   o->works                ? "on"
                   : o->status == ITEM_OFF ? "\xE2\x80\x93"
                                           : "off",
                   false, TONE_QUIET);
    } else if (amps >= SMALLEST_AMPS || amps <= -SMALLEST_AMPS) {
        number_value(b, v, amps);
    } else if (shared && o->works && v->at_end != POWER_DEAD) {
        word_value(v, "0", false, TONE_QUIET);
    } else if (o->status == ITEM_UNUSED) {
        word_value(v, "off", false, TONE_QUIET);
    } else if (o->status == ITEM_OFF || v->at_end == POWER_DEAD) {
        word_value(v, o->wanted && o->base_status != ITEM_UNUSED ? "\xE2\x80\x93" : "off", false,
                   TONE_QUIET);
    } else {
        word_value(v,
                   p->kind == KIND_LIGHT     ? "out"
                   : p->kind == KIND_SOUNDER ? "silent"
                                             : "idle",
                   false, TONE_QUIET);
    }
}

static void source_value(const board *b, const row *r, row_view *v) {
    const part_outcome *o = outcome_of(b, r->part);
    v->amps = -o->amps;
    if (board_fault(b, r->part) != FAULT_NONE) {
        v->failed = true;
        word_value(v, "failed", true, TONE_WARN);
        return;
    }
    bool cart = b->aircraft->parts[r->part].kind == KIND_EXTERNAL_POWER;
    if (cart && b->outcome->state.setting[r->part] < 0.5) {
        word_value(v, "not there", false, TONE_QUIET);
    } else if (o->amps < 0.05 && o->amps > -0.05) {
        word_value(v, "gives 0", false, TONE_QUIET);
    } else {
        const char *words[2] = {
            o->amps < 0 ? "takes " : "gives ",
            words_tenths(b->memory, board_tenths(o->amps < 0 ? -o->amps : o->amps))};
        word_value(v, words_join(b->memory, words, 2), true, TONE_INK);
    }
}

static void row_powers(const board *b, const row *r, row_view *v) {
    const topology *t = b->topology;
    const power_graph *g = t->graph;
    int bar = t->strips[r->strip].point;
    v->at_bar = b->points[bar];
    v->after_first = v->at_bar;
    int point = bar;
    if (r->first >= 0) {
        point = graph_far(g, r->first, point);
        v->after_first = b->points[point];
    }
    v->after_second = v->after_first;
    if (r->level > 0) {
        v->at_bar = v->after_first = b->points[r->point];
        if (r->second >= 0) {
            int a = g->edges[r->second].a, other = g->edges[r->second].b;
            point = r->point == a ? other : a;
            v->after_first = b->points[point];
        }
        v->after_second = b->points[r->point];
    } else if (r->second >= 0) {
        v->after_second = b->points[graph_far(g, r->second, point)];
    }
    v->at_end = r->third >= 0 ? b->points[r->point] : v->after_second;
}

static void row_value(const board *b, const row *r, row_view *v) {
    bool own;
    const char *word = open_word(b, r, &own);
    v->name_tone = TONE_INK;
    v->value_tone = TONE_INK;
    v->value = "";
    if (r->end == END_ITEM)
        item_value(b, r, v);
    else if (r->end == END_SOURCE)
        source_value(b, r, v);
    else if (r->end == END_NOTHING)
        word_value(v,
                   r->part >= 0 && (b->aircraft->parts[r->part].fitted & FITTED_SPARE) ? "spare"
                                                                                       : "no load",
                   false, TONE_QUIET);
    else if (r->end != END_PATH) {
        double amps = row_amps(b, r);
        if (amps < SMALLEST_AMPS && amps > -SMALLEST_AMPS)
            word_value(v, v->at_end == POWER_DEAD ? "\xE2\x80\x93" : "0", false, TONE_QUIET);
        else if (r->end == END_JOIN)
            word_value(v,
                       words_join(b->memory,
                                  (const char *const[]){
                                      "(", words_tenths(b->memory, board_tenths(amps)), ")"},
                                  3),
                       false, TONE_INK);
        else
            number_value(b, v, amps);
    }
    // A breaker that is out is said where it stands, in ink; so is a failed switch.
    if (own && !v->failed && !v->wire_open && strcmp(word, "off") != 0 &&
        strcmp(word, "open") != 0 && strcmp(word, "blocks") != 0 && r->end != END_NOTHING)
        word_value(v, word, true, TONE_INK);
    else if (!v->numeric && (strcmp(word, "off") == 0 || strcmp(word, "open") == 0) && own &&
             r->end != END_ITEM && r->end != END_SOURCE)
        word_value(v, "off", false, TONE_QUIET);
    bool quiet = v->at_end == POWER_DEAD ||
                 (!v->numeric && v->value_tone == TONE_QUIET && r->end == END_ITEM && *v->value &&
                  strcmp(v->value, "off") == 0);
    if (quiet)
        v->name_tone = TONE_QUIET;
}

// ---- columns ----------------------------------------
static bool counts(const row_view *v) { return v->numeric && v->amps > 0; }

double board_strip_amps(const board *b, int which) {
    const strip *s = &b->topology->strips[which];
    double sum = 0;
    for (int i = s->first_row; i < s->first_row + s->row_count; i++)
        sum += counts(&b->rows[i]) ? b->rows[i].amps : 0;
    return sum;
}

static void round_strip(board *b, int which) {
    const strip *s = &b->topology->strips[which];
    strip_view *view = &b->strips[which];
    double *values = arena_new(b->memory, (size_t)s->row_count + 1, sizeof *values);
    int *tenths = arena_new(b->memory, (size_t)s->row_count + 1, sizeof *tenths);
    if (!values || !tenths)
        return;
    for (int i = 0; i < s->row_count; i++) {
        const row_view *v = &b->rows[s->first_row + i];
        values[i] = counts(v) ? v->amps : 0;
    }
    if (!view->has_total)
        view->total = board_tenths(board_strip_amps(b, which));
    view->has_total = true;
    board_apportion(values, s->row_count, view->total, tenths);
    for (int i = 0; i < s->row_count; i++) {
        row_view *v = &b->rows[s->first_row + i];
        if (!v->numeric)
            continue;
        v->tenths = counts(v) ? tenths[i] : board_tenths(v->amps);
        v->value =
            v->tenths ? words_tenths(b->memory, v->tenths) : words_small_amps(b->memory, v->amps);
    }
}

static void view_strip(board *b, int which) {
    const strip *s = &b->topology->strips[which];
    strip_view *v = &b->strips[which];
    v->power = b->points[s->point];
    v->name = words_strip(b, which);
    v->volts = "";
    if (s->part < 0)
        return;
    const part_outcome *o = outcome_of(b, s->part);
    if (o->chatters) {
        const char *words[4] = {words_volts(b->memory, o->lowest), " to ",
                                words_volts(b->memory, o->highest), ", chatters"};
        v->volts = words_join(b->memory, words, 4);
    } else if (v->power == POWER_DEAD) {
        v->volts = "dead, 0\xC2\xA0V";
    } else {
        v->volts = words_volts(b->memory, o->volts);
    }
    v->volts_tone = v->power == POWER_DEAD       ? TONE_QUIET
                    : v->power == POWER_DRAINING ? TONE_DRAINING
                                                 : TONE_INK;
}

const board *board_make(arena *memory, const topology *t, const outcome *o) {
    board *b = arena_new(memory, 1, sizeof *b);
    if (!b)
        return NULL;
    *b = (board){.memory = memory, .aircraft = t->aircraft, .topology = t, .outcome = o};
    b->rows = arena_new(memory, (size_t)t->row_count + 1, sizeof *b->rows);
    b->strips = arena_new(memory, (size_t)t->strip_count + 1, sizeof *b->strips);
    if (!b->rows || !b->strips || !find_power(b))
        return NULL;
    for (int i = 0; i < t->strip_count; i++)
        view_strip(b, i);
    for (int i = 0; i < t->row_count; i++) {
        row_powers(b, &t->rows[i], &b->rows[i]);
        row_value(b, &t->rows[i], &b->rows[i]);
    }
    if (!board_round_mains(b))
        return NULL;
    for (int i = 0; i < t->strip_count; i++)
        round_strip(b, i);
    for (int i = 0; i < t->row_count; i++)
        words_row(b, i, &b->rows[i]);
    return memory->failed ? NULL : b;
}
