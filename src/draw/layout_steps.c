// Words beside sources and beside the parts in line below them.
#include <string.h>

#include "draw/layout_parts.h"
#include "draw/text_width.h"

static const part_outcome *of(const layout *l, int which) { return &l->b->outcome->parts[which]; }

static const source_outcome *source_of(const layout *l, int which) {
    for (int i = 0; i < l->b->outcome->source_count; i++)
        if (l->b->outcome->sources[i].part == which)
            return &l->b->outcome->sources[i];
    return NULL;
}

// What comes into a main bus, rounded so that it makes the sum that stands at the bus. `source`:
// its part, or -1 for the chain. Without a common sum each figure is rounded by itself.
static int inflow_tenths(layout *l, int which_main, int source, double amps) {
    double values[LANDINGS_MOST];
    int tenths[LANDINGS_MOST], count = 0, found = -1;
    const char *words, *longest;
    int bus = l->t->mains[which_main], plain = 0;
    int sum = layout_main_sum(l, which_main, &words, &longest);
    for (int i = 0; i < l->t->source_count && count < LANDINGS_MOST - 1; i++) {
        const run *r = &l->t->sources[i];
        if (r->strips[r->count] != bus || of(l, r->part)->amps <= 0)
            continue;
        found = r->part == source ? count : found;
        values[count++] = of(l, r->part)->amps;
    }
    double chain = which_main == 0 && l->t->has_chain ? layout_chain_flow(l) : 0;
    if (chain > 0) {
        found = source < 0 ? count : found;
        values[count++] = chain;
    }
    sum -= layout_tie_tenths(l, which_main);
    for (int i = 0; i < count; i++)
        plain += (int)(values[i] * 10);
    if (found < 0 || sum < plain || sum > plain + count)
        return board_tenths(amps < 0 ? -amps : amps);
    board_apportion(values, count, sum, tenths);
    return tenths[found];
}

static int shown_tenths(layout *l, int which, double amps) {
    for (int i = 0; i < l->t->source_count; i++) {
        const run *r = &l->t->sources[i];
        for (int m = 0; m < l->t->main_count; m++)
            if (r->part == which && r->strips[r->count] == l->t->mains[m])
                return inflow_tenths(l, m, which, amps);
    }
    return board_tenths(amps < 0 ? -amps : amps);
}

static void put_amps(layout *l, const part *p, const source_outcome *s, int tenths, text *t) {
    text_put(t, tenths ? words_tenths(l->memory, tenths) : "0");
    if (p->kind != KIND_BATTERY && tenths) {
        text_put(t, " of ");
        text_put(t, words_fixed(l->memory, part_number(p, KEY_VALUE, 0), 0, ""));
    }
    text_put(t, "\xC2\xA0"
                "A");
    if (s && s->mode == SOURCE_LIMITED)
        text_put(t, ", its limit");
}

// "gives 22.4 of 60 A", "takes 1.3 A", "failed, 0 A", "failed, residual only".
const char *layout_source_says(layout *l, int which, tone *c) {
    const part *p = &l->b->aircraft->parts[which];
    double amps = of(l, which)->amps;
    int tenths = shown_tenths(l, which, amps);
    *c = TONE_INK;
    text t = text_make(l->memory->memory);
    fault_kind wrong = board_fault(l->b, which);
    if (wrong != FAULT_NONE) {
        *c = TONE_WARN;
        text_all(&t, wrong == FAULT_DEAD ? "failed" : fault_word(wrong), ", ", NULL);
    }
    const source_outcome *s = source_of(l, which);
    if (p->kind == KIND_BATTERY) {
        if (wrong == FAULT_NONE && of(l, which)->draining && amps > 0.05)
            *c = TONE_DRAINING;
        text_put(&t, amps < 0 && tenths ? "takes " : tenths ? "gives " : "");
    } else if (wrong == FAULT_NONE) {
        if (s && (s->mode == SOURCE_OFF || s->mode == SOURCE_NO_FIELD || s->mode == SOURCE_TRIPPED))
            *c = TONE_QUIET;
        text_put(&t, s && s->mode == SOURCE_OFF        ? "off, "
                     : s && s->mode == SOURCE_NO_FIELD ? "no field, "
                     : s && s->mode == SOURCE_TRIPPED  ? "tripped, "
                     : tenths                          ? "gives "
                                                       : "");
    }
    // What the iron of a generator holds feeds a little of its own field, and nothing else.
    if (s && source_residual_only(l->b->aircraft, s))
        text_put(&t, "residual only");
    else
        put_amps(l, p, s, tenths, &t);
    return words_keep(l->memory, &t);
}

