#include "study/flights.h"

#include <math.h>
#include <string.h>

#include "base/rng.h"
#include "base/stable_sort.h"
#include "circuit/solver_state.h"
#include "study/unknowns.h"
#include "timeline/run.h"

#define TOLERANCE       0.01  // volts: the answers are minutes
#define RESOLUTION      1.0   // seconds
#define FINE_TOLERANCE  0.0005
#define FINE_RESOLUTION 0.1
#define LOW_SHARE       0.05
// The first so many flights go on to the end of what is asked. What none of them loses isn't waited
// for by the others, and nothing is much longer than it took the slowest of them: if one flight in
// twenty lost it so late, all of these would miss it once in 300,000 times. A battery contactor
// that is let go and pulled in again by a battery that has rested would else cost most of the work.
// What another flight loses all the same is then looked for in all that ended without it: they are
// flown again, to the end.
#define LATE 1.25
enum { CHUNK = 125, SCOUT_CHUNKS = 2 };

// ---- what is kept of a flight: one column each -------------------------------------------------
typedef enum column_of {
    COLUMN_ITEM,
    COLUMN_WEAK,
    COLUMN_LETS_GO,
    COLUMN_EXHAUSTED,
    COLUMN_CHARGE,
    COLUMN_CHARGE_NOTICED,
    COLUMN_FUNCTION,
    COLUMN_REDUCED,
    COLUMN_MUTE,
    COLUMN_OFF_TRANSMITTING,
    COLUMN_KINDS
} column_of;

typedef struct column {
    column_of of;
    int index;
} column;

static double *times_of(const endurance_times *t, column_of of) {
    double *const arrays[COLUMN_KINDS] = {
        t->items,          t->weak,      t->lets_go, t->exhausted, t->charge,
        t->charge_noticed, t->functions, t->reduced, t->mute,      t->off_transmitting};
    return arrays[of];
}

typedef struct flights {
    allocator allocator;
    const aircraft *aircraft;
    const flights_question *question;
    const endurance *found;
    unknowns unknowns;
    const column *columns;
    int column_count;
    float *kept;     // flights x column_count
    float *lasts;    // per flight: until the first of what must stay goes
    double *latest;  // per column: seconds until the last scout lost it; < 0: none has
    int *list;       // flights that are being flown, in chunks
    int listed;
    bool waits;        // each for what is late at most, not for the end
    int first_chunk;   // of those that are being flown
    uint8_t *flown;    // per flight
    float *ended;      // per flight: seconds
    uint8_t *starved;  // per chunk: no memory
} flights;

static bool is_time(column_of of) { return of != COLUMN_CHARGE && of != COLUMN_CHARGE_NOTICED; }

static bool wanted(const flights *f, column_of of, int i) {
    const endurance *e = f->found;
    switch (of) {
    case COLUMN_ITEM:
    case COLUMN_WEAK:
    case COLUMN_OFF_TRANSMITTING: return e->counts[i];
    case COLUMN_MUTE: return e->counts[i] && f->aircraft->parts[i].kind == KIND_RADIO;
    case COLUMN_LETS_GO: return e->holds[i];
    case COLUMN_FUNCTION:
    case COLUMN_REDUCED: return e->function_counts[i];
    default: return e->batteries[i];
    }
}

static bool columns_make(flights *f, arena *m) {
    const aircraft *a = f->aircraft;
    size_t most = 8 * (size_t)a->part_count + 2 * (size_t)a->function_count + 1;
    column *columns = arena_new(m, most, sizeof *columns);
    if (columns == NULL)
        return false;
    for (int of = 0; of < COLUMN_KINDS; of++) {
        bool functions = of == COLUMN_FUNCTION || of == COLUMN_REDUCED;
        int count = functions ? a->function_count : a->part_count;
        for (int i = 0; i < count; i++)
            if (wanted(f, (column_of)of, i))
                columns[f->column_count++] = (column){(column_of)of, i};
    }
    f->columns = columns;
    return true;
}

// ---- flying ------------------------------------------------------------------------------------
static double uniform_of(const flights *f, int flight, int quantity) {
    return rng_uniform_at(f->question->seed, (uint64_t)flight, (uint64_t)quantity);
}

