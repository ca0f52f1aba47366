// Figures that hand over to each other are rounded together: what leaves a main bus (its rows, its
// feeders, the tie, the battery's side) adds up to what comes into it, and each column to its
// feeder.
#include "draw/board_parts.h"

enum { TERMS_MOST = 4 + 8 * GROUP_MOST };

typedef struct term {
    double amps;
    int *tenths;  // where the rounded figure goes
    int *also;    // and a second place, or NULL
} term;

static int add_term(term *terms, int count, double amps, int *tenths, int *also) {
    if (count >= TERMS_MOST || amps <= 0)
        return count;
    terms[count] = (term){amps, tenths, also};
    return count + 1;
}

// Amps that come out of a run at its far end.
static double run_amps(const board *b, const run *r) {
    return r->count ? -board_amps_from(b, r->edges[r->count - 1], r->points[r->count]) : 0;
}

// A column is its feeder's if the two are the same but for what rounding does.
static bool same_amps(double a, double b) { return a - b < 0.005 && b - a < 0.005; }

static int feeder_terms(board *b, int main_strip, term *terms, int count) {
    const topology *t = b->topology;
    for (int i = 0; i < t->group_count; i++) {
        const feed_group *g = &t->groups[i];
        for (int m = 0; g->main == main_strip && m < g->count; m++) {
            int end = g->members[m].strips[g->members[m].count];
            if (end < 0 || b->feeds[end] >= 0)
                continue;
            double amps = run_amps(b, &g->members[m]);
            strip_view *view = &b->strips[end];
            bool same = same_amps(amps, board_strip_amps(b, end));
            view->has_total = same && amps > 0;
            count = add_term(terms, count, amps, &b->feeds[end], same ? &view->total : NULL);
        }
    }
    return count;
}

static void round_main(board *b, int which) {
    const topology *t = b->topology;
    int bus = t->mains[which], tenths[TERMS_MOST];
    double values[TERMS_MOST], sum = 0;
    term terms[TERMS_MOST];
    int count = add_term(terms, 0, board_strip_amps(b, bus), &b->strips[bus].total, NULL);
    b->strips[bus].has_total = count > 0;
    count = feeder_terms(b, bus, terms, count);
    if (t->has_tie) {
        const run *r = &t->tie;
        int edge = which ? r->edges[r->count - 1] : r->edges[0];
        double out = board_amps_from(b, edge, t->strips[bus].point);
        count = add_term(terms, count, out, &b->tie, NULL);
    }
    if (t->has_chain && t->chain.count && t->chain.strips[t->chain.count] == bus)
        count = add_term(terms, count, -run_amps(b, &t->chain), &b->charge, NULL);
    for (int i = 0; i < count; i++) {
        values[i] = terms[i].amps;
        sum += values[i];
    }
    board_apportion(values, count, board_tenths(sum), tenths);
    for (int i = 0; i < count; i++) {
        *terms[i].tenths = tenths[i];
        if (terms[i].also)
            *terms[i].also = tenths[i];
    }
}

bool board_round_mains(board *b) {
    int strips = b->topology->strip_count;
    b->feeds = arena_new(b->memory, (size_t)strips + 1, sizeof *b->feeds);
    if (!b->feeds)
        return false;
    for (int i = 0; i < strips; i++)
        b->feeds[i] = -1;
    b->tie = b->charge = -1;
    for (int i = 0; i < b->topology->main_count; i++)
        round_main(b, i);
    return true;
}
