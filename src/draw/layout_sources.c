// What stands above the main bars: the battery's chain from left to right with what is tapped
// where, and the other sources on their way down.
#include <string.h>

#include "draw/layout_parts.h"
#include "draw/text_width.h"

enum {
    CHAIN_STEP = 120,
    SLOT_LEAST = 300,
    SLOT_LEAST_CLOSE = 240,
    SLOT_MOST = 380,
    BATTERY_ROOM = 110,
    TIE_WORDS = 50
};

static bool has_rows(const layout *l, int which) {
    return which >= 0 && l->t->strips[which].row_count > 0;
}

static const part_outcome *of(const layout *l, int which) { return &l->b->outcome->parts[which]; }

static int reach_of(const layout *l, int edge) {
    return symbol_form_of(board_path_symbol(l->b, edge).id)->reach;
}

// An arrow in the direction of positive amps along the wire.
static void put_arrow(layout *l, int x, int y, int turns, power w) {
    symbol_shape arrow = {
        .id = SYMBOL_ARROW, .x = x, .y = y, .turns = turns, .power = w, .part = -1};
    picture_symbol(l->p, arrow);
}

// ---- a source on its way down, or hanging from the chain's wire -----------------------------
static int put_machine(layout *l, const place *s, int which, int y, power w, bool hangs) {
    const part *p = &l->b->aircraft->parts[which];
    bool battery = p->kind == KIND_BATTERY;
    symbol_shape m = {.id = battery                     ? SYMBOL_BATTERY
                            : p->kind == KIND_GENERATOR ? SYMBOL_MACHINE_DC
                                                        : SYMBOL_MACHINE_AC,
                      .x = s->x,
                      .y = y + 20,
                      .turns = battery ? (hangs ? 3 : 1) : 0,
                      .power = w,
                      .part = which};
    if (board_fault(l->b, which) != FAULT_NONE || of(l, which)->amps < 0.05)
        m.power = of(l, which)->works && battery          ? w
                  : of(l, which)->amps < 0.05 && !battery ? POWER_DEAD
                                                          : w;
    m.warn = board_fault(l->b, which) != FAULT_NONE;
    picture_symbol(l->p, m);
    label_style name = {.size = l->m.section, .bold = true};
    int lines = layout_lines(l, s, 30, y + 16, s->width - 30, name, words_part(l->b, which));
    tone c;
    const char *says = layout_source_says(l, which, &c);
    label_style told = {
        .size = l->m.label, .tone = c, .bold = c == TONE_WARN || c == TONE_DRAINING};
    double dx = 30;
    if (m.warn) {
        symbol_shape mark = {.id = SYMBOL_FAILED,
                             .x = place_x(s, 40),
                             .y = y + 13 + lines * l->m.line,
                             .warn = true,
                             .part = -1};
        picture_symbol(l->p, mark);
        dx = 58;
    }
    lines += layout_lines(l, s, dx, y + 18 + lines * l->m.line, s->width - dx, told, says);
    int low = (y + 16 + (lines - 1) * l->m.line + 4 + 9) / 10 * 10;
    if (low < y + 40)
        return y + 40;
    picture_wire(l->p, s->x, y + 40, s->x, low,
                 of(l, which)->amps < 0.05 && !battery ? POWER_DEAD : w);
    return low;
}

static int put_rectifier(layout *l, const place *s, int which, int y, power w, bool hangs) {
    if (l->b->aircraft->parts[which].kind != KIND_ALTERNATOR)
        return y;
    // Its output is live from the bus; what stands before the rectifier only while it gives.
    power machine = of(l, which)->amps < 0.05 ? POWER_DEAD : w;
    picture_wire(l->p, s->x, y, s->x, y + 10, hangs ? w : machine);
    w = machine;
    symbol_shape d = {
        .id = SYMBOL_DIODE, .x = s->x, .y = y + 20, .turns = hangs ? 3 : 1, .power = w, .part = -1};
    picture_symbol(l->p, d);
    return y + 30;
}

