// The rows of a strip: a walk from its point outwards over what nothing has drawn yet.
#include "draw/topology_build.h"

// What is left to draw at a point: indices into graph.at, in order.
typedef struct children {
    const int *at;
    int count, next;
    int point;
} children;

// What leads back to the strip being drawn is drawn from there.
static bool open_child(const topology_builder *b, int k, int point) {
    if (!graph_is_edge(b->g, k))
        return !b->seen[k - b->g->edge_count];
    return !b->owned[k] && (point == b->home || graph_far(b->g, k, point) != b->home);
}

static children children_of(const topology_builder *b, int point) {
    return (children){
        .at = b->g->at + b->g->first[point], .count = graph_degree(b->g, point), .point = point};
}

// The next child that is still to be drawn, -1: none.
static int next_child(const topology_builder *b, children *c) {
    while (c->next < c->count) {
        int k = c->at[c->next++];
        if (open_child(b, k, c->point))
            return k;
    }
    return -1;
}

static int count_children(const topology_builder *b, int point) {
    children c = children_of(b, point);
    int count = 0;
    while (next_child(b, &c) >= 0)
        count++;
    return count;
}

static row *add_row(topology_builder *b, row r) {
    topology *t = b->t;
    row *rows = arena_grow(b->memory, t->rows, &b->row_room, t->row_count + 1, sizeof *rows);
    if (!rows)
        return NULL;
    t->rows = rows;
    rows[t->row_count] = r;
    return &rows[t->row_count++];
}

static void own_edge(topology_builder *b, int edge) {
    b->owned[edge] = true;
    b->shown[b->g->edges[edge].part] = true;
}

// Parts between a return and the airframe, in line.
static void follow_return(topology_builder *b, row *r, int which) {
    int point = b->g->returns[which];
    while (point > AIRFRAME_POINT && r->via_count < VIA_MOST) {
        children c = children_of(b, point);
        int edge = -1;
        for (int k; edge < 0 && (k = next_child(b, &c)) >= 0;)
            if (graph_is_edge(b->g, k))
                edge = k;
        if (edge < 0)
            return;
        own_edge(b, edge);
        r->via[r->via_count++] = b->g->edges[edge].part;
        point = graph_far(b->g, edge, point);
    }
}

static void add_cross(topology_builder *b, int to, int from, int which) {
    topology *t = b->t;
    cross_feed *crosses =
        arena_grow(b->memory, t->crosses, &b->cross_room, t->cross_count + 1, sizeof *crosses);
    if (!crosses)
        return;
    t->crosses = crosses;
    crosses[t->cross_count++] = (cross_feed){to, from, which};
}

static void walk(topology_builder *b, row like, int point, bool arrived);

static row_end end_of_stop(stop_kind kind) {
    switch (kind) {
    case STOP_SECOND: return END_SECOND;
    case STOP_COIL: return END_COIL;
    case STOP_FIELD: return END_FIELD;
    case STOP_SENSE: return END_SENSE;
    case STOP_SOURCE: return END_SOURCE;
    default: return END_ITEM;
    }
}

// A regulator whose output only feeds a field is one row with it.
static int single_field(topology_builder *b, int point) {
    if (point < 0 || count_children(b, point) != 1)
        return -1;
    children c = children_of(b, point);
    int k = next_child(b, &c);
    if (graph_is_edge(b->g, k) || graph_stop_at(b->g, k)->kind != STOP_FIELD)
        return -1;
    b->seen[k - b->g->edge_count] = true;
    return graph_stop_at(b->g, k)->part;
}

static row under(const row *parent, int index) {
    return (row){.strip = parent->strip,
                 .joint = JOINT_UNDER,
                 .from = index,
                 .level = parent->level + 1,
                 .first = -1,
                 .second = -1,
                 .third = -1,
                 .last = parent->last,
                 .field = -1};
}

static void rows_under(topology_builder *b, int index, int point) {
    if (point < 0 || point == b->home || b->memory->failed || count_children(b, point) == 0)
        return;
    b->t->rows[index].parent = true;
    walk(b, under(&b->t->rows[index], index), point, false);
}

static void put_stop(topology_builder *b, row r, int k) {
    const graph_stop *stop = graph_stop_at(b->g, k);
    b->seen[k - b->g->edge_count] = true;
    b->shown[stop->part] = true;
    r.end = end_of_stop(stop->kind);
    r.part = stop->part;
    r.point = stop->point;
    r.field = -1;
    if (stop->kind == STOP_ITEM && b->a->parts[stop->part].kind == KIND_REGULATOR)
        r.field = single_field(b, stop->behind);
    if (stop->kind == STOP_ITEM || stop->kind == STOP_COIL)
        follow_return(b, &r, stop->part);
    int index = b->t->row_count;
    if (!add_row(b, r))
        return;
    if (stop->kind == STOP_ITEM)
        rows_under(b, index, stop->behind);
    else if (stop->kind == STOP_SOURCE)
        rows_under(b, index, stop->point);
}