// ---- steps ----------------------------------------
const char *layout_step_note(const layout *l, int edge) {
    int which = l->t->graph->edges[edge].part;
    const part *p = &l->b->aircraft->parts[which];
    const char *word = board_path_word(l->b, edge);
    bool moved = p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR;
    if (*word && !(moved && strcmp(word, "open") == 0))
        return word;
    if (!moved)
        return "";
    const char *rests = part_text(p, KEY_RESTS);
    bool rests_closed = rests && strcmp(rests, "closed") == 0;
    bool on = of(l, which)->energized, coil = part_references(p, KEY_COIL_FROM) != NULL;
    if (board_edge_closed(l->b, edge))
        return !coil || on == rests_closed ? "closed"
               : on                        ? "closed, coil powered"
                                           : "rests closed";
    if (!coil || on != rests_closed)
        return "open";
    return on ? "open, coil powered" : "open, no coil current";
}

tone layout_step_tone(const layout *l, int edge) {
    int which = l->t->graph->edges[edge].part;
    return board_path_symbol(l->b, edge).warn ? TONE_WARN
           : l->b->aircraft->parts[which].kind == KIND_BREAKER && *board_path_word(l->b, edge)
               ? TONE_INK
               : TONE_QUIET;
}

const char *layout_step_name(const layout *l, int edge) {
    int which = l->t->graph->edges[edge].part;
    const char *words[3] = {words_rating(l->b, which), " ", words_label(l->b, which)};
    if (!*words[0])
        words[1] = "";
    const char *name = words_join(l->memory, words, 3);
    // Ids are words: a capital to start with.
    if (name[0] >= 'a' && name[0] <= 'z') {
        char first[2] = {(char)(name[0] - 'a' + 'A'), 0};
        return words_join(l->memory, (const char *const[]){first, name + 1}, 2);
    }
    return name;
}

// Contacts that a coil moves, with room beside them for the coil.
static bool shows_coil(const layout *l, int edge, int room) {
    const part *p = &l->b->aircraft->parts[l->t->graph->edges[edge].part];
    bool moved = p->kind == KIND_RELAY || p->kind == KIND_CONTACTOR;
    return moved && part_references(p, KEY_COIL_FROM) && room >= 180;
}

// What goes into the coil of a contact, as its rows say it.
static const char *coil_words(const layout *l, int which) {
    int tenths = 0;
    for (int i = 0; i < l->t->row_count; i++)
        if (l->t->rows[i].end == END_COIL && l->t->rows[i].part == which && l->b->rows[i].numeric &&
            l->b->rows[i].tenths > 0)
            tenths += l->b->rows[i].tenths;
    const char *words[3] = {"coil ", tenths ? words_tenths(l->memory, tenths) : "0",
                            "\xC2\xA0"
                            "A"};
    if (board_fault(l->b, which) == FAULT_COIL_OPEN)
        return "coil open";
    return words_join(l->memory, words, 3);
}

// Where the coil stands, left of the figures, and what that leaves for the name over the line.
static int coil_at(const layout *l, int which, int room, const char *amps) {
    double into = text_width(coil_words(l, which), l->m.note, false);
    double through = text_width(amps, l->m.name, true);
    return room - 24 - (int)(into > through ? into : through);
}

static int coil_name_room(const layout *l, int which, int room, const char *amps) {
    return coil_at(l, which, room, amps) - 44;
}

int layout_step_lift(const layout *l, int edge, int room, const char *amps) {
    if (!shows_coil(l, edge, room))
        return 0;
    int beside = coil_name_room(l, l->t->graph->edges[edge].part, room, amps);
    int lines = picture_line_count(layout_step_name(l, edge), beside, l->m.name, false);
    return 10 + (lines - 1) * l->m.line;
}