static int put_slot_rows(layout *l, const place *s, int which, int y, power w) {
    if (!has_rows(l, which))
        return y;
    const strip *at = &l->t->strips[which];
    int start = y, first = (y + l->m.pitch / 2 + 9) / 10 * 10;
    y = layout_rows(l, s, at->first_row, at->row_count, first);
    y = (y - l->m.pitch / 2 + 9) / 10 * 10;
    picture_wire(l->p, s->x, start, s->x, y, w);
    return y;
}

static int put_slot_step(layout *l, const place *s, int edge, int y, power before, power after,
                         bool downwards, const char *amps) {
    int half = reach_of(l, edge);
    int middle = y + 10 + half + layout_step_lift(l, edge, s->width, amps);
    picture_wire(l->p, s->x, y, s->x, middle - half, before);
    int low = layout_step(l, s, edge, middle, downwards, s->width, amps);
    int end = low + 8 > middle + half ? (low + 8 + 9) / 10 * 10 : middle + half;
    picture_wire(l->p, s->x, middle + half, s->x, end, after);
    return end;
}

static bool forward(const layout *l, const run *r, int i) {
    return l->t->graph->edges[r->edges[i]].a == r->points[i];
}

// Standing on a main bar: source at the top. Returns the lowest y; the wire is drawn on by the
// caller.
static int put_standing(layout *l, const place *s, const run *r, int y) {
    power w = l->b->points[r->points[0]];
    y = put_machine(l, s, r->part, y, w, false);
    y = put_rectifier(l, s, r->part, y, w, false);
    y = put_slot_rows(l, s, r->strips[0], y, w);
    for (int i = 0; i < r->count; i++) {
        power after = l->b->points[r->points[i + 1]];
        y = put_slot_step(l, s, r->edges[i], y, w, after, forward(l, r, i), "");
        w = after;
        if (i + 1 < r->count)
            y = put_slot_rows(l, s, r->strips[i + 1], y, w);
    }
    return y;
}

// Hanging from the chain's wire at y: the source at the bottom.
static int put_hanging(layout *l, const place *s, const run *r, int y) {
    power w = l->b->points[r->points[r->count]];
    picture_dot(l->p, s->x, y, w);
    picture_wire(l->p, s->x, y, s->x, y + 20, w);
    if (of(l, r->part)->amps > 0.05)
        put_arrow(l, s->x, y + 14, 3, w);
    y += 20;
    for (int i = r->count - 1; i >= 0; i--) {
        power before = l->b->points[r->points[i]];
        y = put_slot_step(l, s, r->edges[i], y, w, before, !forward(l, r, i), "");
        w = before;
        if (i > 0)
            y = put_slot_rows(l, s, r->strips[i], y, w);
    }
    y = put_slot_rows(l, s, r->strips[0], y, w);
    y = put_rectifier(l, s, r->part, y, w, true);
    return put_machine(l, s, r->part, y, w, true);
}

// ---- the chain ----------------------------------------
// A symbol on the level wire with its words above. Returns nothing: the wire is drawn around it.
static void put_chain_step(layout *l, int edge, int x, int y, bool rightwards, int room) {
    symbol_shape shape = board_path_symbol(l->b, edge);
    shape.x = x;
    shape.y = y;
    shape.turns = 0;
    shape.mirror = !rightwards;
    layout_symbol(l, shape);
    place here = {.x = x, .width = room};
    const char *name = layout_step_name(l, edge);
    const char *note = layout_step_note(l, edge);
    if (!*note)
        note = layout_chain_amps(l, edge);
    int lines = picture_line_count(name, room, l->m.label, false);
    int notes = *note ? picture_line_count(note, room, l->m.note, false) : 0;
    double top = y - 20 - (lines + notes - 1) * 18;
    label_style style = {.size = l->m.label, .anchor = ANCHOR_MIDDLE};
    picture_lines(l->p, here.x, top, room, 18, style, name);
    label_style quiet = style_at(style_note(l, layout_step_tone(l, edge)), ANCHOR_MIDDLE);
    if (notes)
        picture_lines(l->p, here.x, top + lines * 18, room, 18, quiet, note);
}