// What a lane of a chunk works with: an aircraft of its own with the one phase that is asked about,
// compiled once and drawn anew for each flight.
typedef struct worker {
    arena memory;
    drawn_aircraft *drawn;
    double *uniform;
    aircraft aircraft;
    phase phase;
    solver *solver;
    const happening *list;
    int count;
    state from;
    endurance own;
    endurance_wait *until;
    int until_count;
    endurance_flight one;
    endurance_flier *flier;
    flight_draw draw;
    int flight;
    bool settles_base;  // of its flight: that comes first
} worker;

static void start_of(const flights *f, const flight_draw *draw, worker *w) {
    const aircraft *a = &w->aircraft;
    state_copy(a, f->question->about.asked, &w->from);
    w->from.phase = 0;
    w->from.fault_count = 0;
    w->from.temperature += draw->celsius_off;
    if (f->question->charge_given)
        return;
    double charge = 0.8;
    for (int i = 0; i < a->part_count; i++)
        if (a->parts[i].kind == KIND_BATTERY)
            charge = part_number(&a->parts[i], KEY_CHARGE, 0.8);
    charge += draw->charge_off;
    w->from.charge = charge > 1 ? 1 : charge;
}

static status worker_make(const flights *f, worker *w) {
    const endurance_question *q = &f->question->about;
    size_t parts = (size_t)f->aircraft->part_count + 1;
    *w = (worker){.memory = arena_make(f->allocator)};
    w->drawn = drawn_aircraft_make(&f->unknowns, &w->memory);
    w->uniform = arena_new(&w->memory, (size_t)f->unknowns.count + 1, sizeof(double));
    w->from.setting = arena_new(&w->memory, parts, sizeof(double));
    if (w->memory.failed || !endurance_make(f->aircraft, q, &w->memory, &w->own))
        return STATUS_NO_MEMORY;
    w->aircraft = *drawn_aircraft_of(w->drawn);
    w->phase = f->aircraft->phases[q->asked->phase];
    w->aircraft.phases = &w->phase;
    w->aircraft.phase_count = 1;
    w->list = endurance_happenings(&w->aircraft, q, &w->memory, &w->count);
    w->until = arena_new(&w->memory, (size_t)f->column_count + 1, sizeof *w->until);
    if (w->list == NULL || w->until == NULL)
        return STATUS_NO_MEMORY;
    for (int i = 0; i < f->column_count; i++)
        if (f->latest[i] >= 0)
            w->until[w->until_count++] = (endurance_wait){
                &times_of(&w->own.of[ENDURANCE_MIDDLE], f->columns[i].of)[f->columns[i].index],
                LATE * f->latest[i]};
    bool fine = f->question->fine;
    status made = solver_make(f->allocator, &w->aircraft, NULL, &w->solver);
    w->one = (endurance_flight){.solver = w->solver,
                                .from = &w->from,
                                .tolerance = fine ? FINE_TOLERANCE : TOLERANCE,
                                .resolution = fine ? FINE_RESOLUTION : RESOLUTION,
                                .coarse = !fine,
                                .transmits = true};
    if (made != STATUS_OK || fine)
        return made;
    start_of(f, &w->draw, w);
    w->flier = endurance_flier_make(&w->one, w->list, w->count, &w->memory, &w->own);
    return w->flier != NULL ? STATUS_OK : STATUS_NO_MEMORY;
}

static void worker_free(worker *w) {
    endurance_flier_free(w->flier);
    solver_free(w->solver);
    arena_free(&w->memory);
}

static float first_of_all(const flights *f, const endurance *own) {
    float first = INFINITY;
    for (int i = 0; i < f->aircraft->function_count; i++) {
        double at = own->of[ENDURANCE_MIDDLE].reduced[i];
        if (own->must_stay[i] && f->found->function_counts[i] && at >= 0 && at < (double)first)
            first = (float)at;
    }
    return first;
}

static void keep(const flights *f, const worker *w, int flight) {
    const endurance_times *t = &w->own.of[ENDURANCE_MIDDLE];
    float *row = f->kept + (size_t)flight * (size_t)f->column_count;
    for (int i = 0; i < f->column_count; i++) {
        double value = times_of(t, f->columns[i].of)[f->columns[i].index];
        row[i] = value < 0 ? INFINITY : (float)value;
    }
    f->lasts[flight] = first_of_all(f, &w->own);
    f->ended[flight] = w->flier != NULL ? (float)endurance_flier_at(w->flier) : INFINITY;
    f->flown[flight] = 1;
}