// A dotted line from the contact to its coil; the name over it, the state under it.
static int put_coil_step(layout *l, const place *s, int edge, int y, int room, const char *amps,
                         bool dead) {
    int which = l->t->graph->edges[edge].part;
    const char *into = coil_words(l, which);
    int at = coil_at(l, which, room, amps), beside = coil_name_room(l, which, room, amps);
    bool on = of(l, which)->energized;
    power w = !on ? POWER_DEAD : of(l, which)->draining ? POWER_DRAINING : POWER_LIVE;
    picture_rule(l->p, place_x(s, 12), y, place_x(s, at - 12), y, true, false);
    symbol_shape coil = {.id = SYMBOL_COIL, .x = place_x(s, at), .y = y, .power = w, .part = -1};
    coil.warn = board_fault(l->b, which) == FAULT_COIL_OPEN;
    picture_symbol(l->p, coil);
    tone c = dead ? TONE_QUIET : TONE_INK;
    const char *name = layout_step_name(l, edge);
    int lines = picture_line_count(name, beside, l->m.name, false);
    layout_lines(l, s, 24, y - 8 - (lines - 1) * l->m.line, beside, style_name(l, c), name);
    if (*amps)
        layout_label(l, s, room, y - 8, style_value(l, c, true), amps);
    const char *note = layout_step_note(l, edge);
    int below =
        layout_lines(l, s, 24, y + 19, room - 110, style_note(l, layout_step_tone(l, edge)), note);
    layout_label(l, s, room, y + (*amps ? 19 : 5),
                 style_at(style_note(l, coil.warn ? TONE_WARN : TONE_QUIET), ANCHOR_END), into);
    return y + 13 + (below < 1 ? 1 : below) * l->m.line - l->m.line + 10;
}

int layout_step(layout *l, const place *s, int edge, int y, bool downwards, int room,
                const char *amps) {
    symbol_shape shape = board_path_symbol(l->b, edge);
    shape.x = s->x;
    shape.y = y;
    shape.turns = downwards ? 1 : 3;
    if (shows_coil(l, edge, room) && !s->mirror)
        shape.turns = 1;  // its bar towards the coil
    layout_symbol(l, shape);
    if (shows_coil(l, edge, room))
        return put_coil_step(l, s, edge, y, room, amps, shape.power == POWER_DEAD);
    double wide = *amps ? text_width(amps, l->m.name, true) + 10 : 0;
    int lines = layout_lines(l, s, 24, y + 6, room - 24 - wide,
                             style_name(l, shape.power == POWER_DEAD ? TONE_QUIET : TONE_INK),
                             layout_step_name(l, edge));
    if (*amps)
        layout_label(l, s, room, y + 6,
                     style_value(l, shape.power == POWER_DEAD ? TONE_QUIET : TONE_INK, true), amps);
    const char *note = layout_step_note(l, edge);
    int bottom = y + 10 + (lines - 1) * l->m.line;
    if (*note)
        bottom += l->m.line * layout_lines(l, s, 24, bottom + 16, room - 24,
                                           style_note(l, layout_step_tone(l, edge)), note);
    return bottom;
}

// Amps at a place of the chain where a pilot or technician looks for them: shunts and feeders.
const char *layout_chain_amps(layout *l, int edge) {
    const run *r = &l->t->chain;
    part_kind k = l->b->aircraft->parts[l->t->graph->edges[edge].part].kind;
    if (k != KIND_SHUNT && k != KIND_BREAKER && k != KIND_LIMITER)
        return "";
    double amps = of(l, l->t->graph->edges[edge].part)->amps;
    // At the foot of the chain the figure is part of the bus's sum.
    bool foot = edge == r->edges[r->count - 1];
    int tenths = board_tenths(amps < 0 ? -amps : amps);
    if (foot)
        tenths = l->b->charge > 0 ? l->b->charge : inflow_tenths(l, 0, -1, amps);
    const char *all[2] = {tenths ? words_tenths(l->memory, tenths) : "0", "\xC2\xA0"
                                                                          "A"};
    return words_join(l->memory, all, 2);
}