static void put_battery(layout *l, int x, int y) {
    int which = l->t->chain.part;
    power w = l->b->points[l->t->chain.points[0]];
    symbol_shape ground = {.id = SYMBOL_CHASSIS, .x = x, .y = y + 10, .power = w, .part = -1};
    picture_symbol(l->p, ground);
    picture_wire(l->p, x, y, x, y + 10, w);
    picture_wire(l->p, x, y, x + 20, y, w);
    symbol_shape cells = {.id = SYMBOL_BATTERY,
                          .x = x + 40,
                          .y = y,
                          .power = w,
                          .part = which,
                          .warn = board_fault(l->b, which) != FAULT_NONE};
    picture_symbol(l->p, cells);
    place here = {.x = x - 12, .width = BATTERY_ROOM};
    label_style name = {.size = l->m.name, .bold = true};
    int lines = layout_lines(l, &here, 0, y + 42, BATTERY_ROOM - 8, name, words_part(l->b, which));
    tone c;
    const char *says = layout_source_says(l, which, &c);
    label_style told = {.size = l->m.label, .tone = c, .bold = c == TONE_WARN};
    lines += layout_lines(l, &here, 0, y + 42 + lines * l->m.line, BATTERY_ROOM - 8, told, says);
    label_style quiet = style_note(l, TONE_QUIET);
    layout_label(l, &here, 0, y + 42 + lines * l->m.line, quiet,
                 words_volts(l->memory, of(l, which)->volts));
}

// Sources that hang at point `point` of the chain.
static int hangers(const layout *l, int point, int *list) {
    int count = 0;
    for (int i = 0; i < l->t->source_count; i++)
        if (l->t->sources[i].points[l->t->sources[i].count] == point) {
            if (list)
                list[count] = i;
            count++;
        }
    return count;
}

static int chain_slots(const layout *l) {
    int count = 0;
    for (int i = 0; l->t->has_chain && i < l->t->chain.count; i++)
        count += has_rows(l, l->t->chain.strips[i]) + hangers(l, l->t->chain.points[i], NULL);
    return count;
}

static int max_of(int a, int b) { return a > b ? a : b; }

typedef struct chain_pen {
    int x, y, slot, low;
    int wired;  // the wire is drawn up to here
    power power;
} chain_pen;

static void wire_to(layout *l, chain_pen *c, int x) {
    picture_wire(l->p, c->wired, c->y, x, c->y, c->power);
    c->wired = x;
}

// The strip at a point of the chain, and the sources that hang there.
static void put_chain_point(layout *l, chain_pen *c, int i, int *steps_from) {
    const run *r = &l->t->chain;
    int which = r->strips[i];
    int end = c->x;
    *steps_from = c->x;
    if (which >= 0) {
        place s = {.x = c->x, .width = c->slot - 30};
        const strip *at = &l->t->strips[which];
        bool bus = at->part >= 0 && l->b->aircraft->parts[at->part].kind == KIND_BUS;
        bool rows = at->row_count > 0;
        wire_to(l, c, c->x);
        if (rows)
            c->low = max_of(c->low, layout_strip(l, &s, which, at->first_row, at->row_count, c->y,
                                                 true, false));
        else
            picture_bar(l->p, c->x - BAR_HALF, c->y - BAR_HALF, 2 * BAR_HALF, 2 * BAR_HALF,
                        c->power, at->part);
        if (!rows)
            layout_label(l, &s, 12, c->y + 26, style_name(l, TONE_INK), l->b->strips[which].name);
        if (rows && !bus)
            picture_dot(l->p, c->x, c->y, c->power);
        end = c->x + (rows ? c->slot : 30);
    }
    int list[16];
    int count = hangers(l, r->points[i], list);
    for (int k = 0; k < count && k < 16; k++) {
        place s = {.x = end, .width = c->slot - 30};
        c->low = max_of(c->low, put_hanging(l, &s, &l->t->sources[list[k]], c->y));
        *steps_from = end;
        end += c->slot;
    }
    c->x = end;
}

// How many symbols of the chain stand in line from point i to the next that something hangs at.
static int steps_together(const layout *l, int i) {
    const run *r = &l->t->chain;
    int n = 1;
    while (i + n < r->count && r->strips[i + n] < 0 && !hangers(l, r->points[i + n], NULL))
        n++;
    return n;
}

