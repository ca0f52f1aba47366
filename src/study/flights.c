#include "study/flights.h"

#include <math.h>
#include <string.h>

#include "circuit/solver_state.h"
#include "study/flights_state.h"
#include "timeline/run.h"

#define TOLERANCE       0.01  // volts: the answers are minutes
#define RESOLUTION      1.0   // seconds
#define FINE_TOLERANCE  0.0005
#define FINE_RESOLUTION 0.1
// The first so many flights go on to the end of what is asked; the next until, of what those have
// lost, all is lost that is lost without any source. What none of them loses isn't waited for by
// the others, and nothing is much longer than it took the slowest of them: if one flight in twenty
// lost it, those that go on to the end would miss it once in 600 times; if one in twenty lost it so
// late, all of these once in 300,000 times. A battery contactor that is let go and pulled in again
// by a battery that has rested would else cost most of the work.
// What another flight loses all the same is then looked for in all that ended without it: they are
// flown again, to the end.
#define LATE 1.25
enum { CHUNK = 64, WHOLE = 2 * CHUNK, SCOUTS = 4 * CHUNK };

static bool is_time(column_of of) { return of != COLUMN_CHARGE && of != COLUMN_CHARGE_NOTICED; }

static bool wanted(const flights *f, column_of of, int i) {
    const endurance *e = f->found;
    switch (of) {
    case COLUMN_ITEM:
    case COLUMN_WEAK:
    case COLUMN_OFF_TRANSMITTING:
    case COLUMN_OFF_RUNNING: return e->counts[i];
    case COLUMN_MUTE: return e->counts[i] && f->aircraft->parts[i].kind == KIND_RADIO;
    case COLUMN_LETS_GO: return e->holds[i];
    case COLUMN_FUNCTION:
    case COLUMN_REDUCED: return e->function_counts[i];
    default: return e->batteries[i];
    }
}

static bool columns_make(flights *f, arena *m) {
    const aircraft *a = f->aircraft;
    size_t most = 9 * (size_t)a->part_count + 2 * (size_t)a->function_count + 1;
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

static void list_waits(const flights *f, worker *w) {
    const endurance_times *t = &w->own.of[ENDURANCE_MIDDLE];
    for (int i = 0; i < f->column_count; i++) {
        const column *c = &f->columns[i];
        bool dead = f->stage == FLIGHTS_SCOUT && f->dead[i];
        if (f->latest[i] < 0)
            continue;
        w->until[w->until_count++] =
            (endurance_wait){&flights_times_of(t, c->of)[c->index],
                             dead ? f->question->about.lasts : LATE * f->latest[i]};
    }
}

static bool waits(const flights *f) {
    return f->stage == FLIGHTS_SCOUT || f->stage == FLIGHTS_FOLLOW;
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
    list_waits(f, w);
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
        double value = flights_times_of(t, f->columns[i].of)[f->columns[i].index];
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
    memset(w->own.shed_lost, 0, (size_t)a->function_count * sizeof *w->own.shed_lost);
    w->own.lasts = f->question->about.lasts;
}

static void draw(const flights *f, worker *w, int flight) {
    w->flight = flight;
    for (int i = 0; i < f->unknowns.count; i++)
        w->uniform[i] = flights_uniform(f, flight, i);
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
struct crew {
    const flights *flights;
    arena memory;
    worker *workers[LANES_MOST];  // made as their lanes ask
    int next, last;               // flights
    bool starved;
};

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
                                     waits(f) ? w->until : NULL, w->until_count);
    } else {
        next = endurance_flier_go(w->flier, s);
    }
    if (next != NULL)
        return next;
    keep(f, w, w->flight);
    return next_flight(c, w);
}

static crew *crew_make(const flights *f) {
    arena memory = arena_make(f->allocator);
    crew *c = arena_new(&memory, 1, sizeof *c);
    if (c == NULL) {
        arena_free(&memory);
        return NULL;
    }
    *c = (crew){.flights = f, .memory = memory};
    return c;
}

static void crew_free(crew *c) {
    if (c == NULL)
        return;
    for (int l = 0; l < LANES_MOST; l++)
        if (c->workers[l] != NULL)
            worker_free(c->workers[l]);
    arena memory = c->memory;
    arena_free(&memory);
}

// False: no memory.
static bool crew_fly(crew *c, int first, int last) {
    c->next = first;
    c->last = last;
    const worker *lead = worker_of(c, 0);
    if (!c->starved)
        solve_flow(lead->solver->work, c->flights->question->lanes, next_settling, c);
    return !c->starved;
}

static void fly_chunk(void *arg, int index) {
    flights *f = arg;
    int first = f->next + index * CHUNK, last = first + CHUNK;
    last = last < f->end ? last : f->end;
    bool good;
    if (f->question->fine) {
        worker w;
        good = worker_make(f, &w) == STATUS_OK && fly_finely(f, &w, first, last);
        worker_free(&w);
    } else {
        crew *c = crew_make(f);
        good = c != NULL && crew_fly(c, first, last);
        crew_free(c);
    }
    f->starved[first / CHUNK] |= !good;
}

// ---- in steps -----------------------------------------------------------------------------------
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

