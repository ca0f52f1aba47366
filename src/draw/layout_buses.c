// Main bars, their down-strokes, and the columns whose feeders drop from them.
#include "draw/layout_parts.h"

// Rows of a bus before it splits; on a sheet, which is wider than high, sooner.
enum { HEAD_ROOM = 26, SPLIT_ROWS = 14, SPLIT_ROWS_SHEET = 9 };

typedef struct side {
    int which;  // index into topology.mains
    int strokes;
    int columns[COLUMNS_MOST];  // outwards from the first stroke
    int column_count;
    int low_x, high_x;  // of the bar
    bool mirror;
} side;

static place place_of(const layout *l, int column, bool mirror) {
    int left = l->x0 + column * l->pitch;
    return (place){.x = mirror ? left + l->usable : left, .width = l->usable, .mirror = mirror};
}

static int main_strip(const layout *l, int which) { return l->t->mains[which]; }

static int members_of(const layout *l, int which) {
    int count = 0;
    for (int i = 0; i < l->t->group_count; i++)
        if (l->t->groups[i].main == main_strip(l, which))
            count += l->t->groups[i].count;
    return count;
}

static int strokes_of(const layout *l, int which, int room) {
    int rows = l->t->strips[main_strip(l, which)].row_count;
    int split = l->o.print ? SPLIT_ROWS_SHEET : SPLIT_ROWS;
    int wanted = (rows + split - 1) / split;
    int spare = members_of(l, which) || l->t->main_count > 1 || l->t->free_count ? 1 : 0;
    int most = room - spare;
    if (wanted > 3)
        wanted = 3;
    return wanted > most ? (most < 1 ? 1 : most) : wanted;
}

static void make_sides(const layout *l, side sides[2]) {
    int n = l->columns;
    if (l->t->main_count < 2) {
        sides[0] = (side){.which = 0, .strokes = strokes_of(l, 0, n), .column_count = n};
        for (int i = 0; i < n; i++)
            sides[0].columns[i] = i;
        return;
    }
    // Two mains: the middle columns go to the side that has more to place.
    int left = 1, right = 1;
    for (int extra = n - 2; extra > 0; extra--) {
        int more_left =
            members_of(l, 0) + l->t->strips[main_strip(l, 0)].row_count / SPLIT_ROWS - left;
        int more_right =
            members_of(l, 1) + l->t->strips[main_strip(l, 1)].row_count / SPLIT_ROWS - right;
        if (more_left >= more_right)
            left++;
        else
            right++;
    }
    sides[0] = (side){.which = 0, .strokes = strokes_of(l, 0, left + 1), .column_count = left};
    sides[1] = (side){
        .which = 1, .strokes = strokes_of(l, 1, right + 1), .column_count = right, .mirror = true};
    for (int i = 0; i < 2; i++)
        if (sides[i].strokes > sides[i].column_count)
            sides[i].strokes = sides[i].column_count;
    for (int i = 0; i < left; i++)
        sides[0].columns[i] = i;
    for (int i = 0; i < right; i++)
        sides[1].columns[i] = n - 1 - i;
}

void layout_split(const layout *l, int limits[2]) {
    limits[0] = limits[1] = 0;
    if (l->t->main_count < 2)
        return;
    side sides[2];
    make_sides(l, sides);
    place a = place_of(l, sides[0].columns[sides[0].column_count - 1], false);
    place b = place_of(l, sides[1].columns[sides[1].column_count - 1], true);
    int middle = (a.x + b.x) / 20 * 10, half = 60 + 50 * (l->t->has_tie ? l->t->tie.count : 0);
    limits[0] = middle - half;
    limits[1] = middle + half;
}

static void reach_to(side *s, int x) {
    if (x < s->low_x)
        s->low_x = x;
    if (x > s->high_x)
        s->high_x = x;
}