// They share the room over the rows that hang at the point.
static int step_pitch(const layout *l, int i, int n, int slot) {
    const run *r = &l->t->chain;
    bool over = has_rows(l, r->strips[i]) || hangers(l, r->points[i], NULL);
    return over && slot / n > CHAIN_STEP ? slot / n / 10 * 10 : CHAIN_STEP;
}

// The length of the chain's wire with nothing hanging from it.
static int bare_length(const layout *l) {
    const run *r = &l->t->chain;
    int length = 0;
    for (int i = 0; i < r->count;) {
        int n = steps_together(l, i);
        if (!has_rows(l, r->strips[i]) && !hangers(l, r->points[i], NULL))
            length += n * CHAIN_STEP;
        i += n;
    }
    return length;
}

static int step_room(int pitch) { return pitch - 6 > 230 ? 230 : pitch - 6; }

// From left to right along y. Returns the x of the drop.
static int put_chain(layout *l, int y, int slot, int *low) {
    const run *r = &l->t->chain;
    power w = l->b->points[r->points[0]];
    put_battery(l, l->x0, y);
    chain_pen c = {.x = l->x0 + BATTERY_ROOM,
                   .y = y,
                   .slot = slot,
                   .low = y + 90,
                   .wired = l->x0 + 60,
                   .power = w};
    for (int i = 0; i < r->count;) {
        int from;
        put_chain_point(l, &c, i, &from);
        int n = steps_together(l, i), pitch = step_pitch(l, i, n, slot);
        int x = from + pitch / 2 + 10;
        for (int k = 0; k < n; k++, x += pitch) {
            int edge = r->edges[i + k], half = reach_of(l, edge);
            x = x / 10 * 10;
            wire_to(l, &c, x - half);
            put_chain_step(l, edge, x, y, forward(l, r, i + k), step_room(pitch));
            c.wired = x + half;
            c.power = l->b->points[r->points[i + k + 1]];
        }
        c.x = max_of(c.x, x - pitch / 2 + 10);
        i += n;
    }
    c.x = (c.x + 9) / 10 * 10;
    wire_to(l, &c, c.x);
    *low = c.low;
    return c.x;
}

// About what put_standing takes.
static int standing_height(layout *l, const place *s, const run *r) {
    int height = 110 + 60 * r->count;
    for (int i = 0; i < r->count; i++)
        if (has_rows(l, r->strips[i])) {
            const strip *at = &l->t->strips[r->strips[i]];
            height += 20 + layout_rows_height(l, s, at->first_row, at->row_count);
        }
    return height;
}

// Sources that join the upright chain at a point stand in the next column, beside what the chain
// has above it: room that would be empty. The chain's wire is drawn on until all have joined.
// `top`: the column is free from there. Returns the y below; `*low`: below the last of them.
static int put_beside(layout *l, int point, int top, int y, int *low) {
    int list[16], count = hangers(l, point, list);
    power w = l->b->points[point];
    place s = {.x = l->x0 + l->pitch, .width = l->usable};
    for (int k = 0; k < count && k < 16; k++) {
        const run *r = &l->t->sources[list[k]];
        int at = max_of(y, *low) / 10 * 10 + 20, near = at - standing_height(l, &s, r);
        int end = put_standing(l, &s, r, max_of(near / 10 * 10, *low ? *low + 20 : top));
        at = max_of(at, (end + 9) / 10 * 10 + 20);
        picture_wire(l->p, s.x, end, s.x, at, w);
        if (of(l, r->part)->amps > 0.05)
            put_arrow(l, s.x, at - 14, 1, w);
        picture_wire(l->p, l->x0, y, l->x0, at, w);
        picture_dot(l->p, l->x0, at, w);
        picture_wire(l->p, l->x0, at, s.x, at, w);
        y = *low = at;
    }
    return y;
}

