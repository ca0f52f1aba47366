// What many flights come to: quantiles, and which unknown they differ by.
#include <math.h>

#include "base/rng.h"
#include "base/stable_sort.h"
#include "study/flights_state.h"

#define LOW_SHARE 0.05

double *flights_times_of(const endurance_times *t, column_of of) {
    double *const arrays[COLUMN_KINDS] = {
        t->items,     t->weak,    t->lets_go, t->exhausted,        t->charge,     t->charge_noticed,
        t->functions, t->reduced, t->mute,    t->off_transmitting, t->off_running};
    return arrays[of];
}

double flights_uniform(const flights *f, int flight, int quantity) {
    return rng_uniform_at(f->question->seed, (uint64_t)flight, (uint64_t)quantity);
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
        flights_times_of(&found->of[k], c->of)[c->index] =
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
                list[n++] = (ranked){k < 0 ? (double)f->lasts[i] : flights_uniform(f, i, k), i};
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

status flights_gather(const flights *f, arena *m) {
    endurance *found = f->found;
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