// What has been listed is flown: what is flown next. Those that many flights don't wait for are
// known from the first ones.
static void go_on(flights *f) {
    int all = f->question->flights;
    crew_free(f->crew);
    f->crew = NULL;
    if (f->stage == FLIGHTS_WHOLE || f->stage == FLIGHTS_SCOUT) {
        f->scouted = f->end;
        note_latest(f, 0, f->scouted, f->is_new);
        bool whole = f->stage == FLIGHTS_WHOLE && f->dead != NULL;
        f->stage = whole ? FLIGHTS_SCOUT : FLIGHTS_FOLLOW;
        f->end = whole && SCOUTS < all ? SCOUTS : all;
        return;
    }
    f->stage = FLIGHTS_DONE;
    if (!note_latest(f, f->scouted, all, f->is_new))
        return;
    list_again(f, f->is_new);
    if (f->listed == 0)
        return;
    f->stage = FLIGHTS_AGAIN;
    f->next = 0;
    f->end = f->listed;
}

// Over threads: whole chunks.
static int spread(flights *f, int most) {
    const flights_spread *s = &f->question->spread;
    int left = f->end - f->next, wanted = most < left ? most : left;
    int chunks = (wanted + CHUNK - 1) / CHUNK;
    if (s->spread != NULL)
        s->spread(s->ctx, fly_chunk, f, chunks);
    for (int i = 0; i < chunks && s->spread == NULL; i++)
        fly_chunk(f, i);
    return chunks * CHUNK < left ? chunks * CHUNK : left;
}

static int fly_some(flights *f, int most) {
    int left = f->end - f->next, wanted = most < left ? most : left;
    if (f->question->spread.spread != NULL || f->question->fine)
        return spread(f, most);
    if (f->crew == NULL)
        f->crew = crew_make(f);
    if (f->crew == NULL || !crew_fly(f->crew, f->next, f->next + wanted))
        f->starved[0] = 1;
    return wanted;
}

bool flights_step(flights_study *f, int most) {
    for (int left = most > 0 ? most : 1; left > 0 && f->stage != FLIGHTS_DONE;) {
        int flown = fly_some(f, left);
        f->next += flown;
        left -= flown;
        if (f->stage != FLIGHTS_AGAIN)
            f->done += flown;
        while (f->next == f->end && f->stage != FLIGHTS_DONE)
            go_on(f);
    }
    return f->stage != FLIGHTS_DONE;
}

int flights_flown(const flights_study *f) { return f->done; }

// ---- begun and finished -------------------------------------------------------------------------
static bool arrays_make(flights *f) {
    arena *m = &f->scratch;
    size_t all = (size_t)f->question->flights + 1, columns = (size_t)f->column_count;
    f->kept = arena_new(m, all * columns + 1, sizeof *f->kept);
    f->lasts = arena_new(m, all, sizeof *f->lasts);
    f->latest = arena_new(m, columns + 1, sizeof *f->latest);
    f->list = arena_new(m, all, sizeof *f->list);
    f->ended = arena_new(m, all, sizeof *f->ended);
    f->is_new = arena_new(m, columns + 1, sizeof *f->is_new);
    f->flown = arena_new(m, all, 1);
    f->starved = arena_new(m, all / CHUNK + 2, 1);
    return !m->failed;
}

status flights_begin(allocator memory, const aircraft *a, const flights_question *q, arena *keep,
                     endurance *found, flights_study **made) {
    *made = NULL;
    arena scratch = arena_make(memory);
    flights *f = arena_new(&scratch, 1, sizeof *f);
    if (f != NULL)
        *f = (flights){.allocator = memory, .aircraft = a, .question = q, .found = found};
    bool good = f != NULL &&
                unknowns_list(a, q->charge_given, q->temperature_given, keep, &f->unknowns) &&
                columns_make(f, &scratch);
    if (good) {
        f->scratch = scratch;
        good = arrays_make(f);
        scratch = f->scratch;
    }
    if (!good) {
        arena_free(&scratch);
        return STATUS_NO_MEMORY;
    }
    for (int k = 0; k < f->column_count; k++)
        f->latest[k] = -1.0;
    list_all(f);
    status dead = q->fine ? STATUS_OK : flights_find_dead(f, &f->scratch);
    int whole = f->dead != NULL ? WHOLE : SCOUTS;
    f->end = whole < q->flights && !q->fine ? whole : q->flights;
    if (dead == STATUS_OK) {
        *made = f;
        return STATUS_OK;
    }
    scratch = f->scratch;
    arena_free(&scratch);
    return dead;
}

status flights_finish(flights_study *f) {
    bool good = true;
    crew_free(f->crew);
    for (int i = 0; i <= f->question->flights / CHUNK; i++)
        good = good && !f->starved[i];
    status result = good ? flights_gather(f, &f->scratch) : STATUS_NO_MEMORY;
    arena scratch = f->scratch;
    arena_free(&scratch);
    return result;
}

status flights_find(allocator memory, const aircraft *a, const flights_question *q, arena *keep,
                    endurance *found) {
    flights_study *f;
    status begun = flights_begin(memory, a, q, keep, found, &f);
    if (begun != STATUS_OK)
        return begun;
    while (flights_step(f, q->flights)) {
    }
    return flights_finish(f);
}