// From the top down along x: the narrow form.
static int put_chain_upright(layout *l, int y, int *low) {
    const run *r = &l->t->chain;
    power w = l->b->points[r->points[0]];
    place s = {.x = l->x0, .width = l->usable};
    int top = y;
    picture_wire(l->p, s.x - 24, y, s.x, y, w);
    picture_wire(l->p, s.x - 24, y, s.x - 24, y + 10, w);
    symbol_shape ground = {
        .id = SYMBOL_CHASSIS, .x = s.x - 24, .y = y + 10, .power = w, .part = -1};
    picture_symbol(l->p, ground);
    y = put_machine(l, &s, r->part, y, w, false);
    for (int i = 0; i < r->count; i++) {
        int which = r->strips[i];
        if (which >= 0) {
            const strip *at = &l->t->strips[which];
            int end = layout_strip(l, &s, which, at->first_row, at->row_count, y, true, false);
            end = (end + 9) / 10 * 10;
            picture_wire(l->p, s.x, y, s.x, end, w);
            y = end;
        }
        y = put_beside(l, r->points[i], top, y, low);
        power after = l->b->points[r->points[i + 1]];
        y = put_slot_step(l, &s, r->edges[i], y, w, after, forward(l, r, i),
                          layout_chain_amps(l, r->edges[i]));
        w = after;
    }
    return y;
}

// ---- all of it ----------------------------------------
static void land(landings *out, int which_main, int x, power w, bool up) {
    if (out->count < LANDINGS_MOST)
        out->at[out->count++] = (landing){which_main, x, w, up};
}

static int main_of(const layout *l, const run *r) {
    for (int i = 0; i < l->t->main_count; i++)
        if (r->points[r->count] == l->t->strips[l->t->mains[i]].point)
            return i;
    return -1;
}

typedef struct source_pen {
    int y, low;
    int tail_count;
    struct {
        int x, y;
        power power;
        double flow;
    } tails[LANDINGS_MOST];
} source_pen;

static int slot_width(const layout *l, const run *r) {
    for (int i = 0; i < r->count; i++)
        if (has_rows(l, r->strips[i]))
            return 340;
    return 240;
}

static int standing_width(const layout *l, int which_main) {
    int width = 0;
    for (int i = 0; i < l->t->source_count; i++)
        if (main_of(l, &l->t->sources[i]) == which_main)
            width += slot_width(l, &l->t->sources[i]);
    return width;
}

// What is left of a source's room where all on its bar share what there is.
static int shared_width(const layout *l, const run *r, int wanted, int room) {
    int each = slot_width(l, r);
    return wanted > 0 && wanted > room ? each * room / wanted / 10 * 10 : each;
}

// Side by side words would stand letter by letter: then one above the other, each wire left of what
// stands below.
static bool stacked(const layout *l, int which_main, int room) {
    int wanted = standing_width(l, which_main);
    for (int i = 0; i < l->t->source_count; i++) {
        const run *r = &l->t->sources[i];
        int least = slot_width(l, r) > 240 ? 250 : 110;
        if (main_of(l, r) == which_main && shared_width(l, r, wanted, room) < least)
            return true;
    }
    return false;
}

static void keep_tail(source_pen *pen, int x, int y, double flow, power w) {
    if (pen->tail_count == LANDINGS_MOST)
        return;
    pen->tails[pen->tail_count].x = x;
    pen->tails[pen->tail_count].y = y;
    pen->tails[pen->tail_count].flow = flow;
    pen->tails[pen->tail_count++].power = w;
}

// The sources of one main bar between two x.
static void put_sources_of(layout *l, int which_main, int left, int right, source_pen *pen,
                           landings *out) {
    int x = (left + 9) / 10 * 10 + 20, wanted = standing_width(l, which_main), under = pen->y;
    bool above = stacked(l, which_main, right - left);
    for (int i = 0; i < l->t->source_count; i++) {
        const run *r = &l->t->sources[i];
        if (main_of(l, r) != which_main)
            continue;
        int each = above ? right - x + 20 : shared_width(l, r, wanted, right - left);
        place s = {.x = x, .width = each - 20};
        // Near its bar where the battery's side is the taller.
        int top = (pen->low - standing_height(l, &s, r)) / 10 * 10;
        int end = put_standing(l, &s, r, above || top < under ? under : top);
        power w = l->b->points[r->points[r->count]];
        double flow = r->count ? -board_amps_from(l->b, r->edges[r->count - 1], r->points[r->count])
                               : of(l, r->part)->amps;
        keep_tail(pen, x, end, flow, w);
        land(out, which_main, x, w, false);
        pen->low = max_of(pen->low, end + 20);
        x += above ? 40 : each;
        if (above)
            under = end + 10;
    }
}