// Nothing of the flight before stays.
static void begin_own(const flights *f, worker *w) {
    const aircraft *a = &w->aircraft;
    endurance_clear(a, &w->own.of[ENDURANCE_MIDDLE]);
    memset(w->own.shed, 0, (size_t)a->part_count * sizeof *w->own.shed);
    memset(w->own.shed_functions, 0, (size_t)a->function_count * sizeof *w->own.shed_functions);
    w->own.lasts = f->question->about.lasts;
}

static void draw(const flights *f, worker *w, int flight) {
    w->flight = flight;
    for (int i = 0; i < f->unknowns.count; i++)
        w->uniform[i] = uniform_of(f, flight, i);
    drawn_aircraft_draw(w->drawn, w->uniform, &w->draw);
    start_of(f, &w->draw, w);
    begin_own(f, w);
}

// ---- flown one after the other -----------------------------------------------------------------
static bool fly_finely(const flights *f, worker *w, int first, int last) {
    for (int i = first; i < last; i++) {
        draw(f, w, f->list[i]);
        solver_redraw(w->solver);
        w->one.health = w->draw.health;
        w->one.pessimistic = w->draw.pessimistic;
        if (endurance_fly(&w->one, w->list, w->count, ENDURANCE_MIDDLE, &w->own) != STATUS_OK)
            return false;
        keep(f, w, w->flight);
    }
    return true;
}

// ---- flown in lanes ----------------------------------------------------------------------------
typedef struct crew {
    const flights *flights;
    arena memory;
    worker *workers[LANES_MOST];  // made as their lanes ask
    int next, last;               // flights
    bool starved;
} crew;

static worker *worker_of(crew *c, int lane) {
    if (c->workers[lane] != NULL || c->next >= c->last || c->starved)
        return c->workers[lane];
    worker *w = arena_new(&c->memory, 1, sizeof *w);
    c->starved = w == NULL || worker_make(c->flights, w) != STATUS_OK;
    c->workers[lane] = w;
    return w;
}

static const job *next_flight(crew *c, worker *w) {
    if (w == NULL || c->next >= c->last || c->starved)
        return NULL;
    draw(c->flights, w, c->flights->list[c->next++]);
    w->settles_base = true;
    return solver_redraw_begin(w->solver);
}

static const job *next_settling(void *ctx, int lane, const solution *s) {
    crew *c = ctx;
    const flights *f = c->flights;
    worker *w = worker_of(c, lane);
    if (s == NULL || w == NULL)
        return next_flight(c, w);
    const job *next;
    if (w->settles_base) {
        w->settles_base = false;
        solver_redraw_end(w->solver, s);
        next = endurance_flier_begin(w->flier, w->draw.health, w->draw.pessimistic,
                                     f->waits ? w->until : NULL, w->until_count);
    } else {
        next = endurance_flier_go(w->flier, s);
    }
    if (next != NULL)
        return next;
    keep(f, w, w->flight);
    return next_flight(c, w);
}

static bool fly_in_lanes(const flights *f, int first, int last) {
    crew c = {.flights = f, .memory = arena_make(f->allocator), .next = first, .last = last};
    const worker *lead = worker_of(&c, 0);
    if (!c.starved)
        solve_flow(lead->solver->work, f->question->lanes, next_settling, &c);
    for (int l = 0; l < LANES_MOST; l++)
        if (c.workers[l] != NULL)
            worker_free(c.workers[l]);
    arena_free(&c.memory);
    return !c.starved;
}

static void fly_chunk(void *arg, int index) {
    flights *f = arg;
    int chunk = f->first_chunk + index, first = chunk * CHUNK, last = first + CHUNK;
    last = last < f->listed ? last : f->listed;
    bool good;
    if (f->question->fine) {
        worker w;
        good = worker_make(f, &w) == STATUS_OK && fly_finely(f, &w, first, last);
        worker_free(&w);
    } else {
        good = fly_in_lanes(f, first, last);
    }
    f->starved[chunk] = !good;
}

// ---- quantiles ---------------------------------------------------------------------------------
static int by_number(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    float x = *(const float *)a, y = *(const float *)b;
    return x < y ? -1 : x > y;
}

