// The way into the kernels: scratch memory, and the choice of a lane width.
#include "circuit/solve.h"

#include <string.h>

#include "circuit/kernel.h"

enum { ALIGNMENT = 64 };

// Vectors that each array of the room needs.
static void room_counts(const circuit *c, size_t count[ROOM_COUNT]) {
    const pattern *p = c->pattern;
    size_t powers = (size_t)c->power_count;
    size_t lamps = (size_t)c->lamp_count;
    size_t pieces = (size_t)c->piecewise_count;
    size_t signals = (size_t)circuit_signal_count(c) + 1;
    size_t breakers = (size_t)c->breaker_count + 1;
    size_t states = (size_t)c->comparator_count + (size_t)c->memory_count;
    size_t params = (size_t)c->param_count;
    size_t core = (size_t)p->core_entries;
    const size_t counts[ROOM_COUNT] = {
        [ROOM_PARAMS] = params,
        [ROOM_STATIC] = (size_t)p->fixed.off_count,
        [ROOM_BASE] = core,
        [ROOM_CORE] = core,
        [ROOM_X] = (size_t)p->unknowns + 1,
        [ROOM_SIGNAL] = signals,
        [ROOM_TRIPPED] = breakers,
        [ROOM_DROPPED] = powers + 1,
        [ROOM_DROPPED_NOW] = powers,
        [ROOM_POWER_VOLTS] = powers,
        [ROOM_POWER_SIGN] = powers,
        [ROOM_LAMP_VOLTS] = lamps,
        [ROOM_LAMP_SIGN] = lamps,
        [ROOM_SLOPE] = pieces,
        [ROOM_OFFSET] = pieces,
        [ROOM_LOW] = pieces,
        [ROOM_HIGH] = pieces,
        [ROOM_VIOLATION] = powers + states,
        [ROOM_DROPOUT] = powers,
        [ROOM_RESTART] = powers,
        [ROOM_KNEE] = powers,
        [ROOM_SET] = (size_t)c->comparator_count,
        [ROOM_RESET] = (size_t)c->comparator_count,
    };
    memcpy(count, counts, sizeof counts);
}

// Hands out pieces of one block; with no block it only counts.
typedef struct carver {
    unsigned char *block;
    size_t used;
} carver;