static void put_end(topology_builder *b, row r, row_end end, int which, int point) {
    r.end = end;
    r.part = which;
    r.point = point;
    int index = b->t->row_count;
    if (add_row(b, r) && end == END_STRIP)
        add_cross(b, which, r.strip, index);
}

static bool protects(part_kind k) {
    return k == KIND_BREAKER || k == KIND_FUSE || k == KIND_LIMITER;
}

// True if nothing branches behind a point: one stop, or another strip.
static bool ends_simply(const topology_builder *b, int point) {
    if (point == AIRFRAME_POINT || b->strip_of[point] >= 0 || b->visited[point])
        return true;
    children c = children_of(b, point);
    int k = next_child(b, &c);
    return k < 0 || (count_children(b, point) == 1 && !graph_is_edge(b->g, k));
}

// An edge that can be a symbol of the row itself or, with both places taken, a row of its own
// with the rest under it.
static void put_edge(topology_builder *b, row r, int edge, int point) {
    own_edge(b, edge);
    int far = graph_far(b->g, edge, point);
    bool first = r.level == 0 && r.first < 0 && r.second < 0 && r.joint == JOINT_BAR;
    r.last = edge;
    if (first && protects(b->a->parts[b->g->edges[edge].part].kind)) {
        r.first = edge;
    } else if (r.second < 0) {
        r.second = edge;
    } else if (r.level == 0 && ends_simply(b, far)) {
        r.third = edge;
    } else {
        int index = b->t->row_count;
        r.end = END_PATH;
        r.part = b->g->edges[edge].part;
        r.point = point;
        r.field = -1;
        // The symbol in front of the row is the one that stood there before.
        if (add_row(b, r)) {
            b->t->rows[index].parent = true;
            row deeper = under(&r, index);
            deeper.last = edge;
            walk(b, deeper, far, true);
        }
        return;
    }
    walk(b, r, far, true);
}

static bool ends_here(topology_builder *b, const row *like, int point) {
    int other = b->strip_of[point];
    if (point == AIRFRAME_POINT) {
        put_end(b, *like, END_GROUND, -1, point);
    } else if (other >= 0 && other != like->strip) {
        put_end(b, *like, END_STRIP, other, point);
    } else if (b->visited[point]) {
        put_end(b, *like, END_JOIN, b->g->edges[like->last].part, point);
    } else {
        return false;
    }
    return true;
}

// Draws all that hangs at `point`; `like` says how the first of it is reached: over an edge
// (arrived), or from a part that stands at the point itself.
static void walk(topology_builder *b, row like, int point, bool arrived) {
    if (b->memory->failed || (arrived && ends_here(b, &like, point)))
        return;
    b->visited[point] = true;
    int start = b->t->row_count, total = count_children(b, point);
    if (total == 0) {
        put_end(b, like, like.last >= 0 ? END_NOTHING : END_JOIN,
                like.last >= 0 ? b->g->edges[like.last].part : -1, point);
        return;
    }
    like.alone = total == 1;
    children c = children_of(b, point);
    row next = like;
    bool symbols = like.first >= 0 || like.second >= 0;
    for (int k, nth = 0; (k = next_child(b, &c)) >= 0 && !b->memory->failed; nth++) {
        if (nth == 1 && symbols) {
            next.from = start;
            next.joint = like.level > 0     ? JOINT_UNDER
                         : like.second >= 0 ? JOINT_SECOND
                                            : JOINT_FIRST;
            if (like.level > 0) {
                // Under another row there is one place for a symbol: the rest goes a step deeper.
                next = under(&b->t->rows[start], start);
                next.last = like.last;
                b->t->rows[start].parent = true;
            }
        }
        if (graph_is_edge(b->g, k))
            put_edge(b, next, k, point);
        else
            put_stop(b, next, k);
    }
}

void topology_rows(topology_builder *b, int which) {
    topology *t = b->t;
    int start = t->row_count, point = t->strips[which].point;
    b->home = point;
    row like = {.strip = which,
                .joint = JOINT_BAR,
                .from = -1,
                .first = -1,
                .second = -1,
                .third = -1,
                .last = -1,
                .field = -1};
    b->visited[point] = true;
    children c = children_of(b, point);
    for (int k; (k = next_child(b, &c)) >= 0 && !b->memory->failed;) {
        if (graph_is_edge(b->g, k))
            put_edge(b, like, k, point);
        else
            put_stop(b, like, k);
    }
    t->strips[which].first_row = start;
    t->strips[which].row_count = t->row_count - start;
}
