// Order of elimination by minimum degree on an explicit graph. Aircraft networks are nearly trees:
// columns stay short, so plain sorted-free lists with lazy removal are enough (50,000 nodes: < 0.1
// s).
#include "base/stable_sort.h"
#include "circuit/pattern.h"

typedef struct queue {  // binary heap of nodes; key: late, degree, index
    int *heap, *where;
    const int *degree;  // live neighbors
    const uint8_t *late;
    int count;
} queue;

static bool before(const queue *q, int a, int b) {
    if (q->late[a] != q->late[b])
        return q->late[a] < q->late[b];
    if (q->degree[a] != q->degree[b])
        return q->degree[a] < q->degree[b];
    return a < b;
}

static void put(queue *q, int at, int node) {
    q->heap[at] = node;
    q->where[node] = at;
}

static void rise(queue *q, int at) {
    int node = q->heap[at];
    while (at > 0) {
        int up = (at - 1) / 2;
        if (!before(q, node, q->heap[up]))
            break;
        put(q, at, q->heap[up]);
        at = up;
    }
    put(q, at, node);
}

static void sink(queue *q, int at) {
    int node = q->heap[at];
    for (;;) {
        int down = 2 * at + 1;
        if (down >= q->count)
            break;
        if (down + 1 < q->count && before(q, q->heap[down + 1], q->heap[down]))
            down++;
        if (!before(q, q->heap[down], node))
            break;
        put(q, at, q->heap[down]);
        at = down;
    }
    put(q, at, node);
}

static int take(queue *q) {
    int node = q->heap[0];
    q->count--;
    if (q->count > 0) {
        put(q, 0, q->heap[q->count]);
        sink(q, 0);
    }
    q->where[node] = -1;
    return node;
}

static void moved(queue *q, int node) {
    int at = q->where[node];
    rise(q, at);
    sink(q, q->where[node]);
}

typedef struct worker {
    const graph *g;
    queue q;
    int *live;  // live degree
    int *mark;
    int stamp;
    arena *keep;
} worker;

// Drops eliminated nodes from a list; returns what is left.
static int compact(const worker *w, int node) {
    int *list = w->g->neighbors[node];
    int kept = 0;
    for (int i = 0; i < w->g->degree[node]; i++) {
        if (w->q.where[list[i]] >= 0)
            list[kept++] = list[i];
    }
    w->g->degree[node] = kept;
    return kept;
}

// Joins `node` with every other member of the column just eliminated.
static bool join(worker *w, int node, const int *column, int count) {
    const graph *g = w->g;
    int have = compact(w, node);
    int *list = g->neighbors[node];
    w->stamp++;
    w->mark[node] = w->stamp;
    for (int i = 0; i < have; i++)
        w->mark[list[i]] = w->stamp;
    for (int i = 0; i < count; i++) {
        if (w->mark[column[i]] == w->stamp)
            continue;
        if (g->degree[node] == g->capacity[node]) {
            int room = 2 * g->capacity[node] + 4;
            int *larger = arena_new(w->keep, (size_t)room, sizeof *larger);
            if (!larger)
                return false;
            for (int j = 0; j < g->degree[node]; j++)
                larger[j] = list[j];
            g->neighbors[node] = list = larger;
            g->capacity[node] = room;
        }
        list[g->degree[node]++] = column[i];
    }
    w->live[node] = g->degree[node];
    return true;
}

static bool eliminate_one(worker *w, int k, elimination *out) {
    int node = take(&w->q);
    int count = compact(w, node);
    int *column = w->g->neighbors[node];
    out->order[k] = node;
    out->column[k] = column;
    out->column_count[k] = count;
    for (int i = 0; i < count; i++) {
        if (count == 1)  // no fill: the list is cleaned when it is next read
            w->live[column[i]]--;
        else if (!join(w, column[i], column, count))
            return false;
    }
    for (int i = 0; i < count; i++)
        moved(&w->q, column[i]);
    return true;
}

// ---- columns that don't hang on each other ------------------------------------------------------
typedef struct column_place {
    int node, count, *column;
    int late, height;  // longest way up to it through the elimination tree
} column_place;

static int by_height(const void *left, const void *right, const void *ctx) {
    const column_place *a = left, *b = right;
    (void)ctx;
    if (a->late != b->late)
        return a->late - b->late;
    return a->height != b->height ? a->height - b->height : a->count - b->count;
}

// Columns of one height reach none of each other: next to each other they can be eliminated
// together. Fill is the same in every order in which a column comes before those it reaches.
static bool gather_heights(int count, const uint8_t *late, arena *keep, elimination *e) {
    size_t n = (size_t)count + 1;
    int *height = arena_new(keep, n, sizeof(int));
    column_place *keys = arena_new(keep, n, sizeof *keys);
    column_place *scratch = arena_new(keep, n, sizeof *scratch);
    if (keep->failed)
        return false;
    for (int k = 0; k < count; k++) {
        int node = e->order[k];
        keys[k] = (column_place){node, e->column_count[k], e->column[k], late[node], height[node]};
        for (int i = 0; i < e->column_count[k]; i++) {
            int *above = &height[e->column[k][i]];
            if (*above <= height[node])
                *above = height[node] + 1;
        }
    }
    stable_sort(keys, (size_t)count, sizeof *keys, scratch, by_height, NULL);
    for (int k = 0; k < count; k++) {
        e->order[k] = keys[k].node;
        e->column[k] = keys[k].column;
        e->column_count[k] = keys[k].count;
    }
    return true;
}

status eliminate(const graph *g, const uint8_t *late, arena *keep, elimination *out) {
    size_t n = (size_t)g->count;
    out->order = arena_new(keep, n + 1, sizeof *out->order);
    out->column = arena_new(keep, n + 1, sizeof *out->column);
    out->column_count = arena_new(keep, n + 1, sizeof *out->column_count);
    worker w = {.g = g, .keep = keep};
    w.live = arena_new(keep, n + 1, sizeof *w.live);
    w.mark = arena_new(keep, n + 1, sizeof *w.mark);
    w.q = (queue){.heap = arena_new(keep, n + 1, sizeof(int)),
                  .where = arena_new(keep, n + 1, sizeof(int)),
                  .degree = w.live,
                  .late = late};
    if (keep->failed)
        return STATUS_NO_MEMORY;
    for (int i = 0; i < g->count; i++) {
        w.live[i] = g->degree[i];
        put(&w.q, i, i);
    }
    w.q.count = g->count;
    for (int i = g->count / 2; i >= 0 && g->count > 0; i--)
        sink(&w.q, i);
    for (int k = 0; k < g->count; k++) {
        if (!eliminate_one(&w, k, out))
            return STATUS_NO_MEMORY;
    }
    return gather_heights(g->count, late, keep, out) ? STATUS_OK : STATUS_NO_MEMORY;
}