// ---- strokes ----------------------------------------
// Rows of a stroke: as many whole breakers as come nearest to its share of the height. `below`:
// what will hang under the last stroke.
static int stroke_rows(layout *l, const place *s, int first, int left, int strokes, int below) {
    if (strokes <= 1)
        return left;
    int goal = (layout_rows_height(l, s, first, left) + below) / strokes, sum = 0;
    for (int i = 0; i < left;) {
        int n = 1;
        while (i + n < left && l->t->rows[first + i + n].joint != JOINT_BAR)
            n++;
        int height = layout_rows_height(l, s, first + i, n);
        if (i && sum + height / 2 > goal)
            return i;
        sum += height;
        i += n;
    }
    return left;
}

// About what the groups of a side take that have no column of their own.
static int height_below(layout *l, const side *s, const place *p) {
    if (s->strokes < s->column_count)
        return 0;
    int height = 0;
    for (int i = 0; i < l->t->group_count; i++) {
        const feed_group *g = &l->t->groups[i];
        for (int k = 0; g->main == main_strip(l, s->which) && k < g->count; k++) {
            const strip *at = &l->t->strips[g->members[k].strips[g->members[k].count]];
            height += 130 + 40 * g->members[k].count +
                      layout_rows_height(l, p, at->first_row, at->row_count);
        }
    }
    return height;
}

static void put_strokes(layout *l, side *s, int y) {
    int which = main_strip(l, s->which);
    const strip *at = &l->t->strips[which];
    int first = at->first_row, left = at->row_count;
    for (int i = 0; i < s->strokes; i++) {
        place p = place_of(l, s->columns[i], s->mirror);
        bool last = i + 1 == s->strokes;
        int below = height_below(l, s, &p);
        int rows = stroke_rows(l, &p, first, left, s->strokes - i, below);
        int end = layout_strip(l, &p, which, first, rows, y - BAR_HALF, i == 0, false);
        if (last && at->row_count > 1) {
            // The sum stands under the last stroke, for all of them.
            place sum = p;
            end = layout_strip_total(l, &sum, which, end + 6);
        }
        l->bottom[s->columns[i]] = end + 20;
        first += rows;
        left -= rows;
        reach_to(s, p.x);
    }
}

// ---- feeders ----------------------------------------
int layout_run_tenths(const layout *l, const run *r) {
    if (!r->count)
        return 0;
    int end = r->strips[r->count];
    if (end >= 0 && l->b->feeds[end] >= 0)
        return l->b->feeds[end];
    return board_tenths(-board_amps_from(l->b, r->edges[r->count - 1], r->points[r->count]));
}

static const char *amps_of(layout *l, const run *r) {
    int tenths = layout_run_tenths(l, r);
    const char *words[2] = {tenths ? words_tenths(l->memory, tenths) : "0", "\xC2\xA0"
                                                                            "A"};
    return r->count ? words_join(l->memory, words, 2) : "";
}

static bool points_on(const layout *l, const run *r, int i) {
    return l->t->graph->edges[r->edges[i]].a == r->points[i];
}

// The parts of a feeder from y down. `flow`: amps written at its first symbol.
static int put_run(layout *l, const place *s, const run *r, int y, const char *flow) {
    for (int i = 0; i < r->count; i++) {
        power before = l->b->points[r->points[i]], after = l->b->points[r->points[i + 1]];
        int half = symbol_form_of(board_path_symbol(l->b, r->edges[i]).id)->reach;
        const char *amps = i == 0 ? flow : "";
        int middle = y + 10 + half + layout_step_lift(l, r->edges[i], s->width, amps);
        picture_wire(l->p, s->x, y, s->x, middle - half, before);
        int low = layout_step(l, s, r->edges[i], middle, points_on(l, r, i), s->width, amps);
        int end = low + 8 > middle + half + 10 ? (low + 17) / 10 * 10 : middle + half + 10;
        picture_wire(l->p, s->x, middle + half, s->x, end, after);
        y = end;
    }
    return y;
}

static int put_member(layout *l, const place *s, const run *r, int y) {
    int which = r->strips[r->count];
    const strip *at = &l->t->strips[which];
    y = put_run(l, s, r, y, amps_of(l, r));
    return layout_strip(l, s, which, at->first_row, at->row_count, y, true, true);
}

static power power_at(const layout *l, const run *r) { return l->b->points[r->points[0]]; }