static void put_quantiles(const flights *f, const column *c, float *sorted, float *scratch,
                          int count, endurance *found) {
    static const double shares[ENDURANCE_CASES] = {LOW_SHARE, 0.5, 1.0 - LOW_SHARE};
    int flown = 0, finite = 0;
    for (int i = 0; i < f->question->flights; i++) {
        if (!f->flown[i])
            continue;
        sorted[flown] = f->kept[(size_t)i * (size_t)f->column_count + (size_t)(c - f->columns)];
        finite += !isinf(sorted[flown++]);
    }
    if (c->of == COLUMN_ITEM)
        found->items_lost[c->index] = finite;
    if (c->of == COLUMN_FUNCTION)
        found->functions_lost[c->index] = finite;
    if (finite > 0)
        stable_sort(sorted, (size_t)count, sizeof *sorted, scratch, by_number, NULL);
    for (int k = 0; k < ENDURANCE_CASES; k++) {
        float value = sorted[(int)(shares[k] * (count - 1) + 0.5)];
        times_of(&found->of[k], c->of)[c->index] =
            isinf(value) ? ENDURANCE_OUTLASTS : (double)value;
    }
}

// ---- which unknown it comes from ---------------------------------------------------------------
typedef struct ranked {
    double value;
    int flight;
} ranked;

static int by_value(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const ranked *x = a, *y = b;
    if (x->value != y->value)
        return x->value < y->value ? -1 : 1;
    return x->flight - y->flight;
}

static void rank(ranked *list, ranked *scratch, int count, double *ranks) {
    stable_sort(list, (size_t)count, sizeof *list, scratch, by_value, NULL);
    for (int i = 0; i < count; i++)
        ranks[list[i].flight] = i - 0.5 * (count - 1);
}

static int by_share(const void *a, const void *b, const void *ctx) {
    (void)ctx;
    const endurance_unknown *x = a, *y = b;
    return x->share > y->share ? -1 : x->share < y->share;
}

static bool find_shares(const flights *f, int count, arena *m) {
    int flights = f->question->flights;
    ranked *list = arena_new(m, (size_t)flights + 1, sizeof *list);
    ranked *scratch = arena_new(m, (size_t)flights + 1, sizeof *scratch);
    double *ours = arena_new(m, (size_t)flights + 1, sizeof *ours);
    double *theirs = arena_new(m, (size_t)flights + 1, sizeof *theirs);
    if (m->failed)
        return false;
    double all = 0.0;
    for (int k = -1; k < f->unknowns.count; k++) {
        int n = 0;
        for (int i = 0; i < flights; i++)
            if (f->flown[i])
                list[n++] = (ranked){k < 0 ? (double)f->lasts[i] : uniform_of(f, i, k), i};
        rank(list, scratch, n, k < 0 ? ours : theirs);
        double both = 0.0, each = 0.0;
        for (int i = 0; i < flights && k >= 0; i++) {
            both += f->flown[i] ? ours[i] * theirs[i] : 0.0;
            each += f->flown[i] ? ours[i] * ours[i] : 0.0;
        }
        // By chance alone the square comes to one over the number of flights.
        double square = each > 0 ? both / each * both / each - 1.0 / count : 0.0;
        if (k >= 0)
            f->unknowns.list[k].share = square > 0 ? square : 0.0;
        all += k >= 0 ? f->unknowns.list[k].share : 0.0;
    }
    for (int k = 0; k < f->unknowns.count && all > 0; k++)
        f->unknowns.list[k].share /= all;
    stable_sort(f->unknowns.list, (size_t)f->unknowns.count, sizeof *f->unknowns.list, NULL,
                by_share, NULL);
    return true;
}

// ---- all together ------------------------------------------------------------------------------
static void spread(flights *f, int first, int count) {
    const flights_spread *s = &f->question->spread;
    f->first_chunk = first;
    if (s->spread != NULL) {
        s->spread(s->ctx, fly_chunk, f, count);
        return;
    }
    for (int i = 0; i < count; i++)
        fly_chunk(f, i);
}

static double kept_at(const flights *f, int flight, int column) {
    return (double)f->kept[(size_t)flight * (size_t)f->column_count + (size_t)column];
}

// What nobody has lost so far, and one of these flights has.
static bool note_latest(flights *f, int first, int last, bool *is_new) {
    bool any = false;
    for (int k = 0; k < f->column_count; k++) {
        bool unseen = f->latest[k] < 0;
        for (int i = first; i < last && is_time(f->columns[k].of); i++)
            if (f->flown[i] && !isinf(kept_at(f, i, k)) && kept_at(f, i, k) > f->latest[k])
                f->latest[k] = kept_at(f, i, k);
        is_new[k] = unseen && f->latest[k] >= 0;
        any = any || is_new[k];
    }
    return any;
}