static int finish(layout *l, const source_pen *pen) {
    int bar = (pen->low + 9) / 10 * 10 + 10;
    for (int i = 0; i < pen->tail_count; i++) {
        picture_wire(l->p, pen->tails[i].x, pen->tails[i].y, pen->tails[i].x, bar - BAR_HALF,
                     pen->tails[i].power);
        if (pen->tails[i].flow > 0.05 || pen->tails[i].flow < -0.05)
            put_arrow(l, pen->tails[i].x, bar - BAR_HALF - (pen->tails[i].flow > 0 ? 8 : 14),
                      pen->tails[i].flow > 0 ? 1 : 3, pen->tails[i].power);
    }
    return bar;
}

// The highest words above the chain's wire.
static int chain_headroom(const layout *l, int slot) {
    int most = 0;
    for (int i = 0; i < l->t->chain.count;) {
        int n = steps_together(l, i), room = step_room(step_pitch(l, i, n, slot));
        for (int end = i + n; i < end; i++) {
            int edge = l->t->chain.edges[i];
            const char *note = layout_step_note(l, edge);
            int lines = picture_line_count(layout_step_name(l, edge), room, l->m.label, false) +
                        picture_line_count(note, room, l->m.note, false);
            most = max_of(most, lines + !*note);
        }
    }
    return 24 + most * 18;
}

static void chain_tail(layout *l, source_pen *pen, int x, int y, landings *out) {
    power w = l->b->points[l->t->chain.points[l->t->chain.count]];
    keep_tail(pen, x, y, layout_chain_flow(l), w);
    land(out, 0, x, w, false);
}

int layout_sources(layout *l, int y, const int limits[2], landings *out) {
    const topology *t = l->t;
    bool twin = t->main_count > 1;
    int right = l->o.width - l->right, end = twin ? limits[0] : right, left = l->x0;
    source_pen pen = {.y = y, .low = y};
    if (t->has_chain) {
        int slots = chain_slots(l), own = standing_width(l, 0);
        int room = end - l->x0 - BATTERY_ROOM - 20 - bare_length(l);
        int beside = slots ? (room - own) / slots : SLOT_MOST;
        int alone = slots ? room / slots : SLOT_MOST;
        int least = l->o.close ? SLOT_LEAST_CLOSE : SLOT_LEAST;
        bool level = l->columns > 1 && alone >= least && room >= 0;
        bool one_band = level && (beside >= least - 30 || !own);
        if (!level) {
            int beside_low = 0, low = put_chain_upright(l, y + 10, &beside_low);
            chain_tail(l, &pen, l->x0, low, out);
            // The tie's words stand over the bar, beside the last of the chain's.
            pen.low = max_of(low, beside_low) + 10 + (t->has_tie ? TIE_WORDS : 0);
            // The other sources stand beside the battery's column if that is free.
            if (!beside_low && l->columns > 1 && end - l->x0 - l->pitch >= own * 2 / 3)
                left = l->x0 + l->pitch - 20;
            else if (own) {
                pen.y = pen.low + 10;
                left += 30;
            }
        } else {
            int each = one_band ? beside : alone, low;
            each = (each > SLOT_MOST ? SLOT_MOST : each) / 10 * 10;
            int wire = (y + chain_headroom(l, each) + 9) / 10 * 10;
            int drop = put_chain(l, wire, each, &low);
            chain_tail(l, &pen, drop, wire, out);
            pen.low = low;
            pen.y = one_band ? wire - 20 : low + 20;
            if (one_band)
                left = drop + 10;
            else
                end = drop - 20;
        }
    }
    put_sources_of(l, 0, left, end, &pen, out);
    if (twin)
        pen.y = y;
    put_sources_of(l, 1, limits[1], right, &pen, out);
    return finish(l, &pen);
}