// Arrow just under the bar, where amps go down.
static int put_drop(layout *l, const place *s, const feed_group *g, int y, power w) {
    int tenths = 0;
    for (int i = 0; i < g->count; i++)
        tenths += layout_run_tenths(l, &g->members[i]);
    picture_wire(l->p, s->x, y, s->x, y + 20, w);
    if (tenths > 0) {
        symbol_shape arrow = {
            .id = SYMBOL_ARROW, .x = s->x, .y = y + 12, .turns = 1, .power = w, .part = -1};
        picture_symbol(l->p, arrow);
    }
    return y + 20;
}

// From the bar down beside column `c` to y, then across to the column.
static void put_trunk(layout *l, side *s, const place *p, int bar, int y, power w) {
    int x = place_x(p, -SIDE_LANE);
    picture_wire(l->p, x, bar + BAR_HALF, x, y, w);
    picture_wire(l->p, x, y, p->x, y, w);
    reach_to(s, x);
}

// All of a group in one column, one bus under the other.
static void put_group_stacked(layout *l, side *s, const feed_group *g, int column, int bar,
                              bool top) {
    place p = place_of(l, column, s->mirror);
    power w = power_at(l, g->stem.count ? &g->stem : &g->members[0]);
    int y;
    if (top) {
        y = put_drop(l, &p, g, bar + BAR_HALF, w);
        reach_to(s, p.x);
    } else {
        y = (l->bottom[column] + 19) / 10 * 10;
        put_trunk(l, s, &p, bar, y, w);
    }
    y = put_run(l, &p, &g->stem, y, "");
    int parting = y, lane = place_x(&p, -SIDE_LANE);
    power behind = power_at(l, &g->members[0]);
    for (int i = 0; i < g->count; i++) {
        if (i == 1) {
            picture_wire(l->p, p.x, parting, lane, parting, behind);
            picture_dot(l->p, p.x, parting, behind);
        }
        if (i > 0) {
            y = (y + 29) / 10 * 10;
            picture_wire(l->p, lane, parting, lane, y, behind);
            picture_wire(l->p, lane, y, p.x, y, behind);
            if (i + 1 < g->count)
                picture_dot(l->p, lane, y, behind);
        }
        y = put_member(l, &p, &g->members[i], y);
    }
    l->bottom[column] = y + 20;
}

// A group with a column for each of its buses: a rail joins them behind the stem.
static void put_group_abreast(layout *l, side *s, const feed_group *g, const int *columns,
                              int bar) {
    place first = place_of(l, columns[0], s->mirror);
    power w = power_at(l, g->stem.count ? &g->stem : &g->members[0]);
    int y = put_drop(l, &first, g, bar + BAR_HALF, w);
    reach_to(s, first.x);
    y = put_run(l, &first, &g->stem, y, "");
    power behind = power_at(l, &g->members[0]);
    for (int i = 0; i < g->count; i++) {
        place p = place_of(l, columns[i], s->mirror);
        if (i > 0) {
            picture_wire(l->p, place_of(l, columns[i - 1], s->mirror).x, y, p.x, y, behind);
            if (i == 1)
                picture_dot(l->p, first.x, y, behind);
        }
        l->bottom[columns[i]] = put_member(l, &p, &g->members[i], y) + 20;
    }
}

static int lowest_column(const layout *l, const int *columns, int count) {
    int best = columns[0];
    for (int i = 1; i < count; i++)
        if (l->bottom[columns[i]] < l->bottom[best])
            best = columns[i];
    return best;
}

static void put_groups(layout *l, side *s, int bar) {
    const int *open = s->columns + s->strokes;
    int free_count = s->column_count - s->strokes, used = 0;
    bool abreast = members_of(l, s->which) <= free_count;
    for (int i = 0; i < l->t->group_count; i++) {
        const feed_group *g = &l->t->groups[i];
        if (g->main != main_strip(l, s->which))
            continue;
        if (abreast) {
            put_group_abreast(l, s, g, open + used, bar);
            used += g->count;
        } else if (used < free_count) {
            put_group_stacked(l, s, g, open[used++], bar, true);
        } else if (free_count) {
            put_group_stacked(l, s, g, lowest_column(l, open, free_count), bar, false);
        } else {
            put_group_stacked(l, s, g, s->columns[s->strokes - 1], bar, false);
        }
    }
}