static void *carve(carver *k, size_t size) {
    void *place = k->block ? k->block + k->used : NULL;
    k->used += (size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
    return place;
}

static void carve_work(carver *k, work *w) {
    const circuit *c = w->c;
    size_t count[ROOM_COUNT];
    room_counts(c, count);
    size_t vectors = 0;
    for (int i = 0; i < ROOM_COUNT; i++) {
        w->at[i] = vectors;
        vectors += count[i];
    }
    size_t nodes = (size_t)c->node_count;
    w->device_count = c->comparator_count + c->memory_count + c->power_count;
    size_t devices = (size_t)w->device_count;
    w->room = carve(k, vectors * LANES_MOST * sizeof(double));
    size_t states = (size_t)c->comparator_count + (size_t)c->memory_count;
    w->image.values =
        carve(k, (w->at[ROOM_HIGH] + count[ROOM_HIGH] - w->at[ROOM_DROPPED]) * sizeof(double));
    w->image.states = carve(k, states * sizeof(int64_t));
    w->image.piece = carve(k, (size_t)c->piecewise_count);
    w->piece = carve(k, (size_t)c->piecewise_count * LANES_MOST);
    w->copy = carve(k, devices * LANES_MOST);
    w->previous = carve(k, devices * LANES_MOST);
    w->flipping = carve(k, devices * (LANES_MOST + 1));
    w->no_flips = carve(k, devices);
    w->lowest = carve(k, nodes * LANES_MOST * sizeof(double));
    w->highest = carve(k, nodes * LANES_MOST * sizeof(double));
    size_t size = solution_size(c);
    for (int i = 0; i < SOLUTIONS_KEPT; i++) {
        void *out = carve(k, size);
        if (k->block)
            w->out_room[i] = solution_carve(c, out);
    }
    void *saved = carve(k, size);
    if (k->block)
        w->saved = solution_carve(c, saved);
    void *fixed = carve(k, static_part_size(c));
    if (k->block)
        w->fixed = static_part_carve(c, fixed);
    for (int l = 0; l < LANES_MOST; l++) {
        void *own = carve(k, static_part_size(c));
        if (k->block)
            w->own_fixed[l] = static_part_carve(c, own);
    }
    for (int l = 0; l < LANES_MOST; l++) {
        void *changes = carve(k, static_changes_size(c));
        if (k->block)
            w->lanes[l].changes = static_changes_carve(c, changes);
    }
}

work *work_new(allocator memory, const circuit *c) {
    work *w = memory_new(memory, sizeof *w);
    if (!w)
        return NULL;
    w->memory = memory;
    w->c = c;
    carver count = {0};
    carve_work(&count, w);
    w->block_size = count.used + ALIGNMENT;
    w->block = memory_new(memory, w->block_size);
    if (!w->block) {
        memory_free(memory, w, sizeof *w);
        return NULL;
    }
    size_t gap = (size_t)(-(uintptr_t)w->block & (ALIGNMENT - 1));
    carver fill = {.block = (unsigned char *)w->block + gap};
    carve_work(&fill, w);
    return w;
}

void work_free(work *w) {
    if (!w)
        return;
    memory_free(w->memory, w->block, w->block_size);
    memory_free(w->memory, w, sizeof *w);
}

static bool has_avx2(void) {
#ifdef __x86_64__
    return __builtin_cpu_supports("avx2");
#else
    return false;
#endif
}

static bool has_avx512(void) {
#ifdef __x86_64__
    return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") &&
           __builtin_cpu_supports("avx512dq");
#else
    return false;
#endif
}

// How many doubles one instruction holds.
__attribute__((unused)) static int native_width(void) {
    if (has_avx512())
        return 8;
    if (has_avx2())
        return 4;
#if defined(__SSE2__) || defined(__wasm_simd128__) || defined(__ARM_NEON)
    return 2;
#else
    return 1;
#endif
}

static int usable_width(void) {
#if defined(__wasm__)
    return 2;  // one vector; wider ones cost more room in a page than they save time
#elif defined(__clang__) && defined(__x86_64__)
    return has_avx2() ? 8 : native_width();
#else
    return native_width();
#endif
}

int solve_lanes_best(void) { return usable_width(); }

const char *solve_isa(int lanes) {
    if (lanes <= 1)
        return "scalar";
#if defined(__wasm__)
    return "simd128";
#elif defined(__x86_64__)
    if (lanes >= 8 && has_avx512())
        return "avx512";
    return lanes >= 4 && has_avx2() ? "avx2" : "sse2";
#else
    return native_width() == 2 ? "neon" : "scalar";
#endif
}

#ifdef __wasm__
// A page carries the module along: it holds one kernel. A single state leaves its other lane empty.
static void run_width(work *w, int width) {
    (void)width;
    kernel_2(w);
}
#else
static void run_width(work *w, int width) {
    if (width >= 8) {
#    ifdef __x86_64__
        if (!has_avx512()) {
            kernel_8_halves(w);
            return;
        }
#    endif
        kernel_8(w);
    } else if (width >= 4) {
        kernel_4(w);
    } else if (width >= 2) {
        kernel_2(w);
    } else {
        kernel_1(w);
    }
}
#endif

static int width_of(int lanes) {
    int best = usable_width();
    return lanes <= 0 || lanes > best ? best : lanes;
}

void solve_stream(work *w, int lanes, following_job following, job_done done, void *ctx) {
    w->following = following;
    w->done = done;
    w->next = NULL;
    w->ctx = ctx;
    run_width(w, width_of(lanes));
}

typedef struct queue {
    const job *jobs;
    int count, next;
    job_done done;
    void *ctx;
} queue;

static const job *take_from_queue(void *ctx, int *number) {
    queue *q = ctx;
    if (q->next == q->count)
        return NULL;
    *number = q->next;
    return &q->jobs[q->next++];
}

static void done_of_queue(void *ctx, int number, const solution *s) {
    const queue *q = ctx;
    q->done(q->ctx, number, s);
}

void solve_many(work *w, int lanes, const job *jobs, int count, job_done done, void *ctx) {
    queue q = {jobs, count, 0, done, ctx};
    int width = width_of(lanes);
    while (width > 1 && width > count)  // every lane has work at the start
        width /= 2;
    solve_stream(w, width, take_from_queue, done_of_queue, &q);
}

void solve_flow(work *w, int lanes, next_job next, void *ctx) {
    w->following = NULL;
    w->next = next;
    w->ctx = ctx;
    run_width(w, width_of(lanes));
}

typedef struct receiver {
    const circuit *c;
    solution *result;
} receiver;

static void receive(void *ctx, int index, const solution *s) {
    (void)index;
    receiver *r = ctx;
    solution_copy(r->c, s, r->result);
}

void solve_one(work *w, const job *j, solution *result) {
    receiver r = {w->c, result};
    solve_many(w, 1, j, 1, receive, &r);
}

void solve_again(work *w, const job *j, solution *result) {
    w->same_params = j->params;
    solve_one(w, j, result);
    w->same_params = NULL;
}