static bool lacks_any(const flights *f, int flight, const bool *is_new) {
    for (int k = 0; k < f->column_count; k++)
        if (is_new[k] && isinf(kept_at(f, flight, k)))
            return true;
    return false;
}

static void list_all(flights *f) {
    f->listed = f->question->flights;
    for (int i = 0; i < f->listed; i++)
        f->list[i] = i;
}

// Those that ended before they could lose what is new.
static void list_again(flights *f, const bool *is_new) {
    double end = (1.0 - 1e-6) * f->question->about.lasts;
    f->listed = 0;
    for (int i = 0; i < f->question->flights; i++)
        if (f->flown[i] && (double)f->ended[i] < end && lacks_any(f, i, is_new))
            f->list[f->listed++] = i;
}

static void fly_all(flights *f, int chunks, bool *is_new) {
    int scouts = chunks < SCOUT_CHUNKS ? chunks : SCOUT_CHUNKS, all = f->question->flights;
    for (int k = 0; k < f->column_count; k++)
        f->latest[k] = -1.0;
    list_all(f);
    f->waits = false;
    spread(f, 0, scouts);
    int scouted = scouts * CHUNK < all ? scouts * CHUNK : all;
    note_latest(f, 0, scouted, is_new);
    f->waits = !f->question->fine;
    if (chunks > scouts)
        spread(f, scouts, chunks - scouts);
    f->waits = false;
    while (note_latest(f, scouted, all, is_new)) {
        list_again(f, is_new);
        if (f->listed == 0)
            break;
        spread(f, 0, (f->listed + CHUNK - 1) / CHUNK);
    }
}

static status gather(flights *f, arena *m, endurance *found) {
    int flights = f->question->flights, count = 0;
    float *sorted = arena_new(m, (size_t)flights + 1, sizeof *sorted);
    float *scratch = arena_new(m, (size_t)flights + 1, sizeof *scratch);
    for (int i = 0; i < flights; i++)
        count += f->flown[i];
    if (m->failed)
        return STATUS_NO_MEMORY;
    if (count == 0)
        return STATUS_OK;
    for (int i = 0; i < f->column_count; i++)
        put_quantiles(f, &f->columns[i], sorted, scratch, count, found);
    if (!find_shares(f, count, m))
        return STATUS_NO_MEMORY;
    found->flights = count;
    found->seed = f->question->seed;
    found->unknowns = f->unknowns.list;
    found->unknown_count = f->unknowns.count;
    return STATUS_OK;
}

status flights_find(allocator memory, const aircraft *a, const flights_question *q, arena *keep,
                    endurance *found) {
    flights f = {.allocator = memory, .aircraft = a, .question = q, .found = found};
    arena scratch = arena_make(memory);
    int chunks = (q->flights + CHUNK - 1) / CHUNK;
    bool *is_new = NULL;
    bool good = unknowns_list(a, q->charge_given, q->temperature_given, keep, &f.unknowns) &&
                columns_make(&f, &scratch);
    if (good) {
        f.kept =
            arena_new(&scratch, (size_t)q->flights * (size_t)f.column_count + 1, sizeof *f.kept);
        f.lasts = arena_new(&scratch, (size_t)q->flights + 1, sizeof *f.lasts);
        f.latest = arena_new(&scratch, (size_t)f.column_count + 1, sizeof *f.latest);
        f.list = arena_new(&scratch, (size_t)q->flights + 1, sizeof *f.list);
        f.ended = arena_new(&scratch, (size_t)q->flights + 1, sizeof *f.ended);
        is_new = arena_new(&scratch, (size_t)f.column_count + 1, sizeof *is_new);
        f.flown = arena_new(&scratch, (size_t)q->flights + 1, 1);
        f.starved = arena_new(&scratch, (size_t)chunks + 1, 1);
        good = !scratch.failed;
    }
    if (good)
        fly_all(&f, chunks, is_new);
    for (int i = 0; i < chunks && good; i++)
        good = !f.starved[i];
    status result = good ? gather(&f, &scratch, found) : STATUS_NO_MEMORY;
    arena_free(&scratch);
    return result;
}