// ---- the tie, and buses without a feeder ----------------------------------------
static void put_tie(layout *l, const side sides[2], int bar) {
    const run *r = &l->t->tie;
    int x = sides[0].high_x + BAR_HALF, end = sides[1].low_x - BAR_HALF;
    int start = x, each = (end - x) / r->count;
    power w = l->b->points[r->points[0]];
    for (int i = 0; i < r->count; i++) {
        int edge = r->edges[i], middle = (start + i * each + each / 2) / 10 * 10;
        symbol_shape shape = board_path_symbol(l->b, edge);
        int half = symbol_form_of(shape.id)->reach;
        shape.x = middle;
        shape.y = bar;
        picture_wire(l->p, x, bar, middle - half, bar, w);
        layout_symbol(l, shape);
        w = l->b->points[r->points[i + 1]];
        x = middle + half;
        if (i + 1 == r->count)
            picture_wire(l->p, x, bar, end, bar, w);
        int tenths = layout_tie_tenths(l, 0) + layout_tie_tenths(l, 1);
        // "closed, 24.7 A", "blown, 0 A"
        const char *word = board_edge_closed(l->b, edge) ? "closed" : board_path_word(l->b, edge);
        const char *words[4] = {word, ", ", tenths ? words_tenths(l->memory, tenths) : "0",
                                "\xC2\xA0"
                                "A"};
        label_style name = style_at(style_name(l, TONE_INK), ANCHOR_MIDDLE);
        const char *called = words_part(l->b, l->t->graph->edges[edge].part);
        int lines = picture_line_count(called, each, l->m.name, false);
        picture_lines(l->p, middle, bar - 24 - lines * l->m.line, each, l->m.line, name, called);
        picture_label(l->p, middle, bar - 24, style_at(style_note(l, TONE_QUIET), ANCHOR_MIDDLE),
                      words_join(l->memory, words, 4));
    }
}

static void put_free(layout *l, int which) {
    int all[COLUMNS_MOST];
    for (int i = 0; i < COLUMNS_MOST; i++)
        all[i] = i;
    int column = lowest_column(l, all, l->columns);
    place p = place_of(l, column, false);
    const strip *at = &l->t->strips[which];
    int y = (l->bottom[column] + 19) / 10 * 10;
    int end = layout_strip(l, &p, which, at->first_row, at->row_count, y, true, true);
    l->bottom[column] = end + 20;
}

static void put_bar(layout *l, const side *s, int y) {
    const strip *at = &l->t->strips[main_strip(l, s->which)];
    picture_bar(l->p, s->low_x - BAR_HALF, y - BAR_HALF, s->high_x - s->low_x + 2 * BAR_HALF,
                2 * BAR_HALF, l->b->strips[main_strip(l, s->which)].power, at->part);
}

void layout_buses(layout *l, int y, const landings *from) {
    side sides[2];
    if (!l->t->main_count) {
        for (int i = 0; i < l->columns; i++)
            l->bottom[i] = y;
        return;
    }
    make_sides(l, sides);
    int limits[2];
    layout_split(l, limits);
    for (int i = 0; i < l->columns; i++)
        l->bottom[i] = y + 20;
    for (int i = 0; i < l->t->main_count; i++) {
        place first = place_of(l, sides[i].columns[0], sides[i].mirror);
        sides[i].low_x = sides[i].high_x = first.x;
        for (int k = 0; k < from->count; k++)
            if (from->at[k].main == i)
                reach_to(&sides[i], from->at[k].x);
        put_strokes(l, &sides[i], y);
        put_groups(l, &sides[i], y);
    }
    if (l->t->has_tie) {
        reach_to(&sides[0], limits[0] + 20);
        reach_to(&sides[1], limits[1] - 20);
    }
    for (int i = 0; i < l->t->main_count; i++)
        put_bar(l, &sides[i], y);
    if (l->t->has_tie)
        put_tie(l, sides, y);
    for (int i = 0; i < l->t->free_count; i++)
        put_free(l, l->t->free_strips[i]);
}
